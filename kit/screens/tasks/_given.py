"""What the tasks of several lessons show: figures with their unit, rows of published tables."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache

from kit import library
from kit.errors import UnknownNameError
from kit.visit.outcome import Measure


def words(*texts: str) -> tuple[str, ...]:
    """Return the texts of a heading or a row as they are; it marks them for translation.

    Args:
        texts: English texts.
    """
    return texts


def fahrenheit_k(value: float) -> float:
    """Return a temperature given in degrees Fahrenheit [K]."""
    return (value + 459.67) / 1.8


def step(kelvin: float) -> Measure:
    """Return a difference of temperatures as a figure to show."""
    return Measure(kelvin, "temperature_difference")


def at(kelvin: float) -> Measure:
    """Return a temperature as a figure to show."""
    return Measure(kelvin, "temperature")


def share(fraction: float) -> Measure:
    """Return a fraction as a figure to show, in percent."""
    return Measure(fraction, "fraction")


def published(table: str, row: str) -> Mapping[str, str]:
    """Return a row of a table of published values: `expected`, `unit`, `source`, `page`.

    Args:
        table: name of a file in datasets/published, without its ending.
        row: its id.

    Raises:
        UnknownNameError: the table has no such row.
    """
    found = _rows(table)
    if row not in found:
        raise UnknownNameError(f"row of {table}", row, list(found))
    return found[row]


@cache
def _rows(table: str) -> dict[str, dict[str, str]]:
    text = library.datasets("published", f"{table}.csv").read_text(encoding="utf-8")
    return {line["id"]: line for line in csv.DictReader(text.splitlines())}
