"""Print, for each source, how many values are checked and the largest deviation found.

python -m tests.published_report
"""

import sys

from kit.machine import spec_names
from tests.machine.published_bands import COMPARISONS, KNOWN_MISSES, bands
from tests.published import Row, rows


def grouped() -> dict[tuple[str, str, str], list[tuple[float, Row]]]:
    """Return (file, source, status): [(deviation over tolerance, row), ...]."""
    groups: dict[tuple[str, str, str], list[tuple[float, Row]]] = {}
    for row in rows():
        share = abs(row.computed() - row.expected) / row.allowed()
        groups.setdefault((row.file, row.source, row.status), []).append((share, row))
    return groups


def value_lines() -> list[str]:
    """Return the table of published values."""
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


def band_lines() -> list[str]:
    """Return the table of bands: over all machines, the value nearest to or farthest outside."""
    lines = [
        "| Comparison | Source | Band | Machines' values | Compared | Outside |",
        "|-|-|-|-|-|-|",
    ]
    found = [
        (comparison, band)
        for comparison in COMPARISONS
        for machine in spec_names()
        for band in bands(machine, comparison)
    ]
    for name in dict.fromkeys(band.id for _, band in found):
        same = [band for _, band in found if band.id == name]
        if name.startswith("sign-") and not any(band.miss() for band in same):
            continue
        values = [float(band.value) for band in same]
        outside = sum(band.miss() > 1e-9 for band in same)
        lines.append(
            f"| {name} | {same[0].source} | {same[0].low:.4g} to {same[0].high:.4g} "
            f"| {min(values):.4g} to {max(values):.4g} | {len(same)} | {outside or '-'} |"
        )
    signs = [band for _, band in found if band.id.startswith("sign-")]
    lines.append(
        f"| signs, one each way | {signs[0].source} | - | - | {len(signs)} "
        f"| {sum(band.miss() > 0.0 for band in signs) or '-'} |"
    )
    return lines


def miss_lines() -> list[str]:
    """Return what is not reached, with the reason given."""
    return [
        "| Not reached | Farthest outside | Known of it |",
        "|-|-|-|",
        *(f"| {name} | {size:g} | {reason} |" for name, (size, reason) in KNOWN_MISSES.items()),
    ]


def main() -> None:
    """Print the three tables."""
    tables = (value_lines(), band_lines(), miss_lines())
    sys.stdout.write("\n\n".join("\n".join(table) for table in tables) + "\n")


if __name__ == "__main__":
    main()
