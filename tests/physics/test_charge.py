"""The charge at rest, and air among it."""

from __future__ import annotations

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from kit.physics import charge, refrigerant

VOLUME = 3.6e-3


@pytest.mark.parametrize(("name", "fluid"), [("R-32", "R32"), ("R-410A", "R410A")])
@pytest.mark.parametrize("t_k", [278.15, 298.15, 308.15])
def test_standing_pressure_is_saturation_while_liquid_remains(name, fluid, t_k) -> None:
    """A soaked machine with liquid stands at saturation (CoolProp 8), 0.5 % for the blend."""
    p = charge.standing_pressure_pa(refrigerant.load(name), 0.7, VOLUME, np.array(t_k))

    assert PropsSI("P", "T", t_k, "Q", 0, fluid) == pytest.approx(float(p), rel=5e-3)


@pytest.mark.parametrize("mass_kg", [0.02, 0.05, 0.1])
def test_all_vapour_stands_where_its_density_says(mass_kg) -> None:
    """Without liquid the pressure is that of the vapour at its density (CoolProp 8, 0.5 %)."""
    p = charge.standing_pressure_pa(refrigerant.load("R-32"), mass_kg, VOLUME, np.array(298.15))

    expected = PropsSI("P", "T", 298.15, "D", mass_kg / VOLUME, "R32")
    assert expected == pytest.approx(float(p), rel=5e-3)


def test_nothing_left_has_no_pressure_of_its_own() -> None:
    """An empty circuit's refrigerant pressure is zero."""
    p = charge.standing_pressure_pa(refrigerant.load("R-32"), 0.0, VOLUME, np.array(298.15))

    assert float(p) == pytest.approx(0.0, abs=1.0)


def test_air_adds_its_partial_pressure() -> None:
    """2.7 g of air in 2.5 L at 45 degC add 100 kPa (ideal gas, by hand, 2 %)."""
    assert pytest.approx(100e3, rel=0.02) == charge.air_pressure_pa(2.7e-3, 2.5e-3, 318.15)
