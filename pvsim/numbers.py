"""Numbers as people write them: the one place where digits, decimal mark and minus sign are chosen.

    format_number     "5,297 W"    so many significant figures, whole ones all of theirs; the page
    format_fixed      "5,296.8 W"  so many decimals, so that columns line up
    format_setting    "0.15"       what somebody chose, with no more digits than it has
    format_percent    "7.3 %"      a fraction
    significant       "5297"       so many significant figures, whatever the size; figures and terminals
    beside            "85.8"       with the decimals that a larger one has
    short_number      "0.15"       as many digits as it needs; sentences, ticks, answers
    unit_symbol       "W/m²"       a unit that code and files type in plain letters: W_m2, W/m2

The first four set a true minus sign and group thousands.
"""

from __future__ import annotations

from math import floor, inf, isfinite, log10

from pvsim.words import decimal_mark

__all__ = [
    "MINUS",
    "NO_BREAK",
    "THIN_SPACE",
    "beside",
    "decimals_for",
    "decimals_of",
    "decimals_of_change",
    "format_fixed",
    "format_number",
    "format_percent",
    "format_setting",
    "short_number",
    "significant",
    "unit_symbol",
]

MINUS = "\u2212"
NO_BREAK = "\u00a0"
# Narrow and no-break: between groups of digits, since the SI brochure (9th ed.) 5.4.4 keeps comma and
# point for the decimals, and before a unit (ISO 80000-1).
THIN_SPACE = "\u202f"
# Units as keys end with them, and as meters and tracers have them; all others are written as they are typed.
_SYMBOLS = {
    "W_m2": "W/m²",
    "W/m2": "W/m²",
    "kW/m2": "kW/m²",
    "mW/cm2": "mW/cm²",
    "degC": "°C",
    "degF": "°F",
    "m_s": "m/s",
    "C": "°C",
    "ohm": "Ω",
    "Mohm": "MΩ",
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
    if not isfinite(value):
        return "–"
    return format_fixed(value, unit, decimals=decimals_of(value, digits))


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
    if not isfinite(value):
        return "–"
    size = round(abs(value), decimals)
    number = f"{size:.{decimals}f}" if size < 1e4 else f"{size:,.{decimals}f}".replace(",", THIN_SPACE)
    mark = decimal_mark()
    if mark != ".":
        number = number.replace(".", mark)
    if size and (sign or value < 0.0):
        number = f"{MINUS if value < 0.0 else '+'}{number}"
    return f"{number}{NO_BREAK}{unit}" if unit else number


def format_setting(value: float, unit: str = "") -> str:
    """A number somebody chose, with no more digits than it has and no grouping: "600 W/m²", "0.15"."""
    number = format_fixed(value, decimals=6).rstrip("0").rstrip(decimal_mark()).replace(THIN_SPACE, "")
    return f"{number}{NO_BREAK}{unit}" if unit else number


def format_percent(fraction: float, *, decimals: int = 1, sign: bool = False) -> str:
    """A fraction as per cent, "7.3 %"."""
    return format_fixed(100.0 * fraction, "%", decimals=decimals, sign=sign)


def significant(value: float, digits: int = 4) -> str:
    """A number with so many significant digits and no power of ten in everyday ranges.

    >>> significant(312.44), significant(12345.6), significant(-0.001234)
    ('312.4', '12350', '-0.001234')
    """
    if abs(value) < 1e-9:
        return "0"
    places = _places(value, digits)
    if places > digits + 4 or places < -4:
        return f"{value:.{digits - 1}e}".replace(".", decimal_mark())
    return _rounded(value, places)


def beside(value: float, scale: float, digits: int = 4) -> str:
    """A number with the decimals its larger peer has with so many significant digits.

    >>> beside(85.82, 223.66), beside(9.9871, 10.9)
    ('85.8', '9.99')
    """
    if abs(scale) < 1e-9:
        return significant(value, digits)
    return _rounded(value, _places(scale, digits))


def short_number(value: float, digits: int = 6, *, minus: str = "-") -> str:
    """A number with as many digits as it needs, up to so many: "0.15", "-4.2", "1e+06".

    Parameters
    ----------
    minus : str
        MINUS where the number is set, and not a text for the terminal too.
    """
    return f"{value:.{digits}g}".replace("-", minus).replace(".", decimal_mark())


def unit_symbol(unit: str) -> str:
    """A unit as people write it.

    >>> unit_symbol("W_m2"), unit_symbol("Mohm"), unit_symbol("V")
    ('W/m²', 'MΩ', 'V')
    """
    return _SYMBOLS.get(unit, unit)


def decimals_of(value: float, digits: int) -> int:
    """Decimals that show so many significant figures of a number: none to six."""
    return 0 if value == 0.0 else min(max(_places(value, digits), 0), 6)


def decimals_for(scale: float) -> int:
    """Decimals that show about four figures of a quantity as large as `scale`: one to three."""
    return min(3, max(1, _places(scale, 4))) if 0.0 < scale < inf else 1


def decimals_of_change(change: float, whole: float = 1000.0) -> int:
    """Decimals that show a change with two figures and the whole with three, to 0.01."""
    size = abs(change)
    fine = 0 if size >= 10.0 or size == 0.0 else 1 if size >= 1.0 else 2
    return max(fine, 0 if whole >= 100.0 or whole == 0.0 else 1 if whole >= 10.0 else 2)


def _places(value: float, digits: int) -> int:
    """Where the last of so many significant figures stands behind the decimal mark; before it negative."""
    return digits - 1 - floor(log10(abs(value)))


def _rounded(value: float, places: int) -> str:
    return f"{round(value, places):.{max(0, places)}f}".replace(".", decimal_mark())
