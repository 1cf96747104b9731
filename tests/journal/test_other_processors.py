"""A journal made on one kind of processor replays on another."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from kit import library

JOURNALS = ("humid-room-01/weak", "heating-cold-coil-01/careful", "low-charge-01/model")
_REPLAY = """
import sys
from kit.journal import replay
for path in sys.argv[1:]:
    replay(path)
"""


def dispatched() -> list[str]:
    """Return the instruction sets that numpy chooses at run time and this processor has."""
    from numpy._core._multiarray_umath import __cpu_dispatch__, __cpu_features__

    return [name for name in __cpu_dispatch__ if __cpu_features__.get(name)]


def test_a_journal_replays_without_the_wide_instructions() -> None:
    """Exponentials that differ in the last bit must not make an honest journal a forged one."""
    if not dispatched():
        pytest.skip("this processor has none of the instruction sets that numpy chooses from")
    plain = os.environ | {
        "NPY_DISABLE_CPU_FEATURES": " ".join(dispatched()),
        "GLIBC_TUNABLES": "glibc.cpu.hwcaps=-AVX2,-FMA,-AVX512F,-FMA4",
    }
    paths = [str(library.answer_keys("practice", f"{name}.jsonl")) for name in JOURNALS]
    ran = subprocess.run(
        [sys.executable, "-c", _REPLAY, *paths],
        cwd=library.root(), env=plain, capture_output=True, text=True, check=False,
    )  # fmt: skip

    assert "" == ran.stderr
    assert 0 == ran.returncode
