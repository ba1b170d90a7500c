"""Reads the questions of a step: a number with its tolerance, or choices with their ideas."""

from __future__ import annotations

import re

from pvsim.array.scenario import Scenario
from pvsim.course.lesson.lesson import Choice, ChoiceQuestion, Mistake, NumberQuestion, Question
from pvsim.course.number.evaluation import check_condition, check_paths, dimension_of
from pvsim.course.number.expression import Condition, Expression, parse_condition, parse_expression, paths
from pvsim.course.number.units import UNITS, Dimension, describe, find_unit
from pvsim.course.table import Table
from pvsim.course.text.text_check import check_text
from pvsim.errors import LessonError, PvsimError

MOST_CHOICES = 6
MOST_MISTAKES = 6
LONGEST_IDEA_ID = 60

_IDEA_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


def read_question(table: Table, scenario: Scenario | None, *, by_solver: bool) -> Question:
    """The question in a table `predict` or `observe`.

    Parameters
    ----------
    table : Table
        With either `answer`, `unit` and a tolerance, or at least two tables `choice`.
    scenario : Scenario or None
        Whose places the question names; None when it could not be read.
    by_solver : bool
        Whether each choice has to say when it is right, as an observation does.
    """
    if table.has("choice"):
        found: Question = ChoiceQuestion(choices=_choices(table, scenario, by_solver))
    else:
        found = _number(table, scenario)
    table.close()
    return found


def _number(table: Table, scenario: Scenario | None) -> NumberQuestion:
    unit = UNITS["plain"]
    dimension: Dimension | None = None  # not known: one slip is told once
    try:
        unit = find_unit(table.text("unit", default="plain"))
        dimension = unit.dimension
    except LessonError as error:
        table.report.take_over((*table.path, "unit"), error)
    answer = _expression(table, "answer", scenario, dimension)
    tolerance = table.number("tolerance", least=0.0, most=1e6, default=0.0) * unit.size
    relative = table.number("tolerance_percent", least=0.0, most=100.0, default=0.0) / 100
    if tolerance <= 0 and relative <= 0:
        table.refuse(
            "tolerance",
            f"the question of {_where(table)} accepts one exact number only",
            expected="tolerance in the unit asked for, or tolerance_percent",
            mend="Say how far off still shows that the idea is right",
        )
    mistakes = []
    for one in table.tables("mistake")[:MOST_MISTAKES]:
        value = _expression(one, "value", scenario, dimension)
        idea, feedback = one.text("idea", longest=120), _spoken(one, "feedback", scenario)
        mistakes.append(Mistake(value=value, idea=idea, feedback=feedback, idea_id=_idea_id(one)))
        one.close()
    return NumberQuestion(
        answer=answer,
        unit=unit,
        tolerance=tolerance,
        relative_tolerance=relative,
        mistakes=tuple(mistakes),
    )


def _choices(table: Table, scenario: Scenario | None, by_solver: bool) -> tuple[Choice, ...]:
    choices: list[Choice] = []
    for one in table.tables("choice"):
        right = one.flag("right")
        when = _condition(one, scenario) if one.has("when") or by_solver else None
        choices.append(
            Choice(
                text=_spoken(one, "text", scenario),
                feedback=_spoken(one, "feedback", scenario),
                right=right,
                when=when,
                idea="" if right else _idea(one),
                idea_id="" if right else _idea_id(one),
            )
        )
        one.close()
    if not 2 <= len(choices) <= MOST_CHOICES:
        table.refuse("choice", f"there are {len(choices)} choices", expected=f"2 to {MOST_CHOICES} tables")
    undecided = any(not choice.right and not choice.idea for choice in choices)  # which has been told
    if sum(choice.right for choice in choices) != 1 and not undecided:
        table.refuse(
            "choice",
            f"{sum(choice.right for choice in choices)} choices of {_where(table)} are marked right",
            expected="right = true in exactly one",
            mend="Give every other one the idea behind it instead",
        )
    return tuple(choices)


def _idea(table: Table) -> str:
    if not table.has("idea") and not table.has("right"):
        table.report.add(
            table.path,
            f"choice {int(table.path[-1]) + 1} is neither marked right nor has the idea behind it",
            expected="right = true in the right choice, and idea = \"...\" in every other one",
            mend="Add one of the two lines",
        )
        return ""
    return table.text("idea", longest=120)


def _idea_id(table: Table) -> str:
    if not table.has("idea_id"):
        return ""
    found = table.text("idea_id", longest=LONGEST_IDEA_ID)
    if found and not _IDEA_ID.fullmatch(found):
        table.refuse(
            "idea_id",
            f"'{found}' names no idea",
            expected="small letters, digits, hyphens, such as each-cell-has-a-diode",
            mend="Take the name that lessons and exercises have for this idea, or a new one",
        )
    return found


def _expression(
    table: Table, key: str, scenario: Scenario | None, dimension: Dimension | None
) -> Expression:
    text = table.text(key, longest=300)
    fallback = parse_expression("0")
    if not text:
        return fallback
    try:
        found = parse_expression(text)
        own = dimension_of(found)
        if own is not None and dimension is not None and own != dimension:
            raise LessonError(
                f"'{text}' is {describe(own)}, the unit asked for belongs to {describe(dimension)}",
                expected="an answer in the unit asked for",
                mend="Change 'unit', or the expression",
            )
        if scenario is not None:
            check_paths(paths(found), scenario)
    except PvsimError as error:
        table.report.take_over((*table.path, key), error)
        return fallback
    return found


def _condition(table: Table, scenario: Scenario | None) -> Condition | None:
    text = table.text("when", longest=300)
    if not text:
        return None
    try:
        found = parse_condition(text)
        check_condition(found)
        if scenario is not None:
            check_paths(paths(found), scenario)
    except PvsimError as error:
        table.report.take_over((*table.path, "when"), error)
        return None
    return found


def _spoken(table: Table, key: str, scenario: Scenario | None) -> str:
    """A text for the learner, its computed numbers checked."""
    text = table.text(key)
    if scenario is not None:
        check_text(text, table.report.line((*table.path, key)), scenario, table.report)
    return text


def _where(table: Table) -> str:
    return f"'{table.path[-1]}'"
