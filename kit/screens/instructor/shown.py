"""Readings as an instructor sees them: the settled ones, and each tool's in its own units."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from kit.machine import Surroundings, Truth
from kit.machine.readings import Reading
from kit.physics import air
from kit.quantities import PSI_PA

if TYPE_CHECKING:
    from kit.screens.instructor.preview import Preview
    from kit.screens.voice import Voice

# What the unit reads, in the order of a job sheet: title, kind of quantity, how it is taken.
ROWS: tuple[tuple[str, str, str], ...] = (
    ("Split", "temperature_difference", "split_k"),
    ("Airflow at the outlet", "airflow", "airflow_m3_s"),
    ("Capacity, as the air gets it", "heat_flow", "net_capacity_w"),
    ("Suction pressure", "gauge_pressure", "suction_pa"),
    ("Discharge pressure", "gauge_pressure", "discharge_pa"),
    ("Superheat", "temperature_difference", "superheat_k"),
    ("Subcooling", "temperature_difference", "subcooling_k"),
    ("Discharge line", "temperature", "discharge_line_k"),
    ("Running current", "current", "current_a"),
    ("Input power", "power", "power_w"),
)
_RUNNING_ONLY = ("superheat_k", "subcooling_k")


def readings_table(seen: Preview, voice: Voice) -> list[list[str]]:
    """Return the settled readings, as found and when sound, in the instructor's units.

    Args:
        seen: what the engine found.
        voice: units and language.
    """
    atmosphere = float(air.pressure_pa(seen.around.altitude_m))
    rows = [[voice.words(t) for t in ("What is read", "As found", "When sound")]]
    for title, kind, name in ROWS:
        cells = []
        for truth in (seen.found, seen.sound):
            value = float(getattr(truth, name)) - (atmosphere if kind == "gauge_pressure" else 0.0)
            idle = name in _RUNNING_ONLY and not truth.running
            cells.append("–" if idle or not math.isfinite(value) else voice.show(kind, value))
        rows.append([voice.words(title), *cells])
    rows.append([voice.words("Held back or stopped by"), _limits(seen.found, voice),
                 _limits(seen.sound, voice)])  # fmt: skip
    return rows


def _limits(truth: Truth, voice: Voice) -> str:
    names = [voice.words(str(name).replace("_", " ")) for name in truth.limits or ()]
    if not truth.running and not names:
        return voice.words("the compressor stands")
    return ", ".join(names) or voice.words("nothing")


def shown(tool: Reading, value: float, voice: Voice, around: Surroundings) -> str:
    """Return a reading in the instructor's units.

    Args:
        tool: which reading.
        value: what it is [its SI unit].
        voice: units and language.
        around: the air, whose pressure a gauge does not show.
    """
    if math.isnan(value):
        return "–"
    if math.isinf(value):
        return voice.words("without end")
    if tool.quantity == "pressure":
        return voice.show("gauge_pressure", value - float(air.pressure_pa(around.altitude_m)))
    if tool.quantity == "pressure_difference":
        us = voice.units == "us"
        return f"{value / PSI_PA:.1f} psi" if us else f"{value / 1000.0:.0f} kPa"
    plain = {"grade": f"{value:.2f}", "speed_rpm": f"{value:.0f} rpm", "time": f"{value:.0f} s"}
    if tool.quantity in plain:
        return plain[tool.quantity]
    kind = {"ratio": "fraction"}.get(tool.quantity, tool.quantity)
    return voice.show("insulation" if tool.name == "insulation" else kind, value)


def span(tool: Reading, value: float, voice: Voice) -> str:
    """Return how far a tool may be wrong, in the instructor's units.

    Args:
        tool: which reading.
        value: how far [its SI unit].
        voice: units and language.
    """
    if not math.isfinite(value):
        return "–"
    if tool.quantity in ("pressure", "pressure_difference"):
        us = voice.units == "us"
        return f"± {value / PSI_PA:.1f} psi" if us else f"± {value / 1000.0:.0f} kPa"
    if tool.quantity == "temperature":
        return f"± {voice.show('temperature_difference', value)}"
    sea = Surroundings(298.15, 0.5, 298.15, 0.5)
    return f"± {shown(tool, value, voice, sea)}"
