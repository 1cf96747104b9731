"""Critical errors: the fourteen kinds that fail a visit at once, and the codes that show each.

A supervisor, not the score, decides when somebody goes on after one of these.
"""

from __future__ import annotations

from collections.abc import Mapping

# kind: (what it is, codes of the hazards that show it)
KINDS: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "live": (
        "Live or turning parts opened or reached without the disconnect out and locked",
        ("live_work", "not_locked", "live_test_unqualified"),
    ),
    "unproved": (
        "Not proved dead before touching, or proved with a meter that was not proved itself",
        ("not_proved_dead",),
    ),
    "stored": (
        "The capacitors not waited for and measured, or shorted with a tool",
        ("stored_charge", "bus_shorted"),
    ),
    "power": (
        "Another person's lock taken off, or power restored with somebody at work or covers off",
        ("other_lock_removed", "restored_with_person", "restored_open"),
    ),
    "wheel": ("Probe or tool into the turning wheel", ("probe_in_wheel",)),
    "vented": (
        "Refrigerant let out on purpose, or the circuit opened without recovery",
        ("vented", "vented_through_pump", "opened_unrecovered"),
    ),
    "unqualified": (
        "Work on the refrigerant circuit without a certificate or direct supervision",
        ("gauges_unqualified",),
    ),
    "test_gas": (
        "Wrong test gas, no regulator or relief, or above what is rated",
        ("wrong_test_gas", "no_regulator", "above_rating", "hose_overrated",
         "cylinder_overfilled", "one_way_cylinder"),
    ),
    "flammable": (
        "Ignition or no detector and air at flammable refrigerant, or refrigerants mixed",
        ("flammable_work", "ignition_at_leak", "torch_unswept", "wrong_refrigerant",
         "mixed_cylinder"),
    ),
    "chemicals": (
        "Acid indoors, cleaners mixed, or no eye protection while washing",
        ("acid_indoors", "mixed_chemicals", "no_eye_protection"),
    ),
    "protection": ("A protection defeated", ("protection_defeated",)),
    "ladder": ("A ladder used so that a fall is likely", ("ladder_misuse",)),
    "compressor": (
        "Compressor run or tested in vacuum, or run on gas, air or a shut valve",
        ("compressor_in_vacuum", "compressor_on_test_gas", "compressor_on_air",
         "compressor_on_shut_valve", "insulation_in_vacuum"),
    ),
    "falsified": (
        "A reading made up, or a check signed for that was not done",
        ("false_record",),
    ),
}  # fmt: skip

CODES: Mapping[str, str] = {code: kind for kind, (_, codes) in KINDS.items() for code in codes}


def titles(kinds: Mapping[str, str]) -> dict[str, str]:
    """Return what is said of each code, given what a rubric says of each kind.

    Args:
        kinds: kinds of critical error with the rubric's words; "" for the usual ones.
    """
    return {code: kinds[kind] or KINDS[kind][0] for code, kind in CODES.items() if kind in kinds}
