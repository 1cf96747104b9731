"""Print, for each source, how many values are checked and the largest deviation found.

python -m tests.published_report
"""

import sys

from tests.published import Row, rows


def grouped() -> dict[tuple[str, str, str], list[tuple[float, Row]]]:
    """Return (file, source, status): [(deviation over tolerance, row), ...]."""
    groups: dict[tuple[str, str, str], list[tuple[float, Row]]] = {}
    for row in rows():
        share = abs(row.computed() - row.expected) / row.allowed()
        groups.setdefault((row.file, row.source, row.status), []).append((share, row))
    return groups


def table() -> list[str]:
    """Return the report's lines."""
    lines = [
        "| Table | Source | Status | Rows | Largest deviation | of allowed | at |",
        "|-|-|-|-|-|-|-|",
    ]
    for (file, source, status), found in grouped().items():
        share, row = max(found, key=lambda pair: pair[0])
        deviation = row.computed() - row.expected
        relative = f"{100.0 * deviation / row.expected:+.3f} %" if row.expected else "-"
        size = relative if row.kind == "rel" else f"{deviation:+.4g} {row.unit}"
        lines.append(
            f"| {file} | {source} | {status} | {len(found)} | {size} | {100.0 * share:.0f} % "
            f"| {row.id} |"
        )
    return lines


if __name__ == "__main__":
    sys.stdout.write("\n".join(table()) + "\n")
