"""Tasks of the lesson on electrical checks: supply, windings, insulation, sensors, signal line."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from kit.screens.task import Reply, Task
from kit.screens.tasks._asked import choice, number
from kit.screens.tasks._given import at, share, step, words
from kit.screens.tasks._meters import (
    HOT_K,
    ICE_K,
    SENDERS,
    TABLE_BETA_K,
    TABLE_R25_OHM,
    WORKSHOP_K,
    machine_sensor,
    ntc_ohm,
    ntc_table_ohm,
    ntc_temperature_k,
    room_sensor,
    sagging,
    signal_levels,
)
from kit.screens.tasks._motor import (
    compressors_checked,
    compressors_table,
    insulation_checked,
    insulation_table,
    windings_checked,
    windings_table,
)
from kit.visit.outcome import ArgumentInfo, Measure, line

LIMITS = {"under_voltage_stop": "stopped, supply too low", "current": "high current"}


def _kilohm(value: float) -> Measure:
    return Measure(value, "sensor_resistance")


def _voltage_guessed(given: Mapping[str, Any]) -> Reply:
    volts, truth = sagging()
    amps, sagged = truth.current_a, 3
    change = float(amps[sagged] / amps[0]) - 1.0
    came = "same" if abs(change) < 0.03 else "higher" if change > 0 else "lower"
    rows = tuple(
        (
            Measure(volts[i], "voltage"),
            Measure(float(truth.power_w[i]), "power"),
            Measure(float(amps[i]), "current"),
            step(float(truth.split_k[i])),
            "; ".join(LIMITS.get(name, name) for name in truth.limits[i]) or "nothing yet",
        )
        for i in range(len(volts))
    )
    said = (
        line("An inverter takes the power it needs. With fewer volts it draws more amperes."),
        line(
            "A heater would draw less. Here the sag costs {more} more current, and a poor lug "
            "heats with its square.",
            more=share(change),
        ),
        line("The split does not tell, until the board has had enough and stops."),
    )
    head = words("Supply voltage", "Input power", "Current", "Split", "Held back by")
    return Reply(given["current"] == came, said, (head, *rows))


_METER_HINTS = {
    ("state", "live"): "Ohms on a live part wreck the meter, or you. Nothing is measured in ohms "
    "before it is proved dead.",
    ("state", "remote"): "Off at the remote leaves the mains on the terminals and the bus charged.",
    ("meter", "two"): "The higher voltage is no comfort: CAT II is for what hangs on a socket, and "
    "a surge on fixed wiring carries more energy.",
    ("leads", "old"): "The pair is worth its weakest part. Leads have a category of their own.",
    ("leads", "bare"): "Bare metal beyond the guard bridges two terminals in a crowded box.",
}


def _meter_checked(given: Mapping[str, Any]) -> Reply:
    hints = [line(_METER_HINTS[pair]) for pair in given.items() if pair in _METER_HINTS]
    if hints:
        return Reply(False, tuple(hints))
    return Reply(True, (
        line("Live-dead-live first, ohms after: in that order the meter survives and so do you."),
        line("Category before voltage, and the same on the leads."),
    ))  # fmt: skip


def _sheet(given: Mapping[str, Any]) -> Reply:
    r25, beta = given["r25"], given["beta"]
    rows: list[tuple[Any, ...]] = []
    if "temperature" in given:
        ohm = ntc_ohm(given["temperature"], r25, beta)
        rows.append((at(given["temperature"]), _kilohm(ohm)))
    if "resistance" in given:
        rows.append((at(ntc_temperature_k(given["resistance"], r25, beta)),
                     _kilohm(given["resistance"])))  # fmt: skip
    if not rows:
        return Reply(None, (line("Give a temperature or a resistance, or both."),))
    said = line("Worked out by the two-point law of such sensors: cold is high, warm is low.")
    return Reply(None, (said,), (words("Temperature", "Resistance"), *rows))


def _ice_checked(given: Mapping[str, Any]) -> Reply:
    want = ntc_ohm(ICE_K, TABLE_R25_OHM, TABLE_BETA_K)
    got = given["ice"]
    if abs(got - want) > 51.0:  # a reading in tenths of a kilohm will do
        hint = "Put resistance at 77 °F, beta and the temperature of ice into the sheet above."
        if abs(got - ntc_ohm(ICE_K, TABLE_R25_OHM, machine_sensor()[1])) <= 51.0:
            hint = "That is another sensor's beta. The number stands on the sensor's own sheet."
        elif abs(got - TABLE_R25_OHM) <= 51.0:
            hint = "That is its resistance at 77 °F (25 °C). Ice is colder, so it reads higher."
        return Reply(False, (line(hint),))
    rows = []
    for celsius in (0, 50):
        kelvin, printed = celsius + 273.15, ntc_table_ohm(celsius)
        law = ntc_ohm(kelvin, TABLE_R25_OHM, TABLE_BETA_K)
        error = ntc_temperature_k(printed, TABLE_R25_OHM, TABLE_BETA_K) - kelvin
        rows.append((at(kelvin), _kilohm(law), _kilohm(printed), step(error)))
    return Reply(True, (
        line("Law and table part by up to 3 %, which is about 1 °F (0.6 K): far less than a "
             "broken sensor is off."),
        line("Where the unit's own table is at hand, use that."),
    ), (words("Temperature", "By the law", "Printed table", "Law would say"), *rows))  # fmt: skip


def _sensor_table() -> tuple[tuple[Any, ...], ...]:
    (r25, beta), sensor = machine_sensor(), room_sensor()
    return (
        words("At the room sensor", "Figure"),
        ("air beside it, by a probe", at(sensor.air_k)),
        ("its resistance, plug off the board", _kilohm(sensor.ohm)),
        ("resistance at 77 °F (25 °C), on its sheet", _kilohm(r25)),
        ("beta, on its sheet", f"{beta:g} K"),
    )


def _sensor_checked(given: Mapping[str, Any]) -> Reply:
    (r25, beta), (air_k, ohm) = machine_sensor(), room_sensor()
    want = ntc_temperature_k(ohm, r25, beta)
    got, said = given["told"], []
    if abs(got - want) > 0.12:
        hint = "Put its resistance into the sheet, with the figures of its own sheet."
        if abs(got - ntc_temperature_k(ohm, r25, TABLE_BETA_K)) <= 0.12:
            hint = "That is with the beta of the other sensor. Look at the last row."
        elif abs(got - air_k) <= 0.12:
            hint = "That is the air. What does the board believe, that sees the resistance alone?"
        said.append(line(hint))
    if given["effect"] != ("idles" if want < air_k else "races"):
        said.append(line("The board compares this temperature with the setpoint. Is it cooler or "
                         "warmer than the room?"))  # fmt: skip
    if said:
        return Reply(False, tuple(said))
    return Reply(True, (
        line("It believes the room to be {off} cooler than it is, and takes its ease.",
             off=step(air_k - want)),
        line("A low split with nothing dirty may be just this. Plug and clip first; the part is "
             "changed for one of its kind, never for a resistor that happens to fit."),
    ))  # fmt: skip


def _signal_table() -> tuple[tuple[Any, ...], ...]:
    levels = [signal_levels(sender) for sender in SENDERS]
    return (
        words("While you watch", "Unit A", "Unit B", "Unit C"),
        ("lowest voltage", *(Measure(low, "voltage") for low, _ in levels)),
        ("highest voltage", *(Measure(high, "voltage") for _, high in levels)),
    )


_SIGNAL_HINTS = {
    "dead": "One line stands still at its high level: somebody holds it up and nobody pulls it "
    "down. Who should?",
    "sound": "One line swings between low and high, as talk looks on a meter.",
    "open": "On one line nothing arrives at all.",
}


def _signal_checked(given: Mapping[str, Any]) -> Reply:
    missed = [sender for unit, sender in zip("abc", SENDERS, strict=True) if given[unit] != sender]
    if missed:
        return Reply(False, tuple(line(_SIGNAL_HINTS[sender]) for sender in missed[:2]))
    return Reply(True, (
        line("Swinging is healthy; steady low is a wire, steady high is a sender that is silent."),
        line("Levels differ from unit to unit; that it must swing is common to all."),
    ))  # fmt: skip


def _four(**choices: str) -> tuple[ArgumentInfo, ...]:
    return tuple(choice(unit, f"Unit {unit.upper()} has", **choices) for unit in "abcd")


TASKS = (
    Task(
        "guess-voltage",
        "Say it first: the lights dim",
        (
            line("A sound 230 V unit runs at full demand. Then the supply sags by 15 %."),
            line("What does the clamp meter show while it sags?"),
        ),
        (
            choice("current", "The running current is", lower="clearly lower",
                   same="about the same", higher="clearly higher"),
        ),
        "Say it and run the unit",
        _voltage_guessed,
        once=True,
    ),
    Task(
        "meter",
        "Before the tips touch anything",
        (line("You want the resistance of the compressor's windings, at the terminals of the "
              "outdoor unit."),),
        (
            choice("state", "The unit is", live="running", remote="off at the remote",
                   dead="disconnected, locked, tagged, proved dead, bus measured"),
            choice("meter", "The meter that proves it dead", two="CAT II 1000 V",
                   three="CAT III 600 V"),
            choice("leads", "Its leads", old="an old pair marked CAT II",
                   bare="CAT III, the tips bare for a finger's length",
                   good="CAT III 600 V, whole, tips shrouded"),
        ),
        "Check it",
        _meter_checked,
    ),
    Task(
        "windings",
        "Three pairs and a pair of leads",
        (
            line(
                "Dead, locked, proved; the compressor's leads are off the board. The motor is at "
                "{warm}. Its data sheet wants the pairs equal within 10 %.",
                warm=at(WORKSHOP_K),
            ),
        ),
        (
            number("uv", "Between U and V, leads taken off", "resistance", 0.0, 100.0),
            number("spread", "Largest less smallest, over the mean", "fraction", 0.0, 3.0),
            choice("means", "That is", within="within 10 %", beyond="beyond 10 %"),
        ),
        "Check it",
        windings_checked,
        table=windings_table,
    ),
    Task(
        "cold-insulation",
        "A good figure on a cold morning",
        (
            line(
                "A cold morning, leads off the board. By rule the figure halves for each 18 °F "
                "(10 K) of warming. What would it be at {warm}?",
                warm=at(HOT_K),
            ),
        ),
        (
            number("at_40c", "Brought to that temperature", "insulation", 0.0, 1e9),
            choice("means", "That is", above="above the least value", below="below it"),
        ),
        "Check it",
        insulation_checked,
        table=insulation_table,
    ),
    Task(
        "compressors",
        "Four compressors that do not start",
        (line("Leads together were taken off each figure. Say what each one has."),),
        _four(open="a broken winding", earthed="a winding on earth",
              sound="sound windings: look elsewhere", leads="its leads still on the board"),
        "Check it",
        compressors_checked,
        table=compressors_table,
    ),
    Task(
        "sensor-sheet",
        "Sensor sheet",
        (line("Give both figures of a sensor's data sheet, and a temperature or a resistance."),),
        (
            number("r25", "Resistance at 77 °F (25 °C)", "sensor_resistance", 100.0, 1e6),
            ArgumentInfo("beta", "Beta, in kelvin", "number", low=2000.0, high=5500.0),
            ArgumentInfo("temperature", "Temperature", "number", required=False,
                         measure="temperature", low=223.15, high=423.15),
            ArgumentInfo("resistance", "Resistance", "number", required=False,
                         measure="sensor_resistance", low=10.0, high=5e6),
        ),
        "Work it out",
        _sheet,
    ),
    Task(
        "ice-bath",
        "A cup of ice and water",
        (
            line(
                "A sensor of {r25} at 77 °F (25 °C) and beta {beta} K stands in melting ice, "
                "{ice}. What should it read?",
                r25=_kilohm(TABLE_R25_OHM), beta=TABLE_BETA_K, ice=at(ICE_K),
            ),
        ),
        (number("ice", "In ice it should read", "sensor_resistance", 0.0, 1e6),),
        "Compare with a printed table",
        _ice_checked,
    ),
    Task(
        "room-sensor",
        "What does the board believe?",
        (line("In cooling the unit idles, though the room is warm. These figures are read."),),
        (
            number("told", "The board believes it is", "temperature", 223.15, 373.15),
            choice("effect", "So in cooling it", idles="slows down too early",
                   races="runs longer than it should"),
        ),
        "Check it",
        _sensor_checked,
        table=_sensor_table,
    ),
    Task(
        "signal",
        "Who is silent?",
        (line("A qualified person watches the signal line at the outdoor terminals, live, for ten "
              "seconds each. Say what is the matter."),),
        tuple(
            choice(unit, f"Unit {unit.upper()} has", open="a cable that is open between the units",
                   dead="an outdoor board that does not speak", sound="a sound line")
            for unit in "abc"
        ),
        "Check it",
        _signal_checked,
        table=_signal_table,
    ),
)  # fmt: skip
