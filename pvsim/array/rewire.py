"""Pure functions that change what is mounted where, and which modules form which string.

What was done to a module goes with it: shade, dirt and faults stay on the glass that they were put
on, whatever its address becomes. What a module that is in no string any more had, goes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from pvsim.array.array import Array, Module, String, mounted_modules
from pvsim.array.fault import Fault
from pvsim.array.layout import free_boxes, roof_of
from pvsim.array.mounting import Row, Spot, Surface, format_spot
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario, as_built_lengths
from pvsim.errors import ScenarioError
from pvsim.words import _

__all__ = ["draw_string", "free_spots", "mount", "on_surfaces", "rewire", "spots_of", "take_away", "turn"]


def on_surfaces(scenario: Scenario, **fields: Any) -> Scenario:
    """The same array on a surface of its own, so that its modules can be mounted and wired freely.

    Parameters
    ----------
    scenario : Scenario
        One with surfaces already comes back as it is.
    fields : object
        Of the surface, such as tilt_deg.

    Returns
    -------
    Scenario
        Each module on the spot where it lay, if all modules are of one size.
    """
    array = scenario.array
    if array.surfaces:
        return scenario
    roof = roof_of(scenario)
    planned = [len(string.modules) for string in array.strings]
    if as_built_lengths(scenario) != planned:
        raise ScenarioError(
            _("a fault changes how many modules a string has"),
            expected=_("an array built as planned"),
            mend=_("Mend that fault first, then choose where the modules are mounted"),
        )
    counts: dict[int, int] = {}
    spots: list[Spot] = []
    for row in roof.row.tolist():
        counts[row] = counts.get(row, 0) + 1
        spots.append(Spot(1, row + 1, counts[row]))
    areas = roof.rectangle[:, 2:] - roof.rectangle[:, :2]
    largest = int((areas[:, 0] * areas[:, 1]).argmax())
    surface = Surface(
        **{
            "type": roof.index.kinds[int(roof.index.module_kind[largest])].kind.name,
            "rows": tuple(Row(places=counts[row], orientation=array.orientation) for row in sorted(counts)),
            "row_gap_m": array.row_gap_m,
            "module_gap_m": array.module_gap_m,
            **fields,
        }
    )
    free = iter(spots)
    strings = tuple(
        replace(string, modules=tuple(replace(module, spot=next(free)) for module in string.modules))
        for string in array.strings
    )
    return replace(scenario, array=replace(array, strings=strings, surfaces=(surface,)))


def spots_of(scenario: Scenario) -> tuple[tuple[Spot, ...], ...]:
    """The wiring: the spots of each string, from the negative end to the positive one."""
    return tuple(
        tuple(module.spot for module in string.modules if module.spot is not None)
        for string in scenario.array.strings
    )


def rewire(scenario: Scenario, wiring: Sequence[Sequence[Spot]]) -> Scenario:
    """Let strings run through other modules, or through the same ones in another order.

    Parameters
    ----------
    wiring : sequence of sequences of Spot
        For each string its spots, from the negative end to the positive one. A string keeps
        the fuse, diode and resistances of the one that had its number; further ones are like
        the last. Modules that no string visits stay mounted.

    Raises
    ------
    ScenarioError
        If a string is empty, visits a place without a module, or one twice.
    """
    for number, spots in enumerate(wiring, start=1):
        if not spots:
            raise ScenarioError(
                _("string {number} visits no module").format(number=number),
                expected=_("at least one module in each string"),
                mend=_("Draw it through a module, or leave it out"),
            )
    return _rewired(scenario, list(enumerate(wiring, start=1)))


def draw_string(scenario: Scenario, number: int, spots: Sequence[Spot]) -> tuple[Scenario, int]:
    """Let one string run through these modules and no others; all other strings let go of them.

    Parameters
    ----------
    number : int
        Of the string, from 1; one more than there are begins a new one, like the last.
    spots : sequence of Spot
        From its negative end to its positive one; none takes the string away, and its modules stay mounted.

    Returns
    -------
    Scenario, int
        A string that is left without modules goes, and those after it move up: the int is the number that
        the drawn one has now, 0 where it is gone.

    Raises
    ------
    ScenarioError
        If there is no such string, a spot holds no module or comes twice, or no string would be left.
    """
    count = len(scenario.array.strings)
    if not 1 <= number <= count + 1:
        raise ScenarioError(
            _("there is no string {number}").format(number=number),
            expected=_("a string from 1 to {last}, the last a new one").format(last=count + 1),
            mend=_("Choose one of them"),
        )
    drawn = set(spots)
    wiring = [
        (old, tuple(spot for spot in visited if spot not in drawn) if old != number else tuple(spots))
        for old, visited in enumerate((*spots_of(scenario), ()), start=1)
    ]
    kept = [(old, visited) for old, visited in wiring if visited]
    if not kept:
        raise _none_left()
    new = next((new for new, (old, _visited) in enumerate(kept, start=1) if old == number), 0)
    return _rewired(scenario, kept), new


def _rewired(scenario: Scenario, wiring: Sequence[tuple[int, Sequence[Spot]]]) -> Scenario:
    """Strings of these old numbers, in this order, through these spots; further ones are like the last."""
    array = scenario.array
    modules = {module.spot: module for _address, module in mounted_modules(array)}
    strings: list[String] = []
    visited: dict[Spot, int] = {}
    numbers: dict[int, int] = {}
    for new, (old, spots) in enumerate(wiring, start=1):
        for spot in spots:
            _check_visit(array, modules, visited, spot, new)
        like = array.strings[min(old, len(array.strings)) - 1]
        strings.append(replace(like, modules=tuple(modules[spot] for spot in spots)))
        if old <= len(array.strings):
            numbers[old] = new
    unwired = tuple(module for spot, module in modules.items() if spot not in visited)
    return _moved(scenario, replace(array, strings=tuple(strings), unwired=unwired), numbers)


def mount(scenario: Scenario, spots: Iterable[Spot], type: str, *, rotated: bool = False) -> Scenario:
    """Put modules down on free spots; no string visits them yet.

    Raises
    ------
    ScenarioError
        If a spot does not exist, holds a module already, or is too small for this type.
    """
    array = scenario.array
    added = tuple(Module(type, rotated, spot) for spot in spots)
    return replace(scenario, array=replace(array, unwired=(*array.unwired, *added)))


def take_away(scenario: Scenario, spots: Iterable[Spot]) -> Scenario:
    """Take modules off the roof; strings close over the gaps, and a string left empty goes.

    Raises
    ------
    ScenarioError
        If no module would be left in any string.
    """
    off = set(spots)
    _check_all_hold(scenario, off)
    array = scenario.array
    kept = {
        number: replace(string, modules=left)
        for number, string in enumerate(array.strings, start=1)
        if (left := tuple(module for module in string.modules if module.spot not in off))
    }
    if not kept:
        raise _none_left()
    unwired = tuple(module for module in array.unwired if module.spot not in off)
    numbers = {old: new for new, old in enumerate(kept, start=1)}
    return _moved(scenario, replace(array, strings=tuple(kept.values()), unwired=unwired), numbers)


def turn(scenario: Scenario, spots: Iterable[Spot]) -> Scenario:
    """Turn modules by 180 degrees where they are mounted."""
    chosen = set(spots)
    _check_all_hold(scenario, chosen)

    def turned(modules: tuple[Module, ...]) -> tuple[Module, ...]:
        return tuple(
            replace(module, rotated=not module.rotated) if module.spot in chosen else module
            for module in modules
        )

    array = scenario.array
    strings = tuple(replace(string, modules=turned(string.modules)) for string in array.strings)
    return replace(scenario, array=replace(array, strings=strings, unwired=turned(array.unwired)))


def _none_left() -> ScenarioError:
    return ScenarioError(
        _("no module would be left in a string"),
        expected=_("at least one string of one module"),
        mend=_("Draw a string through another module first"),
    )


def _check_visit(
    array: Array, modules: dict[Spot | None, Module], visited: dict[Spot, int], spot: Spot, number: int
) -> None:
    if spot not in modules:
        raise ScenarioError(
            _("string {number} visits {spot}, where no module is mounted").format(
                number=number, spot=format_spot(spot)
            ),
            expected=_("spots that hold a module"),
            mend=_("Put a module there, or draw the string past it"),
        )
    if spot in visited:
        again = _("string {number} visits {spot} twice") if visited[spot] == number else None
        said = again or _("strings {other} and {number} both visit {spot}")
        raise ScenarioError(
            said.format(number=number, other=visited[spot], spot=format_spot(spot)),
            expected=_("each module in one string, once"),
            mend=_("Take it out of one of them"),
        )
    visited[spot] = number


def _check_all_hold(scenario: Scenario, spots: set[Spot]) -> None:
    taken = {module.spot for _address, module in mounted_modules(scenario.array)}
    for spot in sorted(spots):
        if spot not in taken:
            raise ScenarioError(
                _("no module is mounted on {spot}").format(spot=format_spot(spot)),
                expected=_("spots that hold a module"),
                mend=_("Put a module there first"),
            )


def _moved(scenario: Scenario, array: Array, numbers: dict[int, int]) -> Scenario:
    """The scenario with another wiring of the same glass: what lies on a module goes with it.

    `numbers` are the strings that stay, old number to new one: what was done to one as a whole goes along.
    """
    where = {
        module.spot: Place(number, position)
        for number, string in enumerate(array.strings, start=1)
        for position, module in enumerate(string.modules, start=1)
    }
    old = scenario.array.strings

    def to(place: Place) -> Place | None:
        """The new address of what was at this one, or None if nothing is."""
        if place.string is None:
            return place
        if place.module is None:
            new = numbers.get(place.string)
            return None if new is None else Place(new)
        modules = old[place.string - 1].modules
        found = where.get(modules[place.module - 1].spot) if place.module <= len(modules) else None
        return found and replace(place, string=found.string, module=found.module)

    painted = tuple(
        replace(one, place=place) for one in scenario.light.painted if (place := to(one.place)) is not None
    )
    faults = tuple(moved for fault in scenario.faults if (moved := _fault_moved(fault, to)) is not None)
    focus = to(scenario.first_view.focus) or Place()
    return replace(
        scenario,
        array=array,
        light=replace(scenario.light, painted=painted),
        faults=faults,
        first_view=replace(scenario.first_view, focus=focus),
    )


def _fault_moved(fault: Fault, to: Any) -> Fault | None:
    place = to(fault.place)
    other = None if fault.other is None else to(fault.other)
    if place is None or (fault.other is not None and other is None):
        return None
    return replace(fault, place=place, other=other)


def free_spots(scenario: Scenario) -> list[Spot]:
    """The spots that hold no module, in the order surface, row, place."""
    return [spot for spot, _box in free_boxes(scenario)]
