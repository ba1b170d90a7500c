"""The work of a study: cases solved and read, wherever that happens.

`solve_cases` is all that a worker is given. It takes and gives plain values only, so that any
engine can carry them; what cases share is kept in the worker from one call to the next.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import nan

from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.array.solve import solve_array
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.solved_scenario import Situation
from pvsim.errors import PvsimError
from pvsim.study.case import Case, changed
from pvsim.study.column import Read, compares, read_at
from pvsim.study.metered import Metered, metered_value
from pvsim.study.study import Study

SETUPS_KEPT = 8  # solved states to compare with; one of the largest array takes some 50 MB


@dataclass(frozen=True, slots=True)
class Row:
    """What one case gave.

    Parameters
    ----------
    values : tuple of float
        One for each column; not a number where there is none.
    problem : str
        Why the case could not be solved or read; empty when it could.
    """

    values: tuple[float, ...]
    problem: str = ""


def solve_cases(study: Study, cases: Sequence[Case]) -> list[Row]:
    """Solve some cases of a study, in their order; one that fails says so in its row."""
    study = _kept(study)
    rows = []
    for case, found in zip(cases, _scenarios(study, cases), strict=True):
        if isinstance(found, PvsimError):
            rows.append(Row((nan,) * len(study.columns), str(found)))
        else:
            rows.append(_row(study, case, found))
    return rows


@lru_cache(maxsize=2)
def _kept(study: Study) -> Study:
    """Of equal studies the first, whose scenario's circuits are known already."""
    return study


def _scenarios(study: Study, cases: Sequence[Case]) -> Iterator[Scenario | PvsimError]:
    """The scenario of each case, or why there is none; what a case shares with the last one stays."""
    before: Case = ()
    made: list[Scenario | PvsimError] = [study.base]
    for case in cases:
        same = next((k for k, (a, b) in enumerate(zip(case, before, strict=False)) if a != b), len(before))
        del made[same + 1 :]
        for number in range(same, len(case)):
            made.append(_next(study, number, made[-1], case))
        before = case
        yield made[-1]


def _next(study: Study, number: int, found: Scenario | PvsimError, case: Case) -> Scenario | PvsimError:
    if isinstance(found, PvsimError):
        return found
    try:
        return changed(study, number, found, case)
    except PvsimError as error:
        return error


def _row(study: Study, case: Case, scenario: Scenario) -> Row:
    try:
        now = Situation(scenario, solve_array(scenario))
        before = _before(study, setup_of(study, case)) if any(map(compares, study.columns)) else now
    except PvsimError as error:
        return Row((nan,) * len(study.columns), str(error))
    names = [axis.name for axis in study.axes]
    places = {name: value for name, value in zip(names, case, strict=True) if isinstance(value, Place)}
    readings = Readings(now, before)
    values, problems = [], []
    for column in study.columns:
        try:
            values.append(_value(read_at(column, scenario, places), readings))
        except PvsimError as error:
            values.append(nan)
            problems.append(str(error))
    return Row(tuple(values), problems[0] if problems else "")


def _value(found: Read, readings: Readings) -> float:
    if isinstance(found, Metered):
        return metered_value(found, readings.before.solution, readings.now.solution)
    return float(value_of(found, readings))


def setup_of(study: Study, case: Case) -> Case:
    """The values of the axes that `before` has too."""
    return tuple(value for axis, value in zip(study.axes, case, strict=True) if axis.setup)


@lru_cache(maxsize=SETUPS_KEPT)
def _before(study: Study, setup: Case) -> Situation:
    """The state to compare with, solved."""
    values = iter(setup)
    case = tuple(next(values) if axis.setup else "" for axis in study.axes)
    scenario = study.base
    for number, axis in enumerate(study.axes):
        if axis.setup:
            scenario = changed(study, number, scenario, case)
    return Situation(scenario, solve_array(scenario))
