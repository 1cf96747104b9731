"""Questions on a compressor's motor: its three pairs, its insulation, four that do not start."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kit.screens.task import Reply
from kit.screens.tasks._given import at, share, words
from kit.screens.tasks._meters import (
    CAUSES,
    COLD_K,
    HOT_K,
    LEADS_OHM,
    PAIRS_OHM,
    READ_COLD_OHM,
    READ_OHM,
    WORKSHOP_K,
    compressors,
    copper_ohm,
    least_ohm,
    to_40c,
)
from kit.visit.outcome import Line, Measure, line

OFF_SCALE = "over range (OL)"
BALANCED = 0.10  # equal within 5 to 10 %: common practice, no source


def _ohm(value: float) -> Measure:
    return Measure(value, "resistance")


def _megohm(value: float) -> Measure:
    return Measure(value, "insulation")


def windings_table() -> tuple[tuple[Any, ...], ...]:
    """Return what the meter shows at three pairs, and at its own leads."""
    return (
        words("Between", "Meter shows"),
        ("its own leads held together", _ohm(LEADS_OHM)),
        *((name, _ohm(value)) for name, value in zip(words("U and V", "V and W", "W and U"),
                                                     READ_OHM, strict=True)),
    )  # fmt: skip


def spread(pairs: tuple[float, ...]) -> float:
    """Return how far three resistances lie apart, over their mean [fraction]."""
    return (max(pairs) - min(pairs)) / (sum(pairs) / len(pairs))


def windings_checked(given: Mapping[str, Any]) -> Reply:
    """Say what is to be said to the resistance of a pair, the spread and its meaning.

    Args:
        given: `uv` [ohm], `spread` [fraction], `means`.
    """
    want_ohm, want = PAIRS_OHM[0], spread(PAIRS_OHM)
    said: list[Line] = []
    if abs(given["uv"] - want_ohm) > 0.0101:  # one step of the meter
        said.append(line(
            "The leads are still in it. Take off what they show by themselves."
            if abs(given["uv"] - READ_OHM[0]) <= 0.0101
            else "Take the reading of the leads from the reading between U and V."
        ))  # fmt: skip
    if abs(given["spread"] - want) > 0.006:
        said.append(line(_spread_hint(given["spread"])))
    if given["means"] != ("beyond" if want > BALANCED else "within"):
        said.append(line("Compare the spread with one part in ten."))
    if said:
        return Reply(False, tuple(said))
    expected = copper_ohm(WORKSHOP_K)
    rows = (
        (*words("as a sound motor of this kind, copper's law"), _ohm(expected)),
        (*words("U and V, leads taken off"), _ohm(PAIRS_OHM[0])),
        (*words("W and U, leads taken off"), _ohm(PAIRS_OHM[2])),
    )
    return Reply(True, (
        line("One pair is low: turns of two phases may touch. With the leads left in, the spread "
             "looks like {false} and passes.", false=share(spread(READ_OHM))),
        line("Copper gains 0.393 % of its 20 °C resistance a kelvin (IEC 60028): a warm motor "
             "reads higher, and all three pairs alike."),
    ), (words("Winding", "Resistance"), *rows))  # fmt: skip


def _spread_hint(got: float) -> str:
    if abs(got - spread(READ_OHM)) <= 0.006:
        return "That is the spread with the leads still in: they hide part of it."
    if abs(got - (max(PAIRS_OHM) / min(PAIRS_OHM) - 1.0)) <= 0.006:
        return "You divided by the smallest. Divide by the mean of the three."
    if abs(got - (max(PAIRS_OHM) - min(PAIRS_OHM)) / 100) <= 1e-4:
        return "Those are ohms. Divide by the mean of the three, and give it in percent."
    return "Largest less smallest of the three, over their mean, in percent."


def insulation_checked(given: Mapping[str, Any]) -> Reply:
    """Say what is to be said to insulation brought to 40 °C and its meaning.

    Args:
        given: `at_40c` [ohm], `means`.
    """
    want, read = READ_COLD_OHM * to_40c(COLD_K), READ_COLD_OHM
    said = []
    if abs(given["at_40c"] / want - 1.0) > 0.03:
        hint = "It halves for each 18 °F (10 K) of warming. Count the steps, halve as often."
        if abs(given["at_40c"] / (read * read / want) - 1.0) <= 0.03:
            hint = "You doubled it. Warm insulation leaks more, so that the figure falls."
        elif abs(given["at_40c"] / read - 1.0) <= 0.03:
            hint = "That is the reading itself, cold as it was taken."
        said.append(line(hint))
    if given["means"] != ("below" if want < least_ohm() else "above"):
        said.append(line("Hold the warm figure, and not the reading, against the least value."))
    if said:
        return Reply(False, tuple(said))
    return Reply(True, (
        line("A cold motor flatters. Moisture or liquid refrigerant in the windings can do this "
             "too: warm it as its instructions say, and test again before anybody condemns it."),
        line("The halving and the least value are IEEE 43's, for motors at large; the "
             "compressor's own instructions go first."),
    ), (
        words("Insulation", "Resistance"),
        (*words("as read"), _megohm(read)),
        (*words("brought to 104 °F (40 °C)"), _megohm(want)),
        (*words("least value, IEEE 43"), _megohm(least_ohm())),
    ))  # fmt: skip


def insulation_table() -> tuple[tuple[Any, ...], ...]:
    """Return the reading on a cold morning and the least value."""
    return (
        words("Insulation, windings to earth", "Temperature", "Resistance"),
        (*words("as read"), at(COLD_K), _megohm(READ_COLD_OHM)),
        (*words("least value"), at(HOT_K), _megohm(least_ohm())),
    )


def compressors_table() -> tuple[tuple[Any, ...], ...]:
    """Return what four compressors show, the meter's leads taken off."""
    shown = compressors()

    def cell(value: float, kind: str) -> Any:
        return OFF_SCALE if value == float("inf") else Measure(value, kind)

    names = words("U and V", "V and W", "W and U")
    return (
        words("Between", "Unit A", "Unit B", "Unit C", "Unit D"),
        *(
            (name, *(cell(one.pairs_ohm[row], "resistance") for one in shown))
            for row, name in enumerate(names)
        ),
        ("windings and earth", *(cell(one.earth_ohm, "insulation") for one in shown)),
    )


_CAUSE_HINTS = {
    "open": "One unit shows no way through on two pairs of three. The pair without a fault tells "
    "which phase is broken.",
    "earthed": "One unit's windings are equal, and next to nothing keeps them from the case.",
    "sound": "One unit has equal windings and good insulation. What it suffers from is not here.",
    "leads": "One unit shows a little less than the others everywhere, as if something hung "
    "beside the windings. What was not taken off?",
}


def compressors_checked(given: Mapping[str, Any]) -> Reply:
    """Say what is to be said to the causes given for four compressors.

    Args:
        given: `a` to `d`, each one of `CAUSES`.
    """
    missed = [cause for unit, cause in zip("abcd", CAUSES, strict=True) if given[unit] != cause]
    if missed:
        return Reply(False, tuple(line(_CAUSE_HINTS[cause]) for cause in missed[:2]))
    return Reply(True, (
        line("A locked rotor reads like a sound motor: ohms do not see what is jammed."),
        line("The board beside the windings makes a good motor look earthed. Leads off, always."),
    ))  # fmt: skip
