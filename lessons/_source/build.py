"""Build the lessons' notebooks from their text, always to the same bytes.

Run `python lessons/_source/build.py` after editing a text in this folder, or give it the names of
the lessons to build. The folder `es` holds the same lessons in Spanish. In a text, `---` on a
line of its own ends a cell, and a block fenced as python is a folded code cell. A text
`answer_keys/practice/*.solved.md` is built beside itself, run, and stored with its outputs; run
the same command after a change that moves readings or marks.
"""

from __future__ import annotations

import json
import os
import re
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).resolve().parent
_FENCE = re.compile(r"^```python\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def cells(text: str) -> list[tuple[str, str]]:
    """Return (kind, source) of each cell of a lesson's text."""
    found: list[tuple[str, str]] = []
    for piece in re.split(r"^---$", text, flags=re.MULTILINE):
        for number, part in enumerate(_FENCE.split(piece)):
            if part.strip():
                found.append(("code" if number % 2 else "markdown", part.strip()))
    return found


def notebook(text: str) -> str:
    """Return a notebook without outputs, as it is stored."""
    made = []
    for number, (kind, source) in enumerate(cells(text)):
        cell = {
            "cell_type": kind,
            "id": f"cell-{number:02d}",
            "metadata": {"jupyter": {"source_hidden": True}} if kind == "code" else {},
            "source": source.splitlines(keepends=True),
        }
        if kind == "code":
            cell |= {"execution_count": None, "outputs": []}
        made.append(cell)
    kernel = {"display_name": "Python 3", "language": "python", "name": "python3"}
    whole = {
        "cells": made,
        "metadata": {"kernelspec": kernel, "language_info": {"name": "python"}},
        "nbformat": 4,
        "nbformat_minor": 5,
    }
    return json.dumps(whole, ensure_ascii=False, indent=1, sort_keys=True) + "\n"


def whole_streams(outputs: list) -> list:
    """Join what was printed in pieces, which are cut by the clock and not by the cell."""
    joined: list = []
    for output in outputs:
        before = joined[-1] if joined else None
        if before and output.output_type == "stream" and before.get("name") == output.name:
            before.text += output.text
        else:
            joined.append(output)
    return joined


def solve(text: str, target: Path) -> None:
    """Run a solved notebook in a folder of its own and store it with its outputs."""
    import nbclient
    import nbformat

    made = nbformat.reads(notebook(text), as_version=4)
    with tempfile.TemporaryDirectory() as folder:
        os.environ["BENCHCALL_DATA"] = folder
        os.environ["PYTHONPATH"] = str(HERE.parents[1])  # the kit of this clone
        nbclient.NotebookClient(
            made, timeout=300, kernel_name="python3", store_widget_state=False
        ).execute()
    for cell in made.cells:
        cell.metadata.pop("execution", None)  # times, which would differ from run to run
        cell.metadata.pop("jupyter", None)
        if cell.cell_type == "code":
            cell.outputs = whole_streams(cell.outputs)
    made.metadata["language_info"] = {"name": "python"}
    nbformat.write(made, target)


def main() -> int:
    """Write every lesson and every solved one."""
    wanted = sys.argv[1:]
    for source in (*sorted(HERE.glob("*.md")), *sorted(HERE.glob("es/*.md"))):
        target = HERE.parent / source.relative_to(HERE).with_suffix(".ipynb")
        if wanted and source.stem not in wanted:
            continue
        target.parent.mkdir(exist_ok=True)
        target.write_text(notebook(source.read_text(encoding="utf-8")), encoding="utf-8")
        sys.stdout.write(f"{target.relative_to(HERE.parent)}\n")
    for source in sorted((HERE.parents[1] / "answer_keys" / "practice").glob("*.solved.md")):
        name = source.name.removesuffix(".solved.md")
        target = source.with_name(f"{name}.ipynb")
        if wanted and name not in wanted:
            continue
        solve(source.read_text(encoding="utf-8"), target)
        sys.stdout.write(f"{target.name}, solved\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
