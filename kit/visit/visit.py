"""A visit in progress: a thin shell around the pure transition."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from kit.language import Translator
from kit.quantities import unit_system
from kit.visit import clock, places
from kit.visit.outcome import ActionInfo, Outcome, View
from kit.visit.state import State
from kit.visit.transition import first_state, offered, transition
from kit.visit.work_order import WorkOrder


class Visit:
    """One visit; `step` is the only thing that changes it."""

    language: str = "en"  # of texts, as a BCP 47 tag; a visit that is written down notes a change

    def __init__(self, order: WorkOrder, seed: int, units: str = "us") -> None:
        """Arrive at the site.

        Args:
            order: the work order.
            seed: what the instruments' streams are drawn from; equal seeds give equal visits.
            units: name of a unit system of `kit.quantities`, for text.
        """
        self.units = unit_system(units).name
        self.outcomes: list[Outcome] = []
        self._state = first_state(order, seed)

    @property
    def order(self) -> WorkOrder:
        """The work order."""
        return self._state.order

    @property
    def translate(self) -> Translator:
        """Maps English texts to the learner's language, those of the work order as well."""
        return self.order.words(self.language)

    @property
    def clock_s(self) -> float:
        """Clock of the visit [s]."""
        return self._state.clock_s

    def step(self, action: str, /, **arguments: Any) -> Outcome:
        """Do one action and return what was seen.

        Args:
            action: its name, one of those in `actions()`.
            arguments: its arguments; numbers in SI.

        Raises:
            UnknownNameError: unknown action, argument or choice; the nearest is named.
            KitError: a missing or unfit argument.
        """
        state, outcome = transition(self._state, action, arguments)
        self._keep(state, outcome)
        return self.outcomes[-1]

    def _keep(self, state: State, outcome: Outcome) -> None:
        self._state = state
        self.outcomes.append(replace(outcome, units=self.units, translate=self.translate))

    def actions(self, everything: bool = False) -> tuple[ActionInfo, ...]:
        """Return what can be done now, with arguments, in the order of the work.

        Args:
            everything: also what cannot be done now, with the reason.
        """
        return offered(self._state, everything)

    def view(self) -> View:
        """Return what anybody standing there sees now."""
        state = clock.solved(self._state)
        supply = state.supply
        return View(
            clock_s=state.clock_s,
            work_order=state.order.title,
            mode=state.command.mode,
            setpoint_k=state.command.setpoint_k,
            fan=state.command.fan,
            disconnect_pulled=supply.pulled,
            locked=supply.locked,
            tagged=supply.tagged,
            running=float(state.truth.indoor_fan_rpm) > 1.0,
            open_parts=tuple(sorted(state.off)),
            protected=tuple(sorted(state.protected)),
            worn=tuple(sorted(state.worn)),
            placed={probe.instrument: probe.place for probe in state.probes},
            water=float(state.truth.overflow_kg) > 0.01,
            ice=places.icy(state),
            sheet=state.sheet,
            readings=state.readings,
            closed=state.closed,
            outdoor_fan_turning=float(state.truth.outdoor_fan_rpm) > 1.0,
            gauges_on=state.gauges_on,
        )
