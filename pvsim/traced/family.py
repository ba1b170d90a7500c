"""Families of fault that a measured curve is held against: each a change of a scenario, of some size."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import log

from pvsim.array.change import add_fault, paint, painted_transmission
from pvsim.array.fault import Fault
from pvsim.array.index import array_index, module_range
from pvsim.array.place import Place, level_of
from pvsim.array.scenario import Scenario, module_type
from pvsim.circuit.cell import CellType
from pvsim.words import mark

THERMAL_25C_V = 0.0256926  # k T / q
_POORER = " poorer"  # name of a module type made for some strings alone


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """One family of fault.

    Parameters
    ----------
    name : str
    title, size_name : str
        In English, marked to be translated when shown; the size's name is "" where there is none.
    sizes : tuple of float
        From the least to the most that are tried, rising; between them the best is looked for. Empty
        where the fault has no size. All are shares or ratios, so that they suit a part of any kind.
    change : (Scenario, Place, float) -> Scenario
        The scenario with the fault in a part.
    levels : tuple of Level
        Parts that can have it.
    """

    name: str
    title: str
    change: Callable[[Scenario, Place, float], Scenario]
    size_name: str = ""
    sizes: tuple[float, ...] = ()
    levels: tuple[str, ...] = ("array", "string", "module")


def _first_module(place: Place) -> Place:
    return place if place.module is not None else Place(place.string or 1, 1)


def _healthy(scenario: Scenario, place: Place, size: float) -> Scenario:
    return scenario


def _darker(scenario: Scenario, place: Place, size: float) -> Scenario:
    return paint(scenario, [place], painted_transmission(scenario, place) * (1.0 - size))


def _soiled(scenario: Scenario, place: Place, size: float) -> Scenario:
    return _darker(scenario, place, size)


def _shaded_cell(scenario: Scenario, place: Place, size: float) -> Scenario:
    module = _first_module(place)
    return _darker(scenario, Place(module.string, module.module, 1), size)


def _bypassed(scenario: Scenario, place: Place, size: float) -> Scenario:
    module = _first_module(place)
    return add_fault(scenario, Fault("diode-short", Place(module.string, module.module, diode=1)))


def _other_cells(
    scenario: Scenario, change: Callable[[CellType], CellType], strings: tuple[int, ...] = ()
) -> Scenario:
    """Other cells in every module of some strings; of the array, with none named: a part alone is seen."""
    names = dict.fromkeys(module.type for string in scenario.array.strings for module in string.modules)
    kinds = {kind.name: kind for kind in scenario.module_types}
    changed: dict[str, str] = {}
    for name in names:
        kind = module_type(scenario, name)
        changed[name] = f"{len(changed)}{_POORER}" if strings else name
        cell = change(kind.cell) if kind.cell.photocurrent_A > 0.0 else kind.cell
        kinds[changed[name]] = replace(kind, name=changed[name], cell=cell)
    rows = list(scenario.array.strings)
    for number in strings:
        modules = rows[number - 1].modules
        rows[number - 1] = replace(
            rows[number - 1], modules=tuple(replace(one, type=changed[one.type]) for one in modules)
        )
    array = replace(scenario.array, strings=tuple(rows)) if strings else scenario.array
    return replace(scenario, array=array, module_types=tuple(kinds.values()))


def _voc_V(cell: CellType) -> float:
    """Open-circuit voltage of a cell in full light at 25 degrees C, its shunt left out; at least 0.1 V."""
    times = log(max(cell.photocurrent_A / cell.saturation_current_A, 2.0))
    return max(0.1, cell.ideality * THERMAL_25C_V * times)


def poorer_cells(scenario: Scenario, name: str, size: float, strings: tuple[int, ...] = ()) -> Scenario:
    """Cells with more series resistance or less shunt resistance, in some strings or the whole array.

    Parameters
    ----------
    name : "series-resistance" or "shunt"
    size : float
        In the terms of the family of this name.
    strings : tuple of int
        Numbers from 1; none for the whole array.
    """

    def resistive(cell: CellType) -> CellType:
        added = size * _voc_V(cell) / cell.photocurrent_A
        return replace(cell, series_resistance_ohm=cell.series_resistance_ohm + added)

    def shunted(cell: CellType) -> CellType:
        conductance = 1.0 / cell.shunt_resistance_ohm + size * cell.photocurrent_A / _voc_V(cell)
        return replace(cell, shunt_resistance_ohm=1.0 / conductance)

    return _other_cells(scenario, resistive if name == "series-resistance" else shunted, strings)


def _resistive(scenario: Scenario, place: Place, size: float) -> Scenario:
    return poorer_cells(scenario, "series-resistance", size)


def _shunted(scenario: Scenario, place: Place, size: float) -> Scenario:
    return poorer_cells(scenario, "shunt", size)


def _module_missing(scenario: Scenario, place: Place, size: float) -> Scenario:
    return add_fault(scenario, Fault("modules-too-few", Place(place.string), 1.0))


def _string_open(scenario: Scenario, place: Place, size: float) -> Scenario:
    return add_fault(scenario, Fault("cable-open", Place(1)))


FAMILIES: tuple[Family, ...] = (
    Family(name="healthy", title=mark("in order"), change=_healthy),
    Family(
        name="soiling",
        title=mark("soiling, or less light than was measured"),
        change=_soiled,
        size_name=mark("share of the light lost"),
        sizes=(0.015, 0.03, 0.06, 0.1, 0.15, 0.22, 0.32, 0.45, 0.6, 0.75),
    ),
    Family(
        name="shaded-cell",
        title=mark("shaded or cracked cells"),
        change=_shaded_cell,
        size_name=mark("share of the cell's light lost"),
        sizes=(0.06, 0.1, 0.16, 0.25, 0.36, 0.48, 0.6, 0.73, 0.86, 1.0),
    ),
    Family(name="bypassed", title=mark("bypassed substrings"), change=_bypassed),
    Family(
        name="series-resistance",
        title=mark("series resistance"),
        change=_resistive,
        size_name=mark("voltage lost at Isc, as a share of Voc"),
        sizes=(0.01, 0.02, 0.04, 0.07, 0.11, 0.16, 0.24, 0.4),
    ),
    Family(
        name="shunt",
        title=mark("low shunt resistance"),
        change=_shunted,
        size_name=mark("current lost at Voc, as a share of Isc"),
        sizes=(0.025, 0.045, 0.08, 0.13, 0.2, 0.3, 0.5),
    ),
    Family(
        name="module-missing", title=mark("missing modules"), change=_module_missing, levels=("string",)
    ),
    Family(name="string-open", title=mark("open strings"), change=_string_open, levels=("array",)),
)


def families_of(scenario: Scenario, place: Place) -> tuple[Family, ...]:
    """The families a part can have: a missing module needs two, an open string another beside it."""
    level = level_of(place)
    index = array_index(scenario)
    first, end = module_range(index, place)
    can = {
        "module-missing": end - first >= 2,
        "string-open": len(index.strings) >= 2,
        "bypassed": _has_diode(scenario, _first_module(place)),
    }
    return tuple(one for one in FAMILIES if level in one.levels and can.get(one.name, True))


def _has_diode(scenario: Scenario, place: Place) -> bool:
    assert place.string is not None
    assert place.module is not None
    module = scenario.array.strings[place.string - 1].modules[place.module - 1]
    return module_type(scenario, module.type).substrings[0].diode is not None
