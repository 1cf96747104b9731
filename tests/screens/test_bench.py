"""Readings and the job sheet."""

from __future__ import annotations

from kit.screens.bench import job_sheet, tray
from kit.screens.voice import Voice
from tests.screens.double import entry, reading, view

US = Voice("us")


def test_the_newest_reading_comes_first_with_its_place_and_unit():
    """What was just read is what one looks for."""
    seen = view(readings=(reading(1, "return_grille", 299.0, 60), reading(2, "supply", 287.0, 90)))
    first = tray(seen, US)[0]
    assert (2, "56.9 °F", 90) == (first["number"], first["text"], first["s"])
    assert "supply outlet" in first["place"]


def test_a_figure_that_still_moves_is_said_to():
    """An unsteady reading is told in words, not by its slant alone."""
    seen = view(readings=(reading(1, "supply", 287.0, 60, steady=False),))
    assert "still moving" == tray(seen, US)[0]["note"]


def test_the_line_that_fits_is_offered_first_and_as_left_once_as_found_is_filled():
    """One press is enough in the usual case; any other line of the quantity stays possible."""
    seen = view(readings=(reading(1, "supply", 287.0, 60),))
    again = view(
        readings=(reading(3, "supply", 287.0, 60),),
        sheet=(entry("supply_dry_bulb", 287.0, reading=1),),
    )
    offered = [w["value"] for w in tray(seen, US)[0]["writes"]]
    assert "supply_dry_bulb/as_found" == offered[0]
    assert "return_dry_bulb/as_found" in offered
    assert "supply_dry_bulb/as_left" == tray(again, US)[0]["writes"][0]["value"]


def test_a_reading_written_down_says_where():
    """It is not offered again, and tells its line."""
    seen = view(
        readings=(reading(1, "supply", 287.0, 60),),
        sheet=(entry("supply_dry_bulb", 287.0, reading=1),),
    )
    row = tray(seen, US)[0]
    assert [] == row["writes"]
    assert row["written"].endswith("Leaving air, dry bulb, as found")


def test_the_sheet_has_both_columns_and_the_last_entry_counts():
    """As found and as left stand side by side; a corrected line shows its last value."""
    sheet = (
        entry("split", 7.0),
        entry("split", 8.0),
        entry("split", 12.0, "as_left"),
        entry("filter", "dirty"),
    )
    rows = {row["item"]: row for row in job_sheet(view(sheet=sheet), US)["rows"]}
    assert ("14.4 °F", "21.6 °F") == (rows["split"]["as_found"], rows["split"]["as_left"])
    assert ("Dirty", "") == (rows["filter"]["as_found"], rows["filter"]["as_left"])
