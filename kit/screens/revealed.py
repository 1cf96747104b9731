"""What stands beside the marks once a unit is handed over: its air as written down, its circuit.

The circuit is the hidden truth of the work order. Nothing here may be called before the hand-over.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from kit.errors import KitError
from kit.visit.outcome import Line, Measure, line
from kit.visit.target import FULL_DEMAND_K, humidity_of

if TYPE_CHECKING:
    from kit.machine.truth import Truth
    from kit.screens.task import Plot
    from kit.screens.voice import Voice
    from kit.visit.outcome import SheetEntry
    from kit.visit.work_order import WorkOrder

# The states that a job sheet can hold: name, and its lines of dry bulb, wet bulb and humidity.
STATES: dict[str, tuple[tuple[str, str, str, str], ...]] = {
    "as_found": (
        ("entering, as found", "return_dry_bulb", "return_wet_bulb", "return_humidity"),
        ("leaving, as found", "supply_dry_bulb", "supply_wet_bulb", "supply_humidity"),
    ),
    "as_left": (
        ("entering, as left", "return_dry_bulb", "return_wet_bulb", "return_humidity"),
        ("leaving, as left", "supply_dry_bulb", "supply_wet_bulb", "supply_humidity"),
    ),
}
SAME_PRESSURE, SAME_K = 0.01, 0.6  # cycles nearer than this cannot be told apart on the sheet
REMOTE_K = (289.15, 305.15)  # ends of the remote

Truths = tuple["Truth", "Truth"]


class Revealed:
    """The charts beside the marks of one visit.

    Args:
        order: its work order.
    """

    def __init__(self, order: WorkOrder) -> None:
        self._order = order
        self._truths: Truths | None = None
        self._solved = False

    def charts(self, sheet: Sequence[SheetEntry], voice: Voice) -> dict[str, Any]:
        """Return the charts as the view shows them; each is drawn, or says why it is not.

        Args:
            sheet: the job sheet.
            voice: units and language.
        """
        air, air_said = self._air(sheet)
        circuit, circuit_said = self._circuit()
        return {
            "title": voice.words("Your air and this unit's circuit"),
            "list": [
                _shown(voice.words("The air as you wrote it down"), air, air_said, voice),
                _shown(
                    voice.words("The refrigerant circuit as you found it"),
                    circuit, circuit_said, voice,
                ),
            ],
        }  # fmt: skip

    def truths(self) -> Truths | None:
        """Return the machine as found and the same machine sound; None when it was not solved."""
        if not self._solved:
            self._truths, self._solved = _settled(self._order), True
        return self._truths

    def _air(self, sheet: Sequence[SheetEntry]) -> tuple[Plot | None, list[Line]]:
        from kit.physics.air import pressure_pa
        from kit.screens.plots.air import air_groups_chart

        height = self._order.surroundings.altitude_m
        written = own_air(sheet, height)
        if not any(written.groups):
            said = line(
                "Your job sheet holds no whole state of the air, so there is nothing to draw. "
                "Write down the dry bulb and the wet bulb or the humidity."
            )
            return None, [said, *written.unfit]
        try:
            plot = air_groups_chart(written.groups, float(pressure_pa(height)), written.dry_bulbs)
        except KitError:  # what was written down may be far from any air
            return None, [line("What is written down for the air lies outside the chart.")]
        return plot, _about_air(written)

    def _circuit(self) -> tuple[Plot | None, list[Line]]:
        truths = self.truths()
        if truths is None:
            return None, [line("The circuit of this unit as found could not be worked out.")]
        found, sound = truths
        if not found.running:
            said = line(
                "As found the compressor could not run at full demand, so there is no cycle to "
                "draw: the gauges would have shown standing pressure."
            )
            return None, [said]
        return _cycles(self._order, found, sound), _about(found, sound)


@dataclass(frozen=True, slots=True)
class OwnAir:
    """The air as a job sheet holds it, as found and then as left.

    Args:
        groups: name, dry bulb [K] and relative humidity [0..1] of whole states.
        dry_bulbs: name, dry bulb [K] and group of states whose humidity was not written down.
        unfit: what does not fit together.
    """

    groups: tuple[tuple[tuple[str, float, float], ...], ...]
    dry_bulbs: tuple[tuple[str, float, int], ...]
    unfit: tuple[Line, ...]


def own_air(sheet: Sequence[SheetEntry], altitude_m: float) -> OwnAir:
    """Return the states of the air on a job sheet.

    Args:
        sheet: the job sheet; the last entry of a line counts.
        altitude_m: height above sea level [m].
    """
    latest = {(e.item, e.when): e.value for e in sheet if not isinstance(e.value, str)}
    groups, dry_bulbs, unfit = [], [], []
    for i, (when, states) in enumerate(STATES.items()):
        group = []
        for name, *items in states:
            db_k, wb_k, rh = (latest.get((item, when)) for item in items)
            if db_k is None:
                continue
            if wb_k is not None:
                rh = humidity_of(db_k, wb_k, altitude_m)
            if rh is None:
                dry_bulbs.append((name, db_k, i))
            elif wb_k is not None and (wb_k > db_k or rh < 0.0):
                unfit.append(_unfit(name, db_k, wb_k))
            else:
                group.append((name, db_k, rh))
        groups.append(tuple(group))
    return OwnAir(tuple(groups), tuple(dry_bulbs), tuple(unfit))


def _about_air(written: OwnAir) -> list[Line]:
    said = list(written.unfit)
    if written.dry_bulbs:
        said.append(
            line(
                "Without a humidity a state is a line and no point: {which}.",
                which="; ".join(name for name, *_ in written.dry_bulbs),
            )
        )
    return said


def _unfit(name: str, db_k: float, wb_k: float) -> Line:
    return line(
        "{name}: dry bulb {db} and wet bulb {wb} do not fit together.",
        name=name,
        db=Measure(db_k, "temperature"),
        wb=Measure(wb_k, "temperature"),
    )


def _settled(order: WorkOrder) -> Truths | None:
    from kit import machine

    sign = -1.0 if order.mode == "cooling" else 1.0
    low, high = REMOTE_K
    setpoint = min(max(order.surroundings.room_db_k + sign * FULL_DEMAND_K, low), high)
    command = machine.Command(order.mode, setpoint)
    spec = machine.load_spec(order.machine)
    try:
        found, sound = (
            machine.settle(spec, condition, order.surroundings, command)
            for condition in (order.condition(), machine.Condition())
        )
    except KitError:
        return None
    return found, sound


def _cycles(order: WorkOrder, found: Truth, sound: Truth) -> Plot:
    from kit.machine import load_spec
    from kit.physics.air import pressure_pa
    from kit.screens.plots.cycle import cycle_chart

    return cycle_chart(
        load_spec(order.machine).refrigerant,
        [("the same unit, sound", sound), ("as found", found)],
        float(pressure_pa(order.surroundings.altitude_m)),
    )


def _about(found: Truth, sound: Truth) -> list[Line]:
    said = [
        line(
            "Worked out at full demand in the air of that day. The dashed line is the same unit "
            "with nothing wrong."
        )
    ]
    pressures = (
        (found.suction_pa, sound.suction_pa), (found.discharge_pa, sound.discharge_pa)
    )  # fmt: skip
    same = all(abs(a / b - 1.0) < SAME_PRESSURE for a, b in pressures) and all(
        abs(a - b) < SAME_K
        for a, b in (
            (found.superheat_k, sound.superheat_k), (found.subcooling_k, sound.subcooling_k)
        )
    )  # fmt: skip
    if same:
        said.append(line("The two lie on one another: nothing was wrong in the circuit itself."))
    return said


def _shown(title: str, plot: Plot | None, said: list[Line], voice: Voice) -> dict[str, Any]:
    return {
        "title": title,
        "svg": "" if plot is None else plot.draw(voice),
        "alt": "" if plot is None else voice.line(plot.alt),
        "said": voice.lines(said),
    }
