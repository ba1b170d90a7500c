"""From one place to others: up to what holds it, down to its first part, into the flat arrays."""

from __future__ import annotations

from pvsim.array.index import array_index, cell_slice, diode_place, module_range
from pvsim.array.module import ModuleType, cell_count, cell_substrings, substring_cells
from pvsim.array.place import LEVELS, WHOLE_ARRAY, Place, level_of
from pvsim.array.scenario import Scenario, as_built, module_type
from pvsim.errors import ScenarioError
from pvsim.words import _

__all__ = ["cells_of", "diodes_of", "holders", "nearest_place", "place_at", "place_holds"]

DEPTH = {"array": 0, "string": 1, "module": 2, "substring": 3, "diode": 4, "cell": 4}


def place_at(scenario: Scenario, place: Place, level: str) -> Place:
    """The part of `level` that holds `place`, or the first such part inside it.

    Parameters
    ----------
    scenario : Scenario
        Where the place is.
    place : Place
        Of any level.
    level : str
        "array", "string", "module", "substring", "cell" or "diode".
    """
    if level == "array":
        return WHOLE_ARRAY
    string = place.string or 1
    if level == "string":
        return Place(string)
    module = place.module or 1
    if level == "module":
        return Place(string, module)
    kind = _kind_at(scenario, string, module)
    part = place.substring or place.diode
    cell = place.cell or (substring_cells(kind, part)[0] if part else 1)
    if level == "cell":
        return Place(string, module, cell=cell)
    number = int(cell_substrings(kind)[cell - 1])
    if level == "substring":
        return Place(string, module, substring=number)
    if kind.substrings[number - 1].diode is None:
        raise ScenarioError(
            _("substring {number} of this module has no bypass diode").format(number=number),
            expected=_("a substring with a bypass diode"),
            mend=_("Choose another module, or another fault"),
        )
    return Place(string, module, diode=number)


def place_holds(scenario: Scenario, outer: Place, inner: Place) -> bool:
    """Whether a place is the other one or part of it."""
    level = level_of(outer)
    if outer == inner:
        return True
    return DEPTH[level] < DEPTH[level_of(inner)] and place_at(scenario, inner, level) == outer


def holders(scenario: Scenario, place: Place) -> tuple[Place, ...]:
    """The place and every part that holds it, up to the array.

    Parameters
    ----------
    scenario : Scenario
    place : Place
        Of any level.
    """
    level = level_of(place)
    wider = [one for one in reversed(LEVELS) if DEPTH[one] < DEPTH[level]]
    return place, *(place_at(scenario, place, one) for one in wider)


def cells_of(scenario: Scenario, place: Place) -> slice:
    """The cells of a place in the per-cell arrays of a solution."""
    return cell_slice(array_index(scenario), place)


def diodes_of(scenario: Scenario, place: Place) -> slice:
    """The bypass diodes of a place in the per-diode arrays of a solution."""
    index = array_index(scenario)
    if level_of(place) in ("substring", "diode"):
        at = diode_place(index, place)
        return slice(at, at + 1)
    first, last = module_range(index, place)
    return slice(int(index.diode_start[first]), int(index.diode_start[last]))


def nearest_place(scenario: Scenario, place: Place) -> Place:
    """The place itself, or what is left of it when the array has become smaller."""
    strings = as_built(scenario)
    if place.string is None or place.string > len(strings):
        return Place()
    longest = max(
        strings[place.string - 1].modules, scenario.array.strings[place.string - 1].modules, key=len
    )
    if place.module is None or place.module > len(longest):
        return Place(place.string)
    kind = _kind_at(scenario, place.string, place.module)
    part = place.substring or place.diode or 0
    gone = (place.cell or 0) > cell_count(kind) or part > len(kind.substrings)
    return Place(place.string, place.module) if gone else place


def _kind_at(scenario: Scenario, string: int, module: int) -> ModuleType:
    modules = as_built(scenario)[string - 1].modules
    planned = scenario.array.strings[string - 1].modules
    longer = modules if len(modules) >= len(planned) else planned
    return module_type(scenario, longer[module - 1].type)
