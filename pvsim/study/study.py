"""A study: a scenario, what is varied about it, and what is read from every case."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

from pvsim.array.change import set_module_type
from pvsim.array.checks import text, tuple_of
from pvsim.array.limits import MAX_NOTE, MAX_TITLE
from pvsim.array.place import WHOLE_ARRAY, Level, Place, level_of, parse_place
from pvsim.array.scenario import Scenario, check_place, module_type
from pvsim.course.number.quantities import SYMBOLIC
from pvsim.errors import PvsimError, ScenarioError, StudyError, nearest
from pvsim.prompt import summary
from pvsim.study.axis import Axis
from pvsim.study.column import Column, check_column, read_places
from pvsim.study.places import Every

MAX_AXES = 8
MAX_COLUMNS = 60
PROBLEM = "problem"  # the last column of every table

@dataclass(frozen=True, slots=True, kw_only=True)
class Study:
    """A study: a case for every combination of the values of its axes.

    Parameters
    ----------
    title, note : str
        For people.
    base : Scenario
        What the axes change.
    axes : tuple of Axis
        Each changes what those before it have made; the last one changes fastest.
    columns : tuple of Column
        Read from every case.

    Raises
    ------
    PvsimError
        If the parts do not go together, or the base does not have a place they name.
    """

    title: str
    base: Scenario
    axes: tuple[Axis, ...]
    columns: tuple[Column, ...]
    note: str = ""

    __repr__ = summary

    def __post_init__(self) -> None:
        text(self, "title", most=MAX_TITLE)
        text(self, "note", most=MAX_NOTE)
        tuple_of(self, "axes", Axis, least=1, most=MAX_AXES)
        tuple_of(self, "columns", Column, least=1, most=MAX_COLUMNS)
        if not isinstance(self.base, Scenario):
            raise StudyError(
                "base of a study is no scenario", expected="a Scenario", mend="Read one with read_scenario"
            )
        for number, axis in enumerate(self.axes):
            check_axis(axis, self.axes[:number], self.base)
        for number, column in enumerate(self.columns):
            check_named(column, self.axes, self.columns[:number], self.base)


def check_axis(axis: Axis, before: Sequence[Axis], base: Scenario) -> None:
    """Refuse an axis that does not fit the axes before it or the base.

    Raises
    ------
    PvsimError
        With what is wrong, the axis's field first.
    """
    names = [one.name for one in before]
    if axis.name in (*names, *SYMBOLIC, "array", PROBLEM):
        _taken("name", axis.name)
    if isinstance(axis.at, str):
        known = [one.name for one in before if one.vary == "place"]
        if axis.at not in known:
            raise StudyError(
                f"at of the axis '{axis.name}' is {axis.at[:60]!r}",
                expected="a place, or the name of an axis before it that goes through places",
                mend=nearest(axis.at[:60], known) if known else "Write an axis with vary = 'place' before it",
            )
        if axis.setup and not before[names.index(axis.at)].setup:
            raise StudyError(
                f"at of the axis '{axis.name}' is {axis.at!r}, which is no part of the set-up",
                expected="an axis with setup = true",
                mend="Set setup = true there too, or leave it out here",
            )
    if axis.vary == "module_type":
        for value in axis.values if isinstance(axis.values, tuple) else ():
            with _about("values", axis):
                module_type(base, str(value))
    grounds = _grounds(base, before)
    with _about("values", axis):
        if isinstance(axis.values, Every):
            _check_somewhere(axis.values.within, grounds)
        elif axis.vary == "place":
            for value in axis.values:
                assert isinstance(value, Place)
                _check_somewhere(value, grounds)
    for field in ("at", "other"):
        place = getattr(axis, field)
        if isinstance(place, Place):
            with _about(field, axis):
                _check_somewhere(place, grounds)


def check_named(column: Column, axes: Sequence[Axis], before: Sequence[Column], base: Scenario) -> None:
    """Refuse a column that does not fit the axes, the columns before it or the base.

    Raises
    ------
    PvsimError
        With what is wrong.
    """
    if column.name in [*(axis.name for axis in axes), *(one.name for one in before), PROBLEM]:
        _taken("the name of a column", column.name)
    for levels in _levels(axes):
        check_column(column, levels)
    named = {axis.name for axis in axes}
    grounds = _grounds(base, axes)
    for place in read_places(column):
        word = place.rpartition(" of ")[2]
        if word not in named and place not in SYMBOLIC:
            _check_somewhere(parse_place(place), grounds)


def _levels(axes: Sequence[Axis]) -> Iterator[dict[str, Level]]:
    """The levels of the axes with places; again and again where one goes through several."""
    several: dict[str, list[Level]] = {}
    for axis in axes:
        if axis.vary == "place":
            values = axis.values
            levels = [values.level] if isinstance(values, Every) else [level_of(one) for one in values]  # type: ignore[arg-type]
            several[axis.name] = list(dict.fromkeys(levels))
    for number in range(max(map(len, several.values()), default=1)):
        yield {name: levels[min(number, len(levels) - 1)] for name, levels in several.items()}


def _grounds(base: Scenario, axes: Sequence[Axis]) -> list[Scenario]:
    """The base, and as the module types of the axes make it, where a place may be."""
    found = [base]
    for axis in axes:
        if axis.vary == "module_type" and isinstance(axis.values, tuple):
            place = axis.at if isinstance(axis.at, Place) else WHOLE_ARRAY
            for value in axis.values:
                try:
                    found.append(set_module_type(base, str(value), place))
                except ScenarioError:  # its cases say so
                    continue
    return found


def _check_somewhere(place: Place, grounds: list[Scenario]) -> None:
    for number, scenario in enumerate(grounds, start=1):
        try:
            check_place(scenario, place)
        except ScenarioError:
            if number == len(grounds):
                raise
        else:
            break


@contextmanager
def _about(field: str, axis: Axis) -> Iterator[None]:
    """Begin errors with the field of the axis they are about."""
    try:
        yield
    except PvsimError as error:
        wrong = f"{field} of the axis '{axis.name}': {error.wrong}"
        raise StudyError(wrong, expected=error.expected, mend=error.mend) from error


def _taken(what: str, name: str) -> None:
    raise StudyError(
        f"{what} '{name}' is taken",
        expected="a name of its own for each axis and column",
        mend="Give it another one, with its unit at the end where it has one",
    )
