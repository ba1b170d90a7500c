"""Numbers as somebody types them into a field: with either decimal mark, and a unit behind if they like."""

from __future__ import annotations

import re

from pvsim.course.number.units import PLAIN, UNITS, WARMTH, unit_as_typed
from pvsim.errors import ScenarioError
from pvsim.numbers import MINUS, NO_BREAK, THIN_SPACE, format_setting
from pvsim.words import _, decimal_mark

__all__ = ["read_number", "read_whole"]

_EXACT = 1e15  # from there on a float has other digits than were typed
_WRITTEN = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?")
_WITH_UNIT = re.compile(rf"(?P<number>{_WRITTEN.pattern})(?P<unit>[^\W\d].*|[%°Ω].*)")
_DOUBTFUL = {  # thousands to some, decimals to others; by the decimal mark that is usual here
    ".": re.compile(r"[+-]?[1-9]\d{0,2},\d{3}"),
    ",": re.compile(r"[+-]?[1-9]\d{0,2}\.\d{3}"),
}


def _size(tail: str, unit: str) -> float | None:
    """What a unit that was typed is worth in the one asked for; None where it is no such unit."""
    if _plain(tail) == _plain(unit):
        return 1.0
    own = next((one for one in UNITS.values() if one.symbol == unit), None)
    other = UNITS.get(unit_as_typed(tail))
    if own is None or other is None or other.dimension != own.dimension:
        return None
    if other == own:
        return 1.0
    return None if own.dimension in (PLAIN, WARMTH) else other.size / own.size


def _cut(written: str) -> str:
    return written if len(written) <= 20 else f"{written[:20]}…"


def _plain(unit: str) -> str:
    """A unit without the ways in which people write it differently."""
    return unit.casefold().replace("²", "2").replace("^", "").replace(" ", "").replace("·", "").rstrip(".")


def read_number(text: object, *, name: str, least: float, most: float, unit: str = "") -> float:
    """The number somebody typed, with decimal point or comma.

    Parameters
    ----------
    text : object
        What came from the field: text, or a number already, which cannot be misread.
    name : str
        What the number is, for the error.
    least, most : float
        The range allowed, ends included.
    unit : str
        What the number is in, as its symbol. It may follow the number, as people write or spell it
        ("800W/m2", "800 W/m²", "25 degrees"), or another of the same kind, which is converted.

    Raises
    ------
    ScenarioError
        If it is no number, may be read two ways (1,000; where a comma is usual 1.000) or is out of range.
    """
    expected = _("a number from {least} to {most}").format(
        least=format_setting(least), most=format_setting(most, unit)
    )
    written = str(text).strip().replace(MINUS, "-").replace(THIN_SPACE, "").replace(NO_BREAK, " ")
    written, size = written.replace(" ", ""), 1.0
    found = _WITH_UNIT.fullmatch(written)
    if found and unit:
        known = _size(found["unit"], unit)
        if known is None:
            raise ScenarioError(
                _("{name}: “{text}” is not the unit asked for").format(name=name, text=found["unit"][:20]),
                expected=expected,
                mend=_("Type the number alone"),
            )
        written, size = found["number"], known
    if not _WRITTEN.fullmatch(written):
        shown = written[:20] or _("nothing")
        raise ScenarioError(
            _("{name}: “{text}” is not a number").format(name=name, text=shown),
            expected=expected,
            mend=_("Type digits only, with a decimal point or comma"),
        )
    here = decimal_mark()
    if isinstance(text, str) and _DOUBTFUL[here].fullmatch(written):
        whole, _mark, fraction = written.replace(",", ".").partition(".")
        raise ScenarioError(
            _("{name}: “{text}” can be read two ways").format(name=name, text=written),
            expected=expected,
            mend=_("Write {whole} or {decimal}").format(
                whole=whole + fraction, decimal=f"{whole}{here}{fraction.rstrip('0')}0"
            ),
        )
    value = float(written.replace(",", ".")) * size
    if not least <= value <= most:
        shown = format_setting(value, unit) if abs(value) < _EXACT else _cut(written)
        raise ScenarioError(
            _("{name} cannot be {value}").format(name=name, value=shown),
            expected=expected,
            mend=_("Choose a value in this range"),
        )
    return value


def read_whole(text: object, *, name: str, least: int, most: int) -> int:
    """The whole number somebody typed; a broken one is refused, not rounded.

    Raises
    ------
    ScenarioError
        As `read_number`, or if it is broken.
    """
    number = read_number(text, name=name, least=least, most=most)
    if number != round(number):
        raise ScenarioError(
            _("{name} cannot be {value}").format(name=name, value=format_setting(number)),
            expected=_("a whole number from {least} to {most}").format(least=least, most=most),
            mend=_("Leave the part behind the decimal mark out"),
        )
    return round(number)
