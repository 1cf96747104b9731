"""Every inspection shows what that unit's faults would let be seen, heard, smelt or felt."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kit.faults import fault_names, registry
from kit.visit import looks
from kit.visit.handwork import Harm, Loose
from kit.visit.pictures import picture_svg
from kit.visit.state import PARTS, Supply
from kit.visit.transition import transition
from tests.visit.handy import PROOF, do, make_safe, open_up, run, seen, state_of, visit_with
from tests.visit.test_hazards import DRESSED, proved

HEATING = {"stuck-reversing-valve", "iced-outdoor-coil"}
# fault: look that tells it, words to be found there, grade of the picture at the worst severity
TOLD = {
    "blocked-drain": ("drain_end", "closed and dry", 4),
    "blocked-indoor-coil": ("indoor_coil", "felt blanket", 4),
    "chewed-communication-wire": ("outdoor_wires", "gnawed", 4),
    "clogged-blower-wheel": ("wheel", "packed", 4),
    "coil-sensor-out-of-range": ("coil_sensor", "broken off", 4),
    "compressor-not-pumping": ("listen_outdoor", "hollow", None),
    "dead-inverter-board": ("outdoor_board", "burnt", 4),
    "dirty-filter": ("filter", "no light", 4),
    "dirty-outdoor-coil": ("outdoor_coil", "felt blanket", 4),
    "displaced-room-sensor": ("room_sensor", "out of its clip", 4),
    "earthed-winding": ("listen_outdoor", "click", None),
    "failed-outdoor-fan": ("outdoor_fan", "stands still", None),
    "film-on-indoor-coil": ("indoor_coil", "slime", 4),
    "iced-indoor-coil": ("indoor_coil", "ice", 4),
    "iced-outdoor-coil": ("outdoor_coil", "solid ice", 4),
    "leaking-reversing-valve": ("listen_outdoor", "hiss", None),
    "liquid-line-restriction": ("pipework", "turns cold at a single point", None),
    "locked-rotor": ("listen_outdoor", "A short hum", None),
    "low-charge": ("pipework", "oil", 2),
    "low-supply-voltage": ("outdoor_terminals", "burnt", 4),
    "no-charge": ("pipework", "Oil", 4),
    "open-winding": ("listen_outdoor", "no hum", None),
    "outdoor-recirculation": ("clearance", "hot air comes back", 4),
    "partly-blocked-drain": ("drain_end", "slime", 4),
    "stuck-reversing-valve": ("outlet", "cold, though heat is asked for", None),
    "uphill-drain": ("hose", "uphill", 4),
    "valve-stuck-closed": ("pipework", "Frost on the small line", None),
    "valve-stuck-open": ("pipework", "sweat right up to the compressor", None),
    "weak-indoor-fan": ("listen_indoor", "turns slowly", None),
    "weak-outdoor-fan": ("outdoor_fan", "lazily", None),
}
# No look can tell these: gauges or a meter must.
HIDDEN = {"air-in-circuit", "open-bleed-resistor", "overcharge"}
LOOSE_PARTS = frozenset(PARTS)


def started(*faults, mode="cooling", minutes=12.0):
    """Return the state of a unit that ran for a while with these faults."""
    visit = visit_with(*faults, mode=mode)
    run(visit, minutes)
    return state_of(visit)


def look(state, part):
    """Return the words and pictures of a look, the cover before it being off."""
    needs = looks.LOOKS[part].needs
    off = frozenset({needs}) if needs else frozenset()
    _, outcome = transition(replace(state, off=off), "inspect", {"part": part})
    assert not outcome.refused
    return outcome.text, {p.subject: p.grade for p in outcome.pictures}


@pytest.fixture(scope="module")
def sound():
    """Return a healthy unit in either mode."""
    return {mode: started(mode=mode) for mode in ("cooling", "heating")}


def test_every_fault_is_either_told_by_a_look_or_known_to_hide() -> None:
    """A fault added to the folder must be thought of here."""
    assert set(fault_names()) == {*TOLD, *HIDDEN}


@pytest.mark.parametrize("name", list(TOLD))
def test_a_fault_looks_differs_from_healthy(sound, name) -> None:
    """The look that can tell it does, in words and, where one is drawn, in the picture."""
    part, words, grade = TOLD[name]
    mode = "heating" if name in HEATING else "cooling"
    worst = registry()[name].severities[-1].level
    # Ice melts under way; it is looked at as found.
    minutes = 0.5 if name.startswith("iced") else 12.0

    text, pictures = look(started((name, worst), mode=mode, minutes=minutes), part)
    healthy, clean = look(sound[mode], part)

    assert words in text
    assert words not in healthy
    if grade is not None:
        assert grade == max(pictures.values())
        assert 0 == max(clean.values())


@pytest.mark.parametrize("name", sorted(HIDDEN))
@pytest.mark.parametrize("part", [p for p in looks.LOOKS if p != "board_values"])
def test_no_look_gives_away_what_cannot_be_seen(sound, name, part) -> None:
    """Gauges or a meter must find it."""
    worst = registry()[name].severities[-1].level
    state = hidden_state(name, worst)

    assert look(sound["cooling"], part) == look(state, part)


_RAN: dict[tuple[str, float], object] = {}


def hidden_state(name, level):
    """Return the state of a unit with a hidden fault, solved once."""
    if (name, level) not in _RAN:
        _RAN[name, level] = started((name, level))
    return _RAN[name, level]


GRADED = [
    (name, TOLD[name][0])
    for name, one in registry().items()
    if name in TOLD and TOLD[name][2] is not None and len(one.severities) > 1
]


@pytest.mark.parametrize(("name", "part"), GRADED)
def test_a_worse_fault_never_looks_better(arrived, name, part) -> None:
    """Each severity looks at least as bad as the one before, the worst worse than the mildest."""
    from kit.visit.transition import first_state
    from tests.visit.handy import order_with

    mode = "heating" if name in HEATING else "cooling"
    grades = []
    for severity in registry()[name].severities:
        state = first_state(order_with((name, severity.level), mode=mode), seed=7)
        grades.append(max(look(state, part)[1].values()))

    assert sorted(grades) == grades
    assert grades[-1] > grades[0]
    assert grades[0] > 0


@pytest.mark.parametrize("part", list(looks.LOOKS))
def test_a_sound_unit_looks_sound_everywhere(sound, part) -> None:
    """Nothing is found on a machine that has nothing."""
    _, pictures = look(sound["cooling"], part)

    assert all(grade == 0 for grade in pictures.values())


@pytest.mark.parametrize("part", list(looks.LOOKS))
def test_what_is_drawn_says_what_is_said(sound, part) -> None:
    """The picture's text equivalent is among the words of the look."""
    _, outcome = transition(replace(sound["cooling"], off=LOOSE_PARTS), "inspect", {"part": part})

    for picture in outcome.pictures:
        assert picture.alt in outcome.lines
        assert picture.alt.render() in picture_svg(picture).replace("&apos;", "'")


def test_ice_is_seen_as_it_is_now_and_not_as_it_was(arrived) -> None:
    """What has melted is gone from the look as well."""
    visit = visit_with(("iced-indoor-coil", 0.96))
    before = look(state_of(visit), "indoor_coil")[1]["coil_ice"]
    do(visit, "set_demand", mode="fan")
    do(visit, "wait", minutes=90)

    assert before >= 3
    assert "coil_ice" not in look(state_of(visit), "indoor_coil")[1]
    assert not visit.view().ice


@pytest.mark.parametrize(
    ("name", "level", "part", "words"),
    [
        ("clogged-blower-wheel", 0.92, "wheel", "heavy side"),
        ("weak-indoor-fan", 0.6, "wheel", "drags"),
        ("failed-outdoor-fan", 1.0, "outdoor_fan", "grates"),
        ("weak-outdoor-fan", 0.5, "outdoor_fan", "drags"),
        ("low-supply-voltage", 0.8, "outdoor_terminals", "quarter of a turn"),
    ],
)
def test_a_hand_feels_what_an_eye_cannot_see(name, level, part, words) -> None:
    """Bearing, balance and screws are tried by hand, dead."""
    felt = []
    for faults in ((), ((name, level),)):
        visit = visit_with(*faults)
        make_safe(visit)
        open_up(visit)
        felt.append(do(visit, "try_by_hand", part=part).text)

    assert words not in felt[0]
    assert words in felt[1]


@pytest.mark.parametrize("part", ["wheel", "outdoor_fan", "outdoor_terminals"])
def test_no_hand_goes_in_before_it_is_safe(arrived, part) -> None:
    """With the disconnect in, the trainer holds the arm."""
    state = replace(arrived, off=LOOSE_PARTS, worn=DRESSED)

    _, outcome = transition(state, "try_by_hand", {"part": part})

    assert outcome.stopped
    assert ["live_work"] == [h.code for h in outcome.hazards]


def test_a_fan_may_be_turned_once_it_is_locked(arrived) -> None:
    """Turning needs the lock; touching terminals needs the whole proof."""
    supply = Supply(pulled=True, locked=True, tagged=True)
    state = replace(arrived, off=LOOSE_PARTS, worn=DRESSED, supply=supply)

    assert not transition(state, "try_by_hand", {"part": "wheel"})[1].hazards
    assert transition(state, "try_by_hand", {"part": "outdoor_terminals"})[1].stopped
    done = replace(state, supply=replace(supply, proofs=proved(*PROOF)))
    assert not transition(done, "try_by_hand", {"part": "outdoor_terminals"})[1].hazards


@pytest.mark.parametrize(("fault", "words"), [(0.0, "falls by"), (0.6, "climbs"), (1.0, "climbs")])
def test_a_level_measures_the_hoses_fall(fault, words) -> None:
    """The figure stands beside what codes ask for: an eighth of an inch a foot."""
    visit = visit_with(*([("uphill-drain", fault)] if fault else []))

    outcome = do(visit, "measure_fall")

    assert words in outcome.text
    assert "0.41 in." in outcome.text  # 1 m at 1:96 (International Mechanical Code 307)


def test_what_hands_did_can_be_seen(arrived) -> None:
    """Folded fins, packed felt, a bent wheel, a plug off, a sensor out, missing screws."""
    state = replace(
        arrived,
        harm=Harm(bent_indoor=0.3, bent_outdoor=0.3, packed=True, wheel=0.7),
        loose=Loose(
            plugs=frozenset({"outdoor_fan"}),
            sensors=frozenset({"coil_sensor", "room_sensor"}),
            few_screws=frozenset({"outdoor_panels"}),
        ),
    )

    assert "folded flat" in look(state, "indoor_coil")[0]
    assert "folded flat" in look(state, "outdoor_coil")[0]
    assert "deep between the fins" in look(state, "outdoor_coil")[0]
    assert "cracked" in look(state, "wheel")[0]
    assert "plug of the outdoor fan" in look(state, "outdoor_board")[0]
    assert "hangs out of its pocket" in look(state, "coil_sensor")[0]
    assert "out of its clip" in look(state, "room_sensor")[0]
    assert "Screws are missing" in look(state, "outdoor_covers")[0]


def test_a_look_takes_its_time_and_needs_its_cover() -> None:
    """The board cannot be seen through its panel."""
    visit = visit_with()

    assert visit.step("inspect", part="outdoor_board").refused
    assert seen(visit, "clearance")[0].startswith("Free space")
    assert 30 == visit.outcomes[-1].elapsed_s
