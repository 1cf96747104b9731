"""Apprentices who act before they measure: a part-swapper, a gauge-first, and a guesser."""

from __future__ import annotations

import random

from tests.apprentices.hands import Hands, words
from tests.apprentices.skilled import ENDS_K, PROOF


def _plate(h: Hands) -> str:
    plate = words(h.do("read_nameplate").lines)["name"]
    h.write("refrigerant", "as_found", plate)
    return plate


def _glance(h: Hands, minutes: float) -> None:
    """Run it for a few minutes and hold a probe to both sides for a moment."""
    when = "as_found"
    h.do("set_demand", mode=h.mode, setpoint_k=ENDS_K[h.mode], fan="auto")
    h.do("wait", minutes=minutes)
    h.read("air_probe", "return_grille", 15, patient=False, return_dry_bulb=when)
    h.read("air_probe", "supply", 15, patient=False, supply_dry_bulb=when)
    drop = h.sheet["return_dry_bulb", when] - h.sheet["supply_dry_bulb", when]
    h.enter("split", when, round(-drop if h.mode == "heating" else drop, 2), "own")


def swap_parts(h: Hands) -> None:
    """Listen, glance, change the board and a sensor, and trust them; safe with electricity."""
    h.do("read_work_order")
    h.ask("what", "codes")
    _plate(h)
    h.look("display")
    _glance(h, 3)
    h.do("decide", choice="other_cause", reasons=["codes"])
    h.do("order_part", part="inverter_board")
    h.do("fetch_parts")
    h.do("set_demand", mode="off")
    h.do("pull_disconnect")
    h.do("lock")
    h.do("wear", items=["glasses", "insulating_gloves"])
    h.do("wait", minutes=10)
    h.do("open_outdoor", part="terminal_cover")
    for place in ("known_source", *PROOF, "known_source"):
        h.do("read", instrument="multimeter", at=place)
    h.do("open_outdoor", part="outdoor_panels")
    h.do("change_part", part="inverter_board")
    h.do("open_indoor", part="front_panel")
    h.do("open_indoor", part="indoor_casing")
    h.do("change_part", part="coil_sensor")
    for part in ("indoor_casing", "front_panel", "outdoor_panels", "terminal_cover"):
        h.do("refit", part=part)
    h.do("remove_lock")
    h.do("restore_power")
    h.do("conclude", findings=["dead-inverter-board", "coil-sensor-out-of-range"],
         recommendations=["replace_part", "yearly_service"])  # fmt: skip
    h.do("hand_over", explain=["what_was_done", "recommendations"])


def gauges_first(h: Hands) -> None:
    """Hang gauges on before anything else, and add some refrigerant whatever they show."""
    h.do("read_work_order")
    h.ask("what")
    plate = _plate(h)
    h.do("call_supervisor")
    h.do("wear", items=["glasses", "insulating_gloves"])
    h.do("decide", choice="gauges_first", reasons=[])
    h.do("attach_gauges")
    _glance(h, 5)
    h.read("gauges", "gas_port", 30, patient=False, port_pressure="as_found")
    h.do("top_up", refrigerant=plate, phase="vapour", seconds=30)
    h.do("remove_gauges", cap=True)
    h.do("set_demand", mode="off")
    h.do("conclude", findings=["low-charge"], recommendations=["top_up"])
    h.do("hand_over", explain=["what_was_done"])


def guess(h: Hands, seed: int) -> None:
    """Draw lots: what is asked, decided, found, recommended and told; measure nothing."""
    lots = random.Random(seed)

    def some(action: str, argument: str, most: int) -> list[str]:
        return lots.sample(h.choices(action, argument), lots.randint(0, most))

    if lots.random() < 0.5:
        h.do("read_work_order")
    h.ask(*some("ask", "topic", 3))
    choice = lots.choice(h.choices("decide", "choice"))
    h.do("decide", choice=choice, reasons=some("decide", "reasons", 4))
    found = some("conclude", "findings", 2) or ["nothing-wrong"]
    h.do("conclude", findings=found, recommendations=some("conclude", "recommendations", 3))
    h.do("hand_over", explain=some("hand_over", "explain", 3))
