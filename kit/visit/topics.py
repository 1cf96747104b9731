"""What a customer can be asked, and what is answered when the work order does not say."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from kit.visit.outcome import Line, line

if TYPE_CHECKING:
    from kit.machine.condition import Condition


@dataclass(frozen=True, slots=True)
class Topic:
    """One thing to ask.

    Args:
        title: label of the question.
        question: how it is asked.
    """

    title: str
    question: str


TOPICS: dict[str, Topic] = {
    "what": Topic("What is wrong", "What have you noticed?"),
    "since": Topic("Since when", "Since when, and is it always so?"),
    "codes": Topic("Codes or lamps", "Did it show a code or a blinking lamp, and what did it do?"),
    "drip": Topic("Water", "Does it drip anywhere?"),
    "noise": Topic("Noise", "Does it make a noise that is new?"),
    "smell": Topic("Smell", "Does it smell?"),
    "habits": Topic("Filter and settings", "How do you set it, and who washes the filter?"),
    "power": Topic("Power cuts", "Were there power cuts, or lamps that go dim?"),
    "last": Topic("Who was here last", "Who worked on it last, and was anything added?"),
    "people": Topic("People and pets", "Is anybody asthmatic? Are there pets or children?"),
}


def answer(topic: str, condition: Condition) -> Line:
    """Return what a customer who lives with this machine would have noticed.

    Args:
        topic: a key of `TOPICS`.
        condition: the machine as it is now.
    """
    for knob, threshold, words in _NOTICED.get(topic, ()):
        value = getattr(condition, knob)
        if isinstance(value, str) or value is None:
            hit = value is not None and value != "ok"
        elif knob.endswith("_factor") or knob == "charge_fraction":
            hit = value < threshold
        else:
            hit = value > threshold
        if hit:
            return line(words)
    return line(_ELSE[topic])


# (knob, threshold, words): the first that fits is said.
_NOTICED: dict[str, tuple[tuple[str, float, str], ...]] = {
    "what": (
        ("compressor_state", 0, "It blows, but the air is not any different from the room."),
        ("inverter_state", 0, "It blows, but the air is not any different from the room."),
        ("communication_state", 0, "It stops by itself and the lamp blinks."),
        ("charge_fraction", 0.8, "It runs all day and never gets there."),
        ("wheel_fouling", 0.3, "Hardly any air comes out of it."),
        ("filter_loading", 0.4, "The air is weak compared with when it was new."),
        ("outdoor_coil_blockage", 0.4, "On hot afternoons it gives up."),
    ),
    "codes": (
        ("communication_state", 0, "The lamp blinks and it stops, then it tries again."),
        ("compressor_state", 0, "Yes, there was something blinking. I did not write it down."),
        ("inverter_state", 0, "Yes, there was something blinking. I did not write it down."),
    ),
    "drip": (
        ("drain_blockage", 0.7, "Yes, it runs down the wall after an hour or so."),
        ("drain_blockage", 0.3, "On muggy days there are a few drops on the floor."),
        ("wheel_fouling", 0.5, "Now and then it spits a drop."),
    ),
    "noise": (
        ("wheel_fouling", 0.4, "It flutters, like a cloth in the wind."),
        ("compressor_state", 0, "Outside it hums for a moment and then there is a click."),
    ),
    "smell": (
        ("indoor_coil_film", 0.3, "Musty, mostly when it starts."),
        ("wheel_fouling", 0.4, "A bit like a cellar."),
    ),
    "power": (("supply_voltage_factor", 0.93, "The lamps go dim when it starts."),),
}
_ELSE = {
    "what": "Nothing much. I was told to have it looked after.",
    "since": "I could not say. It came little by little.",
    "codes": "No, only the green light.",
    "drip": "No, it is dry.",
    "noise": "No, it is as quiet as ever.",
    "smell": "No.",
    "habits": "I leave the remote as it is. The filter? I did not know there was one to wash.",
    "power": "No, not that I know.",
    "last": "Nobody since it was put in.",
    "people": "Nobody is asthmatic. No pets.",
}
