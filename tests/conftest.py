"""What every test may use."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

import kit

# No deadline: the machine that runs a test may be busy with another. In CI the examples are the
# same each time, so that a submission is judged on what it changed.
settings.register_profile(
    "kit", deadline=None, print_blob=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("ci", settings.get_profile("kit"), derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "kit")


@pytest.fixture(scope="session")
def clone() -> Path:
    """Return the top folder of the clone; skip when the kit runs installed, without one."""
    top = Path(kit.__file__).resolve().parent.parent
    if not (top / "pyproject.toml").is_file():
        pytest.skip("an installed kit has no clone around it")
    return top
