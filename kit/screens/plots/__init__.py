"""Charts of lessons and marks: drawn as SVG text in the learner's units, language and colours."""

from __future__ import annotations

from kit.screens.plots.air import air_chart
from kit.screens.plots.airflow import airflow_chart
from kit.screens.plots.cycle import cycle_chart
from kit.screens.plots.split import split_chart

__all__ = ["air_chart", "airflow_chart", "cycle_chart", "split_chart"]
