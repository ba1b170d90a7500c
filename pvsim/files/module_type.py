"""A module type of a scenario file: its cells, their wiring and their diodes."""

from __future__ import annotations

from dataclasses import fields
from itertools import pairwise

from pvsim.array.limits import MAX_CELLS_PER_MODULE, MAX_SUBSTRINGS
from pvsim.array.module import ModuleType, Substring
from pvsim.circuit.cell import CellType
from pvsim.circuit.diode import Diode
from pvsim.errors import FileError
from pvsim.files.document import LEAD_FIELDS, TYPE_FIELDS
from pvsim.files.source import where
from pvsim.files.table import Table

MODULE_TYPE_KEYS = (*TYPE_FIELDS, *LEAD_FIELDS, "junction_boxes", "cell", "substrings")
_DIODE_FIELDS = tuple(field.name for field in fields(Diode))


def read_module_type(table: Table) -> ModuleType:
    """Build a module type from its table.

    Raises
    ------
    FileError
        If a key, value or the wiring is wrong; positions are counted from 1 as in the file.
    """
    boxes = tuple(
        (box.number("x_m"), box.number("y_m"))
        for box in table.tables("junction_boxes", ("x_m", "y_m"), most=MAX_SUBSTRINGS)
    )
    cell = table.table("cell", tuple(field.name for field in fields(CellType))).build(CellType)
    rows = table.whole("rows", least=1, most=MAX_CELLS_PER_MODULE)
    columns = table.whole("columns", least=1, most=MAX_CELLS_PER_MODULE)
    parts = tuple(
        map(_substring, table.tables("substrings", ("chains", "diode"), most=MAX_SUBSTRINGS, required=True))
    )
    _check_wiring(table, parts, rows * columns)
    names = (*TYPE_FIELDS, *LEAD_FIELDS)
    return table.build(ModuleType, names, junction_boxes=boxes, cell=cell, substrings=parts)


def _substring(table: Table) -> Substring:
    chains = []
    for position, chain in enumerate(table.entries("chains", most=MAX_CELLS_PER_MODULE, required=True)):
        below = Table(table.source, (*table.path, "chains"), {str(position): chain}, (str(position),))
        cells = below.entries(str(position), most=MAX_CELLS_PER_MODULE, required=True)
        for cell in cells:
            if isinstance(cell, bool) or not isinstance(cell, int) or not 1 <= cell <= MAX_CELLS_PER_MODULE:
                place = where(table.source, (*table.path, "chains", position))
                raise FileError(
                    f"{place} holds something else than positions",
                    expected=f"whole numbers from 1 to {MAX_CELLS_PER_MODULE}",
                    mend="Number the cells of the portrait drawing row by row, from 1 at the top left",
                )
        chains.append(tuple(cell - 1 for cell in cells))
    diode = table.table("diode", _DIODE_FIELDS).build(Diode) if "diode" in table else None
    with table.placed():
        return Substring(chains=tuple(chains), diode=diode)


def _check_wiring(table: Table, parts: tuple[Substring, ...], count: int) -> None:
    """Refuse double or missing cells in the numbering of the file, which counts from 1."""
    wired = sorted(cell + 1 for part in parts for chain in part.chains for cell in chain)
    if wired == list(range(1, count + 1)):
        return
    twice = sorted({a for a, b in pairwise(wired) if a == b})
    missing = sorted(set(range(1, count + 1)) - set(wired))
    foreign = [cell for cell in wired if cell > count]
    found = [
        f"{words} {', '.join(map(str, cells[:5]))}{', ...' if len(cells) > 5 else ''}"
        for words, cells in (("twice", twice), ("never", missing), ("outside the drawing", foreign))
        if cells
    ]
    raise FileError(
        f"{where(table.source, (*table.path, 'substrings'))} wires positions {'; '.join(found)}",
        expected=f"each position from 1 to {count} once",
        mend="Number the cells of the portrait drawing row by row, from 1 at the top left",
    )
