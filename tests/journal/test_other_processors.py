"""A journal made on one kind of processor replays on another."""

from __future__ import annotations

import os
import subprocess
import sys

from kit import library
from tests.golden import make
from tests.golden.visits import VISITS

PRACTICE = ("humid-room-01/weak", "heating-cold-coil-01/careful", "low-charge-01/model")
# Each argument is a journal, and after a bar the work order where it is none of the kit's.
_REPLAY = """
import sys
from kit.journal import replay
from kit.visit.work_order import load_work_order
for pair in sys.argv[1:]:
    path, _, order = pair.partition("|")
    replay(path, order=load_work_order(order) if order else None)
"""


def dispatched() -> list[str]:
    """Return the instruction sets that numpy chooses at run time and this processor has."""
    from numpy._core._multiarray_umath import __cpu_dispatch__, __cpu_features__

    return [name for name in __cpu_dispatch__ if __cpu_features__.get(name)]


def replayed_by_a_lesser_processor(*pairs: str) -> None:
    """Replay journals without the vector instructions of newer processors."""
    lesser = {
        "NPY_DISABLE_CPU_FEATURES": " ".join(dispatched()),
        "OPENBLAS_CORETYPE": "Prescott",
        "GLIBC_TUNABLES": "glibc.cpu.hwcaps=-AVX2,-FMA,-AVX512F,-FMA4",
    }
    done = subprocess.run(
        [sys.executable, "-c", _REPLAY, *pairs],
        cwd=library.root(), env=os.environ | lesser, capture_output=True, text=True, check=False,
    )  # fmt: skip

    assert "" == done.stderr
    assert 0 == done.returncode


def test_golden_visits_show_the_same() -> None:
    """Sums round otherwise there; readings do not."""
    replayed_by_a_lesser_processor(
        *(f"{make.HERE / name}.jsonl|{make.HERE / name}.toml" for name in VISITS)
    )


def test_practice_visits_show_the_same() -> None:
    """Exponentials that differ in the last bit must not make an honest journal a forged one."""
    replayed_by_a_lesser_processor(
        *(str(library.answer_keys("practice", f"{name}.jsonl")) for name in PRACTICE)
    )
