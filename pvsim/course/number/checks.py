"""The fixed table of checks behind `done_when`: pure functions of a scenario and its solution."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from pvsim.array import FAULT_KINDS
from pvsim.array.day import SOLID_KINDS
from pvsim.array.part_place import cells_of, diodes_of, place_holds
from pvsim.array.place import WHOLE_ARRAY, Place, parse_place
from pvsim.array.scenario import Scenario
from pvsim.array.shading import unshaded_irradiance
from pvsim.array.solution import ArraySolution
from pvsim.course.number.evaluation import Readings, check_condition
from pvsim.course.number.evaluation import holds as condition_holds
from pvsim.course.number.expression import Condition, parse_condition, paths
from pvsim.course.number.quantities import SYMBOLIC
from pvsim.course.number.roof_checks import ANY_SOLID, cable, dated, stands, turned, wired
from pvsim.course.number.solved_scenario import Situation
from pvsim.course.table import Table
from pvsim.errors import LessonError, PvsimError, nearest
from pvsim.field.search.case import SearchCase
from pvsim.files.day import read_date
from pvsim.files.mounting import spots_of_run

MANY = 1e6  # no upper bound on a count
ZERO_CELSIUS_K = 273.15
SEARCH_ANSWERED = "search_answered"
OPERATIONS = ("mpp", "voltage", "current", "load")


def shaded(
    scenario: Scenario, solution: ArraySolution, *, place: Place, at_most: float, least: float, most: float
) -> bool:
    """`least` to `most` cells of `place` get at most the share `at_most` of the light."""
    lit = solution.cells.irradiance_W_m2[cells_of(scenario, place)]
    limit = at_most * scenario.light.irradiance_W_m2 * (1 + 1e-9)  # the limit itself counts
    return bool(least <= np.count_nonzero(lit <= limit) <= most)


def lit(scenario: Scenario, solution: ArraySolution, *, place: Place) -> bool:
    """Every cell of `place` gets the light it would have without any shade."""
    here = cells_of(scenario, place)
    return bool(np.all(solution.cells.irradiance_W_m2[here] >= 0.99 * unshaded_irradiance(scenario)[here]))


def fault(scenario: Scenario, solution: ArraySolution, *, place: Place, kind: str) -> bool:
    """There is a fault of `kind` somewhere in `place`."""
    return any(one.kind == kind and place_holds(scenario, place, one.place) for one in scenario.faults)


def no_fault(scenario: Scenario, solution: ArraySolution, *, place: Place) -> bool:
    """There is no fault in `place`."""
    return not any(place_holds(scenario, place, one.place) for one in scenario.faults)


def diodes_conducting(
    scenario: Scenario, solution: ArraySolution, *, place: Place, least: float, most: float
) -> bool:
    """`least` to `most` bypass diodes of `place` conduct."""
    on = solution.diodes.conducting[diodes_of(scenario, place)]
    return bool(least <= np.count_nonzero(on) <= most)


def irradiance(
    scenario: Scenario, solution: ArraySolution, *, irradiance_W_m2: float, within_W_m2: float
) -> bool:
    """The light is set to `irradiance_W_m2`, give or take `within_W_m2`."""
    return abs(scenario.light.irradiance_W_m2 - irradiance_W_m2) <= within_W_m2


def cell_temperature(
    scenario: Scenario, solution: ArraySolution, *, temperature_C: float, within_K: float
) -> bool:
    """The cells are at `temperature_C` on average, give or take `within_K`."""
    return abs(mean_temperature_C(solution) - temperature_C) <= within_K


def mean_temperature_C(solution: ArraySolution) -> float:
    """What the cells are at on average."""
    return float(np.mean(solution.cells.temperature_K)) - ZERO_CELSIUS_K


def operating(scenario: Scenario, solution: ArraySolution, *, kind: str, least: float, most: float) -> bool:
    """The trackers are held by `kind`, at a value from `least` to `most`."""
    value = scenario.operation.value
    return scenario.operation.kind == kind and (value is None or least <= value <= most)


def holds(scenario: Scenario, solution: ArraySolution, *, that: Condition) -> bool:
    """The condition `that` is true; its paths begin with now."""
    here = Situation(scenario, solution)
    return condition_holds(that, Readings(here, here))


def search_answered(scenario: Scenario, solution: ArraySolution, *, case: SearchCase) -> bool:
    """The array of the search lies open, as it does once that is answered.

    How its cells differ is told by nothing else: who has it on the bench has it from the end of the search.
    """
    true = case.scenario
    return (scenario.array, scenario.faults, scenario.scatter) == (true.array, true.faults, true.scatter)


@dataclass(frozen=True, slots=True)
class Argument:
    """One declared argument: its kind of value, limits, and default (None: must be given)."""

    kind: str
    least: float = 0.0
    most: float = 0.0
    default: Any = None


_PLACE = Argument("place", default="array")
_FROM = Argument("number", 0.0, MANY, 1.0)
_TO = Argument("number", 0.0, MANY, MANY)
_VALUE_FROM = Argument("number", -MANY, MANY, -MANY)
_VALUE_TO = Argument("number", -MANY, MANY, MANY)

CHECKS: dict[str, tuple[Callable[..., bool], dict[str, Argument]]] = {
    "shaded": (
        shaded,
        {"place": _PLACE, "at_most": Argument("number", 0.0, 1.0, 0.5), "least": _FROM, "most": _TO},
    ),
    "lit": (lit, {"place": _PLACE}),
    "fault": (fault, {"place": _PLACE, "kind": Argument("fault")}),
    "no_fault": (no_fault, {"place": _PLACE}),
    "diodes_conducting": (diodes_conducting, {"place": _PLACE, "least": _FROM, "most": _TO}),
    "irradiance": (
        irradiance,
        {
            "irradiance_W_m2": Argument("number", 0.0, 2000.0),
            "within_W_m2": Argument("number", 0.0, 500.0, 20.0),
        },
    ),
    "cell_temperature": (
        cell_temperature,
        {
            "temperature_C": Argument("number", -60.0, 150.0),
            "within_K": Argument("number", 0.0, 50.0, 2.0),
        },
    ),
    "operating": (operating, {"kind": Argument("operation"), "least": _VALUE_FROM, "most": _VALUE_TO}),
    "wired": (wired, {"like": Argument("text"), "strings": Argument("number", 1.0, MANY)}),
    "cable": (
        cable,
        {"least_m": Argument("number", 0.0, MANY, 0.0), "most_m": Argument("number", 0.0, MANY)},
    ),
    "turned": (turned, {"spots": Argument("spots")}),
    "stands": (
        stands,
        {
            "thing": Argument("solid", default=ANY_SOLID),
            "least": _FROM,
            "most": _TO,
            "lowest_m": Argument("number", 0.0, MANY, 0.0),
            "highest_m": Argument("number", 0.0, MANY, MANY),
        },
    ),
    "dated": (dated, {"date": Argument("date")}),
    "holds": (holds, {"that": Argument("condition")}),
    SEARCH_ANSWERED: (search_answered, {}),  # the case is that of its step
}


@dataclass(frozen=True, slots=True)
class Check:
    """One check as a lesson declares it.

    Parameters
    ----------
    kind : str
        A key of CHECKS.
    arguments : tuple of (str, value)
        The declared arguments, all of them.
    """

    kind: str
    arguments: tuple[tuple[str, Any], ...]


def check_holds(check: Check, scenario: Scenario, solution: ArraySolution) -> bool:
    """Whether a check holds for a solved scenario."""
    function, _ = CHECKS[check.kind]
    return function(scenario, solution, **dict(check.arguments))


def all_hold(checks: tuple[Check, ...], situation: Situation) -> bool:
    """Whether every check holds."""
    return all(check_holds(one, situation.scenario, situation.solution) for one in checks)


def places_in(check: Check) -> Iterator[Place]:
    """The places a check looks at; the scenario has to have them."""
    for _, value in check.arguments:
        if isinstance(value, Place):
            yield value
        elif isinstance(value, Condition):
            yield from (parse_place(path.place) for path in paths(value) if path.place not in SYMBOLIC)


def read_checks(owner: Table, key: str, case: SearchCase | None = None) -> tuple[Check, ...]:
    """The checks under a key, such as `done_when = { shaded = { place = "1/1" } }`.

    Parameters
    ----------
    case : SearchCase or None
        What is searched in, where the act is a search.
    """
    table = owner.table(key)
    if table is None:
        return ()
    found: list[Check] = []
    for kind in table.values:
        inner = table.table(kind)
        if kind not in CHECKS:
            table.refuse(
                kind,
                f"'{kind}' is no check",
                expected="one of " + ", ".join(CHECKS),
                mend=nearest(kind, CHECKS),
            )
        elif inner is not None:
            try:
                arguments = CHECKS[kind][1]
                values = tuple((name, _read(inner, name, one)) for name, one in arguments.items())
                if kind == SEARCH_ANSWERED:
                    values = (("case", _searched(case)),)
                found.append(Check(kind, values))
            except PvsimError as error:
                owner.report.take_over(inner.path, error)
            inner.close()
    return tuple(found)


def _searched(case: SearchCase | None) -> SearchCase:
    if case is None:
        raise LessonError(
            f"'{SEARCH_ANSWERED}' asks for a search, and the step has none",
            expected="a step with a search",
            mend="Write search = { seed = 1, level = 1 } into the step",
        )
    return case


def _read(table: Table, name: str, wanted: Argument) -> Any:
    if wanted.kind == "number":
        return table.number(name, least=wanted.least, most=wanted.most, default=wanted.default)
    if wanted.kind == "fault":
        return table.word(name, tuple(FAULT_KINDS))
    if wanted.kind == "operation":
        return table.word(name, OPERATIONS)
    if wanted.kind == "solid":
        return table.word(name, (ANY_SOLID, *SOLID_KINDS)) if table.has(name) else wanted.default
    if wanted.kind == "spots":
        return tuple(spot for text in table.texts(name, least=1, most=400) for spot in spots_of_run(text))
    if wanted.kind == "date":
        return read_date(table.text(name, longest=40))
    if wanted.kind == "text":
        return table.text(name, longest=40)
    if wanted.kind == "condition":
        return _read_condition(table.text(name))
    text = table.text(name, default=wanted.default)
    return parse_place(text) if text else WHOLE_ARRAY


def _read_condition(text: str) -> Condition:
    condition = parse_condition(text)
    check_condition(condition)
    if any(path.when != "now" for path in paths(condition)):
        raise LessonError(
            f"'{condition.text}' asks for an earlier state",
            expected="paths that begin with now, since a check sees one scenario",
            mend="Compare with a number instead",
        )
    return condition
