"""Try the installed kit without its clone and without the test tools: a reading, and the data."""

import importlib.util
import sys
from pathlib import Path

import kit
from kit import language, library
from kit.machine import Command, Condition, Surroundings, load_spec, settle, spec_names

clone = Path(__file__).resolve().parent.parent
if clone in Path(kit.__file__).resolve().parents:
    sys.exit("The clone was tried instead of the installed package.")
if importlib.util.find_spec("pytest"):
    sys.exit("The test tools are here: this trial shows nothing.")
for name in ("datasets", "lessons", "answer_keys"):
    if not (library.root() / name).is_dir():
        sys.exit(f"The installed package lacks {name}.")

around = Surroundings(300.0, 0.5, 308.15, 0.4)
if language.translator("es")("Job sheet") == "Job sheet":
    sys.exit("The installed package lacks its translations.")
truth = settle(load_spec(spec_names()[0]), Condition(), around, Command("cooling", 291.15))
sys.stdout.write(f"{spec_names()[0]}: split {truth.split_k:.1f} K, {truth.capacity_w:.0f} W\n")
sys.exit(0 if truth.split_k > 5.0 else 1)
