"""How the array lies on the roof: where each module and each cell is.

Roof coordinates in metres, x to the right, y down, from the array's top left corner. On an array
with surfaces each module lies on its spot. Without, each string is a row (a long one several),
string 1 on top, module 1 on the left.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from pvsim.array.array import Module, mounted_modules
from pvsim.array.identity_memo import IdentityMemo
from pvsim.array.index import ArrayIndex, array_index
from pvsim.array.module import Ints, ModuleType, cell_rectangles, module_size
from pvsim.array.mounting import Orientation, PlaceBox, Spot, place_boxes
from pvsim.array.scenario import Scenario, module_type
from pvsim.circuit.floats import Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class ModulePosition:
    """One module on the roof.

    Parameters
    ----------
    string, module : int
        Numbers from 1.
    type : str
        Name of its module type.
    x_m, y_m : float
        Top left corner.
    width_m, height_m : float
        As it lies.
    turn_deg : int
        How far the portrait drawing (junction box at the top) is turned clockwise: 0, or
        180 when rotated; in landscape 270, or 90 when rotated.
    row : int
        Row on the roof, from 1 at the top.
    """

    string: int
    module: int
    type: str
    x_m: float
    y_m: float
    width_m: float
    height_m: float
    turn_deg: int
    row: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Roof:
    """The modules on the roof as arrays, in the order string, module.

    Parameters
    ----------
    index : ArrayIndex
    rectangle : (modules, 4)
        Left, top, right, bottom of each module.
    row : (modules,)
        Row on the roof, from 0; over all surfaces, where there are any.
    turn_deg : (modules,)
        As in ModulePosition.
    surface : (modules,)
        From 0; -1 for a module on none.
    """

    index: ArrayIndex
    rectangle: Floats
    row: Ints
    turn_deg: Ints
    surface: Ints


_roofs: IdentityMemo[Roof] = IdentityMemo(64)


def roof_of(scenario: Scenario) -> Roof:
    """The modules on the roof; the same object while the array stays."""
    index = array_index(scenario)
    return _roofs.get((index, scenario.array), lambda: _lay(scenario, index))


def module_positions(scenario: Scenario) -> tuple[ModulePosition, ...]:
    """Every module of the array as built, in the order string, module."""
    roof = roof_of(scenario)
    index = roof.index
    return tuple(
        ModulePosition(
            string=string + 1,
            module=number + 1,
            type=index.kinds[kind].kind.name,
            x_m=left,
            y_m=top,
            width_m=right - left,
            height_m=bottom - top,
            turn_deg=turn,
            row=row + 1,
        )
        for string, number, kind, (left, top, right, bottom), turn, row in zip(
            index.module_string.tolist(),
            index.module_number.tolist(),
            index.module_kind.tolist(),
            roof.rectangle.tolist(),
            roof.turn_deg.tolist(),
            roof.row.tolist(),
            strict=True,
        )
    )


def roof_size(scenario: Scenario) -> tuple[float, float]:
    """Width and height of the array on the roof, in m."""
    rectangle = roof_of(scenario).rectangle
    return float(rectangle[:, 2].max()), float(rectangle[:, 3].max())


@lru_cache(maxsize=256)
def turned_rectangles(kind: ModuleType, turn_deg: int) -> Floats:
    """Left, top, right, bottom of each cell in a module that lies turned.

    Parameters
    ----------
    turn_deg : 0, 90, 180 or 270
        How far the portrait drawing is turned clockwise.

    Returns
    -------
    (cells, 4)
        In m from the lying module's top left corner, by cell number - 1. Do not write to it.
    """
    width, height = module_size(kind)
    left, top, right, bottom = cell_rectangles(kind).T
    if turn_deg == 90:
        left, top, right, bottom = height - bottom, left, height - top, right
    elif turn_deg == 180:
        left, top, right, bottom = width - right, height - bottom, width - left, height - top
    elif turn_deg == 270:
        left, top, right, bottom = top, width - right, bottom, width - left
    out = np.stack([left, top, right, bottom], axis=1)
    out.setflags(write=False)
    return out


def roof_rectangles(scenario: Scenario) -> Floats:
    """Left, top, right, bottom of every cell on the roof, in the order string, module, cell.

    Returns
    -------
    (cells, 4)
        In m.
    """
    roof = roof_of(scenario)
    return cells_on_roof(roof, np.arange(len(roof.rectangle)))


def cells_on_roof(roof: Roof, modules: Ints) -> Floats:
    """Left, top, right, bottom of the cells of some modules, module after module."""
    index = roof.index
    kinds, turns = index.module_kind.tolist(), roof.turn_deg.tolist()
    corners = roof.rectangle[:, [0, 1, 0, 1]]
    pieces = [turned_rectangles(index.kinds[kinds[m]].kind, turns[m]) + corners[m] for m in modules.tolist()]
    return np.concatenate(pieces) if pieces else np.zeros((0, 4))


def turn_of(orientation: Orientation, rotated: bool) -> int:
    """How far the portrait drawing is turned clockwise."""
    upright = 270 if orientation == "landscape" else 0
    return (upright + 180 * rotated) % 360


def unwired_boxes(scenario: Scenario) -> list[tuple[Module, PlaceBox]]:
    """The modules that are in no string, and where they lie."""
    array = scenario.array
    if not array.unwired:
        return []
    boxes = place_boxes_of(scenario)
    return [(module, boxes[module.spot]) for module in array.unwired if module.spot is not None]


def free_boxes(scenario: Scenario) -> list[tuple[Spot, PlaceBox]]:
    """The places that hold no module."""
    taken = {module.spot for _address, module in mounted_modules(scenario.array)}
    return [(spot, box) for spot, box in place_boxes_of(scenario).items() if spot not in taken]


def place_boxes_of(scenario: Scenario) -> dict[Spot, PlaceBox]:
    """Every place of the surfaces, in the order surface, row, place; empty without surfaces."""
    surfaces = scenario.array.surfaces
    sizes = {surface.type: module_size(module_type(scenario, surface.type)) for surface in surfaces}
    return place_boxes(surfaces, sizes)


def _lay(scenario: Scenario, index: ArrayIndex) -> Roof:
    return _lay_spots(scenario, index) if scenario.array.surfaces else _lay_rows(scenario, index)


def _lay_spots(scenario: Scenario, index: ArrayIndex) -> Roof:
    """Each module on its spot, at the upper left of its place; those that no plan has, below all surfaces."""
    boxes = place_boxes_of(scenario)
    sizes = [module_size(kind.kind) for kind in index.kinds]
    below = max(box.bottom_m for box in boxes.values()) + scenario.array.row_gap_m
    last_row, beside = max(box.row for box in boxes.values()) + 1, 0.0
    rectangles, rows, turns, surfaces = [], [], [], []
    modules = (module for string in index.strings for module in string.modules)
    for module, kind in zip(modules, index.module_kind.tolist(), strict=True):
        width, height = sizes[kind]
        box = None if module.spot is None else boxes[module.spot]
        if box is None:
            left, top, row, orientation = beside, below, last_row, scenario.array.orientation
        else:
            left, top, row, orientation = box.left_m, box.top_m, box.row, box.orientation
        across, down = (height, width) if orientation == "landscape" else (width, height)
        if box is None:
            beside += across + scenario.array.module_gap_m
        rectangles.append((left, top, left + across, top + down))
        rows.append(row)
        turns.append(turn_of(orientation, module.rotated))
        surfaces.append(module.spot.surface - 1 if module.spot else -1)
    return Roof(
        index=index,
        rectangle=np.array(rectangles),
        row=np.array(rows, dtype=np.intp),
        turn_deg=np.array(turns, dtype=np.intp),
        surface=np.array(surfaces, dtype=np.intp),
    )


def _lay_rows(scenario: Scenario, index: ArrayIndex) -> Roof:
    array = scenario.array
    landscape = array.orientation == "landscape"
    sizes = [module_size(kind.kind) for kind in index.kinds]
    lying = np.array([(h, w) if landscape else (w, h) for w, h in sizes])[index.module_kind]
    rows_before = np.cumsum(
        [0] + [-(-len(string.modules) // array.modules_per_row) for string in index.strings]
    )
    row = rows_before[index.module_string] + index.module_number // array.modules_per_row
    column = index.module_number % array.modules_per_row
    steps = lying[:, 0] + array.module_gap_m
    left = np.zeros(len(row))
    starts = np.flatnonzero(column == 0)
    for start, stop in zip(starts, [*starts[1:], len(row)], strict=True):
        # Summed row by row, so that equal rows get equal numbers to the last digit.
        np.cumsum(steps[start : stop - 1], out=left[start + 1 : stop])
    height = np.zeros(int(row[-1]) + 1)
    np.maximum.at(height, row, lying[:, 1])
    tops = np.concatenate([[0.0], np.cumsum(height + array.row_gap_m)])[:-1]
    top = tops[row]
    turns = np.array([turn_of(array.orientation, False), turn_of(array.orientation, True)])
    return Roof(
        index=index,
        rectangle=np.stack([left, top, left + lying[:, 0], top + lying[:, 1]], axis=1),
        row=row,
        turn_deg=turns[index.rotated.astype(np.intp)],
        surface=np.full(len(row), -1, dtype=np.intp),
    )
