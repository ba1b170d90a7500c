"""Numbers as people write them: out with few digits and true minus signs, in with either decimal mark."""

from __future__ import annotations

import math
import re

from pvsim.app.words import _, decimal_mark
from pvsim.course.units import PLAIN, UNITS, WARMTH, unit_as_typed
from pvsim.errors import ScenarioError

__all__ = [
    "format_fixed",
    "format_number",
    "format_percent",
    "format_setting",
    "read_number",
]

MINUS = "\u2212"
GROUP = "\u202f"  # narrow no-break space; SI brochure (9th ed.) 5.4.4 keeps comma and point for the decimals

_WRITTEN = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d+)?")
_WITH_UNIT = re.compile(rf"(?P<number>{_WRITTEN.pattern})(?P<unit>[^\W\d].*|[%°Ω].*)")
_DOUBTFUL = {  # thousands to some, decimals to others; by the decimal mark that is usual here
    ".": re.compile(r"[+-]?[1-9]\d{0,2},\d{3}"),
    ",": re.compile(r"[+-]?[1-9]\d{0,2}\.\d{3}"),
}


def format_number(value: float, unit: str = "", *, digits: int = 4) -> str:
    """A number with about `digits` significant figures, never in powers of ten above 0.001.

    Parameters
    ----------
    value : float
        What to write; "–" stands for a value that is not finite.
    unit : str
        Written after a no-break space; a per cent sign too.
    digits : int
        Significant figures; whole numbers keep all of theirs.
    """
    if not math.isfinite(value):
        return "–"
    if value == 0.0:
        decimals = 0
    else:
        decimals = max(0, digits - 1 - math.floor(math.log10(abs(value))))
        decimals = min(decimals, 6)
    return format_fixed(value, unit, decimals=decimals)


def format_fixed(value: float, unit: str = "", *, decimals: int = 0, sign: bool = False) -> str:
    """A number with a fixed count of decimals, so that columns line up.

    Parameters
    ----------
    value : float
        What to write; "–" stands for a value that is not finite.
    unit : str
        Written after a no-break space.
    decimals : int
        Digits after the decimal mark.
    sign : bool
        Write a plus before what is greater than 0, for differences.
    """
    if not math.isfinite(value):
        return "–"
    rounded = round(abs(value), decimals)
    before = MINUS if value < 0.0 and rounded else ("+" if sign and rounded else "")
    whole, _point, fraction = f"{rounded:.{decimals}f}".partition(".")
    if len(whole) > 4:
        whole = f"{int(whole):,}".replace(",", GROUP)
    number = before + whole + (decimal_mark() + fraction if fraction else "")
    return f"{number}\u00a0{unit}" if unit else number


def format_setting(value: float, unit: str = "") -> str:
    """A number somebody chose, with no more digits than it has and no grouping: "600 W/m²", "0.15"."""
    number = format_fixed(value, decimals=6).rstrip("0").rstrip(decimal_mark()).replace(GROUP, "")
    return f"{number}\u00a0{unit}" if unit else number


def format_percent(fraction: float, *, decimals: int = 1, sign: bool = False) -> str:
    """A fraction as per cent, "7.3 %"."""
    return format_fixed(100.0 * fraction, "%", decimals=decimals, sign=sign)


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
    written = str(text).strip().replace(MINUS, "-").replace(GROUP, "").replace("\u00a0", " ")
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
        raise ScenarioError(
            _("{name} cannot be {value}").format(name=name, value=format_setting(value, unit)),
            expected=expected,
            mend=_("Choose a value in this range"),
        )
    return value
