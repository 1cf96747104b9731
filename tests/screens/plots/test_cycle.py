"""The pressure–enthalpy diagram: dome and corners lie where CoolProp says."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from kit.errors import UnknownNameError
from kit.machine import Command, Condition, Surroundings, Truth, load_spec, settle
from kit.physics import refrigerant
from kit.screens.plots import cycle_chart
from kit.screens.plots.circuit import Corners, corners
from kit.screens.voice import Voice
from tests.screens.plots.reading import ES, SI, US, Axis, axis, boxes, lines, parsed, points, words

ATMOSPHERE_PA = 101_325.0
# NIST SP 811, B.8: pounds a square inch, and Btu (International Table) a pound, in SI.
PER_GAUGE = {"us": 6894.757, "si": 1000.0}
PER_ENTHALPY = {"us": 2326.0, "si": 1000.0}
CASES = {
    "sound": ("wall-12k-r32", Condition(), "cooling"),
    "short": ("wall-12k-r32", Condition(charge_fraction=0.7), "cooling"),
    "flooding": ("wall-12k-r32", Condition(valve_fixed_opening=1.0), "cooling"),
    "restricted": ("wall-12k-r32", Condition(liquid_restriction=0.4), "cooling"),
    "slipping": ("wall-12k-r32", Condition(reversing_valve_leak=0.6), "cooling"),
    "heating": ("wall-12k-r410a", Condition(outdoor_coil_blockage=0.7), "heating"),
    "blend": ("wall-12k-r454b", Condition(), "cooling"),
}


@cache
def settled(name: str) -> Truth:
    """Return a settled machine of `CASES`."""
    machine, condition, mode = CASES[name]
    cooling = mode == "cooling"
    around = Surroundings(300.0 if cooling else 293.15, 0.5, 308.15 if cooling else 277.15, 0.5)
    return settle(
        load_spec(machine), condition, around, Command(mode, 289.15 if cooling else 305.15)
    )


def cycle(name: str) -> Corners:
    """Return the corners of a settled machine of `CASES`."""
    found = corners(refrigerant.load(load_spec(CASES[name][0]).refrigerant), settled(name))
    assert found is not None
    return found


def scales(root: ET.Element, voice: Voice, atmosphere_pa: float = ATMOSPHERE_PA):
    """Return the scales of enthalpy and of ln p, the latter read from gauge pressures."""
    unit = PER_GAUGE[voice.units]
    return axis(root, "x"), axis(root, "y", lambda g: math.log(g * unit + atmosphere_pa))


def read(place: tuple[float, float], x: Axis, y: Axis, voice: Voice) -> tuple[float, float]:
    """Return enthalpy [J/kg] and absolute pressure [Pa] of a place."""
    return x.value(place[0]) * PER_ENTHALPY[voice.units], math.exp(y.value(place[1]))


@pytest.mark.parametrize("voice", [US, SI], ids=["us", "si"])
@pytest.mark.parametrize(("name", "fluid"), [("R-32", "R32"), ("R-410A", "R410A")])
def test_the_dome_lies_where_coolprop_says(voice, name, fluid):
    """Bubble and dew line, within a pixel along, at every point drawn."""
    machine = "sound" if name == "R-32" else "heating"
    root = parsed(cycle_chart(name, [("unit", settled(machine))]).draw(voice))
    x, y = scales(root, voice)
    bubble, dew = lines(root, 4.0, "")[:2]
    for curve, quality in ((bubble, 0), (dew, 1)):
        assert len(curve) > 50
        for place in curve[::8]:
            h, p = read(place, x, y, voice)
            expected = PropsSI("H", "P", p, "Q", quality, fluid)
            assert expected == pytest.approx(h, abs=1.2 * x.pixel * PER_ENTHALPY[voice.units])


@pytest.mark.parametrize("voice", [US, SI], ids=["us", "si"])
def test_corners_lie_where_coolprop_says(voice):
    """By pressure and temperature of the truth, within a pixel each way."""
    truth = settled("sound")
    root = parsed(cycle_chart("R-32", [("unit", truth)]).draw(voice))
    x, y = scales(root, voice)
    low_pa = PropsSI("P", "T", truth.evaporating_k, "Q", 1, "R32")
    for corner, t_k, p, shown_pa in (
        ("suction", truth.suction_line_k, low_pa, truth.suction_pa),
        ("discharge", truth.discharge_line_k, truth.discharge_pa, truth.discharge_pa),
        ("liquid", truth.liquid_line_k, truth.discharge_pa, truth.discharge_pa),
    ):
        h, found_pa = read(points(root)[f"unit: {corner}"], x, y, voice)
        expected = PropsSI("H", "T", t_k, "P", p, "R32")
        assert expected == pytest.approx(h, abs=x.pixel * PER_ENTHALPY[voice.units])
        assert math.log(shown_pa) == pytest.approx(math.log(found_pa), abs=y.pixel)


@pytest.mark.parametrize("name", CASES)
def test_the_cycle_carries_the_heat_of_both_coils(name):
    """Width at the low side times flow is the heat absorbed, at the high side that rejected."""
    truth, found = settled(name), cycle(name)
    flow = truth.refrigerant_kg_s
    absorbed = flow * (found.leaving.h - found.entering.h)
    rejected = flow * (found.discharge.h - found.liquid.h)
    assert truth.heat_absorbed_w == pytest.approx(absorbed, rel=1e-9)
    assert truth.heat_rejected_w == pytest.approx(rejected, rel=2e-3)


@pytest.mark.parametrize("name", ["sound", "short", "restricted", "heating", "blend"])
def test_superheat_lies_between_dew_line_and_the_evaporators_outlet(name):
    """The state worked out from the coil's heat is the one its temperature gives."""
    found = cycle(name)
    ref = refrigerant.load(load_spec(CASES[name][0]).refrigerant)
    by_temperature = float(ref.vapour_pt(found.low, found.superheat_k).h)
    assert by_temperature == pytest.approx(found.leaving.h, abs=400.0)


def test_a_flooding_evaporator_leaves_liquid_in_the_vapour():
    """Without superheat its outlet lies inside the dome."""
    truth = settled("flooding")
    found = cycle("flooding")
    sat = refrigerant.load("R-32").sat(found.low)
    assert truth.superheat_k == pytest.approx(0.0, abs=1e-6)
    assert found.leaving.h < float(sat.h_v)


def test_a_short_charge_shows_vapour_at_the_condensers_outlet():
    """Without subcooling the corner lies inside the dome, by the heat balance."""
    found = cycle("short")
    sat = refrigerant.load("R-32").sat(found.high)
    assert 0.0 == found.subcooling_k
    assert float(sat.h_l) < found.liquid.h < float(sat.h_v)


def test_the_last_cycle_is_whole_and_those_before_are_dashed():
    """The unit in question stands out without colour, and each cycle is closed."""
    cycles = [("healthy", settled("sound")), ("this unit", settled("short"))]
    root = parsed(cycle_chart("R-32", cycles).draw(US))
    (whole,) = [one for one in lines(root, 4.5, "") if len(one) == 6]
    (dashed,) = [one for one in lines(root, 3.0, "11 6") if len(one) == 6]
    for closed in (whole, dashed):
        assert np.allclose(closed[0], closed[-1])
    assert np.allclose(points(root)["this unit: discharge"], whole[3], atol=0.02)
    assert np.allclose(points(root)["healthy: discharge"], dashed[3], atol=0.02)


def test_a_machine_that_stands_is_said_to_and_not_drawn():
    """Beside a running one, and alone."""
    dead = replace(settled("sound"), running=False)
    plot = cycle_chart("R-32", [("healthy", settled("sound")), ("dead", dead)])
    root = parsed(plot.draw(US))
    assert not [name for name in points(root) if name.startswith("dead")]
    assert "dead: the compressor stands, so there is no cycle." in US.line(plot.alt)
    alone = parsed(cycle_chart("R-32", [("dead", dead)]).draw(US))
    assert "the compressor stands, so there is no cycle" in words(alone)


def test_a_blend_shows_dew_and_bubble():
    """Where they differ both are named; of a single refrigerant there is one temperature."""
    ref = refrigerant.load("R-454B")
    blend = " ".join(words(parsed(cycle_chart("R-454B", [("unit", settled("blend"))]).draw(SI))))
    sat = ref.sat(cycle("blend").high)
    assert f"bubble {float(sat.t_bubble_k) - 273.15:.1f} °C" in blend
    assert f"dew {float(sat.t_dew_k) - 273.15:.1f} °C" in blend
    single = " ".join(words(parsed(cycle_chart("R-32", [("unit", settled("sound"))]).draw(SI))))
    assert "condensing: bubble" not in single
    assert f"condensing {settled('sound').condensing_k - 273.15:.1f} °C" in single


def test_gauges_read_against_the_air_around_them():
    """Higher up the same absolute pressure stands at a higher gauge pressure."""
    truth, high_pa = settled("sound"), 84_000.0
    plot = cycle_chart("R-32", [("unit", truth)], pressure_pa=high_pa)
    root = parsed(plot.draw(SI))
    x, y = scales(root, SI, high_pa)
    _, found_pa = read(points(root)["unit: discharge"], x, y, SI)
    assert math.log(truth.discharge_pa) == pytest.approx(math.log(found_pa), abs=y.pixel)
    assert f"discharge {(truth.discharge_pa - high_pa) / 1000:.0f} kPa gauge" in SI.line(plot.alt)


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("voice", [US, SI, ES], ids=["us", "si", "es"])
def test_the_key_below_fits_the_sheet(name, voice):
    """Rows are broken before they run off the sheet, in the longer language as well."""
    fluid = load_spec(CASES[name][0]).refrigerant
    svg = cycle_chart(fluid, [("healthy", settled(name)), ("unit", settled(name))]).draw(voice)
    assert "nan" not in svg
    for text, left, right in boxes(parsed(svg)):
        assert left >= -1, text
        assert right <= 645, text


def test_the_words_hold_the_figures_in_the_learners_units_and_language():
    """Superheat and subcooling are named with their figures."""
    truth = settled("sound")
    alt = cycle_chart("R-32", [("this unit", truth)]).alt
    assert f"superheat {truth.superheat_k * 1.8:.1f} °F" in US.line(alt)
    assert f"subenfriamiento {truth.subcooling_k:.1f} K" in ES.line(alt)
    shown = " ".join(words(parsed(cycle_chart("R-32", [("this unit", truth)]).draw(ES))))
    assert "sobrecalentamiento" in shown
    assert "Entalpía, kJ/kg" in shown


def test_an_unknown_refrigerant_is_refused():
    """With the nearest name."""
    with pytest.raises(UnknownNameError, match="R-32"):
        cycle_chart("R32", [])
