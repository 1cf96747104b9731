"""Apprentices who know the job, from hasty to expert: one way of working, with gaps."""

from __future__ import annotations

from dataclasses import dataclass

from tests.apprentices import circuit, judge
from tests.apprentices.hands import Hands, figures, words

ENDS_K = {"cooling": 289.15, "heating": 305.15}  # the ends of the remote's range
PROOF = ("line_1_line_2", "line_1_earth", "line_2_earth", "dc_bus")
COVERS = ("drop_cloth", "wash_bag", "indoor_electrics", "outdoor_electrics")
ALL_EXPLAINED = ("what_was_done", "before_after", "filter_care", "recommendations", "defects",
                 "next_visit")  # fmt: skip
SAFE_V = 50.0
WINDINGS = ("winding_uv", "winding_vw", "winding_wu")


@dataclass(frozen=True)
class Habits:
    """What an apprentice does, and leaves out.

    Args:
        topics: what the customer is asked.
        paper: what is done before anything is touched.
        looks: looks from outside before and during the run.
        run_min: how long it runs before a reading [min].
        patient: whether figures are watched until they stand still.
        humidity: instrument for the room's humidity; "" for none.
        humidity_left: whether it is used at the recheck as well.
        card: where the target comes from: "card", "handbook", or "" for nowhere.
        intake: where the outdoor air is read; "" for nowhere.
        current: when the current is read.
        wear: what is worn for the tests, and for the wash.
        tag: whether a tag is hung.
        try_start: whether a start is tried.
        bus_min: how long the bus is waited for at first [min].
        covers: what is covered for the wash.
        sheet: lines as found that are filled in by looks.
        dead_looks: looks with the unit dead.
        meter: tests of windings and sensors, when something speaks for them.
        outdoor_method: how the outdoor coil is washed.
        wheel_method: how the wheel is cleaned.
        drain: whether the drain is cleared.
        pour: whether water is poured.
        left_words: whether what was done is written down as left.
        count: whether screws and tools are counted.
        rule_out: whether look-alikes are named.
        repairs: whether what can be mended in the visit is mended.
        gauges: whether work on the circuit is done, with somebody certified standing by.
        second_gate: whether a decision follows the recheck.
        first: whether one recommendation is named as the most important.
        explain: what is explained at the hand-over.
    """

    topics: tuple[str, ...]
    paper: tuple[str, ...]
    looks: tuple[str, ...]
    run_min: float
    patient: bool
    humidity: str
    humidity_left: bool
    card: str
    intake: str
    current: tuple[str, ...]
    wear: tuple[tuple[str, ...], tuple[str, ...]]
    tag: bool
    try_start: bool
    bus_min: float
    covers: tuple[str, ...]
    sheet: tuple[str, ...]
    dead_looks: tuple[str, ...]
    meter: tuple[str, ...]
    outdoor_method: str
    wheel_method: str
    drain: bool
    pour: bool
    left_words: bool
    count: bool
    rule_out: bool
    repairs: bool
    gauges: bool
    second_gate: bool
    first: bool
    explain: tuple[str, ...]


EXPERT = Habits(
    topics=("what", "since", "codes", "drip", "noise", "smell", "habits", "power", "last",
            "people"),
    paper=("read_work_order", "hazard_walk", "agree_scope"),
    looks=("wall", "clearance", "pipework", "outdoor_coil", "drain_end", "hose"),
    run_min=12, patient=True,
    humidity="psychrometer", humidity_left=True, card="card", intake="outdoor_intake",
    current=("as_found", "as_left"),
    wear=(("glasses", "insulating_gloves", "shoes"), ("goggles", "cut_gloves", "mask")),
    tag=True, try_start=True, bus_min=8, covers=COVERS,
    sheet=("filter", "indoor_coil", "wheel"),
    dead_looks=("pan", "indoor_terminals", "room_sensor", "coil_sensor", "outdoor_terminals",
                "outdoor_wires", "outdoor_board"),
    meter=("windings", "insulation", "sensors", "by_hand"),
    outdoor_method="outwards", wheel_method="brush_and_rinse", drain=True, pour=True,
    left_words=True, count=True, rule_out=True, repairs=True, gauges=True, second_gate=True,
    first=True, explain=ALL_EXPLAINED,
)  # fmt: skip

# Safe and orderly, slow; reads the outdoor air in the sun, forgets the humidity at the recheck, is
# shy of the meter and of naming look-alikes, leaves the wheel to a spray.
CAREFUL = Habits(
    topics=("what", "since", "codes", "drip", "last"),
    paper=("read_work_order", "hazard_walk"),
    looks=("wall", "outdoor_coil", "drain_end"),
    run_min=15, patient=True,
    humidity="hygrometer", humidity_left=False, card="card", intake="outdoor_sun",
    current=("as_found",),
    wear=(("glasses", "insulating_gloves"), ("goggles", "cut_gloves", "mask")),
    tag=True, try_start=True, bus_min=10, covers=COVERS,
    sheet=("filter", "indoor_coil", "wheel"),
    dead_looks=("indoor_terminals", "room_sensor", "outdoor_wires", "outdoor_board"),
    meter=("windings", "by_hand"),
    outdoor_method="outwards", wheel_method="spray", drain=True, pour=True,
    left_words=False, count=True, rule_out=False, repairs=True, gauges=False, second_gate=True,
    first=False, explain=("what_was_done", "before_after", "filter_care"),
)  # fmt: skip

# Knows the order of the work and hurries through it: three minutes of running, no humidity, no
# tag, no pour test, and the wash before the thinking.
HASTY = Habits(
    topics=("what", "codes"),
    paper=("read_work_order",),
    looks=("outdoor_coil",),
    run_min=3, patient=False,
    humidity="", humidity_left=False, card="", intake="",
    current=(),
    wear=(("glasses", "insulating_gloves"), ("goggles", "cut_gloves")),
    tag=False, try_start=False, bus_min=5, covers=("indoor_electrics", "outdoor_electrics"),
    sheet=("filter",),
    dead_looks=("outdoor_wires", "outdoor_board"),
    meter=(),
    outdoor_method="inwards", wheel_method="spray", drain=True, pour=False,
    left_words=False, count=False, rule_out=False, repairs=False, gauges=False,
    second_gate=False, first=False, explain=("what_was_done",),
)  # fmt: skip


def work(h: Hands, habits: Habits) -> None:
    """Run a visit from the work order to the hand-over."""
    before(h, habits)
    run(h, habits, "as_found")
    look_inside(h, habits)
    choice, why = judge.gate(h)
    h.do("decide", choice=choice, reasons=why)
    if choice == "gauges_first" and habits.gauges:
        start(h, habits)
        circuit.read_running(h)
        stop(h)
    if habits.patient and "filter" in h.view().open_parts and h.grade("filter") >= 1:
        h.do("wear", items=["mask"])
        clean_filter(h)  # it dries while the rest is done
    make_safe(h, habits)
    open_up(h, habits)
    clean(h, habits)
    mended = repair(h, habits)
    if choice == "gauges_first" and habits.gauges:
        circuit.mend(h)
        mended.add("low-charge")
    close_up(h, habits)
    run(h, habits, "as_left")
    mended |= second_gate(h, habits, mended)
    report(h, habits, mended)


def before(h: Hands, habits: Habits) -> None:
    """Read, walk, ask, look, before anything is touched."""
    for action in habits.paper:
        h.do(action)
    h.ask(*habits.topics)
    plate = h.do("read_nameplate")
    h.breaker_a = figures(plate.lines).get("amps", 0.0)
    h.write("refrigerant", "as_found", words(plate.lines)["name"])
    h.look("display", *habits.looks)


def start(h: Hands, habits: Habits) -> None:
    """Ask for all there is and let it run."""
    h.do("set_demand", mode=h.mode, setpoint_k=ENDS_K[h.mode], fan="auto")
    h.do("place", instrument="air_probe", at="return_grille")
    h.do("wait", minutes=habits.run_min)


def stop(h: Hands) -> None:
    """Switch it off at the remote and let the fan run out."""
    h.do("set_demand", mode="off")
    h.do("wait", minutes=2)


def run(h: Hands, habits: Habits, when: str) -> None:
    """Run it and read the air, as found or as left."""
    h.do("wear", items=list(habits.wear[0]))
    start(h, habits)
    first = when == "as_found"
    if first:
        h.ran_min = habits.run_min
        watch(h, habits)
    if when in habits.current:
        shown = h.read("clamp_meter", "one_conductor", current=when)
        if first and shown:
            h.current_a = shown["current"].value
    if habits.intake:
        h.read("air_probe_b", habits.intake, 150, habits.patient, outdoor_dry_bulb=when)
    if habits.humidity and (first or habits.humidity_left):
        item = "return_wet_bulb" if habits.humidity == "psychrometer" else "return_humidity"
        h.read(habits.humidity, "return_grille", 240, habits.patient, **{item: when})
    hold = (60, 150) if habits.patient else (15, 15)
    h.read("air_probe", "return_grille", hold[0], habits.patient, return_dry_bulb=when)
    h.read("air_probe", "supply", hold[1], habits.patient, supply_dry_bulb=when)
    work_out(h, habits, when)


def watch(h: Hands, habits: Habits) -> None:
    """Look, listen and feel while it runs."""
    if habits.patient:
        h.again("display")
        h.look("outlet", "outdoor_fan", "listen_outdoor")
        lamp = "shown" if judge.codes(h) else "none"
        h.write("codes", "as_found", lamp)
    if "sensors" in habits.meter:
        shown = h.do("inspect", part="board_values")
        room = figures(shown.lines[:1]).get("value")  # the other line is the coil's
        entering = h.value("air_probe", "return_grille", 60)
        h.sensor_off = room is not None and abs(room - entering) > judge.SENSOR_K
        if h.mode == "cooling":
            h.read("pipe_clamp", "gas_line", 120, gas_line="as_found")
            h.read("pipe_clamp_b", "small_line", 120, small_line="as_found")


def work_out(h: Hands, habits: Habits, when: str) -> None:
    """Work out the split and look up its target."""
    entering, leaving = h.sheet["return_dry_bulb", when], h.sheet["supply_dry_bulb", when]
    drop = entering - leaving
    h.enter("split", when, round(-drop if h.mode == "heating" else drop, 2), "own")
    wet = h.sheet.get(("return_wet_bulb", when))
    damp = h.sheet.get(("return_humidity", when))
    if not habits.card or (wet is None and damp is None):
        return
    known = {"return_wb_k": min(wet, entering)} if wet is not None else {"return_rh": damp}
    outdoor = h.sheet.get(("outdoor_dry_bulb", when))
    if outdoor is not None:
        known["outdoor_db_k"] = outdoor
    said = figures(h.do("look_up_target", return_db_k=entering, **known).lines)
    if damp is not None:
        h.humidity = damp
    elif wet is not None and when == "as_found":
        h.humidity = humidity(entering, wet)
    if "card" in said:
        h.enter("target_split", when, round(said["card"], 2), "card")


def humidity(db_k: float, wb_k: float) -> float:
    """Return the relative humidity from dry and wet bulb, as a chart at sea level gives it."""
    from kit.visit.target import humidity_of

    return humidity_of(db_k, min(wb_k, db_k))


def look_inside(h: Hands, habits: Habits) -> None:
    """Stop it and look behind the front panel."""
    stop(h)
    h.do("open_indoor", part="front_panel")
    h.look("filter")
    if "wheel" in habits.sheet:
        h.look("wheel")
    if "indoor_coil" in habits.sheet:
        h.do("open_indoor", part="filter")
        h.look("indoor_coil")
    for part in habits.sheet:
        h.write(part, "as_found", "dirty" if h.grade(part) >= 1 else "clean")


def make_safe(h: Hands, habits: Habits) -> None:
    """Pull, lock, tag, try, wait, and prove it dead."""
    h.do("pull_disconnect")
    h.do("lock")
    if habits.tag:
        h.do("tag")
    if habits.try_start:
        h.do("try_start")
    h.do("wait", minutes=habits.bus_min)
    h.do("open_outdoor", part="terminal_cover")
    for _ in range(4):
        h.do("read", instrument="multimeter", at="known_source")
        shown = [h.value("multimeter", place) for place in PROOF]
        h.do("read", instrument="multimeter", at="known_source")
        if max(shown) < SAFE_V:
            break
        h.do("wait", minutes=4)
    h.write("proved_dead", "as_found", "yes")


def open_up(h: Hands, habits: Habits) -> None:
    """Cover the room, take all off, look at all that can be seen dead, and measure."""
    h.do("wear", items=list(habits.wear[1]))
    h.do("protect", items=list(habits.covers))
    if "filter" not in h.view().open_parts:
        h.do("open_indoor", part="filter")
    h.do("open_indoor", part="indoor_casing")
    h.do("open_outdoor", part="outdoor_panels")
    h.look("indoor_coil", "wheel", *habits.dead_looks)
    if "indoor_terminals" in h.told or "outdoor_board" in h.told:
        parts = ("outdoor_board", "outdoor_wires", "outdoor_terminals", "room_sensor")
        bad = any(h.grade(part) >= judge.DIRTY for part in parts)
        h.write("electrical", "as_found", "defect" if bad else "sound")
    idle = judge.no_split(h) or h.says("outdoor_fan", "stands still", "lazily")
    if "by_hand" in habits.meter:
        if idle:
            try_by_hand(h, "outdoor_fan")
        if h.grade("filter") >= judge.DIRTY or h.grade("wheel") >= judge.DIRTY:
            try_by_hand(h, "wheel")
    if idle and "windings" in habits.meter:
        test_windings(h, "insulation" in habits.meter)
    if "sensors" in habits.meter and (h.sensor_off or h.grade("room_sensor") >= judge.DIRTY):
        test_sensors(h)


def try_by_hand(h: Hands, part: str) -> None:
    """Turn something by hand and remember how it felt."""
    h.told[f"by_hand:{part}"] = h.do("try_by_hand", part=part).text


def test_windings(h: Hands, insulation: bool) -> None:
    """Measure the three pairs, and to earth, with the leads off the board."""
    h.do("unplug", what="compressor_leads")
    leads = h.value("multimeter", "leads_together")
    h.ohms = [h.value("multimeter", place) - leads for place in WINDINGS]
    broken = max(h.ohms) > judge.OPEN_OHM
    h.write("windings", "as_found", "open" if broken else "equal")
    if insulation:
        h.insulation_ohm = h.value("insulation_tester", "windings_to_earth", insulation="as_found")
    h.do("plug_in", what="compressor_leads")


def test_sensors(h: Hands) -> None:
    """Hold the coil sensor against the unit's table at the temperature where it sits."""
    at_k = h.value("pipe_clamp", "pipe_ice_bath", 120)
    table = figures(h.do("look_up_sensor", temperature_k=round(at_k, 2)).lines)["ohm"]
    h.do("pull_sensor", sensor="coil_sensor")
    h.do("unplug", what="coil_sensor")
    shown = h.value("multimeter", "coil_sensor_in_ice", coil_sensor="as_found")
    h.coil_sensor_sound = abs(shown / table - 1.0) < 0.1
    h.do("plug_in", what="coil_sensor")
    h.do("reseat_sensor", sensor="coil_sensor")


def clean_filter(h: Hands) -> None:
    """Wash the filter from its clean side and hang it in the shade."""
    h.do("clean_filter", method="vacuum_and_rinse")
    h.filter_clean = True


def clean(h: Hands, habits: Habits) -> None:
    """Clean what is dirty, the drain after all that runs into it, and pour."""
    if h.grade("filter") >= 1 and not h.filter_clean:
        clean_filter(h)
    washed = False
    if h.grade("indoor_coil", "coil_face") >= 1 or h.grade("indoor_coil", "coil_film") >= 1:
        h.do("wash_indoor_coil", method="along_fins")
        washed = True
    if h.grade("wheel") >= 1:
        h.do("clean_wheel", method=habits.wheel_method)
        washed = True
    if habits.drain and (washed or h.grade("drain_end") >= 1):
        h.do("clear_drain", method="suck")
    if habits.pour:
        said = h.do("pour_test", litres=1.5).text
        slow = "slow" if "thin string" in said else "free"
        h.write("pour_test", "as_left", "backs_up" if "climbs" in said else slow)
    if h.grade("outdoor_coil", "outdoor_coil") >= 1:
        h.do("wash_outdoor_coil", method=habits.outdoor_method)
        if habits.left_words:
            h.write("outdoor_coil", "as_left", "washed")
    if habits.left_words:
        for part in ("filter", "indoor_coil", "wheel"):
            if h.grade(part) >= 1:
                h.write(part, "as_left", "washed")


def repair(h: Hands, habits: Habits) -> set[str]:
    """Mend what can be mended in this visit, order what cannot, and say what was mended."""
    found = judge.causes(h)
    mended = set()
    if not habits.repairs:
        return mended
    if "displaced-room-sensor" in found:
        h.do("reseat_sensor", sensor="room_sensor")
        mended.add("displaced-room-sensor")
    if "chewed-communication-wire" in found:
        h.do("change_part", part="signal_cable")
        mended.add("chewed-communication-wire")
    if "uphill-drain" in found:
        h.do("relay_hose")
        mended.add("uphill-drain")
    orders = {"failed-outdoor-fan": "outdoor_fan_motor", "dead-inverter-board": "inverter_board",
              "open-winding": "compressor", "earthed-winding": "compressor"}  # fmt: skip
    for one in found:
        if one in orders:
            h.do("order_part", part=orders[one])
    return mended


def close_up(h: Hands, habits: Habits) -> None:
    """Put all back, count, take the lock off and give it power."""
    for part in ("outdoor_panels", "terminal_cover", "indoor_casing", "filter", "front_panel"):
        if part not in h.view().open_parts:
            continue
        while part == "filter" and habits.patient and "dripping wet" in h.again("filter"):
            h.do("wait", minutes=10)
        h.do("refit", part=part)
    if h.view().protected:
        h.do("unprotect", items=list(h.view().protected))
    if habits.count:
        h.do("check_reassembly")
    h.do("remove_lock")
    h.do("restore_power")


def second_gate(h: Hands, habits: Habits, mended: set[str]) -> set[str]:
    """Decide again by the readings as left; go on to the circuit where they ask for it."""
    if not habits.second_gate:
        return set()
    left = [one for one in judge.causes(h) if one in judge.HAND_ON and one not in mended]
    choice, why = judge.last(h, bool(set(left) - {"low-charge"}))
    if choice == "gauges_now" and mended:
        choice = "other_cause"
    h.do("decide", choice=choice, reasons=why)
    if choice != "gauges_now" or not habits.gauges:
        return set()
    circuit.read_running(h)
    stop(h)
    make_safe(h, habits)
    circuit.mend(h)
    close_up(h, habits)
    run(h, habits, "as_left")
    choice, why = judge.last(h, left=False)
    h.do("decide", choice=choice, reasons=why)
    return {"low-charge"}


def report(h: Hands, habits: Habits, mended: set[str]) -> None:
    """Conclude and hand over."""
    found = judge.causes(h) or judge.why_sound(h)
    recommended = judge.recommendations(h, found, mended)
    more = {"first": recommended[0]} if habits.first else {}
    if habits.rule_out:
        more["ruled_out"] = judge.ruled_out(h, found)
    h.do("conclude", findings=found, recommendations=recommended, **more)
    h.do("hand_over", explain=list(habits.explain))
