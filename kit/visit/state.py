"""Everything that is so at one moment of a visit, in one frozen value."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from kit.machine.condition import Condition
from kit.machine.surroundings import Command, Surroundings
from kit.visit.circuit_work import CircuitWork
from kit.visit.handwork import FLOAT_AT, Harm, Loose, Parts, float_sound

if TYPE_CHECKING:
    from kit.machine.spec import Spec
    from kit.machine.truth import Truth
    from kit.visit.outcome import Reading, SheetEntry
    from kit.visit.work_order import WorkOrder

# Covers and parts that can be off, with the words for them.
PARTS = {
    "front_panel": "front panel of the indoor unit",
    "filter": "air filter",
    "indoor_casing": "casing of the indoor unit",
    "terminal_cover": "terminal cover of the outdoor unit",
    "outdoor_panels": "top and side panels of the outdoor unit",
}
PROTECTION = {
    "drop_cloth": "drop cloth on floor and furniture",
    "wash_bag": "wash bag with its hose in a bucket",
    "indoor_electrics": "plastic over the display, the terminals and the board indoors",
    "outdoor_electrics": "plastic over the board and the terminals outdoors",
}
WORN = {
    "glasses": "safety glasses",
    "goggles": "splash goggles",
    "cut_gloves": "cut gloves over nitrile",
    "insulating_gloves": "insulating gloves",
    "mask": "dust mask (N95 or P2)",
    "shoes": "non-slip shoes",
}


@dataclass(frozen=True, slots=True)
class Probe:
    """An instrument left somewhere, with what its element has come to.

    Args:
        instrument: its name.
        place: where it is.
        since_s: clock when it was put there [s].
        element: (quantity, value of the sensing element [SI]) pairs.
        target: the same for the medium at the place, at the clock of the last solve.
    """

    instrument: str
    place: str
    since_s: float
    element: tuple[tuple[str, float], ...]
    target: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class Proof:
    """One voltage test made since the disconnect was last moved.

    Args:
        place: where the meter was put.
        shown_v: what it showed [V].
        at_s: clock [s].
    """

    place: str
    shown_v: float
    at_s: float


@dataclass(frozen=True, slots=True)
class Supply:
    """Isolation of the machine.

    Args:
        pulled: whether the disconnect is out.
        locked: whether the learner's lock is on.
        tagged: whether the learner's tag is on.
        moved_at_s: clock when the disconnect was last moved [s].
        bus_then_v: DC bus voltage at that moment [V].
        tried: whether a start was tried since.
        proofs: voltage tests since.
    """

    pulled: bool = False
    locked: bool = False
    tagged: bool = False
    moved_at_s: float = 0.0
    bus_then_v: float = 0.0
    tried: bool = False
    proofs: tuple[Proof, ...] = ()


@dataclass(frozen=True, slots=True)
class Dirt:
    """What work has left behind that is no knob of the machine by itself.

    Args:
        filter_water: water held by the filter [0..1].
        indoor_board_wet: whether water reached the board indoors.
        outdoor_board_wet: whether water reached the board outdoors.
        pan_slime: slime left in the pan [0..1].
    """

    filter_water: float = 0.0
    indoor_board_wet: bool = False
    outdoor_board_wet: bool = False
    pan_slime: float = 0.0


@dataclass(frozen=True, slots=True)
class State:
    """The whole visit at one moment; `truth` and `condition` are never shown.

    Args:
        order: the work order.
        spec: the machine.
        seed: what the instruments' streams are drawn from.
        truth: the machine at `solved_s`.
        condition: its condition, without what work now going on adds to it.
        around: air at both units.
        command: what the remote asks for.
        clock_s: clock of the visit [s].
        solved_s: clock to which `truth` has been brought [s].
        demand_since_s: clock when the remote or the supply was last changed [s].
        running_since_s: clock since which the compressor has turned without a break [s].
        supply: isolation.
        off: parts and covers now off.
        protected: protection in place.
        worn: protective equipment worn.
        probes: instruments left in place.
        readings: all readings so far.
        sheet: the job sheet.
        dirt: traces of work.
        done: names of things done once, with the clock, in order.
        supervised: whether a certified person stands by.
        gauges_on: whether gauges are attached.
        work: what is in the refrigerant circuit and attached to it.
        loose: what is off, out or loose.
        harm: damage that no wash takes away.
        parts: spare parts.
        trims: corrections set at instruments: (instrument, quantity, added [SI]).
        count: number of actions so far.
        closed: whether the visit has been handed over.
    """

    order: WorkOrder
    spec: Spec
    seed: int
    truth: Truth
    condition: Condition
    around: Surroundings
    command: Command = field(default_factory=lambda: Command(mode="off"))
    clock_s: float = 0.0
    solved_s: float = 0.0
    demand_since_s: float = 0.0
    running_since_s: float = 0.0
    supply: Supply = field(default_factory=Supply)
    off: frozenset[str] = frozenset()
    protected: frozenset[str] = frozenset()
    worn: frozenset[str] = frozenset()
    probes: tuple[Probe, ...] = ()
    readings: tuple[Reading, ...] = ()
    sheet: tuple[SheetEntry, ...] = ()
    dirt: Dirt = field(default_factory=Dirt)
    done: tuple[tuple[str, float], ...] = ()
    supervised: bool = False
    gauges_on: bool = False
    work: CircuitWork = field(default_factory=CircuitWork)
    loose: Loose = field(default_factory=Loose)
    harm: Harm = field(default_factory=Harm)
    parts: Parts = field(default_factory=Parts)
    trims: tuple[tuple[str, str, float], ...] = ()
    count: int = 0
    closed: bool = False

    @property
    def powered(self) -> bool:
        """Whether mains reach the machine."""
        return not self.supply.pulled

    @property
    def float_up(self) -> bool:
        """Whether a float switch holds the machine because water stands high in the pan."""
        if self.order.fitted.drain != "float_switch" or not float_sound(self):
            return False
        return float(self.truth.pan_water_kg) >= FLOAT_AT * 1000.0 * float(self.spec.pan_m3)

    @property
    def asked(self) -> Command:
        """What the machine is told to do, given whether it has power and may run."""
        if self.powered and not self.float_up:
            return self.command
        return replace(self.command, mode="off")

    @property
    def isolated(self) -> bool:
        """Whether the disconnect is out and the learner's own lock holds it there."""
        return self.supply.pulled and self.supply.locked

    def has_done(self, what: str) -> bool:
        """Whether something has been done in this visit."""
        return any(name == what for name, _ in self.done)

    def probe(self, instrument: str) -> Probe | None:
        """Return where an instrument was left, or None."""
        return next((p for p in self.probes if p.instrument == instrument), None)


def noted(state: State, what: str) -> State:
    """Return the state with something noted as done now."""
    return replace(state, done=(*state.done, (what, state.clock_s)))
