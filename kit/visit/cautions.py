"""The usual cautions, said where their hazard is met; they defer to codes, labels and licences."""

from __future__ import annotations

from kit.visit.outcome import Caution, line

GENERAL = (
    "This is an exercise. It never replaces local codes, the equipment's own instructions, "
    "site rules, a licence or a supervisor."
)
_TEXTS = {
    "mains": (
        "Mains voltage can kill. Work dead: disconnect out, your own lock and tag on it, proved "
        "dead. Live testing is for a qualified person only, under local codes."
    ),
    "stored_charge": (
        "The capacitors of the DC bus hold a deadly charge after the disconnect is out. Wait as "
        "the label says and measure; the wait alone proves nothing. Never short them with a tool."
    ),
    "rotation": (
        "Wheel and fan can start by themselves. Keep hands, brushes and probes away from them "
        "until the machine is isolated."
    ),
    "chemicals": (
        "Read the safety data sheet and the label before you spray. Never acid indoors, never two "
        "cleaners together. Splash goggles and nitrile gloves on, windows open."
    ),
    "mould": "Dust and mould: wear a mask (N95 or P2), keep the work wet, bag the dirt.",
    "sharp_fins": "Fins cut like knives: wear cut gloves.",
    "water": (
        "Water and electricity: cover board and terminals, feed the pump through a residual "
        "current device (GFCI), and let all dry before power comes back."
    ),
    "height": (
        "Ladder at one in four, on firm ground, three points of contact, never on its top rungs; "
        "fall protection near an edge, as local rules ask."
    ),
    "pressure": (
        "The circuit is under pressure, and liquid burns cold. Goggles and gloves; hoses and "
        "gauges rated for this refrigerant; stand aside when you open a port."
    ),
    "refrigerant": (
        "Work on the circuit belongs to a certified person or one under direct supervision. "
        "Nothing may be vented. Every connection costs some charge."
    ),
    "flammable": (
        "Mildly flammable refrigerant: no flame, spark or relay near it, a detector running, the "
        "place aired, a dry-powder or CO2 extinguisher at hand."
    ),
    "hot": "The discharge line can be hotter than boiling water. Do not touch it.",
}


def caution(code: str) -> Caution:
    """Return one usual caution.

    Args:
        code: a key of the table: `mains`, `stored_charge`, `rotation`, `chemicals`, ...
    """
    return Caution(code, line(_TEXTS[code]))


def caution_codes() -> list[str]:
    """Return the codes of all cautions."""
    return list(_TEXTS)
