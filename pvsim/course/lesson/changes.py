"""The fixed table of changes a lesson can declare, and one declared change."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import reduce
from typing import Any, get_args

from pvsim.array import FAULT_KINDS, change
from pvsim.array.fault import Fault
from pvsim.array.light import SHADOW_KINDS, Shadow
from pvsim.array.mounting import Orientation
from pvsim.array.place import Place, parse_place
from pvsim.array.scatter import MOST_SEED, USUAL_SCATTER
from pvsim.array.scenario import Scenario, check_place
from pvsim.course.lesson.roof_changes import ROOF_CHANGES, Applied
from pvsim.course.table import Table
from pvsim.errors import PvsimError

NOWHERE = -1e9  # bounds that leave the check to the array layer


@dataclass(frozen=True, slots=True)
class Change:
    """One declared change.

    Parameters
    ----------
    kind : str
        A key of CHANGES.
    apply : callable
        Scenario -> Scenario.
    """

    kind: str
    apply: Callable[[Scenario], Scenario]


def apply_all(scenario: Scenario, several: Iterable[Change]) -> Scenario:
    """The scenario after the changes, one after the other."""
    return reduce(lambda now, one: one.apply(now), several, scenario)


def read_changes(owner: Table, key: str) -> tuple[Change, ...]:
    """The list of changes under a key; wrong ones go to the report.

    Each entry is one table whose first word says what it does:

        { shade = ["1/1/14", "1/1/15"], transmission = 0.2 }
        { unshade = ["1/1/14"] }
        { break = "1/1/d1", fault = "diode-open", size = 0.5 }
        { mend = ["1/1/d1"] }
        { clear = "shadows" }                     (or "paint", "faults", "solids", "all")
        { shadow = "pole", x_m = 1.0, y_m = 0.5, width_m = 0.1, height_m = 2.0 }
        { light = { irradiance_W_m2 = 500 } }
        { weather = { cell_temperature_C = 60 } }
        { operate = "voltage", value = 0.3 }
        { lay = "landscape" }
        { scatter = 1 }                           (the usual one, drawn from this number)
        { wire = "leapfrog" }                     (a usual wiring; perhaps `strings`)
        { draw = ["A/1/1-8"], string = 1 }
        { turn = ["A/1/1-8"] }
        { box = { x_m = -0.6, y_m = 3.8 } }
        { stand = "pole", x_m = 4.6, y_m = -2.9, radius_m = 0.06, height_m = 8 }
        { day = { date = "2026-12-21" } }
    """
    found: list[Change] = []
    for table in owner.tables(key):
        kinds = [kind for kind in CHANGES if table.has(kind)]
        if len(kinds) != 1:
            owner.refuse(
                key,
                f"a change of '{key}' has the keys " + (", ".join(table.values) or "none"),
                expected="exactly one of " + ", ".join(CHANGES),
                mend='Write for instance { shade = ["1/1/14"], transmission = 0.2 }',
            )
            continue
        told = len(owner.report.problems)
        try:
            applied = CHANGES[kinds[0]](table)
            table.close()
        except PvsimError as error:
            if len(owner.report.problems) == told:
                owner.report.take_over((*owner.path, key), error)
        if len(owner.report.problems) > told:
            applied = _nothing  # what was put in place of a slip would only make further problems
        found.append(Change(kinds[0], applied))
    return tuple(found)


def _nothing(scenario: Scenario) -> Scenario:
    return scenario


def _places(table: Table, key: str) -> tuple[Place, ...]:
    return tuple(parse_place(text) for text in table.texts(key, least=1, most=400))


def _checked(scenario: Scenario, places: tuple[Place, ...]) -> Scenario:
    for place in places:
        check_place(scenario, place)
    return scenario


def _shade(table: Table) -> Applied:
    places = _places(table, "shade")
    transmission = table.number("transmission", least=0.0, most=1.0)
    return lambda scenario: change.paint(_checked(scenario, places), places, transmission)


def _unshade(table: Table) -> Applied:
    places = _places(table, "unshade")
    return lambda scenario: change.clear_paint(_checked(scenario, places), places)


def _break(table: Table) -> Applied:
    place = parse_place(table.text("break"))
    kind = table.word("fault", tuple(FAULT_KINDS))
    size = table.number("size", least=NOWHERE, most=-NOWHERE) if table.has("size") else None
    fault = Fault(kind, place, size)
    return lambda scenario: change.add_fault(_checked(scenario, (place,)), fault)


def _mend(table: Table) -> Applied:
    places = _places(table, "mend")

    def mended(scenario: Scenario) -> Scenario:
        return reduce(change.mend_place, places, _checked(scenario, places))

    return mended


def _shadow(table: Table) -> Applied:
    kind = table.word("shadow", SHADOW_KINDS)
    names = ("x_m", "y_m", "width_m", "height_m", "angle_deg", "transmission")
    given = {name: table.number(name, least=NOWHERE, most=-NOWHERE) for name in names if table.has(name)}
    cast = Shadow(kind=kind, **given)  # type: ignore[arg-type]
    return lambda scenario: change.add_shadow(scenario, cast)


def _clear(table: Table) -> Applied:
    what = table.word("clear", ("shadows", "paint", "faults", "solids", "all"))

    def cleared(scenario: Scenario) -> Scenario:
        light = scenario.light
        if what in ("shadows", "all"):
            light = replace(light, shadows=())
        if what in ("paint", "all"):
            light = replace(light, painted=())
        faults = () if what in ("faults", "all") else scenario.faults
        day = scenario.day
        if day is not None and what in ("solids", "all"):
            day = replace(day, solids=())
        return replace(scenario, light=light, faults=faults, day=day)

    return cleared


def _light(table: Table) -> Applied:
    given = _numbers(table, "light")
    return lambda scenario: change.set_light(scenario, **given)


def _weather(table: Table) -> Applied:
    given = _numbers(table, "weather")
    return lambda scenario: change.set_weather(scenario, None, **given)


def _numbers(table: Table, key: str) -> dict[str, Any]:
    """A table of fields with their values; the array layer knows which there are."""
    inner = table.table(key)
    return {} if inner is None else dict(inner.values)


def _operate(table: Table) -> Applied:
    kind = table.word("operate", ("mpp", "voltage", "current", "load"))
    value = table.number("value", least=NOWHERE, most=-NOWHERE) if table.has("value") else None
    return lambda scenario: change.set_operation(scenario, kind, value)  # type: ignore[arg-type]


def _lay(table: Table) -> Applied:
    orientation = table.word("lay", get_args(Orientation))
    return lambda scenario: change.set_array(scenario, orientation=orientation)


def _scatter(table: Table) -> Applied:
    seed = table.whole("scatter", least=0, most=MOST_SEED)
    return lambda scenario: change.set_scatter(scenario, USUAL_SCATTER, seed=seed)


CHANGES: dict[str, Callable[[Table], Applied]] = {
    "shade": _shade,
    "unshade": _unshade,
    "break": _break,
    "mend": _mend,
    "clear": _clear,
    "shadow": _shadow,
    "light": _light,
    "weather": _weather,
    "operate": _operate,
    "lay": _lay,
    "scatter": _scatter,
    **ROOF_CHANGES,
}
