"""Work on the refrigerant circuit by an expert, with somebody certified standing by."""

from __future__ import annotations

from tests.apprentices.hands import Hands, figures, words

SEA_LEVEL_PA = 101325.0
CARE = ("ignition_clear", "detector_on", "aired")
STEPS_PA = (350e3, 1.03e6, 3.5e6)


def read_running(h: Hands) -> None:
    """Attach gauges to a running unit, work out superheat, and look where it leaks."""
    h.do("call_supervisor")
    h.do("wear", items=["goggles", "cut_gloves"])
    h.do("take_precautions", measures=list(CARE))
    h.do("attach_gauges")
    got = h.read("gauges", "gas_port", 60, port_pressure="as_found")
    plate = words(h.do("read_nameplate").lines)["name"]
    pressure = got["port_pressure"].value
    said = figures(h.do("look_up_saturation", refrigerant=plate, pressure_pa=pressure).lines)
    h.read("pipe_clamp", "gas_line", 120, gas_line="as_found")
    h.enter("superheat", "as_found", round(h.sheet["gas_line", "as_found"] - said["dew"], 2))
    found = "none"
    for where in h.choices("search_leak", "where"):
        outcome = h.do("search_leak", where=where, method="bubbles")
        if not outcome.refused and ("Bubbles" in outcome.text or "foam" in outcome.text):
            found = where
            break
    h.write("leak_found", "as_found", found)
    h.leak = found


def mend(h: Hands) -> None:
    """Recover, mend, test with nitrogen, evacuate and weigh in; the unit is isolated."""
    recover(h)
    method = "new_flare" if "flare" in h.leak else "replace_part"
    method = "new_core" if h.leak == "port_core" else method
    h.do("repair_leak", where=h.leak, method=method, tightened="torque_wrench",
         nitrogen_flow=True)  # fmt: skip
    press(h)
    evacuate(h)
    charge(h)


def recover(h: Hands) -> None:
    """Recover into a weighed cylinder."""
    h.read("charging_scale", "cylinder_own", cylinder_before="as_found")
    h.do("recover", cylinder="own")
    h.read("charging_scale", "cylinder_own", cylinder_after="as_found")
    got = h.sheet["cylinder_after", "as_found"] - h.sheet["cylinder_before", "as_found"]
    h.enter("recovered", "as_found", round(got, 3))


def press(h: Hands) -> None:
    """Put nitrogen on in steps, hold it, and correct its end for the temperature."""
    for pressure in STEPS_PA:
        h.do("pressurise", gas="nitrogen", regulator="relief", to_pa=pressure)
        h.do("wait", minutes=3)
    h.do("wait", minutes=15)
    warm = h.value("air_probe_b", "outdoor_intake", 60)
    h.read("gauges", "gas_port", 60, nitrogen_start="as_left")
    h.do("wait", minutes=16)
    cold = h.value("air_probe_b", "outdoor_intake", 60)
    h.read("gauges", "gas_port", 60, nitrogen_end="as_left")
    start = h.sheet["nitrogen_start", "as_left"] + SEA_LEVEL_PA
    h.enter("nitrogen_expected", "as_left", round(start * cold / warm - SEA_LEVEL_PA, -2))
    h.do("let_out")


def evacuate(h: Hands) -> None:
    """Draw it down through a short hose with the core out, and hold it."""
    h.do("connect_pump", hose="wide", cores_out=True, oil="fresh")
    h.do("place", instrument="vacuum_gauge", at="vacuum_far")
    h.do("start_pump")
    h.do("wait", minutes=20)
    h.do("stop_pump")
    h.read("vacuum_gauge", "vacuum_far", 15, patient=False, vacuum_reached="as_left")
    h.do("wait", minutes=10)
    h.read("vacuum_gauge", "vacuum_far", 15, patient=False, vacuum_after_hold="as_left")


def charge(h: Hands) -> None:
    """Weigh in what plate and lines call for, and take everything off."""
    sheet = h.do("read_data_sheet")
    said = figures(sheet.lines)
    long_m = figures(h.do("measure_lines").lines)["length"]
    more = max(long_m - said["length"], 0.0) * said["extra"]
    mass = round(said["charge"] + more, 3)
    h.enter("charge_to_weigh", "as_left", mass)
    plate = words(h.do("read_nameplate").lines)["name"]
    h.do("set_up_scale", tare="hose_filled")
    h.do("weigh_in", refrigerant=plate, phase="liquid", mass_kg=mass)
    h.do("disconnect_pump")
    h.do("remove_gauges", cap=True)
