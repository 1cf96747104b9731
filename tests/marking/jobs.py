"""Whole jobs at a machine, written down as they go; what several tests of the marking read."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import kit
from kit.journal import Replay, replay
from kit.visit.outcome import Outcome, Reading

FULL_K = {"cooling": 289.15, "heating": 305.15}
CARE = ["ignition_clear", "detector_on", "aired"]


class Job:
    """A recorded visit that must not be refused anything."""

    def __init__(self, order: str, path: Path, seed: int = 7) -> None:
        """Arrive."""
        self.path = path
        self.visit: Any = kit.open_visit(order, seed=seed, learner="a-1", journal=path)
        self.mode = self.visit.order.mode

    def do(self, action: str, **args: Any) -> Outcome:
        """Do a step."""
        outcome = self.visit.step(action, **args)
        assert not outcome.refused, f"{action}: {outcome.why}"
        assert not outcome.stopped, f"{action}: {outcome.text}"
        return outcome

    def read(self, tool: str, at: str, hold_s: float = 60.0, **write: str) -> Reading:
        """Read an instrument and write down what it shows: item=when."""
        outcome = self.do("read", instrument=tool, at=at, hold_s=hold_s)
        for item, when in write.items():
            from kit.visit.sheet import ITEMS

            found = [r for r in outcome.readings if r.quantity == ITEMS[item].quantity]
            self.do("record", item=item, when=when, reading=found[0].number)
        return outcome.readings[-1]

    def run(self, minutes: float = 12.0, mode: str | None = None) -> None:
        """Ask for all there is and wait."""
        mode = mode or self.mode
        self.do("set_demand", mode=mode, setpoint_k=FULL_K[mode])
        self.do("wait", minutes=minutes)

    def done(self) -> Replay:
        """Leave, and do it all again."""
        self.visit.close()
        return replay(self.path)


def circuit_job(path: Path) -> Replay:
    """Repair a leak from gauges to weigh-in, every number written down."""
    job = Job("low-charge-01", path)
    _read_as_found(job)
    _mended_and_tested(job)
    _evacuated_and_charged(job)
    return job.done()


def _read_as_found(job: Job) -> None:
    job.do("call_supervisor")
    job.do("wear", items=["goggles", "cut_gloves", "insulating_gloves"])
    job.do("take_precautions", measures=CARE)
    job.run(12)
    job.read("air_probe", "outdoor_intake", 200, outdoor_dry_bulb="as_found")
    job.read("air_probe", "room_centre", 200, return_dry_bulb="as_found")
    job.do("attach_gauges")
    job.read("pipe_clamp", "gas_line", 200, gas_line="as_found")
    job.read("gauges", "gas_port", port_pressure="as_found")
    job.do("set_demand", mode="off")
    job.do("wait", minutes=20)
    job.read("gauges", "gas_port", standing_pressure="as_found")
    job.do("search_leak", where="gas_flare_outdoor", method="bubbles")
    job.do("record", item="leak_found", when="as_found", words="gas_flare_outdoor")


def _mended_and_tested(job: Job) -> None:
    for action in ("pull_disconnect", "lock", "tag"):
        job.do(action)
    job.read("charging_scale", "cylinder_own", cylinder_before="as_found")
    job.do("recover", cylinder="own")
    job.read("charging_scale", "cylinder_own", cylinder_after="as_found")
    job.do("repair_leak", where="gas_flare_outdoor", method="new_flare", nitrogen_flow=True)
    for pressure in (350e3, 1.03e6, 3.5e6):
        job.do("pressurise", gas="nitrogen", regulator="relief", to_pa=pressure)
        job.do("wait", minutes=5)
    job.do("wait", minutes=25)
    for item, minutes in (("nitrogen_start", 20), ("nitrogen_end", 1)):
        job.read("air_probe", "outdoor_intake", 200)
        job.read("gauges", "gas_port", **{item: "as_left"})
        job.do("wait", minutes=minutes)
    job.do("let_out")


def _evacuated_and_charged(job: Job) -> None:
    job.do("connect_pump", hose="wide", cores_out=True, oil="fresh")
    job.do("start_pump")
    job.do("wait", minutes=20)
    job.read("vacuum_gauge", "vacuum_far", vacuum_reached="as_left")
    job.do("stop_pump")
    job.do("wait", minutes=10)
    job.read("vacuum_gauge", "vacuum_far", vacuum_after_hold="as_left")
    job.do("read_data_sheet")
    job.do("measure_lines")
    job.do("set_up_scale", tare="hose_filled")
    mass = job.visit._state.spec.charge_kg
    job.do("enter", item="charge_to_weigh", when="as_left", value=mass)
    job.do("weigh_in", refrigerant="R-32", phase="liquid", mass_kg=mass)
    sheet = {entry.item: entry.value for entry in job.visit.view().sheet}
    took = sheet["cylinder_after"] - sheet["cylinder_before"]
    job.do("enter", item="recovered", when="as_found", value=round(took, 3))


def air_job(path: Path, mode: str = "cooling") -> Replay:
    """Measure speed, outlet and both air states, so that a capacity follows."""
    job = Job({"cooling": "humid-room-01", "heating": "heating-sound-01"}[mode], path)
    job.run(15)
    job.do("measure_outlet")
    job.read("anemometer", "outlet_grid", 30, air_speed="as_found")
    job.read("psychrometer", "return_grille", 240, return_dry_bulb="as_found",
             return_wet_bulb="as_found")  # fmt: skip
    job.read("psychrometer", "supply", 240, supply_dry_bulb="as_found", supply_wet_bulb="as_found")
    if mode == "heating":
        job.do("call_supervisor")
        job.do("wear", items=["goggles", "cut_gloves"])
        job.do("take_precautions", measures=CARE)
        job.do("attach_gauges")
        job.read("pipe_clamp", "small_line", 200, small_line="as_found")
        job.read("gauges", "gas_port", port_pressure="as_found")
    return job.done()
