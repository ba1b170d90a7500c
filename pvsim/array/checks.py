"""Range checks shared by the frozen values of the array layer."""

from __future__ import annotations

import re
from collections.abc import Iterable
from math import inf, isfinite
from typing import NoReturn

from pvsim.errors import ScenarioError, nearest

NAMES = {
    "FirstView": "first view",
    "ModuleType": "module type",
    "Painted": "painted place",
}
_UNIT_WORDS = {"W_m2": "W/m2", "m_s": "m/s", "C": "degrees C", "deg": "degrees"}
_WITH_UNIT = re.compile(r"_(W_m2|m_s|m|C|K|V|A|W|ohm|deg)$")


def finite(thing: object, name: str, *, least: float = -inf, most: float = inf) -> None:
    """Refuse a field that is not a finite number from `least` to `most`; store it as float."""
    value = getattr(thing, name)
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not isfinite(value):
        refuse(thing, name, value, "a finite number")
    if not least <= value <= most:
        refuse(thing, name, value, span(least, most), _range_mend(name, value, least, most))
    if type(value) is not float:
        object.__setattr__(thing, name, float(value))


def whole(thing: object, name: str, *, least: int, most: int) -> None:
    """Refuse a field that is not a whole number from `least` to `most`."""
    value = getattr(thing, name)
    if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
        mend = "Write a whole number in that range, without a point"
        refuse(thing, name, value, f"a whole number from {least:,} to {most:,}", mend)


def truth(thing: object, name: str) -> None:
    """Refuse a field that is not true or false."""
    value = getattr(thing, name)
    if not isinstance(value, bool):
        refuse(thing, name, value, "true or false")


def text(thing: object, name: str, *, most: int) -> None:
    """Refuse a field that is not a text of at most `most` characters."""
    value = getattr(thing, name)
    if not isinstance(value, str):
        refuse(thing, name, value, "a text")
    if len(value) > most:
        raise ScenarioError(
            f"{name} of the {called(thing)} has {len(value)} characters",
            expected=f"at most {most}",
            mend="Shorten the text",
        )
    if any(ord(sign) < 32 and sign not in "\n\t" for sign in value):
        raise ScenarioError(
            f"{name} of the {called(thing)} holds control characters",
            expected="plain text",
            mend="Type the text anew",
        )


def one_of(thing: object, name: str, known: Iterable[str]) -> None:
    """Refuse a field that is not one of the known words."""
    value = getattr(thing, name)
    known = tuple(known)
    if not isinstance(value, str) or value not in known:
        raise ScenarioError(
            f"{name} of the {called(thing)} is {_shown(value)}",
            expected="one of " + ", ".join(known),
            mend=nearest(str(value)[:80], known, "Choose one of them"),
        )


def tuple_of(thing: object, name: str, kind: type, *, most: int, least: int = 0) -> None:
    """Refuse a field that is not a row of `kind`, `least` to `most` long; store it as tuple."""
    value = getattr(thing, name)
    if not isinstance(value, (tuple, list)):
        refuse(thing, name, value, f"a row of {called_kind(kind)} values")
    if type(value) is not tuple:
        value = tuple(value)
        object.__setattr__(thing, name, value)
    if not least <= len(value) <= most:
        raise ScenarioError(
            f"{name} of the {called(thing)} holds {f'{len(value):,} entries' if value else 'no entry'}",
            expected=f"from {least:,} to {most:,}",
            mend="Take some out" if len(value) > most else "Add at least one",
        )
    for one in value:
        if not isinstance(one, kind):
            refuse(thing, name, one, f"{called_kind(kind)} values only")


def span(least: float, most: float) -> str:
    """The range in words, for the `expected` part of an error."""
    if most == inf:
        return f"a number of at least {least:g}"
    if least == -inf:
        return f"a number of at most {most:g}"
    return f"a number from {least:g} to {most:g}"


def called(thing: object) -> str:
    """What people call the thing."""
    return called_kind(type(thing))


def called_kind(kind: type) -> str:
    """What people call things of this kind."""
    return NAMES.get(kind.__name__, kind.__name__.lower())


def refuse(thing: object, name: str, value: object, expected: str, mend: str = "") -> NoReturn:
    """Raise the error for one field."""
    raise ScenarioError(
        f"{name} of the {called(thing)} is {_shown(value)}",
        expected=expected,
        mend=mend or f"Give {expected}",
    )


def _range_mend(name: str, value: float, least: float, most: float) -> str:
    """Point at what is usually behind a number out of range: percent, or another unit."""
    if least == 0.0 and 0.9 < most <= 1.0 and 1 < value <= 100:
        return f"Write it as a share: {value / 100:g} for {value:g} %"
    unit = _WITH_UNIT.search(name)
    if unit is None:
        return "Write a number in that range"
    return f"Check the number and its unit: {name} is in {_UNIT_WORDS.get(unit[1], unit[1])}"


def _shown(value: object) -> str:
    shown = repr(value)
    return shown if len(shown) <= 80 else shown[:77] + "..."
