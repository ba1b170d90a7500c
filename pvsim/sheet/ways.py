"""Ways of joining the cells of a sheet, cell by cell: which ends of a substring then lie where."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from pvsim.array.catalogue import CATALOGUE
from pvsim.array.cell_layout import full_module, half_module
from pvsim.array.module import ModuleType, Substring, cell_rectangles
from pvsim.prompt import summary
from pvsim.sheet.bands import candidates_of
from pvsim.sheet.data_sheet import DataSheet, cell_size_mm
from pvsim.sheet.finding import Amount, Finding
from pvsim.words import mark

_SAME_LINE_m = 0.02  # ends so near to one line meet one ribbon along it; of two halves they are a gap apart


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way of joining the cells as they are counted.

    Parameters
    ----------
    name : str
        "columns", "halves", "one-way" or "rows".
    title : str
        Marked to be translated.
    module : ModuleType
        For a drawing: its cells are joined that way; what else they are is of no account.
    side_by_side : int
        Chains in parallel in each substring.
    fits : bool
        Whether a silicon cell can have the voltage that this way leaves each.
    reaches : bool
        Whether the ends of all substrings lie on one line, along which a junction box, or one for each
        diode, can stand.
    apart_m : float
        How far the two ends of a substring are apart, over edges that meet at right angles; the most.
    """

    name: str
    title: str
    module: ModuleType
    side_by_side: int
    fits: bool
    reaches: bool
    apart_m: float

    __repr__ = summary


def ways_of(sheet: DataSheet) -> tuple[Way, ...]:
    """The ways of joining that a class would think of, for as many chains as the voltage allows.

    Parameters
    ----------
    sheet : DataSheet

    Returns
    -------
    tuple of Way
        Down one column and up the next, all in series; the same in two halves, where the rows make two;
        each column in the same direction; row by row.
    """
    fits = {one.side_by_side: one.fits for one in candidates_of(sheet)}
    halves = sheet.rows % 2 == 0 and sheet.columns * sheet.rows >= 2 * max(sheet.bypass_diodes, 1)
    chains = 2 if halves and fits.get(2) and not fits[1] else 1
    found = [_way(sheet, "columns", mark("Down one column, up the next"), 1, fits[1], _whole(sheet))]
    if halves:
        title = mark("The same in two halves, side by side")
        found.append(_way(sheet, "halves", title, 2, fits.get(2, False), _halves(sheet)))
    others: tuple[tuple[str, str, Order], ...] = (
        ("one-way", mark("Every column the same way"), _one_way),
        ("rows", mark("Row by row"), _rows),
    )
    for name, title, order in others:
        module = _wired(sheet, chains, order)
        found.append(_way(sheet, name, title, chains, fits[chains], module))
    return tuple(found)


def way_findings(ways: Sequence[Way]) -> dict[str, Finding]:
    """What each way means for voltage and diodes, by its name."""
    return {way.name: _finding(way) for way in ways}


Order = Callable[[Sequence[int], int, int, int], tuple[int, ...]]


def _one_way(rows: Sequence[int], columns: int, first: int, each: int) -> tuple[int, ...]:
    """Positions down each of the columns, one after the other."""
    return tuple(row * columns + first + k for k in range(each) for row in rows)


def _rows(rows: Sequence[int], columns: int, first: int, each: int) -> tuple[int, ...]:
    """The share of a substring when all rows are gone through to and fro."""
    there = [
        row * columns + (at if k % 2 == 0 else columns - 1 - at)
        for k, row in enumerate(rows)
        for at in range(columns)
    ]
    share = len(rows) * each
    return tuple(there[first // each * share : (first // each + 1) * share])


def _whole(sheet: DataSheet) -> ModuleType:
    return _plain(sheet, full_module)


def _halves(sheet: DataSheet) -> ModuleType:
    return _plain(sheet, half_module)


def _plain(sheet: DataSheet, build: Callable[..., ModuleType]) -> ModuleType:
    width, height = cell_size_mm(sheet)
    like = CATALOGUE["full-60"]  # the cell and the diode are not drawn
    return build(
        name="way",
        title=sheet.title,
        note="",
        cell=like.cell,
        rows=sheet.rows,
        columns=sheet.columns,
        cell_width_m=round(width / 1000.0, 6),
        cell_height_m=round(height / 1000.0, 6),
        diodes=max(sheet.bypass_diodes, 1),
        diode=like.substrings[0].diode if sheet.bypass_diodes else None,
    )


def _wired(sheet: DataSheet, chains: int, order: Order) -> ModuleType:
    """The module with its cells taken in another order; of two halves each half from the middle outwards."""
    module = _halves(sheet) if chains == 2 else _whole(sheet)
    rows, columns = sheet.rows, sheet.columns
    each = columns // len(module.substrings)
    parts: list[Sequence[int]] = [range(rows)]
    if chains == 2:
        parts = [range(rows // 2 - 1, -1, -1), range(rows // 2, rows)]
    substrings = tuple(
        Substring(chains=tuple(order(part, columns, first, each) for part in parts), diode=one.diode)
        for one, first in zip(module.substrings, range(0, columns, each), strict=True)
    )
    return replace(module, substrings=substrings)


def _way(sheet: DataSheet, name: str, title: str, side_by_side: int, fits: bool, module: ModuleType) -> Way:
    ends = _ends(module)
    first = np.concatenate([ends[:, 0], ends[:, 1]])
    lines = [np.ptp(first[:, axis]) for axis in (0, 1)]
    apart = np.abs(ends[:, 1] - ends[:, 0]).sum(axis=1)
    return Way(
        name=name,
        title=title,
        module=module,
        side_by_side=side_by_side,
        fits=fits,
        reaches=bool(min(lines) <= _SAME_LINE_m),
        apart_m=float(apart.max()),
    )


def _ends(module: ModuleType) -> np.ndarray:
    """(chains, 2, 2): where each chain begins and ends, in m.

    A ribbon leaves a cell at the edge away from its neighbour in the chain; where there is none, at the top.
    """
    rectangles = cell_rectangles(module)
    found, at = [], 0
    for part in module.substrings:
        for chain in part.chains:
            cells = range(at, at + len(chain))
            inner = cells[1] if len(cells) > 1 else None
            last = cells[-2] if len(cells) > 1 else None
            found.append([_leaving(rectangles, cells[0], inner), _leaving(rectangles, cells[-1], last)])
            at += len(chain)
    return np.array(found)


def _leaving(rectangles: np.ndarray, cell: int, neighbour: int | None) -> tuple[float, float]:
    left, top, right, bottom = rectangles[cell].tolist()
    x, y = (left + right) / 2.0, (top + bottom) / 2.0
    if neighbour is None:
        return x, top
    dx, dy = ((rectangles[neighbour][:2] + rectangles[neighbour][2:]) / 2.0 - (x, y)).tolist()
    if abs(dy) >= abs(dx):
        return x, top if dy > 0.0 else bottom
    return (left if dx > 0.0 else right), y


def _finding(way: Way) -> Finding:
    values = (("apart", Amount(value=way.apart_m, unit="m", digits=2)),)
    if not way.fits:
        return Finding(
            about=way.name,
            bearing="excluded",
            says=mark("The voltage excludes it: no silicon cell has what this way leaves each."),
        )
    if not way.reaches:
        return Finding(
            about=way.name,
            bearing="doubt",
            says=mark(
                "The voltage allows it, but the ends lie on no common line: about {apart} of conductor "
                "through the module for each substring."
            ),
            values=values,
        )
    return Finding(
        about=way.name,
        bearing="allowed",
        says=mark(
            "The voltage allows it, and all ends lie on one line, those of a substring {apart} apart: they "
            "reach a junction box there."
        ),
        values=values,
    )
