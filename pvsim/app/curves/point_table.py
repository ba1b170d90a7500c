"""The tables behind the figures: the same numbers, for eyes, ears and other programs."""

from __future__ import annotations

from typing import Any

import numpy as np

from pvsim.app.words import _
from pvsim.circuit import Characteristic
from pvsim.numbers import decimals_for, format_fixed
from pvsim.reading.axes import Axes
from pvsim.reading.difference import Quantity, on_curve

__all__ = ["curve_table"]

ROWS = 24


def curve_table(
    name: str, now: Characteristic, before: Characteristic | None, axes: Axes
) -> dict[str, Any]:
    """Points of the curve drawn, every key point among them.

    Parameters
    ----------
    name : str
        Of the part, for the caption.
    now, before : Characteristic
        Points are those of `now`; `before` is read at the same voltages.
    axes : Axes
        Points outside them are left out.

    Returns
    -------
    dict
        caption, groups of columns (title, how many), columns below them, and rows of
        {"cells": list of str, "name": str}.
    """
    low, high = axes.voltage_V
    volts, amperes = now.voltage_V, now.current_A
    least, most = axes.current_A
    seen = np.flatnonzero((volts >= low) & (volts <= high) & (amperes >= least) & (amperes <= most))
    chosen = seen
    if len(seen) > ROWS:
        even = np.linspace(volts[seen[0]], volts[seen[-1]], ROWS)
        chosen = np.unique(seen[np.searchsorted(volts[seen], even[:-1])])
    points = {(float(volts[k]), float(amperes[k])): "" for k in chosen}
    points[(0.0, now.isc_A)] = _("Isc")
    points[(now.voc_V, 0.0)] = _("Voc")
    for one in now.mpps:
        points[(one.voltage_V, one.current_A)] = _("MPP") if one == now.mpp else _("peak")
    digits = [decimals_for(abs(x)) for x in (now.voc_V, now.isc_A, now.mpp.power_W)]
    groups = [(_("V in V"), 1), (_("I in A"), 1), (_("P in W"), 1)]
    if before is not None:
        groups = [(_("V in V"), 1), (_("I in A"), 3), (_("P in W"), 3)]
    rows = []
    for (at_V, at_I), point in sorted(points.items()):
        cells = [format_fixed(at_V, decimals=digits[0])]
        for value, what, decimals in _columns(at_V, at_I, digits):
            cells.append(format_fixed(value, decimals=decimals))
            if before is not None:
                cells += _compared(before, at_V, value, what, decimals)
        rows.append({"cells": cells, "name": point})
    caption = _("I-V characteristic of {place}, {count} points").format(place=name, count=len(rows))
    below = [] if before is None else ["", *[_("now"), _("before"), "Δ"] * 2]
    return {"caption": caption, "groups": groups, "columns": below, "rows": rows}


def _columns(V: float, I: float, digits: list[int]) -> tuple[tuple[float, Quantity, int], ...]:
    return (I, "current", digits[1]), (V * I, "power", digits[2])


def _compared(
    before: Characteristic, voltage_V: float, value: float, what: Quantity, decimals: int
) -> list[str]:
    """What was before at the same voltage, and the difference; dashes where the earlier curve ends."""
    if not before.voltage_V[0] <= voltage_V <= before.voltage_V[-1]:
        return ["–", "–"]
    old = float(on_curve(before, np.array([voltage_V]), what)[0])
    return [format_fixed(old, decimals=decimals), format_fixed(value - old, decimals=decimals, sign=True)]
