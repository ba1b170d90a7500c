"""Range checks shared by the frozen values of the array layer."""

from __future__ import annotations

import re
from collections.abc import Iterable
from math import inf, isfinite
from typing import NoReturn

from pvsim.errors import ScenarioError, nearest
from pvsim.numbers import short_number
from pvsim.words import _, mark, ngettext

NAMES = {
    "Asked": "reading",
    "CameraSettings": "camera settings",
    "ChoiceItem": "question",
    "ExerciseCase": "case",
    "FirstView": "first view",
    "ItemChoice": "choice",
    "ItemReading": "reading",
    "LogEntry": "log entry",
    "MeterRange": "meter range",
    "ModuleType": "module type",
    "NumberItem": "question",
    "Painted": "painted place",
}
_UNIT_WORDS = {"W_m2": "W/m2", "m_s": "m/s", "C": mark("degrees C"), "deg": mark("degrees")}
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f]")  # but for tabs and ends of lines
_WITH_UNIT = re.compile(r"_(W_m2|m_s|m|C|K|V|A|W|ohm|deg)$")


def finite(thing: object, name: str, *, least: float = -inf, most: float = inf) -> None:
    """Refuse a field that is not a finite number from `least` to `most`; store it as float."""
    value = getattr(thing, name)
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not isfinite(value):
        refuse(thing, name, value, _("a finite number"))
    if not least <= value <= most:
        refuse(thing, name, value, span(least, most), _range_mend(name, value, least, most))
    if type(value) is not float:
        object.__setattr__(thing, name, float(value))


def whole(thing: object, name: str, *, least: int, most: int) -> None:
    """Refuse a field that is not a whole number from `least` to `most`."""
    value = getattr(thing, name)
    if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
        mend = _("Write a whole number in that range, without a point")
        refuse(
            thing,
            name,
            value,
            _("a whole number from {least:,} to {most:,}").format(least=least, most=most),
            mend,
        )


def truth(thing: object, name: str) -> None:
    """Refuse a field that is not true or false."""
    value = getattr(thing, name)
    if not isinstance(value, bool):
        refuse(thing, name, value, _("true or false"))


def text(thing: object, name: str, *, most: int) -> None:
    """Refuse a field that is not a text of at most `most` characters."""
    value = getattr(thing, name)
    if not isinstance(value, str):
        refuse(thing, name, value, _("a text"))
    if len(value) > most:
        raise ScenarioError(
            _("{name} of the {thing} has {count} characters").format(
                name=name, thing=called(thing), count=len(value)
            ),
            expected=_("at most {most}").format(most=most),
            mend=_("Shorten the text"),
        )
    if _CONTROL.search(value):
        raise ScenarioError(
            _("{name} of the {thing} holds control characters").format(name=name, thing=called(thing)),
            expected=_("plain text"),
            mend=_("Type the text anew"),
        )


def one_of(thing: object, name: str, known: Iterable[str]) -> None:
    """Refuse a field that is not one of the known words."""
    value = getattr(thing, name)
    known = tuple(known)
    if not isinstance(value, str) or value not in known:
        raise ScenarioError(
            _("{name} of the {thing} is {value}").format(name=name, thing=called(thing), value=_shown(value)),
            expected=_("one of {names}").format(names=", ".join(known)),
            mend=nearest(str(value)[:80], known, _("Choose one of them")),
        )


def tuple_of(thing: object, name: str, kind: type, *, most: int, least: int = 0) -> None:
    """Refuse a field that is not a row of `kind`, `least` to `most` long; store it as tuple."""
    value = getattr(thing, name)
    if not isinstance(value, (tuple, list)):
        refuse(thing, name, value, _("a row of {thing} values").format(thing=called_kind(kind)))
    if type(value) is not tuple:
        value = tuple(value)
        object.__setattr__(thing, name, value)
    if not least <= len(value) <= most:
        raise ScenarioError(
            ngettext(
                "{name} of the {thing} holds {count:,} entry",
                "{name} of the {thing} holds {count:,} entries",
                len(value),
            ).format(name=name, thing=called(thing), count=len(value)),
            expected=_("from {least:,} to {most:,}").format(least=least, most=most),
            mend=_("Take some out") if len(value) > most else _("Add at least one"),
        )
    for one in value:
        if not isinstance(one, kind):
            refuse(thing, name, one, _("{thing} values only").format(thing=called_kind(kind)))


def span(least: float, most: float) -> str:
    """The range in words, for the `expected` part of an error."""
    if most == inf:
        return _("a number of at least {least}").format(least=short_number(least))
    if least == -inf:
        return _("a number of at most {most}").format(most=short_number(most))
    return _("a number from {least} to {most}").format(least=short_number(least), most=short_number(most))


def called(thing: object) -> str:
    """What people call the thing."""
    return called_kind(type(thing))


def called_kind(kind: type) -> str:
    """What people call things of this kind."""
    return NAMES.get(kind.__name__, kind.__name__.lower())


def refuse(thing: object, name: str, value: object, expected: str, mend: str = "") -> NoReturn:
    """Raise the error for one field."""
    raise ScenarioError(
        _("{name} of the {thing} is {value}").format(name=name, thing=called(thing), value=_shown(value)),
        expected=expected,
        mend=mend or _("Give {expected}").format(expected=expected),
    )


def _range_mend(name: str, value: float, least: float, most: float) -> str:
    """Point at what is usually behind a number out of range: percent, or another unit."""
    if least == 0.0 and 0.9 < most <= 1.0 and 1 < value <= 100:
        return _("Write it as a share: {share} for {percent} %").format(
            share=short_number(value / 100), percent=short_number(value)
        )
    unit = _WITH_UNIT.search(name)
    if unit is None:
        return _("Write a number in that range")
    return _("Check the number and its unit: {name} is in {unit}").format(
        name=name, unit=_(_UNIT_WORDS.get(unit[1], unit[1]))
    )


def _shown(value: object) -> str:
    shown = repr(value)
    return shown if len(shown) <= 80 else shown[:77] + "..."
