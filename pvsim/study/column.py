"""One column of a study's table: a number read from every case, written as lessons write it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import TypeAlias

from pvsim.array.place import LEVELS, Level, Place, format_place
from pvsim.array.scenario import Scenario
from pvsim.course.number.evaluation import dimension_of
from pvsim.course.number.expression import Arithmetic, Constant, Expression, Path, parse_expression, paths
from pvsim.course.number.quantities import SYMBOLIC
from pvsim.course.number.units import PLAIN, UNITS, describe
from pvsim.errors import StudyError, nearest
from pvsim.files.units import split_unit
from pvsim.study.axis import NAME
from pvsim.study.metered import Metered, check_metered, read_metered
from pvsim.study.places import at_level

_PART = re.compile(rf"(?:({'|'.join(LEVELS)}) of )?({NAME.pattern})")
# What the unit at the end of a name is among the units of expressions.
_UNITS = {"W": "W", "V": "V", "A": "A", "ohm": "ohm", "C": "degC", "K": "K", "W_m2": "W/m2", "m2": "m2"}
_PLAIN = ("", "fraction")
Read: TypeAlias = Expression | Metered


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a study's table.

    Parameters
    ----------
    name : str
        With its unit at the end: `lost_W`.
    text : str
        What it is: `-delta[array].p_mp_W`. In place of a place, the name of an axis that goes
        through places, or a part that belongs to it: `now[module of cell].power_W`. Or what a
        meter would make of the change: `neighbour[string of cell].current.verdict`.

    Raises
    ------
    PvsimError
        If the name is none, or the text does not follow the grammar.
    """

    name: str
    text: str
    expression: Read = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        if not isinstance(self.name, str) or not NAME.fullmatch(self.name):
            raise StudyError(
                f"the column {str(self.name)[:60]!r} has no usable name",
                expected="letters, digits and _, the unit at the end",
                mend="Write it like lost_W",
            )
        object.__setattr__(self, "expression", read_metered(self.text) or parse_expression(self.text))


def check_column(column: Column, levels: Mapping[str, Level]) -> None:
    """Refuse what cannot be read, and a name without the unit of its number.

    Parameters
    ----------
    levels : mapping
        Level of the places each axis goes through, by the axis's name.

    Raises
    ------
    PvsimError
        With what is wrong.
    """
    sample = {"array": "array", "string": "1", "module": "1/1", "substring": "1/1/s1", "cell": "1/1/1"}

    def any_place(level: Level | None, axis: str) -> str:
        if axis not in levels:
            raise StudyError(
                f"the column '{column.name}' asks for a place of '{axis}'",
                expected="an axis that goes through places, or a place as everywhere",
                mend=nearest(axis, [*levels, "array", *SYMBOLIC]),
            )
        return sample.get(level or levels[axis], "1/1/d1")

    found = _placed(column.expression, any_place)
    if isinstance(found, Metered):
        check_metered(found)
        dimension = PLAIN
    else:
        dimension = dimension_of(found) or PLAIN
    stem, unit = _name_and_unit(column.name)
    right = [key for key, name in _UNITS.items() if UNITS[name].dimension == dimension]
    one = column.expression
    if len(right) > 1 and isinstance(one, Path):  # arithmetic may give a temperature or a difference
        right = ["K"] if one.when == "delta" else ["C"]
    if unit not in (right or _PLAIN):
        ending = " or ".join(f"_{key}" for key in right)
        raise StudyError(
            f"the column '{column.name}' is {describe(dimension)}",
            expected=f"a name that ends with {ending}" if right else "a name without a unit",
            mend=f"Write it as {stem}" + (f"_{right[0]}" if right else ""),
        )


def _name_and_unit(name: str) -> tuple[str, str]:
    for unit in ("W_m2", *_UNITS):
        if name.endswith(f"_{unit}"):
            return name.removesuffix(f"_{unit}"), unit
    return split_unit(name)


def read_at(column: Column, scenario: Scenario, places: Mapping[str, Place]) -> Read:
    """The column's expression with the places of one case in it.

    Parameters
    ----------
    places : mapping
        By the names of axes that go through places.
    """

    def place_of(level: Level | None, axis: str) -> str:
        place = places[axis]
        return format_place(place if level is None else at_level(scenario, place, level))

    return _placed(column.expression, place_of)


def compares(column: Column) -> bool:
    """Whether the column needs the state before."""
    found = column.expression
    return isinstance(found, Metered) or any(path.when != "now" for path in paths(found))


def read_places(column: Column) -> tuple[str, ...]:
    """The places that a column names, as they are written in it."""
    found = column.expression
    return (found.place,) if isinstance(found, Metered) else tuple(path.place for path in paths(found))


def place_words(text: str) -> tuple[Level | None, str]:
    """The level and the axis of "string of module"; no level where none is named."""
    found = _PART.fullmatch(text)
    return (found[1], found[2]) if found else (None, text)  # type: ignore[return-value]


def _placed(expression: Read, place_of: Callable[[Level | None, str], str]) -> Read:
    """The expression with every name of an axis turned into a place."""
    if isinstance(expression, Constant):
        return expression
    if isinstance(expression, Arithmetic):
        left, right = _placed(expression.left, place_of), _placed(expression.right, place_of)
        return replace(expression, left=left, right=right)  # type: ignore[arg-type]
    found = _PART.fullmatch(expression.place)
    if found is None or expression.place == "array" or expression.place in SYMBOLIC:
        return expression
    return replace(expression, place=place_of(found[1], found[2]))  # type: ignore[arg-type]
