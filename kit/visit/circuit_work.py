"""What is in the refrigerant circuit and what is attached to it; knobs and pressures follow.

The masses here are the truth: the knobs of the machine's condition (`charge_fraction`,
`noncondensable_kg`, and a restriction while ice sits in the valve) are worked out from them, so
that a good or a bad job shows in the next reading by itself.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from kit.machine.condition import KNOB_RANGES, Condition
from kit.visit.circuit_tools import LEAK_PLACES

if TYPE_CHECKING:
    from kit.machine.spec import Spec
    from kit.machine.surroundings import Surroundings
    from kit.physics.evacuation import Gases, Vessel
    from kit.visit.state import State
    from kit.visit.work_order import WorkOrder

THIN_FACTOR = 1.3  # pressure over the air's, below which vapour is worked out as an ideal gas
EMPTY_SHARE = 0.02  # of the charge, below which the machine counts as empty, as in kit.machine
FRACTION_STEP = 1e-4  # steps in which the machine's knobs follow the masses
AIR_STEP_KG = 1e-6
ICE_STEP = 0.05
ICE_CLOSES = 0.7  # restriction when the valve is iced up: common practice, no source
# Water in a sound machine's oil: less than 50 ppm is asked for in the trade (fenkoil.ru/1388).
USUAL_WATER = 40e-6
# Leaks behind a fault whose work order names none [um]; common practice, no source.
USUAL_BORES_UM = {"low-charge": 4.0, "no-charge": 12.0}
USUAL_PLACE = "gas_flare_outdoor"


@dataclass(frozen=True, slots=True)
class Leak:
    """A hole.

    Args:
        place: a key of `LEAK_PLACES`.
        bore_m: its width [m].
        oily: whether oil has come out with the refrigerant and left a trace.
    """

    place: str
    bore_m: float
    oily: bool = True


@dataclass(frozen=True, slots=True)
class Ledger:
    """Where refrigerant came from and went to [kg].

    Args:
        found_kg: in the machine as found.
        supplied_kg: out of supply cylinders into machine and hoses.
        cylinder_kg: recovered into a cylinder.
        hose_kg: now in the gauges and their hose.
        lost_kg: lost to the air.
    """

    found_kg: float = 0.0
    supplied_kg: float = 0.0
    cylinder_kg: float = 0.0
    hose_kg: float = 0.0
    lost_kg: float = 0.0

    def gap_kg(self, machine_kg: float) -> float:
        """Return what is missing in the balance; 0 when every gram is accounted for.

        Args:
            machine_kg: in the machine now [kg].
        """
        gone = machine_kg + self.cylinder_kg + self.hose_kg + self.lost_kg
        return self.found_kg + self.supplied_kg - gone


@dataclass(frozen=True, slots=True)
class Rig:
    """The vacuum pump as it is connected.

    Args:
        hose: a key of `PUMP_HOSES`.
        cores_out: whether the core tool has taken the valve core out.
        oil: a key of `PUMPS`.
        runs: whether the pump runs.
        valve_open: whether the valve to the circuit is open.
    """

    hose: str
    cores_out: bool
    oil: str
    runs: bool = False
    valve_open: bool = False

    @property
    def draws(self) -> bool:
        """Whether it draws from the circuit."""
        return self.runs and self.valve_open


def _no_gases() -> Gases:
    from kit.physics.evacuation import Gases as Made

    return Made()


@dataclass(frozen=True, slots=True)
class CircuitWork:
    """The circuit at one moment of a visit.

    Args:
        gases: all masses in the machine, the charge included.
        ledger: where refrigerant came from and went to.
        leaks: holes.
        care: precautions taken: "ignition_clear", "detector_on", "aired".
        gauge_set: gauges attached; "" for none.
        valves_shut: service valves now shut: "gas", "small".
        caps_off: "port", "valves": caps that are off.
        rig: the vacuum pump, None when none is connected.
        tare: how the scale was set to zero: "", "hose_filled", "hose_empty".
        was_opened: whether it has been open in this visit.
        over_k: how much warmer the gas is than its pipes after a fast filling [K].
        held_pa: highest test pressure that was held for a while [Pa gauge].
        set_pa: test pressure now set [Pa gauge]; 0 for none.
        set_at_s: clock when it was set [s].
        valve_ice: how far ice closes the expansion valve [0..1].
        cylinder: recovery cylinder last used; "" for none.
        sealant: whether a sealant was put in.
        shifted: whether a blend was charged as vapour.
    """

    gases: Gases = field(default_factory=_no_gases)
    ledger: Ledger = Ledger()
    leaks: tuple[Leak, ...] = ()
    care: frozenset[str] = frozenset()
    gauge_set: str = ""
    valves_shut: frozenset[str] = frozenset()
    caps_off: frozenset[str] = frozenset()
    rig: Rig | None = None
    tare: str = ""
    was_opened: bool = False
    over_k: float = 0.0
    held_pa: float = 0.0
    set_pa: float = 0.0
    set_at_s: float = 0.0
    valve_ice: float = 0.0
    cylinder: str = ""
    sealant: bool = False
    shifted: bool = False

    @property
    def charge_kg(self) -> float:
        """Refrigerant in the machine [kg]."""
        return self.gases.refrigerant_kg


def first_work(
    order: WorkOrder, spec: Spec, condition: Condition, around: Surroundings
) -> CircuitWork:
    """Return the circuit as found.

    Args:
        order: the work order; its facts or its faults say where it leaks.
        spec: the machine.
        condition: its condition as found.
        around: air at both units.
    """
    from kit.physics.evacuation import Gases as Made

    charge = condition.charge_fraction * spec.charge_kg
    gases = Made(
        air_kg=condition.noncondensable_kg,
        refrigerant_kg=charge,
        water_kg=USUAL_WATER * spec.oil_kg + order.circuit.moisture_kg,
        wet_k=soaked_k(spec, around),
    )
    if is_empty(spec, charge):  # its leak has let air in until it was level
        gases = replace(gases, air_kg=_air_to_level(gases, spec, around))
    return CircuitWork(gases, Ledger(found_kg=charge), leaks=_leaks(order))


def _leaks(order: WorkOrder) -> tuple[Leak, ...]:
    usual = [USUAL_BORES_UM[f.name] for f in order.faults if f.name in USUAL_BORES_UM]
    bore_um = order.circuit.leak_um or max(usual, default=0.0)
    if bore_um <= 0.0:
        return ()
    return (Leak(order.circuit.leak_at or USUAL_PLACE, bore_um * 1e-6),)


def _air_to_level(gases: Gases, spec: Spec, around: Surroundings) -> float:
    from kit.physics import evacuation

    v = vessel(spec, around, gases)
    missing = v.p_atm_pa - evacuation.pressure_pa(replace(gases, air_kg=0.0), v)
    return max(missing, 0.0) * v.volume_m3 / (evacuation.R_AIR * v.t_k)


def is_empty(spec: Spec, charge_kg: float) -> bool:
    """Return whether the machine holds so little that only gas is in it.

    Args:
        spec: the machine.
        charge_kg: refrigerant in it [kg].
    """
    return charge_kg < EMPTY_SHARE * spec.charge_kg


def soaked_k(spec: Spec, around: Surroundings) -> float:
    """Return the temperature of gas at one pressure that lies partly indoors, partly outdoors [K].

    Args:
        spec: the machine.
        around: air at both units.

    Source: volumes over temperatures add for an ideal gas at one pressure.
    """
    from kit.machine.state import circuit_volume_m3

    whole = circuit_volume_m3(spec)
    inside = spec.indoor.volume_m3
    return whole / (inside / around.room_db_k + (whole - inside) / around.outdoor_db_k)


def vessel(
    spec: Spec,
    around: Surroundings,
    gases: Gases,
    leaks: tuple[Leak, ...] = (),
    over_k: float = 0.0,
) -> Vessel:
    """Return the circuit as a vessel of gas.

    Args:
        spec: the machine.
        around: air at both units.
        gases: what is in it.
        leaks: its holes.
        over_k: how much warmer the gas is than its pipes [K].
    """
    from kit.machine.state import circuit_volume_m3
    from kit.physics import air, charge, refrigerant
    from kit.physics.evacuation import Vessel as Made

    p_atm = float(air.pressure_pa(around.altitude_m))
    held = gases.refrigerant_kg
    return Made(
        volume_m3=circuit_volume_m3(spec),
        t_k=soaked_k(spec, around) + over_k,
        oil_kg=spec.oil_kg,
        free_share=float(charge.free_kg(held, spec.oil_kg)) / held if held > 0.0 else 1.0,
        molar_mass_kg_mol=float(refrigerant.load(spec.refrigerant).molar_mass_kg_mol),
        bore_m=tuple(leak.bore_m for leak in leaks),
        p_atm_pa=p_atm,
        outdoor_w=float(air.humidity_ratio(around.outdoor_db_k, around.outdoor_rh, p_atm)),
    )


def vessel_of(state: State) -> Vessel:
    """Return the circuit of a visit as a vessel of gas, with its holes."""
    work = state.work
    return vessel(state.spec, state.around, work.gases, work.leaks, work.over_k)


def gas_only(state: State) -> bool:
    """Return whether the circuit holds thin gas only, so that its own pressure counts."""
    work = state.work
    if is_empty(state.spec, work.charge_kg) or work.gases.nitrogen_kg > 1e-3:
        return True
    return work.charge_kg < THIN_FACTOR * _at_the_airs_pressure_kg(state)


def _at_the_airs_pressure_kg(state: State) -> float:
    """Return the refrigerant that a circuit recovered to 0 gauge still holds [kg]."""
    from kit.physics.leak import GAS_CONSTANT

    v = vessel_of(state)
    per_kg = v.free_share * GAS_CONSTANT / v.molar_mass_kg_mol * v.t_k / v.volume_m3
    return v.p_atm_pa / per_kg


def port_pa(state: State) -> float:
    """Return the pressure at the service port of the large line [Pa absolute].

    In cooling it is suction, in heating discharge; standing it is the same everywhere.

    Args:
        state: the visit, solved up to its clock.
    """
    from kit.physics import evacuation

    if gas_only(state) and not state.truth.running:
        return evacuation.pressure_pa(state.work.gases, vessel_of(state))
    high = state.asked.mode == "heating"
    return float(state.truth.discharge_pa if high else state.truth.suction_pa)


def gauge_pa(state: State) -> float:
    """Return the same above the air around [Pa gauge]."""
    from kit.physics import air

    return port_pa(state) - float(air.pressure_pa(state.around.altitude_m))


def pressure_at_pa(state: State, place: str) -> float:
    """Return the pressure inside at a place where it could leak [Pa absolute].

    Args:
        state: the visit, solved up to its clock.
        place: a key of `LEAK_PLACES`.
    """
    if not state.truth.running or gas_only(state):
        return port_pa(state)
    heating = state.asked.mode == "heating"
    high = {"gas": heating, "small": heating, "outdoor_coil": not heating}
    side = high[LEAK_PLACES[place].side]
    return float(state.truth.discharge_pa if side else state.truth.suction_pa)


def knobs(work: CircuitWork, spec: Spec, condition: Condition) -> dict[str, Any]:
    """Return the knobs of the machine that follow from what is in the circuit.

    Args:
        work: the circuit.
        spec: the machine.
        condition: its condition; a knob that has hardly moved is left out.
    """
    from kit.physics.evacuation import R_AIR, R_NITROGEN

    turned: dict[str, Any] = {}
    fraction = work.charge_kg / spec.charge_kg
    if abs(fraction - condition.charge_fraction) >= FRACTION_STEP:
        turned["charge_fraction"] = round(fraction, 4)
    foreign = work.gases.air_kg + work.gases.nitrogen_kg * R_NITROGEN / R_AIR
    if is_empty(spec, work.charge_kg):
        foreign = 0.0  # nothing condenses there; its pressure is worked out from the gases
    # Under test gas the machine holds more than it may ever run with; a start is held back then.
    foreign = min(foreign, KNOB_RANGES["noncondensable_kg"][1])
    if abs(foreign - condition.noncondensable_kg) >= AIR_STEP_KG:
        turned["noncondensable_kg"] = round(foreign, 6)
    return turned


def with_work(state: State, work: CircuitWork, **changes: Any) -> State:
    """Return the state with another circuit, its knobs turned to match.

    Args:
        state: the visit, solved up to its clock.
        work: the circuit.
        changes: fields of it to change as well.
    """
    work = replace(work, **changes)
    turned = knobs(work, state.spec, state.condition)
    condition = replace(state.condition, **turned) if turned else state.condition
    return replace(state, work=work, condition=condition)


def iced(condition: Condition, work: CircuitWork) -> Condition:
    """Return the condition with the restriction that ice in the valve is now.

    Args:
        condition: the machine without it.
        work: the circuit.
    """
    if work.valve_ice <= 0.0:
        return condition
    ice = round(work.valve_ice / ICE_STEP) * ICE_STEP  # in steps: each is a new state to solve
    open_share = (1.0 - condition.liquid_restriction) * (1.0 - ICE_CLOSES * ice)
    return replace(condition, liquid_restriction=1.0 - open_share)
