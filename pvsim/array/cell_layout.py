"""How the cells of a module are joined: columns down and up again, whole cells or two halves."""

from __future__ import annotations

from pvsim.array.module import ModuleType, Substring
from pvsim.circuit.cell import CellType
from pvsim.circuit.diode import Diode

GAP_m = 0.002  # between cells; common practice, no source
MARGIN_m = 0.02  # frame and glass; common practice, no source


def column_run(rows: range, columns: int, first: int, count: int = 2) -> tuple[int, ...]:
    """Positions along column `first`, back along the next one, and so on through `count` columns.

    Parameters
    ----------
    rows : range
        From the junction box outwards.
    columns, first : int
        Columns of the module, and the run's left one from 0.
    count : int
        Columns of the run. An even number ends at the side where it began.
    """
    return tuple(
        row * columns + first + k for k in range(count) for row in (rows if k % 2 == 0 else reversed(rows))
    )


def full_module(
    *,
    name: str,
    title: str,
    note: str,
    cell: CellType,
    rows: int,
    columns: int,
    cell_width_m: float,
    cell_height_m: float,
    diodes: int,
    diode: Diode | None,
    bifaciality: float = 0.0,
) -> ModuleType:
    """A module with all its cells in series: each substring goes down a column and up the next.

    Parameters
    ----------
    diodes : int
        How many substrings there are, each of columns / diodes columns.
    diode : Diode or None
        Across each of them.
    """
    each = columns // diodes
    width = columns * cell_width_m + (columns - 1) * GAP_m + 2 * MARGIN_m
    return ModuleType(
        name=name,
        title=title,
        note=note,
        cell=cell,
        rows=rows,
        columns=columns,
        cell_width_m=cell_width_m,
        cell_height_m=cell_height_m,
        substrings=tuple(
            Substring(chains=(column_run(range(rows), columns, first, each),), diode=diode)
            for first in range(0, columns, each)
        ),
        junction_boxes=((round(width / 2, 4), 0.08),),
        bifaciality=bifaciality,
        gap_m=GAP_m,
        margin_m=MARGIN_m,
    )


def half_module(
    *,
    name: str,
    title: str,
    note: str,
    cell: CellType,
    rows: int,
    columns: int,
    cell_width_m: float,
    cell_height_m: float,
    diodes: int,
    diode: Diode | None,
    bifaciality: float = 0.0,
) -> ModuleType:
    """A module of two halves in parallel: a substring is one chain in each, on one diode between them.

    Parameters
    ----------
    rows : int
        Of both halves together, an even number.
    diodes, diode
        As for `full_module`; a junction box in the middle for each.
    """
    each = columns // diodes
    middle = MARGIN_m + rows / 2 * (cell_height_m + GAP_m) - GAP_m / 2
    upper, lower = range(rows // 2 - 1, -1, -1), range(rows // 2, rows)
    firsts = range(0, columns, each)
    return ModuleType(
        name=name,
        title=title,
        note=note,
        cell=cell,
        rows=rows,
        columns=columns,
        cell_width_m=cell_width_m,
        cell_height_m=cell_height_m,
        substrings=tuple(
            Substring(
                chains=(column_run(upper, columns, first, each), column_run(lower, columns, first, each)),
                diode=diode,
            )
            for first in firsts
        ),
        junction_boxes=tuple(
            (round(MARGIN_m + (first + each / 2) * (cell_width_m + GAP_m) - GAP_m / 2, 4), round(middle, 4))
            for first in firsts
        ),
        bifaciality=bifaciality,
        gap_m=GAP_m,
        margin_m=MARGIN_m,
    )
