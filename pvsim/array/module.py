"""Module types: cells where they are, how they are wired, what each bypass diode spans."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from pvsim.array.checks import finite, refuse, text, tuple_of, whole
from pvsim.array.limits import MAX_CELLS_PER_MODULE, MAX_NAME, MAX_NOTE, MAX_SUBSTRINGS, MAX_TITLE
from pvsim.circuit.cell import CellType
from pvsim.circuit.diode import Diode
from pvsim.circuit.floats import Floats
from pvsim.errors import ScenarioError
from pvsim.prompt import summary
from pvsim.words import _

Ints = NDArray[np.intp]
Values = TypeVar("Values", bound=NDArray[Any])


@dataclass(frozen=True, slots=True, kw_only=True)
class Substring:
    """Cells that one bypass diode spans.

    Parameters
    ----------
    chains : tuple of tuple of int
        Series chains side by side (one in a full-cell module, two in a half-cut one). Each
        lists positions, row * columns + column in the portrait drawing with the junction box
        at the top, in wiring order from minus to plus.
    diode : Diode or None
        The bypass diode across the chains, or none.
    """

    chains: tuple[tuple[int, ...], ...]
    diode: Diode | None = None

    __repr__ = summary

    def __post_init__(self) -> None:
        chains = tuple(tuple(chain) for chain in self.chains)
        object.__setattr__(self, "chains", chains)
        if not chains or not all(chains):
            refuse(self, "chains", self.chains, _("at least one chain of at least one cell"))
        if self.diode is not None and not isinstance(self.diode, Diode):
            refuse(self, "diode", self.diode, _("a Diode or none"))


@dataclass(frozen=True, slots=True, kw_only=True)
class ModuleType:
    """One type of module: its cells, their places, their wiring, its bypass diodes.

    Parameters
    ----------
    name : str
        The key scenarios use, such as "full-60".
    title, note : str
        For people; the note says where the data are from.
    cell : CellType
        Every cell of the module is of this type.
    rows, columns : int
        Of the portrait drawing; every position holds a cell.
    cell_width_m, cell_height_m : float
        Of one (half-)cell in the portrait drawing.
    substrings : tuple of Substring
        From the negative lead to the positive one. Together they hold each cell once.
    junction_boxes : tuple of (x_m, y_m)
        Centres, from the module's top left corner, y down; the minus lead leaves the first, the
        plus lead the last.
    bifaciality : float
        Rear to front short-circuit current (IEC TS 60904-1-2), 0 to 1.
    margin_m : float
        Frame and glass between the outermost cells and the module's edge.
    gap_m : float
        Between neighbouring cells, both ways.
    minus_lead_m, plus_lead_m : float
        Leads with their connectors, from the first and from the last junction box.

    Raises
    ------
    ScenarioError
        If a value is out of range, or a cell is wired twice or not at all.
    """

    name: str
    title: str
    cell: CellType
    rows: int
    columns: int
    cell_width_m: float
    cell_height_m: float
    substrings: tuple[Substring, ...]
    junction_boxes: tuple[tuple[float, float], ...] = ()
    bifaciality: float = 0.0
    margin_m: float = 0.02
    gap_m: float = 0.002
    note: str = ""
    minus_lead_m: float = 1.1
    plus_lead_m: float = 1.1

    __repr__ = summary

    def __post_init__(self) -> None:
        text(self, "name", most=MAX_NAME)
        if not self.name.strip() or self.name != self.name.strip() or "\n" in self.name:
            refuse(self, "name", self.name, _("a short name without spaces at its ends"))
        text(self, "title", most=MAX_TITLE)
        text(self, "note", most=MAX_NOTE)
        if not isinstance(self.cell, CellType):
            refuse(self, "cell", self.cell, _("a CellType"))
        whole(self, "rows", least=1, most=MAX_CELLS_PER_MODULE)
        whole(self, "columns", least=1, most=MAX_CELLS_PER_MODULE)
        if self.rows * self.columns > MAX_CELLS_PER_MODULE:
            refuse(
                self,
                "rows",
                self.rows,
                _("at most {most} cells, rows times columns").format(
                    most=MAX_CELLS_PER_MODULE
                ),
            )
        finite(self, "cell_width_m", least=0.001, most=2.0)
        finite(self, "cell_height_m", least=0.001, most=2.0)
        finite(self, "bifaciality", least=0.0, most=1.0)
        finite(self, "margin_m", least=0.0, most=0.5)
        finite(self, "gap_m", least=0.0, most=0.1)
        finite(self, "minus_lead_m", least=0.0, most=20.0)
        finite(self, "plus_lead_m", least=0.0, most=20.0)
        tuple_of(self, "substrings", Substring, least=1, most=MAX_SUBSTRINGS)
        boxes = tuple((float(x), float(y)) for x, y in self.junction_boxes)
        object.__setattr__(self, "junction_boxes", boxes)
        _check_wiring(self)


def _check_wiring(kind: ModuleType) -> None:
    wired = sorted(place for part in kind.substrings for chain in part.chains for place in chain)
    count = kind.rows * kind.columns
    if wired == list(range(count)):
        return
    raise ScenarioError(
        _(
            "the substrings of module type '{name}' wire {count} cells, {different} of them "
            "different positions of the drawing"
        ).format(name=kind.name, count=len(wired), different=len(set(wired) & set(range(count)))),
        expected=_("each position from 0 to {most} once ({rows} rows of {columns})").format(
            most=count - 1, rows=kind.rows, columns=kind.columns
        ),
        mend=_("Write a position as row * columns + column, rows and columns counted from 0"),
    )


@lru_cache(maxsize=256)
def wiring_order(kind: ModuleType) -> Ints:
    """Position (row * columns + column) of each cell, by cell number - 1; (cells,)."""
    order = [place for part in kind.substrings for chain in part.chains for place in chain]
    return _still(np.array(order, dtype=np.intp))


def cell_count(kind: ModuleType) -> int:
    """How many cells a module of this type has."""
    return kind.rows * kind.columns


@lru_cache(maxsize=256)
def cell_positions(kind: ModuleType) -> Ints:
    """Row and column of each cell in the portrait drawing, from 0; (cells, 2)."""
    order = wiring_order(kind)
    return _still(np.stack([order // kind.columns, order % kind.columns], axis=1))


@lru_cache(maxsize=256)
def cell_substrings(kind: ModuleType) -> Ints:
    """Number (from 1) of the substring each cell belongs to, by cell number - 1; (cells,)."""
    sizes = [sum(len(chain) for chain in part.chains) for part in kind.substrings]
    return _still(np.repeat(np.arange(1, len(sizes) + 1), sizes))


def substring_cells(kind: ModuleType, substring: int) -> range:
    """Cell numbers (from 1) of a substring (its number from 1)."""
    sizes = [sum(len(chain) for chain in part.chains) for part in kind.substrings]
    start = sum(sizes[: substring - 1])
    return range(start + 1, start + sizes[substring - 1] + 1)


def module_size(kind: ModuleType) -> tuple[float, float]:
    """Width and height of the module in portrait, in m."""
    width = kind.columns * kind.cell_width_m + (kind.columns - 1) * kind.gap_m + 2 * kind.margin_m
    height = kind.rows * kind.cell_height_m + (kind.rows - 1) * kind.gap_m + 2 * kind.margin_m
    return width, height


@lru_cache(maxsize=256)
def cell_rectangles(kind: ModuleType) -> Floats:
    """Left, top, right, bottom of each cell in portrait, by cell number - 1.

    Returns
    -------
    (cells, 4)
        In m from the module's top left corner, y down. Do not write to it.
    """
    row, column = cell_positions(kind).T
    left = kind.margin_m + column * (kind.cell_width_m + kind.gap_m)
    top = kind.margin_m + row * (kind.cell_height_m + kind.gap_m)
    return _still(np.stack([left, top, left + kind.cell_width_m, top + kind.cell_height_m], axis=1))


def cell_area_m2(kind: ModuleType) -> float:
    """Area of one cell, in m2."""
    return kind.cell_width_m * kind.cell_height_m


def _still(values: Values) -> Values:
    values.setflags(write=False)
    return values
