"""Values of expressions and conditions in a pair of solved scenarios: now and before."""

from __future__ import annotations

from dataclasses import dataclass
from math import isclose, nan

from pvsim.array.place import parse_place
from pvsim.array.scenario import Scenario, check_places
from pvsim.course.number.expression import (
    Comparison,
    Condition,
    Constant,
    Expression,
    Path,
    parse_expression,
)
from pvsim.course.number.quantities import SYMBOLIC, find_quantity, locate
from pvsim.course.number.solved_scenario import Situation
from pvsim.course.number.units import (
    PLAIN,
    Dimension,
    Format,
    Unit,
    describe,
    parse_format,
    unit_for,
    write_number,
    write_range,
)
from pvsim.errors import LessonError


@dataclass(frozen=True, slots=True)
class Readings:
    """Where numbers are read from: the scenario as it stands, and the step's beginning."""

    now: Situation
    before: Situation


@dataclass(frozen=True, slots=True)
class Number:
    """What stands between {{ and }}: an expression and how to write its value."""

    expression: Expression
    how: Format
    unit: Unit


def value_of(expression: Expression, readings: Readings | None) -> float:
    """The value in SI units (degrees Celsius for temperatures); not a number when undefined.

    Parameters
    ----------
    readings : Readings or None
        None for an expression of numbers alone.
    """
    if isinstance(expression, Constant):
        return expression.value
    if isinstance(expression, Path):
        if readings is None:
            raise LessonError(
                f"'{expression.quantity}' is read from nothing",
                expected="an expression of numbers alone",
                mend="Write numbers in place of quantities",
            )
        return _value_of_path(expression, readings)
    left = value_of(expression.left, readings)
    right = value_of(expression.right, readings)
    if expression.sign == "+":
        return left + right
    if expression.sign == "-":
        return left - right
    if expression.sign == "*":
        return left * right
    return left / right if right else nan


def holds(condition: Condition, readings: Readings) -> bool:
    """Whether every comparison of the condition is true."""
    return all(_compare(one, readings) for one in condition.comparisons)


def dimension_of(expression: Expression) -> Dimension | None:
    """The dimension of an expression's value; None for a bare typed number.

    Raises
    ------
    LessonError
        If it names an unknown quantity or place, or adds what cannot be added.
    """
    if isinstance(expression, Constant):
        return None
    if isinstance(expression, Path):
        return find_quantity(expression.quantity, expression.place).dimension
    left, right = dimension_of(expression.left), dimension_of(expression.right)
    if expression.sign in "+-":
        return _alike(left, right, "added to or taken from")
    sign = 1 if expression.sign == "*" else -1
    if left is None and right is None:
        return None
    a, b, c, d, e = (one + sign * other for one, other in zip(left or PLAIN, right or PLAIN, strict=True))
    return (a, b, c, d, e)


def check_condition(condition: Condition) -> None:
    """Refuse a condition that names unknown things or compares what cannot be compared.

    Raises
    ------
    LessonError
        With the first thing wrong.
    """
    for one in condition.comparisons:
        _alike(dimension_of(one.left), dimension_of(one.right), "compared with")


def check_paths(paths: tuple[Path, ...], scenario: Scenario) -> None:
    """Refuse places that the scenario does not have.

    Raises
    ------
    ScenarioError
        With the first such place.
    """
    check_places(scenario, (parse_place(path.place) for path in paths if path.place not in SYMBOLIC))


def parse_number(text: str) -> Number:
    """Read what stands between {{ and }}, such as `delta[array].p_mp_W | W 1`.

    Raises
    ------
    LessonError
        If grammar, quantity, place or unit is wrong.
    """
    expression_text, _, format_text = text.partition("|")
    expression = parse_expression(expression_text)
    dimension = dimension_of(expression) or PLAIN
    how = parse_format(format_text)
    if how.unit is not None and how.unit.dimension != dimension:
        raise LessonError(
            f"'{expression_text.strip()}' is {describe(dimension)} and cannot be shown in {how.unit.name}",
            expected=f"a unit for {describe(dimension)}",
            mend="Leave the unit out to get the number's own",
        )
    return Number(expression, how, how.unit or unit_for(dimension))


def show(number: Number, readings: Readings, language: str = "") -> str:
    """The computed number as text of a language; of the one spoken now if empty.

    What is known within a range alone, such as how hot a cell gets, is written as that range.
    """
    spread = _spread(number.expression, readings)
    if spread is not None:
        return write_range(*spread, number.unit)
    return write_number(value_of(number.expression, readings), number.unit, number.how, language)


def _spread(expression: Expression, readings: Readings) -> tuple[float, float] | None:
    if not isinstance(expression, Path) or expression.when == "delta":
        return None
    quantity = find_quantity(expression.quantity, expression.place)
    situation = readings.now if expression.when == "now" else readings.before
    return quantity.spread(situation, locate(expression.place, situation)) if quantity.spread else None


def _value_of_path(path: Path, readings: Readings) -> float:
    quantity = find_quantity(path.quantity, path.place)
    if path.when == "before":
        return quantity.read(readings.before, locate(path.place, readings.before))
    place = locate(path.place, readings.now)
    now = quantity.read(readings.now, place)
    if path.when == "now":
        return now
    return now - quantity.read(readings.before, place)


def _compare(one: Comparison, readings: Readings) -> bool:
    left, right = value_of(one.left, readings), value_of(one.right, readings)
    if one.sign == "=":
        return isclose(left, right, rel_tol=1e-9, abs_tol=1e-9)  # counts, and equal states
    if one.sign == "<":
        return left < right
    if one.sign == "<=":
        return left <= right
    if one.sign == ">":
        return left > right
    return left >= right


def _alike(left: Dimension | None, right: Dimension | None, verb: str) -> Dimension | None:
    if left is not None and right is not None and left != right:
        raise LessonError(
            f"{describe(left)} is {verb} {describe(right)}",
            expected="the same kind of quantity on both sides",
            mend="Check the names of the quantities",
        )
    return right if left is None else left
