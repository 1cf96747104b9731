"""The generic rubric: a decision is judged by what had been measured, and sound is an answer."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.marking import Mark, mark
from kit.marking.criterion import judged
from kit.marking.evidence import Case
from kit.visit.target import card_split_k, humidity_of
from tests.marking.jobs import FULL_K, Job

TESTS = ("known_source", "line_1_line_2", "line_1_earth", "line_2_earth", "dc_bus", "known_source")
COVERS = ["drop_cloth", "wash_bag", "indoor_electrics", "outdoor_electrics"]
EXPLAIN = ["what_was_done", "before_after", "filter_care", "recommendations"]
TOPICS = ("what", "since", "codes", "drip", "last", "habits", "people")


def told(job: Job) -> None:
    """Read the paper, look round, ask, agree."""
    for action in ("read_work_order", "hazard_walk", "agree_scope", "read_nameplate"):
        job.do(action)
    for topic in TOPICS:
        job.do("ask", topic=topic)
    plate = job.visit._state.spec.refrigerant
    job.do("record", item="refrigerant", when="as_found", words=plate)


def measured(job: Job, when: str = "as_found", minutes: float = 12.0) -> None:
    """Run, read and write down all that a split is judged by."""
    job.do("wear", items=["glasses", "insulating_gloves"])
    job.run(minutes)
    job.read("clamp_meter", "one_conductor", current=when)
    job.read("air_probe_b", "outdoor_intake", 150, outdoor_dry_bulb=when)
    job.read("psychrometer", "return_grille", 240, return_wet_bulb=when)
    job.read("air_probe", "return_grille", 120, return_dry_bulb=when)
    job.read("air_probe", "supply", 150, supply_dry_bulb=when)
    sheet = {e.item: e.value for e in job.visit.view().sheet if e.when == when}
    db, order = sheet["return_dry_bulb"], job.visit.order
    height = order.surroundings.altitude_m
    split = round(abs(db - sheet["supply_dry_bulb"]), 2)
    rh = humidity_of(db, min(sheet["return_wet_bulb"], db), height)
    target = card_split_k(order.machine, job.mode, db, rh, sheet["outdoor_dry_bulb"], height)
    job.do("enter", item="split", when=when, value=split)
    job.do("enter", item="target_split", when=when, value=round(target, 2))


def looked(job: Job) -> None:
    """Look at everything, dead and dressed, and write it down."""
    for part in ("clearance", "outdoor_coil", "outdoor_fan", "pipework"):
        job.do("inspect", part=part)
    job.do("set_demand", mode="off")
    job.do("wait", minutes=3)
    job.do("open_indoor", part="front_panel")
    for part in ("filter", "wheel"):
        _written(job, part)


def isolated(job: Job) -> None:
    """Make it safe, open it and look inside."""
    for action in ("pull_disconnect", "lock", "tag", "try_start"):
        job.do(action)
    job.do("wait", minutes=10)
    job.do("open_outdoor", part="terminal_cover")
    for at in TESTS:
        job.do("read", instrument="multimeter", at=at)
    job.do("wear", items=["goggles", "cut_gloves", "mask"])
    job.do("protect", items=COVERS)
    for part in ("filter", "indoor_casing"):
        job.do("open_indoor", part=part)
    job.do("open_outdoor", part="outdoor_panels")
    for part in ("indoor_terminals", "outdoor_board", "outdoor_wires", "room_sensor"):
        job.do("inspect", part=part)
    _written(job, "indoor_coil")
    job.do("record", item="electrical", when="as_found", words="sound")
    job.do("pour_test")
    job.do("record", item="pour_test", when="as_left", words="free")


def closed(job: Job) -> None:
    """Put all back and give it power."""
    for part in ("outdoor_panels", "terminal_cover", "indoor_casing", "filter", "front_panel"):
        job.do("refit", part=part)
    job.do("unprotect", items=COVERS)
    for action in ("check_reassembly", "remove_lock", "restore_power"):
        job.do(action)


def concluded(job: Job, findings: list[str], **how) -> None:
    """Write the end of the report and hand over."""
    job.do("conclude", findings=findings, **how)
    job.do("hand_over", explain=EXPLAIN)


def _written(job: Job, part: str) -> None:
    look = job.do("inspect", part=part)
    dirty = max(picture.grade for picture in look.pictures) >= 1
    job.do("record", item=part, when="as_found", words="dirty" if dirty else "clean")


def sound_visit(path: Path, order: str, finding: str, first: str) -> Mark:
    """Do a whole visit at a sound unit, and leave its refrigerant alone."""
    job = Job(order, path)
    told(job)
    measured(job)
    looked(job)
    on_target = ["split_on_target", "humidity_counted", "demand_full", "no_codes"]
    job.do("decide", choice="no_further", reasons=on_target)
    isolated(job)
    closed(job)
    measured(job, "as_left")
    job.do("decide", choice="no_further", reasons=on_target)
    concluded(
        job,
        [finding],
        recommendations=list({"leave_refrigerant": 0, "wash_filter": 0, first: 0}),
        ruled_out=["low-charge", "film-on-indoor-coil"],
        first=first,
    )
    job.done()
    return mark(path)


@pytest.mark.parametrize(
    ("order", "finding", "first"),
    [
        ("humid-room-01", "humid-room", "drier_room"),
        ("little-demand-01", "too-little-demand", "set_remote"),
        ("heating-sound-01", "nothing-wrong", "leave_refrigerant"),
    ],
)
def test_nothing_is_wrong_is_a_full_mark_answer(tmp_path, order, finding, first) -> None:
    """Where it is true: the refrigerant is left alone, the customer is told why."""
    found = sound_visit(tmp_path / "sound.jsonl", order, finding, first)

    assert [] == [row.name for row in found.rows if row.points < row.out_of], found.text
    assert found.points == found.out_of
    assert found.passed


@pytest.mark.parametrize("order", ["dirty-coil-01", "low-charge-01"])
def test_where_something_is_wrong_it_is_none(tmp_path, order) -> None:
    """Saying that all is well costs the findings, and what hangs on them."""
    job = Job(order, tmp_path / "job.jsonl")
    job.do("conclude", findings=["nothing-wrong"], recommendations=["leave_refrigerant"])
    case = Case(job.done())

    assert 0.0 == judged("causes_found", case, {}).share


@pytest.fixture(scope="module")
def baseline(tmp_path_factory):
    """Return a function: the case of a visit that measures, decides, and leaves."""
    made: dict[tuple, Case] = {}

    def case_of(order: str, choice: str, reasons=(), before=None) -> Case:
        key = (order, choice, tuple(reasons), before)
        if key not in made:
            job = Job(order, tmp_path_factory.mktemp("gate") / "job.jsonl")
            job.do("ask", topic="codes")
            if before is not None:
                before(job)
            else:
                measured(job)
            job.do("decide", choice=choice, reasons=list(reasons))
            made[key] = Case(job.done())
        return made[key]

    return case_of


@pytest.mark.parametrize(
    ("order", "right", "wrong"),
    [
        # A low split on a unit whose air side nobody has looked at: clean first.
        ("dirty-coil-01", "clean_first", "gauges_first"),
        ("low-charge-01", "clean_first", "gauges_first"),
        # On target: the circuit is left alone.
        ("humid-room-01", "no_further", "gauges_first"),
        ("humid-room-01", "clean_first", "gauges_now"),
        # Near zero: gauges before cleaning, or another cause; never a wash.
        ("failed-compressor-01", "other_cause", "clean_first"),
        ("failed-compressor-01", "gauges_first", "no_further"),
        # Above target in heating: too little air until proved otherwise.
        ("heating-check-01", "clean_first", "gauges_first"),
    ],
)
def test_the_gate_follows_from_what_was_measured(baseline, order, right, wrong) -> None:
    """The same readings carry one decision and not the other."""
    assert 1.0 == judged("gate_decision", baseline(order, right), {}).share
    assert 0.0 == judged("gate_decision", baseline(order, wrong), {}).share


def test_without_readings_no_decision_is_right(baseline) -> None:
    """A guess that happens to be right is a guess."""
    case = baseline("dirty-coil-01", "clean_first", before=lambda job: job.do("hazard_walk"))

    assert 0.0 == judged("gate_decision", case, {}).share


def hasty(job: Job) -> None:
    """Read as soon as air comes out."""
    job.run(1)
    job.read("air_probe", "return_grille", 30, return_dry_bulb="as_found")
    job.read("air_probe", "supply", 30, supply_dry_bulb="as_found")


def test_after_two_minutes_there_is_only_measuring_again(baseline) -> None:
    """A short run carries no verdict on the machine."""
    early = baseline("humid-room-01", "no_further", before=hasty)
    patient = baseline("humid-room-01", "other_cause", ["demand_small"], before=hasty)

    assert 0.0 == judged("gate_decision", early, {}).share
    assert 0.0 < judged("gate_decision", patient, {}).share


def poorly(job: Job) -> None:
    """Measure at the wrong places."""
    job.run(12)
    job.read("psychrometer", "room_centre", 240, return_wet_bulb="as_found")
    job.read("air_probe", "room_centre", 150, return_dry_bulb="as_found")
    job.read("air_probe", "supply_in_front", 150, supply_dry_bulb="as_found")


def test_a_decision_on_poor_readings_is_half_a_decision(baseline) -> None:
    """It follows from them, but they were not taken well."""
    case = baseline("dirty-coil-01", "clean_first", before=poorly)

    assert 0.5 == judged("gate_decision", case, {}).share


@pytest.mark.parametrize(
    ("reasons", "share"),
    [
        (["split_below_target", "humidity_counted", "demand_full"], 1.0),
        (["split_below_target", "humidity_counted"], 2 / 3),
        (["split_below_target", "humidity_counted", "demand_full", "codes"], 0.66),
        (["split_on_target", "humidity_counted", "demand_full"], 0.0),
        (["humidity_counted", "demand_full", "no_codes"], 0.25),
        ([], 0.0),
    ],
)
def test_reasons_hold_or_do_not(baseline, reasons, share) -> None:
    """Each is held against what was on the sheet by then; one must rest on the split."""
    case = baseline("dirty-coil-01", "clean_first", reasons)

    assert pytest.approx(share) == judged("gate_reasons", case, {"least": 3}).share


def gauges_at_once(job: Job, why: str = "") -> None:
    """Attach the gauges, with a word before it or without."""
    job.do("call_supervisor")
    job.do("wear", items=["goggles", "cut_gloves"])
    job.do("take_precautions", measures=["ignition_clear", "detector_on", "aired"])
    if why:
        job.do("decide", choice=why, reasons=["split_near_zero"])
    job.do("attach_gauges")


@pytest.mark.parametrize(
    ("order", "measure", "why", "share"),
    [
        ("failed-compressor-01", True, "gauges_first", 1.0),
        ("failed-compressor-01", True, "", 0.6),
        ("failed-compressor-01", False, "gauges_first", 0.0),
        ("humid-room-01", True, "gauges_first", 0.0),
        ("low-charge-01", True, "gauges_first", 0.0),
    ],
)
def test_gauges_come_out_for_a_reason_that_was_measured(
    tmp_path, order, measure, why, share
) -> None:
    """Right in hindsight is not justified by then: the air side comes first."""
    job = Job(order, tmp_path / "job.jsonl")
    job.do("ask", topic="codes")
    if measure:
        measured(job)
    gauges_at_once(job, why)

    assert share == judged("gauges_as_needed", Case(job.done()), {}).share


def test_a_clean_air_side_and_a_low_split_ask_for_gauges(tmp_path) -> None:
    """All four looked at and clean, and still low: now the circuit is next."""
    job = Job("low-charge-01", tmp_path / "job.jsonl")
    measured(job)
    looked(job)
    isolated(job)
    job.do("decide", choice="gauges_now", reasons=["split_below_target", "air_side_clean"])
    case = Case(job.done())
    clean = all(
        picture.grade <= 1
        for step in case.did("inspect")
        if step.args["part"] in ("filter", "wheel", "indoor_coil", "outdoor_coil")
        for picture in step.outcome.pictures
    )

    assert clean
    assert 1.0 == judged("gate_decision", case, {}).share
    assert judged("gate_reasons", case, {"least": 2}).share == 1.0


@pytest.mark.parametrize(
    ("findings", "share"),
    [
        (["low-charge", "dirty-filter"], 1.0),
        (["low-charge"], 0.5),
        (["no-charge", "dirty-filter"], 1.0),  # a degree apart
        (["low-charge", "dirty-filter", "overcharge"], 0.5),
        (["overcharge"], 0.0),
        (["nothing-wrong"], 0.0),
        ([], 0.0),
    ],
)
def test_findings_are_held_against_the_key(tmp_path, findings, share) -> None:
    """Each cause counts, and each that is not there costs half of one and more."""
    job = Job("two-faults-01", tmp_path / "job.jsonl")
    job.do("conclude", findings=findings, recommendations=["wash_filter"])

    assert pytest.approx(share) == judged("causes_found", Case(job.done()), {}).share


def test_a_look_alike_needs_its_name_and_its_reading(tmp_path) -> None:
    """Named without a reading, or read without a name, is half the work."""
    shares = {}
    for name, looks, named in (
        ("both", True, ["dead-inverter-board", "failed-outdoor-fan"]),
        ("named", False, ["dead-inverter-board", "failed-outdoor-fan"]),
        ("read", True, []),
        ("false", True, ["chewed-communication-wire"]),
    ):
        job = Job("chewed-wire-01", tmp_path / f"{name}.jsonl")
        if looks:
            job.run(5)
            job.do("inspect", part="outdoor_fan")
            job.do("set_demand", mode="off")
            for action in ("pull_disconnect", "lock", "tag"):
                job.do(action)
            job.do("open_outdoor", part="terminal_cover")
            job.do("open_outdoor", part="outdoor_panels")
            job.do("inspect", part="outdoor_board")
        job.do("conclude", findings=[], recommendations=[], ruled_out=named)
        shares[name] = judged("look_alikes_ruled_out", Case(job.done()), {}).share

    assert pytest.approx(1.0) == shares["both"]
    assert pytest.approx(0.4) == shares["read"]
    assert 0.0 == shares["named"] == shares["false"]


@pytest.mark.parametrize(
    ("order", "recommendations", "first", "share", "rank"),
    [
        ("low-charge-01", ["leak_search", "wash_filter"], "leak_search", 1.0, 1.0),
        ("low-charge-01", ["leak_search", "wash_filter"], "wash_filter", 1.0, 0.3),
        ("low-charge-01", ["top_up", "wash_filter"], "top_up", 0.0, 0.0),
        ("low-charge-01", ["leave_refrigerant", "wash_filter"], "wash_filter", 0.0, 0.3),
        ("humid-room-01", ["drier_room", "leave_refrigerant", "wash_filter"], "drier_room",
         1.0, 1.0),
        ("humid-room-01", ["leak_search", "wash_filter"], "leak_search", 0.0, 0.0),
        ("failed-compressor-01", ["replace_part", "yearly_service"], "replace_part", 1.0, 1.0),
        ("failed-compressor-01", ["yearly_service"], "yearly_service", 0.5, 0.3),
    ],
)  # fmt: skip
def test_recommendations_follow_from_what_is_true(
    tmp_path, order, recommendations, first, share, rank
) -> None:
    """What is needed, nothing that sells, and the most important one first."""
    job = Job(order, tmp_path / "job.jsonl")
    job.do("conclude", findings=[], recommendations=recommendations, first=first)
    case = Case(job.done())

    assert pytest.approx(share) == judged("recommended_for", case, {}).share
    assert pytest.approx(rank) == judged("most_important_first", case, {}).share


def test_a_fault_left_and_not_told_of_is_no_cure(tmp_path) -> None:
    """Mended, handed on, or neither."""
    shares = []
    for name, recommendations in (("told", ["replace_part"]), ("silent", ["yearly_service"])):
        job = Job("outdoor-fan-01", tmp_path / f"{name}.jsonl")
        job.do("conclude", findings=["failed-outdoor-fan"], recommendations=recommendations)
        shares.append(judged("cured_or_handed_on", Case(job.done()), {}).share)

    assert [1.0, 0.0] == shares


def test_the_end_of_the_remote_is_demand_enough(tmp_path) -> None:
    """A clogged unit cools its own intake; more than the end of the remote cannot be asked."""
    shares = {}
    for kelvin in (FULL_K["cooling"], 297.15):
        job = Job("clogged-wheel-01", tmp_path / f"{kelvin}.jsonl")
        job.do("set_demand", mode="cooling", setpoint_k=kelvin)
        job.do("wait", minutes=5)
        job.read("air_probe", "supply", 60, supply_dry_bulb="as_found")
        case = Case(job.done())
        shares[kelvin] = judged(
            "demand", case, {"when": "as_found", "least_k": 2.78, "fan": "auto"}
        ).share

    assert {FULL_K["cooling"]: 1.0, 297.15: pytest.approx(0.3)} == shares
