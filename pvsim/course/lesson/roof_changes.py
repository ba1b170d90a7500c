"""The changes of a mounted array that a lesson can declare: its wiring, its modules, its day."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import MISSING, fields, replace

from pvsim.array import rewire
from pvsim.array.cables import Cables
from pvsim.array.day import SOLID_KINDS, Day
from pvsim.array.limits import MAX_MOUNTED
from pvsim.array.mounting import Spot
from pvsim.array.scenario import Scenario
from pvsim.array.usual_wirings import string_lengths, usual_wirings
from pvsim.course.table import Table
from pvsim.errors import ScenarioError, nearest
from pvsim.files.day import SITE_FIELDS, read_date
from pvsim.files.mounting import spots_of_run
from pvsim.sky.site import Site

__all__ = ["ROOF_CHANGES", "Applied"]

Applied = Callable[[Scenario], Scenario]
FARTHEST_m = 1e3


def _wire(table: Table) -> Applied:
    name = table.text("wire", longest=40)
    count = table.number("strings", least=1, most=MAX_MOUNTED) if table.has("strings") else None

    def wired(scenario: Scenario) -> Scenario:
        mounted = rewire.on_surfaces(scenario)
        strings = int(count or len(mounted.array.strings))
        usual = usual_wirings(mounted, string_lengths(mounted, strings))
        if name not in usual:
            raise ScenarioError(
                f"there is no usual wiring '{name}' of this roof",
                expected="one of " + ", ".join(usual),
                mend=nearest(name, list(usual), "Choose one of them"),
            )
        return rewire.rewire(mounted, usual[name])

    return wired


def _draw(table: Table) -> Applied:
    spots = _spots(table, "draw")
    number = int(table.number("string", least=1, most=MAX_MOUNTED))
    return lambda scenario: rewire.draw_string(rewire.on_surfaces(scenario), number, spots)[0]


def _turn(table: Table) -> Applied:
    spots = _spots(table, "turn")
    return lambda scenario: rewire.turn(rewire.on_surfaces(scenario), spots)


def _box(table: Table) -> Applied:
    inner = table.table("box")
    x_m, y_m = (
        0.0 if inner is None else inner.number(key, least=-FARTHEST_m, most=FARTHEST_m)
        for key in ("x_m", "y_m")
    )
    if inner is not None:
        inner.close()

    def moved(scenario: Scenario) -> Scenario:
        cables = replace(scenario.array.cables or Cables(), box_x_m=x_m, box_y_m=y_m)
        return replace(scenario, array=replace(scenario.array, cables=cables))

    return moved


def _stand(table: Table) -> Applied:
    kind = SOLID_KINDS[table.word("stand", tuple(SOLID_KINDS))]
    needed = [one.name for one in fields(kind) if table.has(one.name) or one.default is MISSING]
    told = len(table.report.problems)
    given = {name: table.number(name, least=-1e9, most=1e9) for name in needed}
    if len(table.report.problems) > told:
        return lambda scenario: scenario
    thing = kind(**given)

    def stands(scenario: Scenario) -> Scenario:
        day = _day_of(scenario)
        return replace(scenario, day=replace(day, solids=(*day.solids, thing)))

    return stands


def _day(table: Table) -> Applied:
    inner = table.table("day")
    if inner is None:
        return lambda scenario: scenario
    date = read_date(inner.text("date", longest=40))
    there = [name for name in SITE_FIELDS if name != "title" and inner.has(name)]
    needed = dict.fromkeys(("latitude_deg", "longitude_deg", *there)) if there else {}
    told = len(table.report.problems)
    given = {name: inner.number(name, least=-1e9, most=1e9) for name in needed}
    inner.close()
    if len(table.report.problems) > told:
        return lambda scenario: scenario
    site = Site(title="", **given) if given else None

    def dated(scenario: Scenario) -> Scenario:
        if site is not None:
            old = scenario.day
            now = replace(old, site=site, date=date) if old else Day(site=site, date=date)
            return replace(scenario, day=now)
        return replace(scenario, day=replace(_day_of(scenario), date=date))

    return dated


def _day_of(scenario: Scenario) -> Day:
    if scenario.day is None:
        raise ScenarioError(
            "the scenario has no day",
            expected="a scenario with a table [day]",
            mend='Begin with { day = { date = "2026-06-21", latitude_deg = 54, longitude_deg = 15 } }',
        )
    return scenario.day


def _spots(table: Table, key: str) -> tuple[Spot, ...]:
    return tuple(spot for text in table.texts(key, least=1, most=400) for spot in spots_of_run(text))


ROOF_CHANGES: dict[str, Callable[[Table], Applied]] = {
    "wire": _wire,
    "draw": _draw,
    "turn": _turn,
    "box": _box,
    "stand": _stand,
    "day": _day,
}
