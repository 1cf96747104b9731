"""The solved machines beside published measurements: what each band is, and what the engine gives.

A `Band` is one published figure with the room that its source (or the spread between two sources)
leaves. Machines run at a forced speed here, as the sources' machines are of fixed speed; where a
protection of ours holds the speed back the figure is not comparable and is left out. No parameter
was set from these figures, but for the places of the compressor's best speed and pressure ratio and
its fall of volumetric efficiency: `compressor_shape` guards those and does not prove them.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from kit.machine import Command, Condition, Surroundings, load_spec, settle_many
from kit.physics import air, correlations, refrigerant, textbook

K = 273.15
TN1848 = "NIST TN 1848 (coefficients: NREL/OpenStudio-HPXML 003e67ff)"
CUTLER = "NREL/TP-5500-56354 (coefficients: NREL/OpenStudio-HPXML 003e67ff)"
CHEUNG = "NREL/SR-5500-65030 (coefficients: OpenStudio-fault-measure-gem f4d92fc7)"
TITLE24 = "California Title 24 ACM regression (bigladder/resdx c671051c)"
NISTIR = "NISTIR 7350 appendix D (copy at Adnandbss/heat-pump-fdd f7afa811)"
DROPIN = "Xu, Hwang, Radermacher, Int. J. Refrig. (quoted at th4.ilovetranslation.com)"
ROTARY = "Engelpracht's rotary regression (RWTH-EBC/vclibpy 606de54d)"
CERTIFIED = "Statistics of certified variable-speed machines (bigladder/resdx c671051c)"


@dataclass(frozen=True, slots=True)
class Band:
    """One comparison: the engine's value must lie from low to high."""

    id: str
    value: float
    low: float
    high: float
    source: str
    why: str

    def miss(self) -> float:
        """Return how far outside the band the value lies; 0 inside."""
        return max(self.low - self.value, self.value - self.high, 0.0)


def _f(t_f):
    return (t_f - 32.0) / 1.8 + K


def _wet(db_k, wb_k):
    """Return relative humidity from dry and wet bulb at sea level."""
    w = air.humidity_ratio_from_wet_bulb(db_k, wb_k, air.STANDARD_PRESSURE_PA)
    return float(air.relative_humidity(db_k, w, air.STANDARD_PRESSURE_PA))


def _dew(db_k, dew_k):
    """Return relative humidity from dry bulb and dew point."""
    return float(air.saturation_pressure_pa(dew_k) / air.saturation_pressure_pa(db_k))


def _indoors(db_f, wb_f, outdoor_f):
    return Surroundings(_f(db_f), _wet(_f(db_f), _f(wb_f)), _f(outdoor_f), 0.4)


# AHRI 210/240 rating conditions: A in cooling, H1 in heating.
COOL = _indoors(80.0, 67.0, 95.0)
HEAT = Surroundings(_f(70.0), 0.5, _f(47.0), 0.73)


def _cooling(spec, conditions, arounds=COOL, speed=None):
    return _run(spec, "cooling", conditions, arounds, speed or spec.speed_cooling_rps)


def _heating(spec, conditions, arounds=HEAT, speed=None):
    return _run(spec, "heating", conditions, arounds, speed or spec.speed_heating_rps)


def _run(spec, mode, conditions, arounds, speed):
    n = len(conditions)
    arounds = arounds if isinstance(arounds, list) else [arounds] * n
    setpoint = 289.15 if mode == "cooling" else 305.15
    command = Command(mode, setpoint, "high", compressor_rps=speed)
    return settle_many(spec, conditions, arounds, [command] * n)


def charge(spec) -> Iterator[Band]:
    """Give capacity against charge, and the two ends of the valve's work."""
    steps = (-0.3, -0.2, -0.1, 0.1, 0.2, 0.3)
    t = _cooling(spec, [Condition(), *(Condition(charge_fraction=1.0 + s) for s in steps)])
    q = t.capacity_w / t.capacity_w[0]
    cop = q / (t.power_w / t.power_w[0])
    for i, step in enumerate(steps, 1):
        if t.limits[i]:
            continue
        published = correlations.charge_ratio("cooling", "capacity", step, COOL.room_db_k, _f(95.0))
        if step < 0.0:
            yield Band(
                f"charge{step:+}-cooling-capacity",
                q[i],
                published - 0.08,
                published + 0.08,
                TN1848,
                "an electronic valve against the thermostatic ones measured: 0.08",
            )
            yield Band(
                f"charge{step:+}-cooling-no-gain",
                q[i],
                0.5,
                1.0,
                TN1848,
                "never better than the correct charge",
            )
        else:
            yield Band(
                f"charge{step:+}-cooling-capacity",
                q[i],
                0.90,
                1.03,
                f"{TN1848}; {CHEUNG}",
                "the two sources differ in sign: their span",
            )
    yield Band(
        "charge-0.3-cop-below-0.2",
        cop[2] - cop[1],
        0.0,
        0.2,
        TN1848,
        "COP falls all the way below -10 % charge",
    )
    yield Band(
        "charge-0.2-cop-below-0.1",
        cop[3] - cop[2],
        0.0,
        0.2,
        TN1848,
        "COP falls all the way below -10 % charge",
    )


def heating_charge(spec) -> Iterator[Band]:
    """Give heating capacity against charge."""
    steps = (-0.3, -0.2, -0.1)
    t = _heating(spec, [Condition(), *(Condition(charge_fraction=1.0 + s) for s in steps)])
    q = t.capacity_w / t.capacity_w[0]
    for i, step in enumerate(steps, 1):
        published = correlations.charge_ratio(
            "heating", "capacity", step, HEAT.room_db_k, HEAT.outdoor_db_k
        )
        yield Band(
            f"charge{step:+}-heating-capacity",
            q[i],
            published - 0.08,
            published + 0.08,
            TN1848,
            "an electronic valve against the thermostatic ones measured: 0.08",
        )


def charge_from_subcooling(spec) -> Iterator[Band]:
    """Give the error of one linear law that finds the charge from subcooling and superheat."""
    share = np.linspace(0.7, 1.3, 13)
    t = _cooling(spec, [Condition(charge_fraction=float(x)) for x in share])
    known = np.array([not limits for limits in t.limits])
    y = (share - 1.0)[known]
    columns = np.stack([t.subcooling_k - t.subcooling_k[6], t.superheat_k - t.superheat_k[6]], 1)
    law, *_ = np.linalg.lstsq(columns[known], y, rcond=None)
    yield Band(
        "virtual-charge-error",
        float(np.max(np.abs(columns[known] @ law - y))),
        0.0,
        0.10,
        "Li and Braun's virtual charge law, validated within 10 % (paperexplained.cn 94056e3e)",
        "one linear law recovers 70 to 130 % charge within 10 %",
    )


def indoor_airflow(spec) -> Iterator[Band]:
    """Give cooling capacity and EIR, and heating air rise, at reduced indoor airflow."""
    shares = (0.8, 0.7, 0.5)
    conditions = [Condition(), *(Condition(indoor_fan_factor=s) for s in shares)]
    t = _cooling(spec, conditions)
    for i in range(1, 4):
        flow = t.airflow_m3_s[i] / t.airflow_m3_s[0]
        q = t.capacity_w[i] / t.capacity_w[0]
        eir = t.power_w[i] / t.power_w[0] / q
        for name, value in (("capacity", q), ("eir", eir)):
            edges = (
                float(correlations.airflow_ratio("cooling", name, flow)),
                float(
                    correlations.fault_ratio(
                        "evaporator_airflow", name, 1.0 - flow, _f(67.0), _f(95.0), 4.0
                    )
                ),
            )
            if not t.limits[i]:
                yield Band(
                    f"airflow{shares[i - 1]}-cooling-{name}",
                    value,
                    min(edges) - 0.02,
                    max(edges) + 0.02,
                    f"{CUTLER}; {CHEUNG}",
                    "between the two regressions, each good to about 2 %",
                )
    t = _heating(spec, conditions)
    for i in range(1, 4):
        flow = t.airflow_m3_s[i] / t.airflow_m3_s[0]
        published = correlations.airflow_ratio("heating", "capacity", flow) / flow
        if not t.limits[i]:
            yield Band(
                f"airflow{shares[i - 1]}-heating-rise",
                t.split_k[i] / t.split_k[0],
                0.92 * published,
                1.08 * published,
                CUTLER,
                "8 %: another machine, all sensible",
            )


def outdoor_airflow(spec) -> Iterator[Band]:
    """Give capacity and EIR with the outdoor coil's face closed step by step."""
    closed = (0.5, 0.6, 0.7, 0.8)
    t = _cooling(spec, [Condition(), *(Condition(outdoor_coil_blockage=x) for x in closed)])
    for i in range(1, 5):
        if t.limits[i]:
            continue
        cut = 1.0 - t.outdoor_airflow_m3_s[i] / t.outdoor_airflow_m3_s[0]
        if cut > 0.52:
            continue  # beyond the regression's range
        q = t.capacity_w[i] / t.capacity_w[0]
        rise = t.power_w[i] / t.power_w[0] / q - 1.0
        case = ("condenser_airflow", cut, _f(67.0), _f(95.0), 4.0)
        published_q = correlations.fault_ratio(case[0], "capacity", *case[1:])
        published_rise = correlations.fault_ratio(case[0], "eir", *case[1:]) - 1.0
        yield Band(
            f"outdoor-airflow-closed{closed[i - 1]}-capacity",
            q,
            published_q - 0.05,
            published_q + 0.05,
            CHEUNG,
            "regression of many machines, its flat start is an artefact: 0.05",
        )
        yield Band(
            f"outdoor-airflow-closed{closed[i - 1]}-eir-rise",
            rise,
            0.5 * published_rise,
            2.0 * published_rise,
            CHEUNG,
            "another machine's fan and coil: within a factor of two",
        )


def noncondensable(spec) -> Iterator[Band]:
    """Give capacity and EIR with air in the circuit, as a share of its fill at one atmosphere."""
    volume = (
        spec.indoor.volume_m3
        + spec.outdoor.volume_m3
        + spec.shell_m3
        + spec.accumulator_m3
        + np.pi / 4.0 * spec.line_m * (spec.liquid_line_inner_m**2 + spec.gas_line_inner_m**2)
    )
    t = _cooling(spec, [Condition(), Condition(noncondensable_kg=0.3 * 1.19 * volume)])
    if t.limits[1]:
        return
    q = t.capacity_w[1] / t.capacity_w[0]
    yield Band(
        "air0.3-capacity",
        q,
        0.93,
        1.03,
        CHEUNG,
        "small rise in the source is within its regression error",
    )
    yield Band(
        "air0.3-eir",
        t.power_w[1] / t.power_w[0] / q,
        1.005,
        1.10,
        CHEUNG,
        "0.5 to 10 %: regression error",
    )


def temperatures(spec) -> Iterator[Band]:
    """Give capacity and EIR by temperature at fixed speed."""
    points = [(67, 95), (67, 82), (67, 105), (67, 115), (62, 95), (72, 95)]
    t = _cooling(spec, [Condition()] * 6, [_indoors(80.0, wb, od) for wb, od in points])
    yield from _curve("cooling", t, [(f"{wb}-{od}", _f(wb), _f(od)) for wb, od in points])
    outdoors = (47, 35, 17, 5)
    t = _heating(
        spec, [Condition()] * 4, [Surroundings(_f(70.0), 0.5, _f(od), 0.73) for od in outdoors]
    )
    yield from _curve("heating", t, [(f"70-{od}", _f(70.0), _f(od)) for od in outdoors])


def _curve(mode, t, points):
    for i, (name, indoor_k, outdoor_k) in enumerate(points[1:], 1):
        if t.limits[i]:
            continue
        q = t.net_capacity_w[i] / t.net_capacity_w[0]
        for quantity, value in (("capacity", q), ("eir", t.power_w[i] / t.power_w[0] / q)):
            published = float(correlations.temperature_ratio(mode, quantity, indoor_k, outdoor_k))
            yield Band(
                f"temperature-{mode}-{name}-{quantity}",
                value,
                published * 0.94,
                published * 1.06,
                CUTLER,
                "6 %: another machine at fixed speed",
            )


def sensible_share(spec) -> Iterator[Band]:
    """Give sensible heat ratio, capacity and split beside the regulatory forms."""
    states = [(80, 67), (75, 62), (75, 63), (80, 63), (72, 60), (78, 65), (70, 58)]
    t = _cooling(spec, [Condition()] * len(states), [_indoors(db, wb, 95.0) for db, wb in states])
    tons = spec.rated_cooling_w / 3516.85
    for i, (db, wb) in enumerate(states):
        per_ton = t.airflow_m3_s[i] / 4.719474e-4 / tons
        if t.limits[i] or not 300.0 <= per_ton <= 450.0:
            continue
        state = (_f(db), _f(wb), _f(95.0), per_ton)
        net_shr = (t.sensible_w[i] - t.indoor_fan_w[i]) / t.net_capacity_w[i]
        published = float(correlations.sensible_heat_ratio(*state))
        yield Band(
            f"shr-{db}-{wb}",
            net_shr,
            published - 0.06,
            published + 0.06,
            TITLE24,
            "0.06: spread between machines at one airflow",
        )
        target = float(textbook.target_split_k(_f(db), _f(wb)))
        yield Band(
            f"target-split-{db}-{wb}",
            t.split_k[i],
            target - 3.0 / 1.8,
            target + 3.0 / 1.8,
            "Title 24 reference appendix RA3.2, target temperature split (from memory)",
            "the method's own pass band, 3 degF, at the airflow it supposes",
        )
    for dew_c, room_c, low, high in ((15.9, 26.7, 0.737, 0.783), (10.25, 21.0, 0.826, 0.875)):
        around = Surroundings(room_c + K, _dew(room_c + K, dew_c + K), 32.0 + K, 0.4)
        t = _cooling(spec, [Condition()], around)
        shr = (t.sensible_w[0] - t.indoor_fan_w[0]) / t.net_capacity_w[0]
        yield Band(
            f"shr-nistir-{room_c}",
            shr,
            low - 0.06,
            high + 0.06,
            NISTIR,
            "span of the measured points, 0.06 for another coil and airflow",
        )


def signs(spec) -> Iterator[Band]:
    """Give the changes on whose direction both measured machines agree."""
    t = _cooling(
        spec,
        [
            Condition(),
            Condition(charge_fraction=0.7),
            Condition(charge_fraction=1.3),
            Condition(outdoor_coil_blockage=0.6),
            Condition(indoor_fan_factor=0.7),
        ],
    )
    source = "NIST 14/16 SEER laboratory data (Adnandbss/heat-pump-fdd 276af29c)"
    why = "direction on which both measured machines agree"
    ratio = t.discharge_pa / t.suction_pa
    cop = t.capacity_w / t.power_w
    up, down = (1e-9, 1e9), (-1e9, -1e-9)
    wanted = (
        ("undercharge", 1, t.superheat_k, up, "superheat"),
        ("undercharge", 1, t.subcooling_k, down, "subcooling"),
        ("undercharge", 1, t.discharge_line_k, up, "discharge"),
        ("undercharge", 1, cop, down, "cop"),
        ("undercharge", 1, t.suction_pa, down, "suction"),
        ("undercharge", 1, t.discharge_pa, down, "head"),
        ("overcharge", 2, t.subcooling_k, up, "subcooling"),
        ("overcharge", 2, t.discharge_line_k, up, "discharge"),
        ("overcharge", 2, cop, down, "cop"),
        ("overcharge", 2, t.power_w, up, "power"),
        ("overcharge", 2, t.discharge_pa, up, "head"),
        ("overcharge", 2, ratio, up, "ratio"),
        ("condenser-blockage", 3, t.discharge_line_k, up, "discharge"),
        ("condenser-blockage", 3, cop, down, "cop"),
        ("condenser-blockage", 3, t.power_w, up, "power"),
        ("condenser-blockage", 3, t.discharge_pa, up, "head"),
        ("condenser-blockage", 3, ratio, up, "ratio"),
        ("low-airflow", 4, t.discharge_pa, down, "head"),
    )
    for fault, i, values, (low, high), name in wanted:
        if not t.limits[i]:
            yield Band(f"sign-{fault}-{name}", values[i] - values[0], low, high, source, why)


def inventory(spec) -> Iterator[Band]:
    """Give charge for each kilowatt, and what five metres of line hold."""
    yield Band(
        "charge-per-kw",
        spec.charge_kg / (spec.rated_cooling_w / 1e3),
        0.6 / 3.5,
        1.2 / 3.5,
        "0.25 kg/kW default (measuringemissionsguide.environment.govt.nz appendix B)",
        "0.6 to 1.2 kg for 3.5 kW: -30 to +40 % of the default",
    )
    longer = replace(
        spec, line_m=spec.line_m + 5.0, factory_charge_kg=spec.charge_kg, extra_charge_kg_m=0.0
    )
    own = _heating(spec, [Condition()])
    share = np.linspace(1.0, 1.3, 61)
    t = _heating(longer, [Condition(charge_fraction=float(x)) for x in share])
    topped_up = float(np.interp(own.subcooling_k[0], t.subcooling_k, share)) - 1.0
    fluid = refrigerant.load(spec.refrigerant)
    lnp = np.log(own.discharge_pa[0])
    gas = fluid.vapour_pt(lnp, own.discharge_line_k[0] - fluid.sat(lnp).t_dew_k).rho
    held = 5.0 * (
        textbook.line_charge_kg_m(
            spec.refrigerant, spec.liquid_line_inner_m, 0.0, own.liquid_line_k[0]
        )
        + gas * np.pi / 4.0 * spec.gas_line_inner_m**2
    )
    yield Band(
        "five-metres-of-line-g",
        1e3 * topped_up * spec.charge_kg,
        0.92e3 * held,
        1.08e3 * held,
        "tube volumes with CoolProp 8 densities (6.35 mm: liquid 15.8 to 17.3 g/m at 40 degC)",
        "8 %: the rest of the circuit shifts a little as the line grows",
    )


def most_and_least(spec) -> Iterator[Band]:
    """Give the spread from least to most speed beside that of certified machines."""
    t = _cooling(
        spec, [Condition()] * 2, [COOL, _indoors(80.0, 67.0, 82.0)], speed=spec.speed_max_rps
    )
    q = t.net_capacity_w[0] / t.net_capacity_w[1]
    why_q, why_e = "0.10 on capacity ratios", "0.15 on EIR ratios"
    yield Band("max-35-over-28-capacity", q, 0.84, 1.04, CERTIFIED, why_q)
    if not t.limits[0]:
        yield Band(
            "max-35-over-28-eir",
            t.power_w[0] / t.power_w[1] / q,
            1.176,
            1.476,
            CERTIFIED,
            why_e,
        )
    yield Band(
        "rated-over-max-capacity",
        spec.rated_cooling_w / t.net_capacity_w[0],
        0.834,
        1.034,
        CERTIFIED,
        why_q,
    )
    least, most = (
        _heating(spec, [Condition()], speed=speed)
        for speed in (spec.speed_min_rps, spec.speed_max_rps)
    )
    q = least.net_capacity_w[0] / most.net_capacity_w[0]
    yield Band("heating-min-over-max-capacity", q, 0.172, 0.372, CERTIFIED, why_q)
    yield Band(
        "heating-min-over-max-eir",
        least.power_w[0] / most.power_w[0] / q,
        0.58,
        0.88,
        CERTIFIED,
        why_e,
    )


def nistir_slopes(spec) -> Iterator[Band]:
    """Give the changes for each 10 K outdoors, R-410A machines, tests 3, 7 and 9."""
    if spec.refrigerant != "R-410A":
        return
    tests = ((26.73, 15.83, 21.09), (26.65, 16.02, 32.19), (26.66, 15.88, 37.76))
    arounds = [Surroundings(db + K, _dew(db + K, dp + K), od + K, 0.4) for db, dp, od in tests]
    t = _cooling(spec, [Condition()] * 3, arounds)
    outdoor = np.array([od for _, _, od in tests])

    def slope(values, relative=False):
        per_10k = 10.0 * float(np.polyfit(outdoor, values, 1)[0])
        return per_10k / values[0] if relative else per_10k

    wanted = (
        ("condensing", slope(t.condensing_k), 9.6),
        ("discharge", slope(t.discharge_line_k), 14.0),
        ("capacity", slope(t.capacity_w, relative=True), -0.096),
        ("power", slope(t.power_w, relative=True), 0.21),
        ("split", slope(t.split_k), -0.7),
        ("subcooling", slope(t.subcooling_k), -0.7),
    )
    for name, value, published in wanted:
        low, high = sorted((0.65 * published, 1.35 * published))
        yield Band(
            f"nistir-slope-{name}", value, low, high, NISTIR, "35 %: another machine of this kind"
        )
    rise = t.outdoor_supply_k - (outdoor + K)
    yield Band(
        "nistir-outdoor-air-rise-constant",
        float(np.ptp(rise) / rise.mean()),
        0.0,
        0.06,
        NISTIR,
        "9.4 to 9.6 K measured, 0.2 in 9.5; three times that allowed",
    )


def refrigerant_swap(spec) -> Iterator[Band]:
    """Give R-32 over R-410A at equal displacement and subcooling, valve widened for its flow."""
    if spec.refrigerant != "R-32":
        return
    own = _cooling(spec, [Condition()])
    valve = 1.4 * spec.valve_m2  # the flow is larger; the valve holds superheat either way
    trial = np.linspace(1.0, 1.5, 26)
    other = replace(
        spec,
        refrigerant="R-410A",
        valve_m2=valve,
        factory_charge_kg=spec.charge_kg,
        extra_charge_kg_m=0.0,
    )
    t = _cooling(other, [Condition(charge_fraction=float(x)) for x in trial])
    at = float(np.interp(own.subcooling_k[0], t.subcooling_k, trial))
    t = _cooling(other, [Condition(charge_fraction=at)])
    if own.limits[0] or t.limits[0]:
        return
    yield Band(
        "r32-over-r410a-capacity",
        own.capacity_w[0] / t.capacity_w[0],
        1.03,
        1.12,
        DROPIN,
        "3 to 10 % measured, 2 % for another machine",
    )
    yield Band(
        "r32-over-r410a-discharge-k",
        own.discharge_line_k[0] - t.discharge_line_k[0],
        10.0,
        22.0,
        "ideal cycles with CoolProp 8: 16 K isentropic, 22 K at 0.7",
        "10 to 22 K",
    )
    yield Band(
        "r32-over-r410a-flow",
        own.refrigerant_kg_s[0] / t.refrigerant_kg_s[0],
        0.68,
        0.76,
        DROPIN,
        "about 28 % less, four points for another machine",
    )


def compressor_shape(spec) -> Iterator[Band]:
    """Give the shape of the compressor's efficiencies by speed and pressure ratio (a guard)."""
    from kit.physics import compressor

    speeds = np.linspace(spec.speed_min_rps, spec.speed_max_rps, 200)
    overall = compressor.overall_efficiency(spec.best_efficiency, speeds, 3.0)
    published = correlations.rotary_efficiency(np.linspace(30.0, 120.0, 200), 3.0, 280.0).overall
    peak = float(np.linspace(30.0, 120.0, 200)[np.argmax(published)])
    yield Band(
        "efficiency-peak-speed",
        float(speeds[np.argmax(overall)]),
        60.0,
        90.0,
        f"{ROTARY}: its own peak at {peak:.0f} 1/s",
        "peaks at 60 to 90 1/s",
    )
    ratios = np.linspace(1.5, 4.5, 301)
    overall = compressor.overall_efficiency(spec.best_efficiency, 60.0, ratios)
    yield Band(
        "efficiency-peak-ratio",
        float(ratios[np.argmax(overall)]),
        2.3,
        2.6,
        NISTIR,
        "measured maximum near 2.4 to 2.5, 0.1 more either way",
    )
    yield Band(
        "efficiency-best",
        float(overall.max()) * spec.inverter_efficiency,
        0.60,
        0.74,
        NISTIR,
        "0.68 to 0.73 measured on a scroll; small rotaries reach 0.60 and more",
    )
    for ratio in (1.93, 3.09):
        value = float(compressor.overall_efficiency(spec.best_efficiency, 60.0, ratio))
        yield Band(
            f"efficiency-falls-at-{ratio}",
            value / float(overall.max()),
            0.683 / 0.733 - 0.06,
            0.9999,
            NISTIR,
            "0.683 at both ends against 0.733 at best, 0.06 for another machine",
        )
    volumetric = compressor.volumetric_efficiency(60.0, np.array([2.0, 3.0]))
    published_fall = np.diff(correlations.rotary_efficiency(60.0, np.array([2.0, 3.0]), 280.0)[0])
    yield Band(
        "volumetric-falls-per-ratio",
        float(volumetric[0] - volumetric[1]),
        float(-published_fall[0]) - 0.01,
        float(-published_fall[0]) + 0.01,
        ROTARY,
        "0.03 for each unit of pressure ratio, 0.01 either way",
    )


COMPARISONS = {
    function.__name__: function
    for function in (
        charge,
        heating_charge,
        charge_from_subcooling,
        indoor_airflow,
        outdoor_airflow,
        noncondensable,
        temperatures,
        sensible_share,
        signs,
        inventory,
        most_and_least,
        nistir_slopes,
        refrigerant_swap,
        compressor_shape,
    )
}


@cache
def bands(machine: str, comparison: str) -> tuple[Band, ...]:
    """Return one comparison of one machine."""
    return tuple(COMPARISONS[comparison](load_spec(machine)))


# What the engine does not reach: the farthest any machine lies outside, and what is known of it.
# A miss that grows, or one that is gone, fails its test.
KNOWN_MISSES = {
    "charge-0.2-heating-capacity": (0.002, "see charge-0.3-heating-capacity"),
    "charge-0.3-heating-capacity": (
        0.102,
        "not explained; supposed: valve and accumulator hide a shortage better than theirs",
    ),
    "nistir-slope-power": (0.004, "0.285 for each 10 K against 0.21 + 35 %"),
    "nistir-slope-subcooling": (0.08, "-1.01 K for each 10 K against -0.7 K - 35 %"),
    "outdoor-airflow-closed0.7-capacity": (0.003, "0.941 against 0.993 - 0.05"),
    "rated-over-max-capacity": (
        0.125,
        "the machines' top speed lies farther above the rated one than certified machines' does",
    ),
    "shr-80-63": (0.02, "nearly dry coil: drier than the regression by 0.06 to 0.08"),
    "target-split-80-63": (
        0.45,
        "K; nearly dry coil, and a ductless fan heats the supply by 1 degF less than a duct's",
    ),
    "target-split-80-67": (0.03, "K; see target-split-80-63"),
    "temperature-heating-70-17-capacity": (
        0.006,
        "capacity and EIR change less in the cold than the curve; not explained",
    ),
    "temperature-heating-70-17-eir": (
        0.013,
        "capacity and EIR change less in the cold than the curve; not explained",
    ),
    "temperature-heating-70-5-capacity": (
        0.019,
        "capacity and EIR change less in the cold than the curve; not explained",
    ),
    "temperature-heating-70-5-eir": (
        0.061,
        "capacity and EIR change less in the cold than the curve; not explained",
    ),
}
