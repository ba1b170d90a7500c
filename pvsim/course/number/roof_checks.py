"""Checks behind `done_when` of a mounted array: its wiring, its modules, its day."""

from __future__ import annotations

from datetime import date as Date

from pvsim.array.array import mounted_modules
from pvsim.array.day import solid_kind
from pvsim.array.mounting import Spot
from pvsim.array.route import route_as
from pvsim.array.scenario import Scenario
from pvsim.array.solution import ArraySolution
from pvsim.array.usual_wirings import equal_lengths, mounted_spots, usual_wirings
from pvsim.reading.cables import all_cables, string_cables

__all__ = ["ANY_SOLID", "cable", "dated", "stands", "turned", "wired"]

ANY_SOLID = "any"
ROUNDING_m = 1e-6  # of lengths that are added up


def wired(scenario: Scenario, solution: ArraySolution, *, like: str, strings: float) -> bool:
    """All modules in so many strings, with no more cable, extensions and loop than the usual wiring needs."""
    spots = mounted_spots(scenario)
    if not spots or scenario.array.unwired or len(scenario.array.strings) != strings:
        return False
    usual = usual_wirings(scenario, equal_lengths(len(spots), int(strings)))
    if like not in usual:
        return False
    route = route_as(scenario, usual[like])
    now = all_cables(string_cables(solution))
    return (
        now.bought_m <= route.bought_m + ROUNDING_m
        and now.extensions <= route.extensions
        and now.loop_area_m2 <= max(one.loop_area_m2 for one in route.strings) + 0.1
    )


def cable(scenario: Scenario, solution: ArraySolution, *, least_m: float, most_m: float) -> bool:
    """All modules in strings, with so much cable bought."""
    strings = string_cables(solution)
    if not strings or scenario.array.unwired:
        return False
    return least_m <= all_cables(strings).bought_m <= most_m + ROUNDING_m


def turned(scenario: Scenario, solution: ArraySolution, *, spots: tuple[Spot, ...]) -> bool:
    """The modules on these spots are turned by 180 degrees, and no others."""
    found = {module.spot for _at, module in mounted_modules(scenario.array) if module.rotated}
    return found == set(spots)


def stands(
    scenario: Scenario,
    solution: ArraySolution,
    *,
    thing: str,
    least: float,
    most: float,
    lowest_m: float,
    highest_m: float,
) -> bool:
    """`least` to `most` things of a kind throw shadows on the day, each of a height in these limits."""
    day = scenario.day
    if day is None:
        return False
    found = [one for one in day.solids if thing in (ANY_SOLID, solid_kind(one))]
    fits = all(lowest_m <= getattr(one, "height_m", 0.0) <= highest_m for one in found)
    return least <= len(found) <= most and fits


def dated(scenario: Scenario, solution: ArraySolution, *, date: Date) -> bool:
    """It is this day of the year, in any year."""
    day = scenario.day
    return day is not None and (day.date.month, day.date.day) == (date.month, date.day)
