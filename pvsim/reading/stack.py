"""What the parts of one step of a construction add up to, at one current or at one voltage."""

from __future__ import annotations

from dataclasses import dataclass
from math import expm1

from pvsim.circuit import Cell, Element, operate
from pvsim.circuit.leaf import leaf_of, photocurrent
from pvsim.reading.construction import Stage

__all__ = ["MOST_ROWS", "Row", "Stack", "cell_currents", "stack_at"]

MOST_ROWS = 7  # rows of the ledger that stay readable beside the figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of the sum.

    Parameters
    ----------
    groups : tuple of int
        Indices of the groups it stands for: one, or several folded together.
    count : int
        How many parts.
    each : float or None
        Voltage in V (or current in A) of one of them; None when folded.
    start, end : float
        The running sum before and after it.
    """

    groups: tuple[int, ...]
    count: int
    each: float | None
    start: float
    end: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """The parts of a stage at one current (series) or voltage (side by side).

    Parameters
    ----------
    at : float
        That current in A, or voltage in V.
    rows : tuple of Row
        In wiring order; what was folded comes last.
    total : float
        Of the whole, solved on its own: that the rows add up to it is a law, not a definition.
    """

    at: float
    rows: tuple[Row, ...]
    total: float


def stack_at(stage: Stage, at: float) -> Stack:
    """What every part has at one current (series) or one voltage (side by side).

    Parameters
    ----------
    at : float
        Current in A of a series stage, voltage in V of one side by side.
    """
    if isinstance(stage.whole, Cell):
        each = list(cell_currents(stage.whole, at)[: len(stage.groups)])
    else:
        each = [_value(group.element, at, series=stage.series) for group in stage.groups]
    alone, folded = _fold(each)
    rows, running = [], 0.0
    for k in alone:
        end = running + stage.groups[k].count * each[k]
        rows.append(Row(groups=(k,), count=stage.groups[k].count, each=each[k], start=running, end=end))
        running = end
    if folded:
        count = sum(stage.groups[k].count for k in folded)
        end = running + sum(stage.groups[k].count * each[k] for k in folded)
        rows.append(Row(groups=folded, count=count, each=None, start=running, end=end))
    return Stack(at=at, rows=tuple(rows), total=_value(stage.whole, at, series=stage.series))


def _fold(each: list[float]) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Groups that get a row of their own, those farthest from the middle one, and the others."""
    if len(each) <= MOST_ROWS:
        return tuple(range(len(each))), ()
    middle = sorted(each)[len(each) // 2]
    far = sorted(range(len(each)), key=lambda k: -abs(each[k] - middle))[: MOST_ROWS - 1]
    return tuple(sorted(far)), tuple(k for k in range(len(each)) if k not in far)


def _value(element: Element, at: float, *, series: bool) -> float:
    if series:
        return operate(element, current_A=at).voltage_V
    return operate(element, voltage_V=at).current_A


def cell_currents(cell: Cell, voltage_V: float) -> tuple[float, ...]:
    """What light, junction, shunt and breakdown give a cell at a terminal voltage, in A.

    Notes
    -----
    The four terms of pvsim.circuit.leaf at the junction voltage; they add up to the current.
    """
    point = operate(cell, voltage_V=voltage_V)
    law = leaf_of(cell).junction
    v = float(point.leaf_junction_V[0])
    junction = law.saturation_current_A * expm1(v / law.thermal_V)
    junction += law.second_saturation_current_A * expm1(v / law.second_thermal_V)
    reach = max(1.0 - v / law.breakdown_voltage_V, 1e-300)
    breakdown = v * law.breakdown_conductance_S * reach**-law.breakdown_exponent
    return photocurrent(cell), -junction, -v * law.conductance_S, -breakdown
