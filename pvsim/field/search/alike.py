"""Places that are alike as far as meters tell: strings side by side, modules in a row, their substrings.

So faults, and what is done to the plant, can be moved to the first places, solved once there, and put back.
In strings that a fault treats module by module in their order, modules stay where they are.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pvsim.array.fault import Fault
from pvsim.array.module import ModuleType, cell_substrings, substring_cells
from pvsim.array.place import Place
from pvsim.circuit.floats import Floats
from pvsim.field.search.plant import Plant

__all__ = ["Moved", "moved_to_first"]

_IN_ORDER = ("induced-shunting", "modules-too-few", "modules-too-many", "string-bridge")


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """Faults and plant at first places, and where everything came from.

    Parameters
    ----------
    faults : tuple of Fault
    plant : Plant
    strings : list of int
        From 0: row k of what is solved is this string of the array.
    modules : list of list of int
        Of each row, from 0, in the same way.
    parts : dict
        Of a row and a column, where they are not in order: substrings, from 0, in the same way.
    """

    faults: tuple[Fault, ...]
    plant: Plant
    strings: list[int]
    modules: list[list[int]]
    parts: dict[tuple[int, int], list[int]]

    def back(self, solved: Floats) -> Floats:
        """What was solved, (strings, ...) with modules and substrings after them, put back."""
        out = np.empty_like(solved)
        for row, string in enumerate(self.strings):
            if solved.ndim == 1:
                out[string] = solved[row]
                continue
            out[string, self.modules[row]] = solved[row]
            if solved.ndim > 2:
                for (where, column), parts in self.parts.items():
                    if where == row:
                        out[string, self.modules[row][column], parts] = solved[row, column]
        return out


def moved_to_first(
    faults: tuple[Fault, ...], plant: Plant, strings: int, modules: int, made: ModuleType
) -> Moved:
    """Faults first, then the cloth, then separated strings."""
    wired = [one.place for one in faults] + [one.other for one in faults if one.other is not None]
    places = wired + ([plant.cloth] if plant.cloth is not None else [])
    rows = _first_of([one.string for one in places] + list(plant.separated), strings)
    ordered = {
        end.string
        for one in faults
        if one.kind in _IN_ORDER
        for end in (one.place, one.other)
        if end is not None
    }
    columns = [
        list(range(modules))
        if row + 1 in ordered
        else _first_of([one.module for one in places if one.string == row + 1], modules)
        for row in rows
    ]
    count = len(made.substrings)
    within: dict[tuple[int, int], list[int | None]] = {}
    for one in places:
        if one.string is not None and one.module is not None:
            within.setdefault((one.string - 1, one.module - 1), []).append(_part(one, made))
    parts: dict[tuple[int, int], list[int]] = {}
    for (string, module), here in within.items():
        order = _first_of(here, count)
        if order != list(range(count)):
            row = rows.index(string)
            parts[row, columns[row].index(module)] = order

    def moved(place: Place) -> Place:
        row = rows.index((place.string or 1) - 1)
        if place.module is None:
            return Place(row + 1)
        column = columns[row].index(place.module - 1)
        part = _part(place, made)
        if part is None:
            return Place(row + 1, column + 1)
        new = parts.get((row, column), list(range(count))).index(part - 1) + 1
        if place.cell is None:
            return replace(place, string=row + 1, module=column + 1, **_named(place, new))
        nth = list(substring_cells(made, part)).index(place.cell)
        return Place(row + 1, column + 1, cell=int(substring_cells(made, new)[nth]))

    return Moved(
        faults=tuple(
            replace(one, place=moved(one.place), other=None if one.other is None else moved(one.other))
            for one in faults
        ),
        plant=replace(
            plant,
            cloth=None if plant.cloth is None else moved(plant.cloth),
            separated=tuple(sorted(rows.index(one - 1) + 1 for one in plant.separated)),
        ),
        strings=rows,
        modules=columns,
        parts=parts,
    )


def _named(place: Place, part: int) -> dict[str, int]:
    return {"diode": part} if place.diode is not None else {"substring": part}


def _part(place: Place, made: ModuleType) -> int | None:
    """The substring of a place, from 1."""
    if place.cell is not None:
        return int(cell_substrings(made)[place.cell - 1])
    return place.substring or place.diode


def _first_of(numbers: Sequence[int | None], count: int) -> list[int]:
    """0 to `count` - 1, those of the numbers, which are from 1, first."""
    order = [number - 1 for number in numbers if number is not None]
    return list(dict.fromkeys([*order, *range(count)]))
