"""Every published value that the kit is checked against, one test a row."""

import pytest

from tests.published import COLUMNS, STATUSES, files, rows

ROWS = rows()


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.id)
def test_published(row):
    """What the kit computes lies within the stated tolerance of the published value."""
    assert row.expected == pytest.approx(row.computed(), abs=row.allowed(), rel=0.0), (
        f"{row.source}, {row.page} ({row.status}); tolerance: {row.why}"
    )


def test_rows_are_complete():
    """Each row names its source, whether it was seen, and why its tolerance is what it is."""
    assert len(ROWS) >= 300
    assert len({row.id for row in ROWS}) == len(ROWS)
    for row in ROWS:
        for column in ("id", "function", "why", "source"):
            assert getattr(row, column).strip(), (row.id, column)
        assert row.status in STATUSES, row.id
        assert row.kind in ("abs", "rel"), row.id
        assert row.tolerance > 0.0, row.id


def test_rows_can_fail():
    """No tolerance is so wide that zero, or twice the published value, would pass.

    Values near zero by nature (temperatures around freezing, small differences) are exempt: there
    the tolerance must be below one kelvin or one unit of the row instead.
    """
    for row in ROWS:
        if abs(row.expected) > 1.0 or row.kind == "rel":
            assert row.allowed() < 0.5 * abs(row.expected), row.id
        else:
            assert row.allowed() < 1.0, row.id


def test_columns_are_the_same_in_every_file():
    """Every published table has the same columns, in the same order."""
    for path in files():
        header = path.read_text(encoding="utf-8").splitlines()[0]
        assert ",".join(COLUMNS) == header, path.name
