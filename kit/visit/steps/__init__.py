"""The actions of a visit, one module for each phase; importing this registers them all."""

from kit.visit.steps import (
    before,
    decide,
    finish,
    gauges,
    indoor,
    measure,
    outdoor,
    run,
    safe,
)

__all__ = [
    "before",
    "decide",
    "finish",
    "gauges",
    "indoor",
    "measure",
    "outdoor",
    "run",
    "safe",
]
