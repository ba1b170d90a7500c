"""One row of the benchmark: what was measured, the bar, the figure, and whether it holds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A figure beside its bar.

    Parameters
    ----------
    name : str
        The name by which the row is asked for.
    what : str
        What was measured.
    figure, bar : float
        The figure measured and its bar, both in `unit`; NaN for a row left out.
    unit : str
        Unit of both.
    better : "lower" or "higher"
        On which side of the bar the figure should lie.
    note : str
        How it was measured, or why it was left out.
    """

    name: str
    what: str
    figure: float
    bar: float
    unit: str
    better: Literal["lower", "higher"] = "lower"
    note: str = ""


def left_out(name: str, what: str, bar: float, unit: str, why: str) -> Row:
    """A row that could not be measured here, and why."""
    return Row(name=name, what=what, figure=float("nan"), bar=bar, unit=unit, note=why)


def is_measured(row: Row) -> bool:
    """Whether the row has a figure."""
    return row.figure == row.figure


def holds(row: Row) -> bool:
    """Whether the figure meets its bar; a row left out does not."""
    return row.figure <= row.bar if row.better == "lower" else row.figure >= row.bar
