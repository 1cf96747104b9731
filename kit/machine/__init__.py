"""Machines: data sheet, condition, surroundings, and what is true of them."""

from kit.machine.advance import advance
from kit.machine.condition import Condition
from kit.machine.settle import settle, settle_many
from kit.machine.spec import Spec, load_spec, spec_names
from kit.machine.surroundings import Command, Surroundings
from kit.machine.truth import Truth

__all__ = [
    "Command",
    "Condition",
    "Spec",
    "Surroundings",
    "Truth",
    "advance",
    "load_spec",
    "settle",
    "settle_many",
    "spec_names",
]
