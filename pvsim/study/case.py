"""The cases of a study: one for every combination of the values of its axes."""

from __future__ import annotations

from collections.abc import Iterator
from math import prod
from typing import NoReturn, TypeAlias

from pvsim.array.place import WHOLE_ARRAY, Place
from pvsim.array.scenario import Scenario
from pvsim.errors import PvsimError, ScenarioError, StudyError
from pvsim.study.places import Every, places_of
from pvsim.study.study import Study
from pvsim.study.variation import VARIATIONS, Value

MAX_CASES = 100_000

Case: TypeAlias = tuple[Value, ...]


def cases_of(study: Study) -> tuple[Case, ...]:
    """The values of every case, the last axis changing fastest.

    Raises
    ------
    StudyError
        If there are more than MAX_CASES; the message says how many.
    """
    fixed = prod(len(axis.values) for axis in study.axes if isinstance(axis.values, tuple))
    if fixed > MAX_CASES:
        _too_many(f"{fixed:,}")
    found: list[Case] = []
    for case in _below(study, (), study.base):
        found.append(case)
        if len(found) > MAX_CASES:
            _too_many(f"more than {MAX_CASES:,}")
    return tuple(found)


def changed(study: Study, number: int, scenario: Scenario, case: Case) -> Scenario:
    """The scenario after the change of one axis (from 0), as the case has it.

    Raises
    ------
    PvsimError
        If there can be no such scenario.
    """
    axis = study.axes[number]
    place = axis.at
    if isinstance(place, str):
        names = [one.name for one in study.axes]
        found = case[names.index(place)]
        assert isinstance(found, Place)
        place = found
    return VARIATIONS[axis.vary].apply(scenario, case[number], place or WHOLE_ARRAY, axis)


def _below(study: Study, case: Case, scenario: Scenario) -> Iterator[Case]:
    number = len(case)
    if number == len(study.axes):
        yield case
        return
    # Only what is still to be counted in it needs the changed array.
    later = any(isinstance(axis.values, Every) for axis in study.axes[number + 1 :])
    for value in _values(study, number, scenario):
        longer = (*case, value)
        yield from _below(study, longer, _tried(study, scenario, longer) if later else scenario)


def _tried(study: Study, scenario: Scenario, case: Case) -> Scenario:
    """The scenario after the last change of a case begun, or as it was where that cannot be."""
    try:
        return changed(study, len(case) - 1, scenario, case)
    except PvsimError:  # its cases say so one by one
        return scenario


def _values(study: Study, number: int, scenario: Scenario) -> Case:
    values = study.axes[number].values
    if not isinstance(values, Every):
        return values
    try:
        return places_of(scenario, values)
    except ScenarioError:  # such as a string that a change has made shorter
        return places_of(study.base, values)


def _too_many(count: str) -> NoReturn:
    raise StudyError(
        f"the study has {count} cases",
        expected=f"at most {MAX_CASES:,}",
        mend="Take fewer values, or make several studies of it",
    )
