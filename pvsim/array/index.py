"""Where everything of an array stands in flat numpy arrays.

Cells run in the order string, module, cell; modules in the order string, module. A place
is always one unbroken run of cells, so a slice names it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NoReturn

import numpy as np

from pvsim.array.array import String
from pvsim.array.identity_memo import IdentityMemo
from pvsim.array.module import Ints, ModuleType, cell_count
from pvsim.array.place import Place, describe_place, level_of
from pvsim.array.scenario import Scenario, as_built, module_type
from pvsim.errors import ScenarioError
from pvsim.prompt import summary
from pvsim.words import _


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KindIndex:
    """Where the parts of one module type stand within a module.

    Parameters
    ----------
    kind : ModuleType
    cells, substrings, leaves : int
        How many; leaves are cells and diodes together.
    substring_start : (substrings + 1,)
        First cell (from 0) of each substring, in wiring order.
    diode_substring : (diodes,)
        Substring (from 0) of each diode.
    cell_leaf, diode_leaf : (cells,), (diodes,)
        Place among the module's leaves: substring by substring, cells, then its diode.
    """

    kind: ModuleType
    cells: int
    substrings: int
    leaves: int
    substring_start: Ints
    diode_substring: Ints
    cell_leaf: Ints
    diode_leaf: Ints

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ArrayIndex:
    """Where the parts of an array, as built, stand in flat arrays.

    Parameters
    ----------
    strings : tuple of String
        As built.
    kinds : tuple of KindIndex
        Of the module types in use.
    module_kind, module_string, module_number : (modules,)
        Index into `kinds`; string and number within it, both from 0.
    rotated : (modules,)
        Whether mounted upside down.
    string_start : (strings + 1,)
        First module of each string.
    cell_start, diode_start, substring_start : (modules + 1,)
        First cell, diode and substring of each module.
    """

    strings: tuple[String, ...]
    kinds: tuple[KindIndex, ...]
    module_kind: Ints
    module_string: Ints
    module_number: Ints
    rotated: np.ndarray
    string_start: Ints
    cell_start: Ints
    diode_start: Ints
    substring_start: Ints

    __repr__ = summary


@lru_cache(maxsize=256)
def kind_index(kind: ModuleType) -> KindIndex:
    """Where the parts of one module type stand within a module."""
    sizes = [sum(len(chain) for chain in part.chains) for part in kind.substrings]
    has = [part.diode is not None for part in kind.substrings]
    start = np.concatenate([[0], np.cumsum(sizes)]).astype(np.intp)
    diodes_before = np.concatenate([[0], np.cumsum(has)]).astype(np.intp)
    with_diode = np.flatnonzero(has)
    return KindIndex(
        kind=kind,
        cells=cell_count(kind),
        substrings=len(sizes),
        leaves=cell_count(kind) + len(with_diode),
        substring_start=start,
        diode_substring=with_diode,
        cell_leaf=np.arange(cell_count(kind)) + np.repeat(diodes_before[:-1], sizes),
        diode_leaf=start[with_diode + 1] + diodes_before[with_diode],
    )


_indices: IdentityMemo[ArrayIndex] = IdentityMemo(64)


def array_index(scenario: Scenario) -> ArrayIndex:
    """The index of a scenario's array as built; the same object while the array stays."""
    strings = as_built(scenario)
    if strings is scenario.array.strings:
        return _indices.get((strings, scenario.module_types), lambda: _make(scenario, strings))
    parts = (scenario.array.strings, scenario.module_types, scenario.faults)
    return _indices.get(parts, lambda: _make(scenario, strings))


def _make(scenario: Scenario, strings: tuple[String, ...]) -> ArrayIndex:
    places: dict[str, int] = {}
    kinds: list[KindIndex] = []
    module_kind: list[int] = []
    rotated: list[bool] = []
    for string in strings:
        for module in string.modules:
            place = places.get(module.type)
            if place is None:
                place = places[module.type] = len(kinds)
                kinds.append(kind_index(module_type(scenario, module.type)))
            module_kind.append(place)
            rotated.append(module.rotated)
    of = np.array(module_kind, dtype=np.intp)
    lengths = np.array([len(string.modules) for string in strings], dtype=np.intp)
    string_start = _running(lengths)
    module_string = np.repeat(np.arange(len(strings)), lengths)
    return ArrayIndex(
        strings=strings,
        kinds=tuple(kinds),
        module_kind=of,
        module_string=module_string,
        module_number=np.arange(len(of)) - string_start[module_string],
        rotated=np.array(rotated, dtype=bool),
        string_start=string_start,
        cell_start=_running(np.array([kind.cells for kind in kinds], dtype=np.intp)[of]),
        diode_start=_running(np.array([len(kind.diode_leaf) for kind in kinds], dtype=np.intp)[of]),
        substring_start=_running(np.array([kind.substrings for kind in kinds], dtype=np.intp)[of]),
    )


def _running(sizes: Ints) -> Ints:
    out = np.zeros(len(sizes) + 1, dtype=np.intp)
    np.cumsum(sizes, out=out[1:])
    return out


def module_range(index: ArrayIndex, place: Place) -> tuple[int, int]:
    """First module of a place and the one after its last, in the flat order.

    Raises
    ------
    ScenarioError
        If the array, as built, does not have the place.
    """
    if place.string is None:
        return 0, len(index.module_kind)
    if place.string > len(index.strings):
        _missing(place, _("a string from 1 to {most}").format(most=len(index.strings)))
    first, last = int(index.string_start[place.string - 1]), int(index.string_start[place.string])
    if place.module is None:
        return first, last
    if place.module > last - first:
        _missing(
            place,
            _("a module from 1 to {most}: string {string} is built with so many").format(
                most=last - first, string=place.string
            ),
        )
    return first + place.module - 1, first + place.module


def string_place(index: ArrayIndex, place: Place) -> int:
    """The string of a place, counted from 0."""
    if place.string is None:
        _missing(place, _("a string, or a part of one"))
    module_range(index, place)  # refuses what is not built
    return place.string - 1


def module_place(index: ArrayIndex, place: Place) -> int:
    """The module of a place, in the flat order."""
    if place.module is None:
        _missing(place, _("a module, or a part of one"))
    return module_range(index, place)[0]


def cell_slice(index: ArrayIndex, place: Place) -> slice:
    """The cells of a place, in the flat order; of a diode those of its substring."""
    first, last = module_range(index, place)
    level = level_of(place)
    if level in ("array", "string", "module"):
        return slice(int(index.cell_start[first]), int(index.cell_start[last]))
    start = int(index.cell_start[first])
    kind = index.kinds[index.module_kind[first]]
    if place.cell is not None:
        if place.cell > kind.cells:
            _missing(
                place,
                _("a cell from 1 to {most} in a module of type '{type}'").format(
                    most=kind.cells, type=kind.kind.name
                ),
            )
        return slice(start + place.cell - 1, start + place.cell)
    part = _substring(kind, place)
    return slice(start + int(kind.substring_start[part]), start + int(kind.substring_start[part + 1]))


def diode_place(index: ArrayIndex, place: Place) -> int:
    """The bypass diode of a place (a diode or a substring), in the flat order."""
    module = module_place(index, place)
    kind = index.kinds[index.module_kind[module]]
    part = _substring(kind, place)
    found = np.flatnonzero(kind.diode_substring == part)
    if len(found) == 0:
        _missing(
            place,
            _("a substring with a bypass diode; substring {number} of '{type}' has none").format(
                number=part + 1, type=kind.kind.name
            ),
        )
    return int(index.diode_start[module] + found[0])


def _substring(kind: KindIndex, place: Place) -> int:
    number = place.substring or place.diode or 0
    if not 1 <= number <= kind.substrings:
        _missing(
            place,
            _("a number from 1 to {most} in a module of type '{type}'").format(
                most=kind.substrings, type=kind.kind.name
            ),
        )
    return number - 1


def cell_at(index: ArrayIndex, flat: int) -> Place:
    """The place of a cell given by its flat number from 0."""
    module = int(np.searchsorted(index.cell_start, flat, side="right")) - 1
    if not 0 <= module < len(index.module_kind):
        raise ScenarioError(
            _("there is no cell with the flat number {flat}").format(flat=flat),
            expected=_("a number from 0 to {most}").format(most=int(index.cell_start[-1]) - 1),
            mend=_("Cells run in the order string, module, cell"),
        )
    return replace(module_at(index, module), cell=int(flat - index.cell_start[module]) + 1)


def module_at(index: ArrayIndex, flat: int) -> Place:
    """The place of a module given by its flat number from 0."""
    if not 0 <= flat < len(index.module_kind):
        raise ScenarioError(
            _("there is no module with the flat number {flat}").format(flat=flat),
            expected=_("a number from 0 to {most}").format(most=len(index.module_kind) - 1),
            mend=_("Modules run in the order string, module"),
        )
    return Place(int(index.module_string[flat]) + 1, int(index.module_number[flat]) + 1)


def diode_at(index: ArrayIndex, flat: int) -> Place:
    """The place of a bypass diode given by its flat number from 0."""
    most = int(index.diode_start[-1])
    if not 0 <= flat < most:
        raise ScenarioError(
            _("there is no bypass diode with the flat number {flat}").format(flat=flat),
            expected=_("a number from 0 to {most}").format(most=most - 1),
            mend=_("Bypass diodes run in the order string, module, substring"),
        )
    module = int(np.searchsorted(index.diode_start, flat, side="right")) - 1
    kind = index.kinds[index.module_kind[module]]
    number = int(kind.diode_substring[flat - int(index.diode_start[module])]) + 1
    at = module_at(index, module)
    return Place(at.string, at.module, diode=number)


def built_cells(index: ArrayIndex, place: Place) -> slice | None:
    """As `cell_slice`, or None for a module that a fault has left out."""
    string = index.strings[place.string - 1] if place.string is not None else None
    if string and place.module is not None and place.module > len(string.modules):
        return None
    return cell_slice(index, place)


def _missing(place: Place, expected: str) -> NoReturn:
    raise ScenarioError(
        _("{place} does not exist in the array as built").format(place=describe_place(place)),
        expected=expected,
        mend=_("Numbers count from 1, cells in wiring order"),
    )
