"""The journals that a class handed in: found in a folder, and a demo class to practise on."""

from __future__ import annotations

import os
import shutil
from dataclasses import dataclass
from pathlib import Path

from kit import library
from kit.errors import KitError
from kit.screens.folder import learner_folder

FOLDER, DEMO = "handed_in", "demo_class"
MOST_FILES, MOST_LOOKED = 2_000, 20_000
SUFFIX, CHANGES = ".jsonl", ".overrides.jsonl"
# Three jobs of the demo class, quick to mark; the keys' three visits stand for three learners.
DEMO_ORDERS = ("dirty-coil-01", "failed-compressor-01", "heating-check-01")
DEMO_LEARNERS = ("model", "careful", "weak")
_CUT = 700  # bytes: more than the last line's end, less than the line


@dataclass(frozen=True, slots=True)
class Found:
    """What lies in a folder.

    Args:
        folder: the folder.
        files: the journals, by name.
        more: whether there were more than are looked at.
    """

    folder: Path
    files: tuple[Path, ...]
    more: bool


def handed_in_folder() -> Path:
    """Return the folder that waits for what a class hands in, made when it is missing."""
    folder = learner_folder() / FOLDER
    folder.mkdir(exist_ok=True)
    return folder


def journals(folder: str | Path) -> Found:
    """Return the journals in a folder and its subfolders, whatever they are called.

    Args:
        folder: the folder.

    Raises:
        KitError: there is no such folder, or it cannot be looked into.
    """
    top = Path(folder).expanduser()
    try:
        if not top.is_dir():
            raise KitError(f"There is no folder {str(folder)!r}. Check its path.")
        return _walked(top)
    except (OSError, ValueError) as error:  # ValueError: a path with a zero byte in it
        raise KitError(f"The folder {str(folder)!r} cannot be opened.") from error


def _walked(top: Path) -> Found:
    found: list[Path] = []
    looked, more = 0, False
    for place, folders, names in os.walk(top):  # links to other folders are not followed
        folders.sort()
        looked += len(folders) + len(names)
        found += [
            Path(place) / name
            for name in sorted(names)
            if name.endswith(SUFFIX) and not name.endswith(CHANGES)
        ]
        if len(found) > MOST_FILES or looked > MOST_LOOKED:
            more = True
            break
    return Found(top, tuple(sorted(found)[:MOST_FILES]), more)


def demo_class() -> Path:
    """Return the folder of the demo class, made anew when it is missing.

    Its journals are those of the answer keys: three invented learners at three jobs. What an
    inbox holds besides lies in `found_in_the_inbox`: a journal handed in twice, one that was cut
    off, and a file that is none.
    """
    top = learner_folder() / DEMO
    inbox = top / "found_in_the_inbox"
    if inbox.is_dir():
        return top
    for learner in DEMO_LEARNERS:
        place = top / learner
        place.mkdir(parents=True, exist_ok=True)
        for order in DEMO_ORDERS:
            shutil.copyfile(
                library.answer_keys("practice", order, f"{learner}.jsonl"),
                place / f"{order}.jsonl",
            )
    inbox.mkdir()
    shutil.copyfile(top / "careful" / f"{DEMO_ORDERS[0]}.jsonl", inbox / "my-visit-2.jsonl")
    whole = (top / "careful" / f"{DEMO_ORDERS[1]}.jsonl").read_bytes()
    (inbox / "cut-off.jsonl").write_bytes(whole[:-_CUT])
    (inbox / "shopping-list.jsonl").write_text("filters\n", encoding="utf-8")
    return top
