"""Pure functions that change a scenario: each takes one and gives back a new one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any, NoReturn

import numpy as np
from numpy.typing import NDArray

from pvsim.array.array import Array, Module
from pvsim.array.fault import Fault
from pvsim.array.index import ArrayIndex, array_index, built_cells, cell_at, module_at, module_range
from pvsim.array.light import Painted, Shadow
from pvsim.array.module import ModuleType
from pvsim.array.operation import Operation, OperationKind
from pvsim.array.place import WHOLE_ARRAY, Place, describe_place, format_place, level_of
from pvsim.array.scatter import Scatter
from pvsim.array.scenario import Scenario, check_place
from pvsim.array.weather import Weather
from pvsim.errors import ScenarioError, nearest
from pvsim.words import _


def paint(scenario: Scenario, places: Iterable[Place], transmission: float) -> Scenario:
    """Set the transmission of places; 1 takes their paint away.

    Parameters
    ----------
    places : iterable of Place
        Cells, substrings, modules, strings or the array. Paint on the same place is
        replaced; paint on another level stays, and the two multiply.
    transmission : float
        0 to 1.
    """
    chosen = tuple(dict.fromkeys(places))
    layers = [Painted(place, transmission) for place in chosen]
    new = dict(zip(chosen, layers, strict=True))
    kept = [new.pop(one.place, one) for one in scenario.light.painted]
    painted = tuple(one for one in [*kept, *new.values()] if one.transmission < 1.0)
    return replace(scenario, light=replace(scenario.light, painted=painted))


def paint_over(scenario: Scenario, places: Iterable[Place], transmission: float) -> Scenario:
    """Let paint leave these places exactly this transmission, whatever was painted there before.

    Parameters
    ----------
    places : iterable of Place
        Cells, substrings, modules, strings or the array. Paint on parts of them goes; of paint
        on what holds them, what lies beside them stays, part by part.
    transmission : float
        0 to 1.
    """
    index = array_index(scenario)
    chosen = tuple(dict.fromkeys(places))
    new = {place: Painted(place, transmission) for place in chosen}
    covered = np.zeros(int(index.cell_start[-1]), dtype=bool)
    for place in chosen:
        covered[built_cells(index, place) or slice(0)] = True
    layers: list[Painted] = []
    for one in scenario.light.painted:
        if one.place not in chosen:
            layers += _beside(index, one, covered)
        elif one.place in new:
            layers.append(new.pop(one.place))
    painted = tuple(one for one in [*layers, *new.values()] if one.transmission < 1.0)
    return replace(scenario, light=replace(scenario.light, painted=painted))


def _beside(index: ArrayIndex, layer: Painted, covered: NDArray[np.bool_]) -> list[Painted]:
    """What is left of a layer of paint beside the cells covered, in parts as large as can be."""
    cells = built_cells(index, layer.place)
    if cells is None or not covered[cells].any():
        return [layer]
    if covered[cells].all():
        return []
    place = layer.place
    if place.string is None:
        parts = [Place(number + 1) for number in range(len(index.strings))]
    elif place.module is None:
        parts = [module_at(index, flat) for flat in range(*module_range(index, place))]
    else:
        parts = [cell_at(index, flat) for flat in range(cells.start, cells.stop)]
    return [rest for part in parts for rest in _beside(index, Painted(part, layer.transmission), covered)]


def clear_paint(scenario: Scenario, places: Iterable[Place] | None = None) -> Scenario:
    """Take the paint off the places given, or off all."""
    if places is None:
        return replace(scenario, light=replace(scenario.light, painted=()))
    off = set(places)
    painted = tuple(one for one in scenario.light.painted if one.place not in off)
    return replace(scenario, light=replace(scenario.light, painted=painted))


def painted_transmission(scenario: Scenario, place: Place) -> float:
    """The transmission painted on exactly this place; 1 when there is none."""
    found = 1.0
    for one in scenario.light.painted:
        if one.place == place:
            found *= one.transmission
    return found


def add_fault(scenario: Scenario, fault: Fault) -> Scenario:
    """Add a fault; one of the same kind between the same places is replaced."""
    kept = tuple(
        one
        for one in scenario.faults
        if (one.kind, one.place, one.other) != (fault.kind, fault.place, fault.other)
    )
    return replace(scenario, faults=(*kept, fault))


def remove_fault(scenario: Scenario, fault: Fault) -> Scenario:
    """Take one fault out; a fault the scenario does not have is refused."""
    if fault not in scenario.faults:
        raise ScenarioError(
            _("the scenario has no fault '{kind}' at {place}").format(
                kind=fault.kind, place=format_place(fault.place)
            ),
            expected=_("a fault of the scenario"),
            mend=_("Look at faults_at(scenario, place) for what is there"),
        )
    return replace(scenario, faults=tuple(one for one in scenario.faults if one != fault))


def faults_at(scenario: Scenario, place: Place) -> tuple[Fault, ...]:
    """The faults put on exactly this place, and wires that end there."""
    return tuple(one for one in scenario.faults if place in (one.place, one.other))


def mend_place(scenario: Scenario, place: Place) -> Scenario:
    """Take every fault and all paint off exactly this place."""
    faults = tuple(one for one in scenario.faults if place not in (one.place, one.other))
    return clear_paint(replace(scenario, faults=faults), [place])


def add_shadow(scenario: Scenario, shadow: Shadow) -> Scenario:
    """Add a shadow behind the others in the list."""
    return _with_shadows(scenario, (*scenario.light.shadows, shadow))


def change_shadow(scenario: Scenario, index: int, **changes: Any) -> Scenario:
    """Change fields of a shadow, by its index from 0."""
    shadows = list(scenario.light.shadows)
    _check_index(shadows, index)
    shadows[index] = _replaced(shadows[index], changes)
    return _with_shadows(scenario, tuple(shadows))


def move_shadow(scenario: Scenario, index: int, x_m: float, y_m: float) -> Scenario:
    """Move the centre of a shadow, by its index from 0."""
    return change_shadow(scenario, index, x_m=x_m, y_m=y_m)


def remove_shadow(scenario: Scenario, index: int) -> Scenario:
    """Take a shadow away, by its index from 0."""
    shadows = list(scenario.light.shadows)
    _check_index(shadows, index)
    del shadows[index]
    return _with_shadows(scenario, tuple(shadows))


def set_light(scenario: Scenario, **changes: Any) -> Scenario:
    """Change fields of the light, such as irradiance_W_m2=600."""
    return replace(scenario, light=_replaced(scenario.light, changes))


def set_weather(scenario: Scenario, weather: Weather | None = None, **changes: Any) -> Scenario:
    """Put another weather in, or change fields of it."""
    return replace(scenario, weather=_replaced(weather or scenario.weather, changes))


def set_scatter(scenario: Scenario, scatter: Scatter | None, **changes: Any) -> Scenario:
    """Let cells and modules differ, as this scatter with changes says; with None all are equal."""
    return replace(scenario, scatter=None if scatter is None else _replaced(scatter, changes))


def set_operation(
    scenario: Scenario, kind: OperationKind | Operation, value: float | None = None
) -> Scenario:
    """Hold the trackers elsewhere, such as set_operation(scenario, "voltage", 400.0)."""
    operation = kind if isinstance(kind, Operation) else Operation(kind, value)
    return replace(scenario, operation=operation)


def set_array(scenario: Scenario, array: Array | None = None, **changes: Any) -> Scenario:
    """Put another array in, or change fields of it, such as tracking="per-string"."""
    return replace(scenario, array=_replaced(array or scenario.array, changes))


def set_strings(scenario: Scenario, place: Place = WHOLE_ARRAY, **changes: Any) -> Scenario:
    """Change fields of a string, or of all, such as cable_resistance_ohm=0.2."""
    if level_of(place) not in ("array", "string"):
        _refuse_place(place, _("a string or the whole array"))
    check_place(scenario, place)
    strings = tuple(
        _replaced(string, changes) if place.string in (None, number) else string
        for number, string in enumerate(scenario.array.strings, start=1)
    )
    return set_array(scenario, strings=strings)


def set_module_type(scenario: Scenario, name: str, place: Place = WHOLE_ARRAY) -> Scenario:
    """Put modules of another type where others are, mounted alike.

    Parameters
    ----------
    name : str
        Of a type of the scenario or of the catalogue.
    place : Place
        A module, a string or the whole array.
    """
    return set_modules(scenario, place, type=name)


def put_module_type(types: tuple[ModuleType, ...], kind: ModuleType) -> tuple[ModuleType, ...]:
    """Module types with one more, which takes the place of one that has the same name."""
    if kind.name in [one.name for one in types]:
        return tuple(kind if one.name == kind.name else one for one in types)
    return (*types, kind)


def use_module_type(scenario: Scenario, kind: ModuleType) -> Scenario:
    """Take a module type into the scenario, and for every module of its array.

    Each stays on its spot; places of surfaces become as large as the type asks.

    Parameters
    ----------
    kind : ModuleType
        Takes the place of a type of the scenario's own that has the same name.

    Raises
    ------
    ScenarioError
        If faults, shade or places do not go together with it, or the scenario has too many types.
    """

    def of_it(modules: tuple[Module, ...]) -> tuple[Module, ...]:
        return tuple(replace(module, type=kind.name) for module in modules)

    array = scenario.array
    strings = tuple(replace(string, modules=of_it(string.modules)) for string in array.strings)
    surfaces = tuple(replace(surface, type=kind.name) for surface in array.surfaces)
    return replace(
        scenario,
        module_types=put_module_type(scenario.module_types, kind),
        array=replace(array, strings=strings, surfaces=surfaces, unwired=of_it(array.unwired)),
    )


def set_string_length(scenario: Scenario, count: int, place: Place = WHOLE_ARRAY) -> Scenario:
    """Give a string, or all, so many modules: the last ones go, or more like the last one come.

    On an array with surfaces those that go stay mounted, in no string, and those that come are
    modules in no string, in the order they were mounted.

    Raises
    ------
    ScenarioError
        If an array with surfaces has too few of these.
    """
    if level_of(place) not in ("array", "string"):
        _refuse_place(place, _("a string or the whole array"))
    check_place(scenario, place)
    if scenario.array.surfaces:
        return _set_mounted_length(scenario, count, place)
    strings = tuple(
        replace(string, modules=(string.modules + string.modules[-1:] * count)[:count])
        if place.string in (None, number)
        else string
        for number, string in enumerate(scenario.array.strings, start=1)
    )
    return set_array(scenario, strings=strings)


def set_string_count(scenario: Scenario, count: int) -> Scenario:
    """Give an array so many strings: the last ones go, or more like the last one come.

    On an array with surfaces the modules of those that go stay mounted, in no string.

    Raises
    ------
    ScenarioError
        If an array with surfaces is to have more: its strings are drawn through mounted modules.
    """
    array = scenario.array
    kept = (array.strings + array.strings[-1:] * max(0, count - len(array.strings)))[: max(0, count)]
    if not array.surfaces:
        return set_array(scenario, strings=kept)
    if count > len(array.strings):
        raise ScenarioError(
            _("the array is to have {count} strings; {known} are drawn on its surfaces").format(
                count=count, known=len(array.strings)
            ),
            expected=_("at most as many as there are, where modules are mounted"),
            mend=_("Draw another string through modules of the roof first"),
        )
    spare = [module for string in array.strings[count:] for module in string.modules]
    return set_array(scenario, strings=kept, unwired=(*array.unwired, *spare))


def _set_mounted_length(scenario: Scenario, count: int, place: Place) -> Scenario:
    array = scenario.array
    spare = list(array.unwired)
    strings = []
    for number, string in enumerate(array.strings, start=1):
        if place.string in (None, number):
            spare += string.modules[count:]
            missing = max(0, count - len(string.modules))
            if missing > len(spare):
                raise ScenarioError(
                    _("string {number} is to have {count} modules; in no string are only {spare}").format(
                        number=number, count=count, spare=len(spare)
                    ),
                    expected=_("a mounted module for each"),
                    mend=_("Put more modules on the roof first"),
                )
            string = replace(string, modules=string.modules[:count] + tuple(spare[:missing]))
            del spare[:missing]
        strings.append(string)
    return set_array(scenario, strings=tuple(strings), unwired=tuple(spare))


def set_modules(scenario: Scenario, place: Place = WHOLE_ARRAY, **changes: Any) -> Scenario:
    """Change fields of a module, of those of a string, or of all, such as rotated=True."""
    if level_of(place) not in ("array", "string", "module"):
        _refuse_place(place, _("a module, a string or the whole array"))
    check_place(scenario, place)
    strings = []
    for number, string in enumerate(scenario.array.strings, start=1):
        if place.string in (None, number):
            modules = tuple(
                _replaced(module, changes) if place.module in (None, position) else module
                for position, module in enumerate(string.modules, start=1)
            )
            string = replace(string, modules=modules)
        strings.append(string)
    return set_array(scenario, strings=tuple(strings))


def _refuse_place(place: Place, expected: str) -> NoReturn:
    raise ScenarioError(
        _("{place} is no place for this change").format(place=describe_place(place)),
        expected=expected,
        mend=_("Name the part that holds it"),
    )


def _with_shadows(scenario: Scenario, shadows: tuple[Shadow, ...]) -> Scenario:
    return replace(scenario, light=replace(scenario.light, shadows=shadows))


def _check_index(shadows: list[Shadow], index: int) -> None:
    if not 0 <= index < len(shadows):
        raise ScenarioError(
            _("there is no shadow with index {index}").format(index=index),
            expected=_("an index from 0 to {most}").format(most=len(shadows) - 1)
            if shadows
            else _("a scenario with shadows"),
            mend=_("Count the shadows of the light from 0"),
        )


def _replaced(thing: Any, changes: dict[str, Any]) -> Any:
    known = thing.__dataclass_fields__
    for name in changes:
        if name not in known:
            raise ScenarioError(
                _("a {thing} has no {name}").format(thing=type(thing).__name__.lower(), name=repr(name[:80])),
                expected=_("one of {names}").format(names=", ".join(known)),
                mend=nearest(name[:80], known),
            )
    return replace(thing, **changes) if changes else thing
