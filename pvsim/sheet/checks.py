"""Refusals shared by the frozen values of a data sheet."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from math import isfinite
from typing import Any, NoReturn, TypeAlias

from pvsim.errors import SheetError, nearest
from pvsim.numbers import short_number
from pvsim.words import _, mark

_CALLED = {
    "DataSheet": mark("data sheet"),
    "Coefficient": mark("temperature coefficient"),
    "Assumptions": mark("assumptions"),
}
# What a check looks at, and the check.
Check: TypeAlias = "tuple[tuple[str, ...], Callable[[Any], None]]"


def problems(kind: type, values: Mapping[str, Any], checks: Iterable[Check]) -> tuple[SheetError, ...]:
    """Everything that is wrong with the fields of a value that may not be possible.

    Parameters
    ----------
    kind : type
        Of the value: a frozen dataclass whose fields the checks look at.
    values : mapping
        Some of its fields, or all.
    checks : iterable of (names, check)
        In order. One is left out where a field it looks at is not there, or was refused before.

    Returns
    -------
    tuple of SheetError
        At most one for each field, each with its `fields`.
    """
    thing: object = object.__new__(kind)
    for name, value in values.items():
        object.__setattr__(thing, name, value)
    known = set(values)
    found = []
    for names, check in checks:
        if known >= {*names}:
            try:
                check(thing)
            except SheetError as error:
                found.append(error)
                known -= {*(error.fields or names)}
    return tuple(found)


def refuse(
    thing: object, name: str, value: object, expected: str, mend: str, *, beside: tuple[str, ...] = ()
) -> NoReturn:
    """Raise the error for one field; `beside` are those it does not go together with."""
    raise SheetError(
        _("{name} of the {thing} is {value}").format(
            name=name, thing=_(_CALLED[type(thing).__name__]), value=_shown(value)
        ),
        expected=expected,
        mend=mend,
        fields=(name, *beside),
        found=_shown(value),
    )


def number(thing: object, name: str, *, least: float, most: float, unit: str) -> None:
    """Refuse a field that is not a finite number from `least` to `most`; store it as float."""
    value = getattr(thing, name)
    expected = _("a number from {least} to {most} {unit}").format(
        least=short_number(least), most=short_number(most), unit=unit
    )
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not isfinite(value):
        refuse(thing, name, value, expected, _("Write the number alone, without its unit"))
    if not least <= value <= most:
        mend = _("Check the number and its unit: {name} is in {unit}").format(name=name, unit=unit)
        refuse(thing, name, value, expected, mend if unit else _("Write a number in that range"))
    object.__setattr__(thing, name, float(value))


def count(thing: object, name: str, *, least: int, most: int) -> None:
    """Refuse a field that is not a whole number from `least` to `most`."""
    value = getattr(thing, name)
    if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
        expected = _("a whole number from {least:,} to {most:,}").format(least=least, most=most)
        refuse(thing, name, value, expected, _("Count again, and write a whole number in that range"))


def text(thing: object, name: str, *, most: int, empty: bool) -> None:
    """Refuse a field that is not a plain text of at most `most` characters."""
    value = getattr(thing, name)
    plain = isinstance(value, str) and not any(ord(sign) < 32 and sign not in "\n\t" for sign in value)
    if not plain or len(value) > most or not (empty or value.strip()):
        expected = _("a plain text of at most {most:,} characters").format(most=most)
        refuse(thing, name, value, expected, _("Type the text anew"))


def word(thing: object, name: str, known: tuple[str, ...]) -> None:
    """Refuse a field that is not one of the known words."""
    value = getattr(thing, name)
    if value not in known:
        expected = _("one of {names}").format(names=", ".join(known))
        refuse(thing, name, value, expected, nearest(str(value), known, _("Choose one of them")))


def _shown(value: object) -> str:
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return short_number(value, 8)
    shown = repr(value)
    return shown if len(shown) <= 80 else shown[:77] + "..."
