"""The work orders to choose from: what their heads say, and how far the learner has come."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from kit.screens.voice import Voice
    from kit.visit.work_order import WorkOrder

_MODES = {"cooling": "Cooling", "heating": "Heating"}


def work_orders() -> tuple[WorkOrder, ...]:
    """Return all work orders by the first line of their paper, which bears the job's number.

    Those of an instructor's own stand among them when they lie in the folder for it; one that
    cannot be read is left out here and told at the desk where they are written. File names may
    tell what is wrong, so these decide nothing that is shown.
    """
    from kit.screens.instructor.own_orders import own_orders
    from kit.visit.work_order import load_work_order, work_order_names

    orders = [load_work_order(name) for name in work_order_names()]
    orders += [one.order for one in own_orders() if one.order is not None]
    return tuple(sorted(orders, key=lambda order: (order.brief[0], order.name)))


def rows(
    orders: Sequence[WorkOrder],
    folder: Path,
    marks: Mapping[str, Any],
    opened: str,
    voice: Voice,
) -> list[dict[str, Any]]:
    """Return the shelf as the view shows it; a work order is known there by its place only.

    Args:
        orders: the work orders.
        folder: where the learner's journals lie.
        marks: the last mark of each work order that was handed over, by name.
        opened: name of the one that is open now; "" when none is.
        voice: language.
    """
    return [
        {
            "value": str(place),
            "title": order.words(voice.language)(order.title),
            "lines": [
                [voice.words("Customer"), order.customer],
                [voice.words("Season"), voice.words(_MODES.get(order.mode, order.mode))],
                [voice.words("Time allowed"), f"{order.allowed_min:g} {voice.words('min')}"],
                [voice.words("So far"), _so_far(order, folder, marks.get(order.name), voice)],
            ],
            "opened": order.name == opened,
        }
        for place, order in enumerate(orders)
    ]


def _so_far(order: WorkOrder, folder: Path, mark: object, voice: Voice) -> str:
    if isinstance(mark, dict) and {"points", "out_of", "passed"} <= mark.keys():
        passed = voice.words("Passed" if mark["passed"] else "Not passed")
        points = voice.words("points")
        return f"{passed}: {float(mark['points']):g} / {float(mark['out_of']):g} {points}"
    begun = (folder / f"{order.name}.jsonl").exists()
    return voice.words("Under way" if begun else "Not begun")
