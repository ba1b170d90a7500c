"""Which bypass diodes of a solution belong to a place, and which place is part of which."""

from __future__ import annotations

from pvsim.array.index import array_index, cell_slice, diode_place, module_range
from pvsim.array.module import cell_substrings
from pvsim.array.place import WHOLE_ARRAY, Place, level_of
from pvsim.array.scenario import Scenario, as_built, module_type


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


def contains(outer: Place, inner: Place) -> bool:
    """Whether a place is another one or a part of it; a substring holds its diode."""
    if outer.string is None:
        return True
    if outer.module is None:
        return inner.string == outer.string
    if (outer.string, outer.module) != (inner.string, inner.module):
        return False
    if outer.substring is not None:
        return outer.substring in (inner.substring, inner.diode)
    return outer == inner or (outer.cell is None and outer.diode is None)


def holders(scenario: Scenario, place: Place) -> tuple[Place, ...]:
    """The place and every part that holds it, up to the array."""
    found = [place]
    if place.cell is not None:
        kind = module_type(scenario, _module_name(scenario, place))
        substring = int(cell_substrings(kind)[place.cell - 1])
        found.append(Place(string=place.string, module=place.module, substring=substring))
    if level_of(place) in ("cell", "substring", "diode"):
        found.append(Place(string=place.string, module=place.module))
    if place.module is not None:
        found.append(Place(string=place.string))
    if place.string is not None:
        found.append(WHOLE_ARRAY)
    return tuple(found)


def _module_name(scenario: Scenario, place: Place) -> str:
    string = as_built(scenario)[(place.string or 1) - 1]
    return string.modules[(place.module or 1) - 1].type
