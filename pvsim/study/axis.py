"""One axis of a study: what is varied, where, and through which values."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from numbers import Real
from typing import Any, NoReturn

from pvsim.array.fault_kind import FAULT_KINDS, fault_kind
from pvsim.array.limits import MAX_SHADOWS
from pvsim.array.place import Place
from pvsim.errors import PvsimError, StudyError, nearest
from pvsim.files.document import size_key
from pvsim.files.units import split_unit
from pvsim.study.places import Every
from pvsim.study.variation import VARIATIONS, Value, Variation, check_number

NAME = re.compile(r"[A-Za-z][A-Za-z0-9_]{0,59}")
MAX_VALUES = 100_000
MAX_NUMBER = 1e300  # no unit here has larger ones, and a float still holds them


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """One axis of a study.

    Parameters
    ----------
    vary : str
        A key of VARIATIONS.
    values : tuple of float, str or Place, or Every
        What it goes through, in this order; `Every` for all parts of a level.
    name : str
        Of its column in the table, and for `at` and the columns that follow; if left out,
        `vary` with its unit.
    at : Place, str or None
        Where: a place, or the name of an axis before this one that goes through places. Each
        change goes to the part of its kind that belongs to the place: the cell that is meant or
        the first one, the module or string that holds it.
    fault : str
        With "fault_size": which kind.
    other : Place or None
        With the fault "string-bridge": the module where the wire ends.
    shadow : int
        With the shadow's fields: which one, from 1.
    setup : bool
        Whether `before` and `delta` have this change too: a study of several module types
        compares each with itself.

    Raises
    ------
    PvsimError
        If these do not go together, or a value is out of its range.
    """

    vary: str
    values: tuple[Value, ...] | Every
    name: str = ""
    at: Place | str | None = None
    fault: str = ""
    other: Place | None = None
    shadow: int = 1
    setup: bool = False

    def __post_init__(self) -> None:
        if self.vary not in VARIATIONS:
            raise StudyError(
                f"vary of an axis is {str(self.vary)[:60]!r}",
                expected="a name from the table of variations",
                mend=nearest(str(self.vary)[:60], VARIATIONS),
            )
        row = VARIATIONS[self.vary]
        _check_fields(self, row)
        if not self.name:
            usual = size_key(self.fault) if self.vary == "fault_size" else self.vary
            object.__setattr__(self, "name", usual)
        _check_name(self)
        _check_values(self, row)


def _check_fields(axis: Axis, row: Variation) -> None:
    given = {"fault": bool(axis.fault), "other": axis.other is not None, "shadow": axis.shadow != 1}
    for field, there in given.items():
        if there and field not in row.takes:
            _refuse(axis, field, f"no {field} with vary = '{axis.vary}'", f"Leave {field} out")
    if "fault" in row.takes:
        if not axis.fault or fault_kind(axis.fault).size is None:
            _refuse(axis, "fault", "a kind of fault that has a size", 'Vary "fault" instead')
        if axis.fault == "string-bridge" and axis.other is None:
            _refuse(axis, "other", "the module where the wire ends", 'Add other = "2/5"')
    if (axis.at is None and row.at == "always") or (axis.at is not None and row.at == "never"):
        expected = "no place" if row.at == "never" else "a place, or the name of an axis with places"
        _refuse(axis, "at", f"{expected} with vary = '{axis.vary}'", "Change at")
    if not isinstance(axis.shadow, int) or not 1 <= axis.shadow <= MAX_SHADOWS:
        _refuse(axis, "shadow", f"a whole number from 1 to {MAX_SHADOWS}", "Count the shadows from 1")


def _check_name(axis: Axis) -> None:
    if not NAME.fullmatch(axis.name):
        _refuse(axis, "name", "letters, digits and _", "Write it like lit_cell")
    unit = split_unit(size_key(axis.fault) if axis.vary == "fault_size" else axis.vary)[1]
    if VARIATIONS[axis.vary].values == "numbers" and unit != split_unit(axis.name)[1]:
        ending = f"a name that ends with _{unit}" if unit else "a name without a unit"
        _refuse(axis, "name", ending, "The name of a number ends with its unit")


def _check_values(axis: Axis, row: Variation) -> None:
    if isinstance(axis.values, Every):
        if row.values != "places":
            _refuse(axis, "values", row.values, "Vary a place, and name its axis under at")
        return
    given: object = axis.values
    if isinstance(given, str) or not isinstance(given, Iterable):
        _refuse(axis, "values", f"a row of {row.values}", "Give them in round brackets")
    object.__setattr__(axis, "values", tuple(given))
    if not 1 <= len(axis.values) <= MAX_VALUES:
        raise StudyError(
            f"values of the axis '{axis.name}' are {len(axis.values):,}",
            expected=f"1 to {MAX_VALUES:,}",
            mend="Take larger steps" if axis.values else "Add some",
        )
    if row.values == "numbers":
        object.__setattr__(axis, "values", tuple(_number(axis, value) for value in axis.values))
    for value in axis.values:
        _check_value(axis, row, value)
    if len(set(axis.values)) < len(axis.values):
        _refuse(axis, "values", "each value once", "Take the repeated ones out")


def _number(axis: Axis, value: Any) -> float:
    real = isinstance(value, Real) and not isinstance(value, bool)
    if not real or not -MAX_NUMBER < value < MAX_NUMBER:
        _refuse(axis, "values", "finite numbers", "Take out what is none")
    return float(value)


def _check_value(axis: Axis, row: Variation, value: Value) -> None:
    if row.values == "numbers":
        assert isinstance(value, float)
        try:
            check_number(axis.vary, value, axis)
        except PvsimError as error:
            wrong = f"values of the axis '{axis.name}' hold {value:g}: {error.wrong}"
            raise StudyError(wrong, expected=error.expected, mend=error.mend) from error
    elif row.values == "places":
        if not isinstance(value, Place):
            _refuse(axis, "values", "places", f"Take out {str(value)[:40]!r}")
    elif not isinstance(value, str):
        _refuse(axis, "values", "texts", f"Take out {str(value)[:40]!r}")
    elif row.known and value not in row.known:
        raise StudyError(
            f"values of the axis '{axis.name}' name {value[:60]!r}",
            expected="one of " + ", ".join(row.known),
            mend=nearest(value[:60], row.known),
        )
    elif axis.vary == "fault" and value == "string-bridge" and axis.other is None:
        _refuse(axis, "other", "the module where the wire ends", 'Add other = "2/5"')


def _refuse(axis: Axis, field: str, expected: str, mend: str) -> NoReturn:
    value = getattr(axis, field)
    found = "left out" if value in (None, "", ()) else repr(value)
    raise StudyError(
        f"{field} of an axis is {found if len(found) <= 80 else found[:77] + '...'}",
        expected=expected,
        mend=mend,
    )


FAULTS_ALONE = tuple(kind for kind in FAULT_KINDS if kind != "string-bridge")  # one place is enough
