"""Range checks shared by the frozen values and the functions of the sky layer."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from math import isfinite
from typing import NoReturn

import numpy as np

from pvsim.errors import SkyError
from pvsim.numbers import short_number
from pvsim.sky.floats import ArrayLike, Floats
from pvsim.words import _, mark

Mend = str | Callable[[], str]  # how to mend it, or what says so where it has to be said
MAX_TITLE = 200
_NAMES = {"ModuleRows": mark("rows of modules"), "TiltedRectangle": mark("tilted rectangle")}
_UNIT_WORDS = {"h": mark("hours"), "deg": mark("degrees"), "W_m2": "W/m2"}
_WITH_UNIT = re.compile(r"_(W_m2|m|h|deg)$")


def finite(thing: object, name: str, *, least: float, most: float, mend: Mend = "") -> None:
    """Refuse a field that is not a finite number from `least` to `most`; store it as float."""
    object.__setattr__(
        thing, name, number(getattr(thing, name), name, of=called(thing), least=least, most=most, mend=mend)
    )


def above_zero(thing: object, name: str, *, most: float) -> None:
    """Refuse a field that is not a finite number greater than 0 and at most `most`; store it as float."""
    finite(thing, name, least=0.0, most=most)
    if getattr(thing, name) == 0.0:
        mend = _("Leave the thing out if it has no size")
        refuse(name, 0.0, _("a number greater than 0"), mend, of=called(thing))


def number(value: object, name: str, *, least: float, most: float, of: str = "", mend: Mend = "") -> float:
    """The number as float; refused when it is not finite and from `least` to `most`."""
    if isinstance(value, bool) or not isinstance(value, (int, float, np.integer, np.floating)):
        refuse(name, value, _("a finite number"), mend, of=of)
    if not isfinite(value):
        refuse(name, float(value), _("a finite number"), mend, of=of)
    if not least <= value <= most:
        refuse(name, value, _span(least, most), mend or _range_mend(name, float(value), least, most), of=of)
    return float(value)


def whole(value: object, name: str, *, least: int, most: int, of: str = "") -> int:
    """The whole number; refused when it is none or not from `least` to `most`."""
    if isinstance(value, bool) or not isinstance(value, (int, np.integer)) or not least <= value <= most:
        expected = _("a whole number from {least:,} to {most:,}").format(least=least, most=most)
        refuse(name, value, expected, _("Write a whole number in that range, without a point"), of=of)
    return int(value)


def numbers(values: ArrayLike, name: str, *, least: float, most: float) -> Floats:
    """A row of numbers as (n,) array, one number as (1,); refused where one is not in its range."""
    try:
        row = np.atleast_1d(np.asarray(values, dtype=float))
    except (TypeError, ValueError):
        refuse(name, values, _("one number or a row of numbers"))
    if row.ndim != 1:
        refuse(name, values, _("one number or a row of numbers"))
    wrong = ~((row >= least) & (row <= most))
    if wrong.any():
        number(float(row[wrong][0]), name, least=least, most=most)
    return row


def points(values: ArrayLike, name: str, *, shape: tuple[int, ...]) -> Floats:
    """Coordinates as an array of this shape; refused when they are not finite or not so many."""
    try:
        array = np.array(values, dtype=float)
    except (TypeError, ValueError):
        array = np.zeros(0)
    if array.shape != shape or not np.isfinite(array).all():
        size = " x ".join(map(str, shape))
        refuse(name, values, _("{size} finite coordinates in m").format(size=size))
    return array


def title(thing: object, name: str) -> None:
    """Refuse a field that is not a text of at most MAX_TITLE characters."""
    value = getattr(thing, name)
    if not isinstance(value, str) or len(value) > MAX_TITLE:
        expected = _("a text of at most {most} characters").format(most=MAX_TITLE)
        refuse(name, value, expected, _("Shorten the text"), of=called(thing))


def called(thing: object) -> str:
    """What people call the thing."""
    kind = type(thing).__name__
    return _(_NAMES[kind]) if kind in _NAMES else kind.lower()


def refuse(name: str, value: object, expected: str, mend: Mend = "", *, of: str = "") -> NoReturn:
    """Raise the error for one value, a field of a thing or an argument."""
    shown = repr(value)
    shown = shown if len(shown) <= 80 else shown[:77] + "..."
    wrong = _("{name} of the {thing} is {value}") if of else _("{name} is {value}")
    raise SkyError(
        wrong.format(name=name, thing=of, value=shown),
        expected=expected,
        mend=(mend() if callable(mend) else mend) or _("Give {expected}").format(expected=expected),
    )


def same_length(rows: dict[str, Sequence[object] | Floats]) -> None:
    """Refuse rows of which one is neither as long as the longest nor a single number."""
    longest = max(map(len, rows.values()))
    for name, row in rows.items():
        if len(row) not in (1, longest):
            refuse(
                f"len({name})",
                len(row),
                _("{count} numbers, as many as the others have, or one").format(count=longest),
            )


def _span(least: float, most: float) -> str:
    return _("a number from {least} to {most}").format(least=short_number(least), most=short_number(most))


def _range_mend(name: str, value: float, least: float, most: float) -> str:
    """Point at what is usually behind a number out of range: percent, a sign, or another unit."""
    if least == 0.0 and most == 1.0 and 1.0 < value <= 100.0:
        return _("Write it as a share: {share} for {percent} %").format(
            share=short_number(value / 100.0), percent=short_number(value)
        )
    unit = _WITH_UNIT.search(name)
    if unit is None:
        return _("Write a number in that range")
    if least == 0.0 > value:
        return _("Leave the minus out: {name} is a size, in {unit}").format(
            name=name, unit=_(_UNIT_WORDS.get(unit[1], unit[1]))
        )
    return _("Check the number and its unit: {name} is in {unit}").format(
        name=name, unit=_(_UNIT_WORDS.get(unit[1], unit[1]))
    )
