"""The cables of a mounted array as tables: each string, and all together, now and before."""

from __future__ import annotations

from typing import Any

from pvsim.app.words import _
from pvsim.array.solution import ArraySolution
from pvsim.numbers import format_fixed
from pvsim.reading.cables import StringCables, all_cables, string_cables

__all__ = ["cable_tables"]


def cable_tables(solution: ArraySolution, earlier: ArraySolution | None) -> list[dict[str, Any]]:
    """One table of the cables now, and one of those it is compared with where they are others.

    Returns
    -------
    list of dict
        As `curve_table` gives; none for an array whose strings are rows.
    """
    now = string_cables(solution)
    if not now:
        return []
    tables = [_table(_("Cables of each string"), now)]
    before = () if earlier is None else string_cables(earlier)
    if before and before != now:
        tables.append(_table(_("Cables of each string, before"), before))
    return tables


def _table(caption: str, strings: tuple[StringCables, ...]) -> dict[str, Any]:
    rows = [_row(str(number), one) for number, one in enumerate(strings, start=1)]
    if len(strings) > 1:
        rows.append(_row(_("all"), all_cables(strings)))
    groups = [
        _("String"),
        _("cable m"),
        _("extensions"),
        _("joints"),
        _("drop V"),
        _("loss W"),
        _("loop m²"),
    ]
    return {"caption": caption, "groups": [(name, 1) for name in groups], "columns": [], "rows": rows}


def _row(name: str, one: StringCables) -> dict[str, Any]:
    cells = [
        name,
        format_fixed(one.bought_m, decimals=1),
        str(one.extensions),
        str(one.joints),
        format_fixed(one.drop_V, decimals=2),
        format_fixed(one.loss_W, decimals=1),
        format_fixed(one.loop_area_m2, decimals=1),
    ]
    return {"cells": cells, "name": ""}
