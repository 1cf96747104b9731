"""A work order: the machine, its surroundings, what is hidden in it, and the people, as data."""

from __future__ import annotations

import hashlib
import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from kit import library
from kit.errors import KitError, UnknownNameError
from kit.language import Translator, translator
from kit.machine.condition import KNOB_NAMES, Condition
from kit.machine.surroundings import Command, Surroundings
from kit.visit.circuit_facts import NO_FACTS, CircuitFacts, facts
from kit.visit.fitted import NOTHING_FITTED, Fitted, fitted
from kit.visit.own_words import TAGS, beside, own_words
from kit.visit.site_facts import NOBODY_ELSE, SiteFacts, site_facts
from kit.visit.topics import TOPICS

_TOP_KEYS = {
    "format", "id", "title", "invented", "machine", "mode", "rubric", "brief", "allowed_min",
    "customer", "site", "surroundings", "supply", "learner", "fault", "condition", "instrument",
    "circuit", "fitted", "remote", *TAGS,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class SiteHazard:
    """Something at the site that a hazard walk finds.

    Args:
        name: short name.
        text: what is seen.
    """

    name: str
    text: str


@dataclass(frozen=True, slots=True)
class HiddenFault:
    """A fault put into the machine.

    Args:
        name: name of a fault in `kit.faults`.
        severity: how bad it is: a level [0..1], or the name of one of the fault's severities.
    """

    name: str
    severity: float | str


@dataclass(frozen=True, slots=True)
class WorkOrder:
    """One visit as an instructor wrote it; the learner sees the paper, not the faults.

    Args:
        name: its id, also the name of its file.
        title: one line.
        machine: name of a machine in `datasets/machines`.
        mode: mode the visit is about, "cooling" or "heating".
        rubric: name of the rubric it is marked by.
        brief: lines printed on the paper.
        allowed_min: time a supervisor allows [min].
        customer: name on the paper.
        says: what the customer answers, by topic.
        site_hazards: what a hazard walk finds.
        surroundings: air at both units.
        sun_k: how much a probe in the sun reads above the shade [K].
        indoor_own_circuit: True when the indoor unit is fed by a circuit of its own.
        certified: whether the learner may work on the refrigerant circuit alone.
        faults: what is hidden.
        knobs: further knobs set directly.
        instrument_faults: instruments that are broken ("dead" shows nothing).
        digest: SHA-256 of the file, in hexadecimal.
        circuit: what is so of the refrigerant circuit beyond the faults.
        fitted: what the unit has besides the usual.
        drift_k_s: how fast the air outdoors warms during the visit [K/s].
        remote: what the remote shows as found (off, with a set temperature and a fan speed);
            None when nobody noted it.
        people: other people at the site.
        translations: for each language of the file, its texts by their English.
    """

    name: str
    title: str
    machine: str
    mode: str
    rubric: str
    brief: tuple[str, ...]
    allowed_min: float
    customer: str
    says: Mapping[str, str]
    site_hazards: tuple[SiteHazard, ...]
    surroundings: Surroundings
    sun_k: float
    indoor_own_circuit: bool
    certified: bool
    faults: tuple[HiddenFault, ...]
    knobs: Mapping[str, Any]
    instrument_faults: Mapping[str, str]
    digest: str
    circuit: CircuitFacts = NO_FACTS
    fitted: Fitted = NOTHING_FITTED
    drift_k_s: float = 0.0
    remote: Command | None = None
    people: SiteFacts = NOBODY_ELSE
    translations: Mapping[str, Mapping[str, str]] = field(default_factory=dict)

    def words(self, language: str) -> Translator:
        """Return what maps English texts to a language, those of this work order as well.

        Args:
            language: a BCP 47 tag; what the kit does not speak is left in English.
        """
        main = language.partition("-")[0].casefold()
        return translator(main, self.translations.get(main, {}))

    def condition(self) -> Condition:
        """Return the machine's condition as found.

        Raises:
            KitError: a fault or knob is unknown or out of range.
        """
        from dataclasses import replace

        condition = replace(Condition(), **self.knobs)
        if self.faults:
            from kit.faults import fault

            for hidden in self.faults:
                condition = fault(hidden.name).apply(condition, hidden.severity)
        return condition


def work_order_names() -> list[str]:
    """Return the names of the work orders that come with the kit."""
    return sorted(path.stem for path in library.datasets("work_orders").glob("*.toml"))


def load_work_order(name: str | Path) -> WorkOrder:
    """Read a work order by its name, or from a file of an instructor's own.

    Args:
        name: a name from `work_order_names()`, or the path of a `.toml` file.

    Raises:
        UnknownNameError: no such work order comes with the kit.
        KitError: the file breaks the form; the message names the key and what to write.
    """
    path = Path(name)
    if path.suffix != ".toml":
        path = library.datasets("work_orders", f"{name}.toml")
        if not path.is_file():
            raise UnknownNameError("work order", str(name), work_order_names())
    if not path.is_file():
        raise KitError(f"There is no file {path.name!r} where it was looked for. Check its path.")
    raw = path.read_bytes()
    try:
        data = tomllib.loads(raw.decode("utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise KitError(f"{path.name} is not a TOML file: {error}. Mend that line.") from error
    return _Form(path.name, {**beside(path), **data}).work_order(hashlib.sha256(raw).hexdigest())


class _Form:
    """Reads one work order and says exactly what is wrong with it."""

    def __init__(self, file: str, data: Mapping[str, Any]) -> None:
        self.file, self.data = file, data

    def work_order(self, digest: str) -> WorkOrder:
        self.only(self.data, _TOP_KEYS, "")
        if self.data.get("format") != 1:
            raise KitError(f"{self.file}: `format` must be 1. Write `format = 1` at the top.")
        customer = self.table("customer")
        supply, learner = self.table("supply", {}), self.table("learner", {})
        self.only(customer, {"name", "says"}, "customer")
        self.only(supply, {"indoor_own_circuit"}, "supply")
        self.only(learner, {"certified"}, "learner")
        return WorkOrder(
            name=self.text(self.data, "id"),
            title=self.text(self.data, "title"),
            machine=self.text(self.data, "machine"),
            mode=self.one_of(self.data, "mode", ("cooling", "heating")),
            rubric=self.text(self.data, "rubric"),
            brief=tuple(self.texts(self.data, "brief")),
            allowed_min=self.number(self.data, "allowed_min", 10, 600),
            customer=self.text(customer, "name", "customer"),
            says=self.says(customer),
            site_hazards=self.site_hazards(),
            surroundings=self.surroundings(),
            sun_k=self.number(self.table("surroundings"), "sun_k", 0, 15, 0.0),
            indoor_own_circuit=bool(supply.get("indoor_own_circuit", False)),
            certified=bool(learner.get("certified", False)),
            faults=self.faults(),
            knobs=self.knobs(),
            instrument_faults=self.instrument_faults(),
            digest=digest,
            circuit=facts(self.table("circuit", {}), self.file),
            fitted=fitted(self.table("fitted", {}), self.file),
            drift_k_s=self.number(
                self.table("surroundings"), "outdoor_drift_c_per_h", -4, 4, 0.0
            ) / 3600.0,
            remote=self.remote(),
            people=site_facts(self.table("site", {}), self.file),
            translations=own_words(self.data, self.file),
        )

    def where(self, table: str, key: str) -> str:
        return f"{self.file}: `{table + '.' if table else ''}{key}`"

    def only(self, table: Mapping[str, Any], known: set[str], name: str) -> None:
        for key in table:
            if key not in known:
                raise UnknownNameError(f"key in {self.file} {name}".strip(), key, sorted(known))

    def table(self, key: str, default: Mapping[str, Any] | None = None) -> Mapping[str, Any]:
        value = self.data.get(key, default)
        if not isinstance(value, Mapping):
            raise KitError(f"{self.where('', key)} must be a table. Write `[{key}]` and its lines.")
        return value

    def text(self, table: Mapping[str, Any], key: str, name: str = "") -> str:
        value = table.get(key)
        if not isinstance(value, str) or not value.strip():
            raise KitError(f'{self.where(name, key)} must be words. Write `{key} = "..."`.')
        return value

    def texts(self, table: Mapping[str, Any], key: str) -> list[str]:
        value = table.get(key)
        if not (isinstance(value, list) and value and all(isinstance(v, str) for v in value)):
            raise KitError(f"{self.where('', key)} must be a list of lines in quotes.")
        return list(value)

    def one_of(self, table: Mapping[str, Any], key: str, allowed: tuple[str, ...]) -> str:
        value = self.text(table, key)
        if value not in allowed:
            raise UnknownNameError(f"value of {self.where('', key)}", value, list(allowed))
        return value

    def number(
        self,
        table: Mapping[str, Any],
        key: str,
        low: float,
        high: float,
        default: float | None = None,
    ) -> float:
        value = table.get(key, default)
        fits = isinstance(value, int | float) and not isinstance(value, bool)
        if not fits or not math.isfinite(value) or not low <= value <= high:
            raise KitError(
                f"{self.where('', key)} is {value!r}; it must be a number from {low} to {high}."
            )
        return float(value)

    def remote(self) -> Command | None:
        if "remote" not in self.data:
            return None
        table = self.table("remote")
        self.only(table, {"setpoint_c", "fan"}, "remote")
        fans = ("auto", "quiet", "low", "medium", "high")
        setpoint_k = self.number(table, "setpoint_c", 16, 32) + 273.15
        return Command(mode="off", setpoint_k=setpoint_k, fan=self.one_of(table, "fan", fans))

    def says(self, customer: Mapping[str, Any]) -> dict[str, str]:
        says = customer.get("says", {})
        if not isinstance(says, Mapping):
            raise KitError(f"{self.where('customer', 'says')} must be a table of answers.")
        self.only(says, set(TOPICS), "customer.says")
        return {topic: self.text(says, topic, "customer.says") for topic in says}

    def site_hazards(self) -> tuple[SiteHazard, ...]:
        found = self.table("site", {}).get("hazard", [])
        if not isinstance(found, list):
            raise KitError(f"{self.where('site', 'hazard')} must be `[[site.hazard]]` tables.")
        return tuple(
            SiteHazard(self.text(one, "name", "site.hazard"), self.text(one, "text", "site.hazard"))
            for one in found
        )

    def surroundings(self) -> Surroundings:
        table = self.table("surroundings")
        known = {"room_c", "room_rh_percent", "outdoor_c", "outdoor_rh_percent", "altitude_m"}
        self.only(table, known | {"sun_k", "outdoor_drift_c_per_h"}, "surroundings")
        return Surroundings(
            room_db_k=self.number(table, "room_c", 10, 40) + 273.15,
            room_rh=self.number(table, "room_rh_percent", 10, 95) / 100,
            outdoor_db_k=self.number(table, "outdoor_c", -25, 52) + 273.15,
            outdoor_rh=self.number(table, "outdoor_rh_percent", 10, 100) / 100,
            altitude_m=self.number(table, "altitude_m", 0, 3000, 0.0),
        )

    def faults(self) -> tuple[HiddenFault, ...]:
        found = self.data.get("fault", [])
        if not isinstance(found, list):
            raise KitError(f"{self.where('', 'fault')} must be `[[fault]]` tables.")
        return tuple(
            HiddenFault(self.text(one, "name", "fault"), self.severity(one)) for one in found
        )

    def severity(self, one: Mapping[str, Any]) -> float | str:
        if isinstance(one.get("severity"), str):
            return self.text(one, "severity", "fault")
        return self.number(one, "severity", 0, 1)

    def knobs(self) -> dict[str, Any]:
        table = self.table("condition", {})
        self.only(table, set(KNOB_NAMES), "condition")
        return dict(table)

    def instrument_faults(self) -> dict[str, str]:
        table = self.table("instrument", {})
        for name, what in table.items():
            if what != "dead":
                raise KitError(f'{self.where("instrument", name)} must be "dead" or left out.')
        return dict(table)
