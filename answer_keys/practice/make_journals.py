"""Make the practice journals again from the scripts beside them.

Run from the top folder: python answer_keys/practice/make_journals.py [work order ...]
"""

from __future__ import annotations

import sys
from pathlib import Path

import kit
from kit.marking.script import load_script, play

HERE = Path(__file__).parent


def main(names: list[str]) -> None:
    """Play every script and print the mark of its journal."""
    for script_path in sorted(HERE.glob("*/*.toml")):
        if names and script_path.parent.name not in names:
            continue
        script = load_script(script_path)
        journal = script_path.with_suffix(".jsonl")
        journal.unlink(missing_ok=True)
        visit = kit.open_visit(
            script.work_order, seed=script.seed, learner=script.learner, journal=journal
        )
        play(script, visit)
        visit.close()
        mark = kit.mark(journal)
        print(f"{script_path.parent.name}/{script_path.stem}: {mark.points:g} / {mark.out_of:g}")
        for row in mark.rows:
            if row.points < row.out_of:
                print(f"    {row.name}: {row.points:g} / {row.out_of:g}")


if __name__ == "__main__":
    main(sys.argv[1:])
