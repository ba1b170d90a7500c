"""The construction of a curve in words: rows of the sum, the cursor, the parts' curves."""

from __future__ import annotations

from typing import Any

import numpy as np

from pvsim.app.words import _
from pvsim.circuit import Cell, solve
from pvsim.numbers import decimals_for, format_fixed
from pvsim.reading.axes import Axes, reach
from pvsim.reading.construction import Group, Stage
from pvsim.reading.stack import Row, Stack, cell_currents

__all__ = ["PART_COLOURS", "ledger", "part_lines"]

# Tol's muted set on white and his light set on dark, without the hues of the curves themselves.
PART_COLOURS = {
    "light": ("#117733", "#882255", "#8A6D00", "#4B3F99", "#00696B", "#7A4B2A", "#5A5F66"),
    "dark": ("#6FCB8B", "#F59AC0", "#DDCC77", "#B6ABFF", "#5FD0C5", "#E0A37A", "#B8BEC5"),
}
DASHES = ("solid", "6 3", "2 2", "8 3 2 3", "10 4", "3 3", "1 3")


def ledger(stage: Stage, sums: Stack, axes: Axes, *, theme: str) -> dict[str, Any]:
    """Everything the ledger and the cursor show.

    Parameters
    ----------
    stage, sums : Stage, Stack
        The parts, and what they have at the cursor.
    axes : Axes
        The cursor stays within them.
    theme : str
        "light" or "dark".
    """
    unit, at_unit = ("V", "A") if stage.series else ("A", "V")
    span = axes.voltage_V if stage.series else axes.current_A
    least, most = axes.current_A if stage.series else axes.voltage_V
    decimals = decimals_for(span[1])
    at = format_fixed(sums.at, at_unit, decimals=decimals_for(most))
    total = format_fixed(sums.total, unit, decimals=decimals)
    rows: list[dict[str, Any]] = [
        {
            "label": row_label(stage, row, unit, decimals),
            "short": row_label(stage, row, unit, decimals, short=True),
            "from": row.start,
            "to": row.end,
            "colour": part_colour(row.groups[0] if len(row.groups) == 1 else -1, theme),
        }
        for row in sums.rows
    ]
    if stage.series:
        title = _("At {at} through all, voltages add").format(at=at)
        label = _("cut at current")
    elif isinstance(stage.whole, Cell):
        title = _("At {at} across the cell, currents add").format(at=at)
        label = _("cut at voltage")
    else:
        title = _("At {at} across all, currents add").format(at=at)
        label = _("cut at voltage")
    said = _("together {total} at {at}").format(total=total, at=at)
    return {
        "kind": "series" if stage.series else "parallel",
        "at": sums.at,
        "least": least,
        "most": most,
        "rows": rows,
        "total": sums.total,
        "totalLabel": _("together {total}").format(total=total),
        "title": title,
        "spoken": title + ": " + "; ".join(row["label"] for row in rows) + ". " + said,
        "label": label,
        "said": said,
        "unit": at_unit,
        "number": format_fixed(sums.at, decimals=decimals_for(most)),
    }


def row_label(stage: Stage, row: Row, unit: str, decimals: int, *, short: bool = False) -> str:
    """What a row stands for: "substring 2: −0.47 V", "19 cells: 19 × 0.58 V = 11.02 V".

    Parameters
    ----------
    short : bool
        Without the product, which the bar shows.

    Notes
    -----
    A cell's branches have the signs of its circuit: what its diode takes is taken off.
    """
    taken = isinstance(stage.whole, Cell) and row.groups[0] > 0
    total = format_fixed((row.start - row.end) if taken else (row.end - row.start), unit, decimals=decimals)
    if row.each is None:
        return _("{count} others: {total}").format(count=row.count, total=total)
    group = stage.groups[row.groups[0]]
    name = group_name(group)
    if taken:
        return _("minus {name}: {total}").format(name=name, total=total)
    if row.count == 1:
        return _("{name}: {total}").format(name=name, total=total)
    each = format_fixed(row.each, unit, decimals=decimals if short else min(3, decimals + 1))
    if short:
        return _("{name}: {count} × {each}").format(name=name, count=row.count, each=each)
    return _("{name}: {count} × {each} = {total}").format(name=name, count=row.count, each=each, total=total)


def group_name(group: Group) -> str:
    """The parts of a group: "substring 2", "substrings 1, 3", "19 cells"."""
    one, many = group.kind
    if not group.numbers:
        return one if group.count == 1 else many
    if group.count == 1:
        return f"{one} {group.numbers[0]}"
    if group.count <= 3:
        return f"{many} {', '.join(str(number) for number in group.numbers)}"
    first, last = group.numbers[0], group.numbers[-1]
    if last - first + 1 == group.count:
        return f"{many} {first}–{last}"
    return f"{group.count} {many}"


def part_colour(index: int, theme: str) -> str:
    """The colour of a group; -1 for what is folded together."""
    return PART_COLOURS[theme][-1 if index < 0 else index % (len(DASHES) - 1)]


def part_lines(stage: Stage, axes: Axes, *, theme: str, most: int = 12) -> dict[str, Any]:
    """The parts' own curves, one line a group, each in its colour and dash.

    Parameters
    ----------
    most : int
        More groups than this are thinned: their curves could not be told apart.
    """
    lines: dict[str, Any] = {"xs": [], "ys": [], "colour": [], "dash": []}
    if isinstance(stage.whole, Cell):
        # Light alone is a level line; what junction and leaks take off it is the curve's own shape.
        light = cell_currents(stage.whole, 0.0)[0]
        drawn = [(0, np.array(axes.voltage_V), np.array([light, light]))]
    else:
        step = max(1, -(-len(stage.groups) // most))
        drawn = []
        for k, group in list(enumerate(stage.groups))[::step]:
            curve = reach(group.element, solve(group.element), axes)
            drawn.append((k, curve.voltage_V, curve.current_A))
    for k, V, I in drawn:
        lines["xs"].append(V)
        lines["ys"].append(I)
        lines["colour"].append(part_colour(k, theme))
        lines["dash"].append(DASHES[k % len(DASHES)])
    return lines
