"""Pure functions that change the surfaces modules are mounted on: how they stand, their rows and places."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

from pvsim.array.array import Array, Module, mounted_modules
from pvsim.array.layout import place_boxes_of
from pvsim.array.mounting import LETTERS, Spot, Surface
from pvsim.array.rewire import take_away
from pvsim.array.scenario import Scenario
from pvsim.errors import ScenarioError
from pvsim.words import _

__all__ = ["add_surface", "remove_surface", "set_row", "set_surface"]

BESIDE_m = 1.5  # between surfaces on the drawing


def set_surface(scenario: Scenario, number: int, **changes: Any) -> Scenario:
    """Change fields of a surface, by its number from 1; its modules stay on their spots."""
    changed = replace(_surface_of(scenario, number), **changes)
    surfaces = scenario.array.surfaces
    rows = (*surfaces[: number - 1], changed, *surfaces[number:])
    return replace(scenario, array=replace(scenario.array, surfaces=rows))


def set_row(scenario: Scenario, number: int, row: int | None, **changes: Any) -> Scenario:
    """Change fields of a row of places, or of all rows of a surface; modules stay on their spots.

    Parameters
    ----------
    number : int
        Of the surface, from 1.
    row : int or None
        From 1 at the upper edge; one more than there are adds a row like the last; None for all rows.
    changes : object
        Of Row; `places=0` takes the row away, and moves those below it up.
    """
    surface = _surface_of(scenario, number)
    rows = list(surface.rows)
    if row is not None and not 1 <= row <= len(rows) + 1:
        raise ScenarioError(
            _("surface {surface} has no row {row}").format(surface=LETTERS[number - 1], row=row),
            expected=_("a row from 1 to {last}, the last a new one").format(last=len(rows) + 1),
            mend=_("Choose one of them"),
        )
    if changes.get("places") == 0:
        return _without_rows(scenario, number, range(1, len(rows) + 1) if row is None else [row])
    if row is not None and row > len(rows):
        rows.append(rows[-1])
    chosen = range(len(rows)) if row is None else [row - 1]
    for at in chosen:
        rows[at] = replace(rows[at], **changes)
    return set_surface(scenario, number, rows=tuple(rows))


def add_surface(scenario: Scenario, **fields: Any) -> Scenario:
    """One more surface, beside the others on the drawing and like the last unless told otherwise; empty.

    Parameters
    ----------
    fields : object
        Of Surface.
    """
    surfaces = scenario.array.surfaces
    last = _surface_of(scenario, len(surfaces))
    right = max(box.right_m for box in place_boxes_of(scenario).values())
    new = replace(last, **{"name": "", "x_m": round(right + BESIDE_m, 3), "y_m": 0.0, **fields})
    return replace(scenario, array=replace(scenario.array, surfaces=(*surfaces, new)))


def remove_surface(scenario: Scenario, number: int) -> Scenario:
    """Take a surface away with all its modules; those after it get its letter."""
    _surface_of(scenario, number)
    mine = {module.spot for _at, module in mounted_modules(scenario.array) if module.spot}
    bare = take_away(scenario, [spot for spot in mine if spot.surface == number])

    def moved(spot: Spot) -> Spot:
        return replace(spot, surface=spot.surface - (spot.surface > number))

    surfaces = bare.array.surfaces
    kept = (*surfaces[: number - 1], *surfaces[number:])
    return replace(bare, array=_spots_changed(bare.array, kept, moved))


def _without_rows(scenario: Scenario, number: int, rows: Iterable[int]) -> Scenario:
    gone = set(rows)
    surface = _surface_of(scenario, number)
    left = tuple(row for at, row in enumerate(surface.rows, start=1) if at not in gone)
    if not left:
        raise ScenarioError(
            _("surface {surface} would have no row").format(surface=LETTERS[number - 1]),
            expected=_("at least one row of one place"),
            mend=_("Take the surface away instead"),
        )
    mine = [module.spot for _at, module in mounted_modules(scenario.array) if module.spot]
    bare = take_away(scenario, [spot for spot in mine if spot.surface == number and spot.row in gone])

    def moved(spot: Spot) -> Spot:
        above = sum(row < spot.row for row in gone) if spot.surface == number else 0
        return replace(spot, row=spot.row - above)

    surfaces = bare.array.surfaces
    kept = (*surfaces[: number - 1], replace(surface, rows=left), *surfaces[number:])
    return replace(bare, array=_spots_changed(bare.array, kept, moved))


def _spots_changed(array: Array, surfaces: tuple[Surface, ...], moved: Callable[[Spot], Spot]) -> Array:
    """The array on other surfaces, where each spot has another name."""

    def renamed(modules: tuple[Module, ...]) -> tuple[Module, ...]:
        return tuple(replace(module, spot=module.spot and moved(module.spot)) for module in modules)

    strings = tuple(replace(string, modules=renamed(string.modules)) for string in array.strings)
    return replace(array, strings=strings, unwired=renamed(array.unwired), surfaces=surfaces)


def _surface_of(scenario: Scenario, number: int) -> Surface:
    surfaces = scenario.array.surfaces
    if not 1 <= number <= len(surfaces):
        raise ScenarioError(
            _("there is no surface {number}").format(number=number),
            expected=_("a surface from {first} to {last}").format(
                first=LETTERS[0], last=LETTERS[max(len(surfaces), 1) - 1]
            ),
            mend=_("Add a surface, or choose another"),
        )
    return surfaces[number - 1]
