"""A scenario: array, light, faults, weather and operation in one frozen value."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from itertools import chain
from typing import Literal, get_args

from pvsim.array.array import Array, String, mounted_modules
from pvsim.array.catalogue import CATALOGUE
from pvsim.array.checks import one_of, refuse, text, tuple_of
from pvsim.array.day import Day
from pvsim.array.fault import Fault
from pvsim.array.light import Light
from pvsim.array.limits import MAX_CELLS, MAX_FAULTS, MAX_MODULE_TYPES, MAX_MODULES, MAX_NOTE, MAX_TITLE
from pvsim.array.module import ModuleType, cell_count, module_size
from pvsim.array.mounted import check_boxes
from pvsim.array.mounting import place_boxes
from pvsim.array.operation import Operation
from pvsim.array.place import WHOLE_ARRAY, Place, describe_place
from pvsim.array.scatter import Scatter
from pvsim.array.weather import Weather
from pvsim.errors import ScenarioError, nearest
from pvsim.prompt import drawn, summary
from pvsim.words import _

Quantity = Literal["irradiance", "voltage", "power", "temperature"]
SHOWN_QUANTITIES: tuple[Quantity, ...] = get_args(Quantity)  # what the cells of the drawing can show


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstView:
    """What the page shows first: a place, and the quantity the drawing is coloured by."""

    focus: Place = WHOLE_ARRAY
    quantity: Quantity = "irradiance"

    def __post_init__(self) -> None:
        if not isinstance(self.focus, Place):
            refuse(self, "focus", self.focus, _("a Place"))
        one_of(self, "quantity", SHOWN_QUANTITIES)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """Everything that sets what the array does.

    Parameters
    ----------
    title, note : str
        For people.
    module_types : tuple of ModuleType
        The scenario's own; a name here hides the same name in the catalogue.
    array : Array
        As planned; `as_built` applies the faults that change a string's length.
    light, faults, weather, operation, first_view
        See their types.
    day : Day or None
        The day the roof is looked at, for whoever wants to see one.
    scatter : Scatter or None
        How cells and modules differ; without it all of one kind are equal.

    Raises
    ------
    ScenarioError
        If the parts do not go together, or a place does not exist in the array.
    """

    title: str
    array: Array
    note: str = ""
    module_types: tuple[ModuleType, ...] = ()
    light: Light = field(default_factory=Light)
    faults: tuple[Fault, ...] = ()
    weather: Weather = field(default_factory=Weather)
    operation: Operation = field(default_factory=Operation)
    first_view: FirstView = field(default_factory=FirstView)
    day: Day | None = None
    scatter: Scatter | None = None

    __repr__ = summary
    _repr_svg_ = drawn

    def __post_init__(self) -> None:
        text(self, "title", most=MAX_TITLE)
        text(self, "note", most=MAX_NOTE)
        tuple_of(self, "module_types", ModuleType, most=MAX_MODULE_TYPES)
        tuple_of(self, "faults", Fault, most=MAX_FAULTS)
        for name, kind in _PARTS.items():
            if not isinstance(getattr(self, name), kind):
                refuse(self, name, getattr(self, name), _("a {name}").format(name=kind.__name__))
        if self.day is not None and not isinstance(self.day, Day):
            refuse(self, "day", self.day, _("a Day or none"))
        if self.scatter is not None and not isinstance(self.scatter, Scatter):
            refuse(self, "scatter", self.scatter, _("a Scatter or none"))
        _check_types(self)
        _check_mounting(self)
        _check_places(self)
        _check_faults(self)


_PARTS: dict[str, type] = {
    "array": Array,
    "light": Light,
    "weather": Weather,
    "operation": Operation,
    "first_view": FirstView,
}


def module_type(scenario: Scenario, name: str) -> ModuleType:
    """The module type of that name: the scenario's own first, then the catalogue's."""
    for kind in scenario.module_types:
        if kind.name == name:
            return kind
    if name in CATALOGUE:
        return CATALOGUE[name]
    known = [kind.name for kind in scenario.module_types] + list(CATALOGUE)
    raise ScenarioError(
        _("there is no module type called {name}").format(name=repr(name[:80])),
        expected=_("a type of the scenario or of the catalogue"),
        mend=nearest(name[:80], known),
    )


def as_built(scenario: Scenario) -> tuple[String, ...]:
    """The strings as they were built: modules left out or added by faults.

    Returns
    -------
    tuple of String
        The planned strings themselves when no fault changes a length.
    """
    strings = scenario.array.strings
    lengths = as_built_lengths(scenario)
    return tuple(
        _relength(string, length - len(string.modules)) if length != len(string.modules) else string
        for string, length in zip(strings, lengths, strict=True)
    )


def _relength(string: String, change: int) -> String:
    old = string.modules
    added = replace(old[-1], spot=None)  # no plan has a place for it
    return replace(string, modules=old[:change] if change < 0 else old + (added,) * change)


def _check_types(scenario: Scenario) -> None:
    names = [kind.name for kind in scenario.module_types]
    for name in names:
        if names.count(name) > 1:
            raise ScenarioError(
                _("two module types are called '{name}'").format(name=name),
                expected=_("a name of its own for each"),
                mend=_("Rename one of them"),
            )
    counts: dict[str, int] = {}
    cells = modules = 0
    for string in scenario.array.strings:
        for module in string.modules:
            if module.type not in counts:
                counts[module.type] = cell_count(module_type(scenario, module.type))
            cells += counts[module.type]
    for fault in scenario.faults:
        if fault.kind == "modules-too-many" and fault.place.string:
            string = scenario.array.strings[min(fault.place.string, len(scenario.array.strings)) - 1]
            cells += int(fault.size or 0) * counts[string.modules[-1].type]
            modules += int(fault.size or 0)
    if cells > MAX_CELLS:
        raise ScenarioError(
            _("the array has {cells} cells").format(cells=cells),
            expected=_("at most {most}").format(most=MAX_CELLS),
            mend=_("Take modules out, or take a type with fewer cells"),
        )
    if modules > MAX_MODULES:
        raise ScenarioError(
            _("faults add {modules} modules").format(modules=modules),
            expected=_("at most {most}").format(most=MAX_MODULES),
            mend=_("Lower their sizes"),
        )


def _check_mounting(scenario: Scenario) -> None:
    """Refuse surfaces on each other, and modules that do not fit where they are mounted."""
    surfaces = scenario.array.surfaces
    if not surfaces:
        return
    modules = list(mounted_modules(scenario.array))
    names = {surface.type for surface in surfaces} | {module.type for _address, module in modules}
    sizes = {name: module_size(module_type(scenario, name)) for name in sorted(names)}
    spots = (
        (address, module.spot, module.type, sizes[module.type])
        for address, module in modules
        if module.spot is not None
    )
    check_boxes(surfaces, place_boxes(surfaces, sizes), spots)


def check_place(scenario: Scenario, place: Place) -> None:
    """Refuse a place that the array, planned or as built, does not have."""
    check_places(scenario, (place,))


def check_places(scenario: Scenario, places: Iterable[Place]) -> None:
    """As `check_place`, for many: the array is looked through once, however many there are.

    Raises
    ------
    ScenarioError
        About the first of them that the array does not have.
    """
    look = _PlaceCheck(scenario)
    for place in places:
        look.check(place)


class _PlaceCheck:
    """Looks places up in the array."""

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        planned = [len(string.modules) for string in scenario.array.strings]
        self.lengths = [max(a, b) for a, b in zip(planned, as_built_lengths(scenario), strict=True)]
        self.sizes: dict[str, tuple[int, ModuleType]] = {}

    def check(self, place: Place) -> None:
        if place.string is None:
            return
        if place.string > len(self.lengths):
            _missing(place, _("a string from 1 to {most}").format(most=len(self.lengths)))
        if place.module is None:
            return
        length = self.lengths[place.string - 1]
        if place.module > length:
            _missing(
                place,
                _("a module from 1 to {most} in string {string}").format(most=length, string=place.string),
            )
        modules = self.scenario.array.strings[place.string - 1].modules
        name = modules[min(place.module, len(modules)) - 1].type  # added ones are like the last
        if name not in self.sizes:
            kind = module_type(self.scenario, name)
            self.sizes[name] = (cell_count(kind), kind)
        cells, kind = self.sizes[name]
        if place.cell is not None:
            if place.cell > cells:
                _missing(
                    place,
                    _("a cell from 1 to {most} in a module of type '{type}'").format(most=cells, type=name),
                )
            return
        inner = place.substring or place.diode
        if inner is not None and inner > len(kind.substrings):
            _missing(
                place,
                _("a number from 1 to {most} in a module of type '{type}'").format(
                    most=len(kind.substrings), type=name
                ),
            )
        if place.diode is not None and kind.substrings[place.diode - 1].diode is None:
            _missing(
                place,
                _("a substring with a bypass diode; substring {number} of '{type}' has none").format(
                    number=place.diode, type=name
                ),
            )


def _missing(place: Place, expected: str) -> None:
    raise ScenarioError(
        _("{place} does not exist").format(place=describe_place(place)),
        expected=expected,
        mend=_("Numbers count from 1, cells in wiring order"),
    )


def _check_places(scenario: Scenario) -> None:
    painted = (one.place for one in scenario.light.painted)
    broken = (place for fault in scenario.faults for place in (fault.place, fault.other) if place is not None)
    check_places(scenario, chain(painted, broken, (scenario.first_view.focus,)))


def _check_faults(scenario: Scenario) -> None:
    built = as_built_lengths(scenario)
    array = scenario.array
    for fault in scenario.faults:
        number = fault.place.string or 0
        if fault.kind in ("modules-too-few", "modules-too-many"):
            if built[number - 1] < 1:
                raise ScenarioError(
                    _("string {number} would have no module left").format(number=number),
                    expected=_("at least one module"),
                    mend=_("Take out fewer, or use 'cable-open' for a string that carries no current"),
                )
            if array.wiring == "cross-tied" and len(set(built)) > 1:
                raise ScenarioError(
                    _("'{kind}' makes cross-tied strings unequal").format(kind=fault.kind),
                    expected=_("strings of the same length, since cross-ties join equal numbers"),
                    mend=_("Set wiring to 'strings', or change every string alike"),
                )
        if fault.kind == "fuse-blown" and not array.strings[number - 1].fuse:
            raise ScenarioError(
                _("string {number} has no fuse that could blow").format(number=number),
                expected=_("a string with a fuse"),
                mend=_("Give the string a fuse first, or cut its cable instead"),
            )
    if array.tracking == "per-string":
        _check_couplings(scenario)


def as_built_lengths(scenario: Scenario) -> list[int]:
    """How many modules each string has as built; may be below 1 before the check."""
    lengths = [len(string.modules) for string in scenario.array.strings]
    for fault in scenario.faults:
        number = fault.place.string or 0
        if number <= len(lengths):  # a string that does not exist is refused elsewhere
            if fault.kind == "modules-too-few":
                lengths[number - 1] -= int(fault.size or 0)
            elif fault.kind == "modules-too-many":
                lengths[number - 1] += int(fault.size or 0)
    return lengths


def _check_couplings(scenario: Scenario) -> None:
    touched = set()
    for fault in scenario.faults:
        other = fault.other
        if fault.kind == "string-bridge" and other is not None and other.string != fault.place.string:
            touched |= {fault.place.string, other.string}
        if fault.kind == "earth-fault" and scenario.array.grounded == "none":
            touched.add(fault.place.string)
    if len(touched) > 1:
        raise ScenarioError(
            _("faults join strings that have a tracker each"),
            expected=_("joined strings on one tracker"),
            mend=_("Set tracking to 'one', or keep these faults within one string"),
        )
