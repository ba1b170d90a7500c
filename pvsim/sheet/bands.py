"""Voltage per counted cell: what each band allows, what it excludes, and how the cells can be joined."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pvsim.prompt import summary
from pvsim.sheet.data_sheet import DataSheet
from pvsim.sheet.finding import Amount, Finding
from pvsim.words import mark

Layout = Literal["columns", "halves", "other"]

# Open-circuit voltage of one silicon cell in full light: 0.55 to 0.76 V from the plainest multicrystalline
# cell to the best heterojunction; common practice, no single source.
SERIES_V = (0.55, 0.76)
HALVES_V = (0.27, 0.38)
_USUAL_COUNTS = (
    36, 40, 48, 50, 54, 60, 66, 72, 78, 80, 84, 88, 96, 100, 104, 108, 110, 112, 120, 126, 132, 144, 150, 156,
)  # fmt: skip
_MOST_COUNTS = 6
_CHAINS = (1, 2, 3, 4, 6)  # side by side: whole cells, halves, thirds, strips
_SQUARE = 1.5  # from this ratio of the sides on, a cell is no whole one


@dataclass(frozen=True, slots=True, kw_only=True)
class Structure:
    """One way the counted cells can be joined.

    Parameters
    ----------
    in_series, side_by_side : int
        Their product is the number of cells.
    cell_voc_V, cell_isc_A : float
        What each cell then has.
    layout : "columns", "halves" or "other"
        All in series, down one column and up the next; two halves in parallel; or more chains side by
        side, which are not wired from a sheet.
    fits : bool
        Whether a silicon cell can have that voltage.
    """

    in_series: int
    side_by_side: int
    cell_voc_V: float
    cell_isc_A: float
    layout: Layout
    fits: bool

    __repr__ = summary


def voltage_per_counted_cell_V(sheet: DataSheet) -> float:
    """Voc over the number of cells counted on the front."""
    return sheet.voc_V / sheet.cells


def candidates_of(sheet: DataSheet) -> tuple[Structure, ...]:
    """All ways of joining the counted cells in equal chains, and whether the voltage fits each."""
    return tuple(_structure(sheet, chains) for chains in _CHAINS if sheet.cells % chains == 0)


def structure_of(sheet: DataSheet) -> Structure | None:
    """The one way of joining the cells that voltage and rows allow; None where the voltage is in no band."""
    per_cell = voltage_per_counted_cell_V(sheet)
    if SERIES_V[0] <= per_cell <= SERIES_V[1]:
        return _structure(sheet, 1)
    if HALVES_V[0] <= per_cell <= HALVES_V[1] and sheet.rows % 2 == 0:
        return _structure(sheet, 2)
    return None


def voltage_findings(sheet: DataSheet) -> tuple[Finding, ...]:
    """What the voltage per counted cell says."""
    per_cell = voltage_per_counted_cell_V(sheet)
    values = (
        ("voc", Amount(value=sheet.voc_V, unit="V", digits=4)),
        ("cells", Amount(value=sheet.cells)),
        ("each", Amount(value=per_cell, unit="V")),
    )
    found = [
        Finding(
            about="voltage-per-cell",
            bearing="open",
            says=mark("{voc} over {cells} counted cells is {each} for each."),
            values=values,
        )
    ]
    if SERIES_V[0] <= per_cell <= SERIES_V[1]:
        found += [
            Finding(
                about="all-in-series",
                bearing="allowed",
                says=mark(
                    "A silicon cell in full light has about 0.55 V to 0.76 V: so all {cells} can be in "
                    "series."
                ),
                values=values[1:2],
            ),
            Finding(
                about="two-halves",
                bearing="excluded",
                says=mark("Two halves in parallel would need cells of {twice} each, more than silicon has."),
                values=(("twice", Amount(value=2.0 * per_cell, unit="V")),),
            ),
        ]
    elif HALVES_V[0] <= per_cell <= HALVES_V[1]:
        found += [
            Finding(
                about="two-halves",
                bearing="allowed",
                says=mark(
                    "That is half of what a silicon cell has (about 0.55 V to 0.76 V): so two parallel "
                    "halves "
                    "were counted, {half} cells in series in each, {twice} a cell."
                ),
                values=(
                    ("half", Amount(value=sheet.cells // 2)),
                    ("twice", Amount(value=2.0 * per_cell, unit="V")),
                ),
            ),
            Finding(
                about="all-in-series",
                bearing="excluded",
                says=mark(
                    "All in series would make cells of {each}; no silicon cell in full light has so little."
                ),
                values=values[2:],
            ),
        ]
        found += _shape(sheet)
        if sheet.rows % 2:
            found.append(
                Finding(
                    about="check-the-count",
                    bearing="doubt",
                    says=mark("{rows} rows do not make two equal halves: check the count of rows."),
                    values=(("rows", Amount(value=sheet.rows)),),
                )
            )
    else:
        found += [_more_chains(one) for one in candidates_of(sheet) if one.fits]
        found.append(_no_band(sheet, per_cell))
    return tuple(found)


def _shape(sheet: DataSheet) -> tuple[Finding, ...]:
    """Whether the cells look like halves; nothing where the sheet has no size."""
    if sheet.cell_width_mm is None or sheet.cell_height_mm is None:
        return ()
    sides = sorted((sheet.cell_width_mm, sheet.cell_height_mm))
    ratio = sides[1] / sides[0]
    cut = ratio >= _SQUARE
    found = Finding(
        about="cell-shape",
        bearing="allowed" if cut else "open",
        says=mark(
            "Cells of {width} by {height}, {ratio} times as long as wide, agree with that: they are cut "
            "cells."
        )
        if cut
        else mark(
            "Cells of {width} by {height} are whole ones: two parallel halves of whole cells are rare, so "
            "count once more."
        ),
        values=(
            ("width", Amount(value=sheet.cell_width_mm, unit="mm", digits=0)),
            ("height", Amount(value=sheet.cell_height_mm, unit="mm", digits=0)),
            ("ratio", Amount(value=ratio, digits=2)),
        ),
    )
    return (found,)


def _more_chains(structure: Structure) -> Finding:
    return Finding(
        about="more-chains",
        bearing="open",
        says=mark(
            "{chains} chains side by side would leave {voc} a cell, which silicon has: possible with strips "
            "or thirds of cells, but they are not wired from a sheet here."
        ),
        values=(
            ("chains", Amount(value=structure.side_by_side)),
            ("voc", Amount(value=structure.cell_voc_V, unit="V")),
        ),
    )


def _no_band(sheet: DataSheet, per_cell: float) -> Finding:
    """Neither reading fits: which usual counts would."""
    counts = [
        n
        for n in _USUAL_COUNTS
        if any(least <= sheet.voc_V / n <= most for least, most in (SERIES_V, HALVES_V))
    ]
    counts = sorted(sorted(counts, key=lambda n: abs(n - sheet.cells))[:_MOST_COUNTS])
    says = (
        mark("{each} fits neither: check the count. With this Voc it would be, of usual counts, {counts}.")
        if counts
        else mark("{each} fits neither: check the count, and Voc.")
    )
    return Finding(
        about="check-the-count",
        bearing="doubt",
        says=says,
        values=(("each", Amount(value=per_cell, unit="V")), ("counts", ", ".join(map(str, counts)))),
    )


def _structure(sheet: DataSheet, side_by_side: int) -> Structure:
    in_series = sheet.cells // side_by_side
    cell_V = sheet.voc_V / in_series
    layouts: dict[int, Layout] = {1: "columns", 2: "halves"}
    return Structure(
        in_series=in_series,
        side_by_side=side_by_side,
        cell_voc_V=cell_V,
        cell_isc_A=sheet.isc_A / side_by_side,
        layout=layouts.get(side_by_side, "other"),
        # Two halves are judged by their own band, whose ends are rounded.
        fits=SERIES_V[0] <= cell_V <= SERIES_V[1]
        or (side_by_side == 2 and HALVES_V[0] <= sheet.voc_V / sheet.cells <= HALVES_V[1]),
    )
