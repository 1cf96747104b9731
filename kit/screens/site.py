"""The drawn site: what an eye there sees, as plain flags and words for the picture."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from kit.screens.spots import SPOTS
from kit.visit.outcome import line

if TYPE_CHECKING:
    from kit.screens.voice import Voice
    from kit.visit.outcome import Line, View

_OFF = {
    "front_panel": ("indoor", "front panel off"),
    "filter": ("indoor", "filter out"),
    "indoor_casing": ("indoor", "casing off"),
    "terminal_cover": ("outdoor", "terminal cover off"),
    "outdoor_panels": ("outdoor", "panels off"),
}
_COVERED = {
    "drop_cloth": ("room", "drop cloth laid"),
    "wash_bag": ("indoor", "wash bag hung"),
    "indoor_electrics": ("indoor", "electrics covered"),
    "outdoor_electrics": ("outdoor", "electrics covered"),
}


def spot_states(view: View, voice: Voice) -> dict[str, list[str]]:
    """Return, for each spot, what can be seen of its state, in words."""
    states: dict[str, list[Line]] = {name: [] for name in SPOTS}
    for part in view.open_parts:
        _say(states, _OFF.get(part), part, "{part}: off")
    for cover in view.protected:
        _say(states, _COVERED.get(cover), cover, "{part}: in place")
    states["indoor"].append(line("air blowing" if view.running else "no air"))
    if view.ice:
        states["indoor"].append(line("ice to be seen"))
    if view.water:
        states["room"].append(line("water below the indoor unit"))
    if view.outdoor_fan_turning:
        states["outdoor"].append(line("fan turning"))
    if view.gauges_on:
        states["line_set"].append(line("gauges on"))
    states["disconnect"].append(line("pulled" if view.disconnect_pulled else "in"))
    states["disconnect"] += [line("lock on")] * view.locked + [line("tag on")] * view.tagged
    shown = {name: voice.lines(found) for name, found in states.items()}
    shown["remote"].append(remote_words(view, voice))
    return shown


def remote_words(view: View, voice: Voice) -> str:
    """Return what the remote shows, in words."""
    mode = voice.words(view.mode)
    if view.mode == "off":
        return mode
    return f"{mode}, {voice.show('temperature', view.setpoint_k)}, {voice.words(view.fan)}"


def site(view: View, selected: str, voice: Voice) -> dict[str, Any]:
    """Return all that the picture needs.

    Args:
        view: what anybody standing there sees.
        selected: spot where the learner is.
        voice: units and language.
    """
    states = spot_states(view, voice)
    off = set(view.open_parts)
    return {
        "parts": [
            {
                "name": name,
                "label": voice.words(label),
                "state": ", ".join(states[name]),
                "selected": name == selected,
            }
            for name, label in SPOTS.items()
        ],
        "flags": _flags(view, states, voice),
        "mode": view.mode,
        "remote_text": _remote_figure(view, voice),
        "blowing": view.running,
        "lamp": view.mode != "off" and not view.disconnect_pulled,
        "outdoor_fan_turning": view.outdoor_fan_turning,
        "front_off": "front_panel" in off,
        "filter_off": "filter" in off,
        "casing_off": "indoor_casing" in off,
        "terminals_open": "terminal_cover" in off,
        "panels_off": "outdoor_panels" in off,
        "protected": list(view.protected),
        "pulled": view.disconnect_pulled,
        "locked": view.locked,
        "tagged": view.tagged,
        "water": view.water,
        "ice": view.ice,
        "gauges_on": view.gauges_on,
        "sheet_lines": len(view.sheet),
        "probes": [{"place": place} for place in _places(view.placed)],
    }


def _remote_figure(view: View, voice: Voice) -> str:
    """Return the set temperature as the little display shows it."""
    return "" if view.mode == "off" else f"{voice.number('temperature', view.setpoint_k):.0f}°"


def _places(placed: Mapping[str, str]) -> list[str]:
    return sorted(set(placed.values()))


def _flags(view: View, states: Mapping[str, list[str]], voice: Voice) -> list[dict[str, str]]:
    """Return the line below the picture: everything drawn, said in words as well."""
    safe = [word for word in states["disconnect"] if view.disconnect_pulled]
    tones = {
        "disconnect": "safe" if safe else "plain",
        "indoor": "look" if view.ice else "plain",
        "room": "look" if view.water else "plain",
    }
    flags = [
        _flag(f"{voice.words(SPOTS[name])}: {', '.join(states[name])}", tones.get(name, "plain"))
        for name in ("disconnect", "remote", "indoor", "outdoor", "line_set", "room")
        if states[name]
    ]
    if view.worn:
        worn = ", ".join(voice.words(_WORN.get(name, name)) for name in view.worn)
        flags.append(_flag(f"{voice.words('Worn')}: {worn}", "safe"))
    return flags


def _flag(text: str, tone: str) -> dict[str, str]:
    return {"text": text, "tone": tone}


def _say(
    states: dict[str, list[Line]], short: tuple[str, str] | None, name: str, template: str
) -> None:
    """Put down the state of a part, by its own short words where it has some."""
    from kit.visit.state import PARTS, PROTECTION

    if short is not None:
        states[short[0]].append(line(short[1]))
        return
    spot = "outdoor" if "outdoor" in name else "indoor"
    words = PARTS.get(name) or PROTECTION.get(name) or name
    states[spot].append(line(template, part=words))


_WORN = {
    "glasses": "glasses",
    "goggles": "goggles",
    "cut_gloves": "cut gloves",
    "insulating_gloves": "insulating gloves",
    "mask": "mask",
    "shoes": "shoes",
}
