"""Units of computed numbers: what may be added to what, and how a number is written out."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import ceil, floor, isfinite
from typing import Literal

from pvsim.course.number.number_words import manner_of, spell
from pvsim.errors import LessonError, nearest
from pvsim.numbers import MINUS, THIN_SPACE, decimals_of
from pvsim.words import _, mark
from pvsim.words import language as language_spoken

Dimension = tuple[int, int, int, int, int]  # powers of volt, ampere, kelvin, metre and second
PLAIN: Dimension = (0, 0, 0, 0, 0)
WARMTH: Dimension = (0, 0, 1, 0, 0)  # degrees and kelvins are not converted: one is a place, one a way


_FORM = re.compile(r"word:[^\W\d_]{1,12}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """A unit as lessons write it.

    Parameters
    ----------
    name, symbol : str
        As typed in a lesson ("W/m2") and as shown ("W/m²"); no symbol for a bare number.
    dimension : (5,) of int
        Powers of volt, ampere, kelvin, metre and second.
    size : float
        One of this unit in SI units.
    """

    name: str
    symbol: str
    dimension: Dimension
    size: float = 1.0


UNITS: dict[str, Unit] = {
    unit.name: unit
    for unit in (
        Unit(name="V", symbol="V", dimension=(1, 0, 0, 0, 0)),
        Unit(name="mV", symbol="mV", dimension=(1, 0, 0, 0, 0), size=1e-3),
        Unit(name="A", symbol="A", dimension=(0, 1, 0, 0, 0)),
        Unit(name="mA", symbol="mA", dimension=(0, 1, 0, 0, 0), size=1e-3),
        Unit(name="W", symbol="W", dimension=(1, 1, 0, 0, 0)),
        Unit(name="kW", symbol="kW", dimension=(1, 1, 0, 0, 0), size=1e3),
        Unit(name="mW", symbol="mW", dimension=(1, 1, 0, 0, 0), size=1e-3),
        Unit(name="ohm", symbol="Ω", dimension=(1, -1, 0, 0, 0)),
        Unit(name="degC", symbol="°C", dimension=(0, 0, 1, 0, 0)),
        Unit(name="K", symbol="K", dimension=(0, 0, 1, 0, 0)),
        Unit(name="mV/K", symbol="mV/K", dimension=(1, 0, -1, 0, 0), size=1e-3),
        Unit(name="%/K", symbol="%/K", dimension=(0, 0, -1, 0, 0), size=0.01),
        Unit(name="W/m2", symbol="W/m²", dimension=(1, 1, 0, -2, 0)),
        Unit(name="W/cm2", symbol="W/cm²", dimension=(1, 1, 0, -2, 0), size=1e4),
        Unit(name="m2", symbol="m²", dimension=(0, 0, 0, 2, 0)),
        Unit(name="cm2", symbol="cm²", dimension=(0, 0, 0, 2, 0), size=1e-4),
        Unit(name="m", symbol="m", dimension=(0, 0, 0, 1, 0)),
        Unit(name="cm", symbol="cm", dimension=(0, 0, 0, 1, 0), size=1e-2),
        Unit(name="kWh", symbol="kWh", dimension=(1, 1, 0, 0, 1), size=3.6e6),
        Unit(name="h", symbol="h", dimension=(0, 0, 0, 0, 1), size=3600.0),
        Unit(name="%", symbol="%", dimension=PLAIN, size=0.01),
        Unit(name="times", symbol=mark("times"), dimension=PLAIN),
        Unit(name="plain", symbol="", dimension=PLAIN),
    )
}

_AS_TYPED = {  # by how people type them, in small letters
    "°c": "degC", "c": "degC", "degrees": "degC", "degree": "degC", "grad": "degC", "grad celsius": "degC",
    "volt": "V", "volts": "V", "watt": "W", "watts": "W", "kelvin": "K", "ohms": "ohm", "ω": "ohm",
    "ampere": "A", "amperes": "A", "amp": "A", "amps": "A", "w/m²": "W/m2", "w/m^2": "W/m2",
    "metre": "m", "metres": "m", "meter": "m", "meters": "m", "kwh": "kWh", "hours": "h", "stunden": "h",
    "m²": "m2", "m^2": "m2", "cm²": "cm2", "cm^2": "cm2",
    "square metres": "m2", "square meters": "m2", "quadratmeter": "m2",
    "percent": "%", "per cent": "%", "prozent": "%",
}  # fmt: skip

_PREFIXES = {"p": 1e-12, "n": 1e-9, "µ": 1e-6, "μ": 1e-6, "u": 1e-6, "m": 1e-3, "k": 1e3, "M": 1e6, "G": 1e9}
_PREFIXED = {"V": "V", "A": "A", "W": "W", "Ω": "ohm", "ohm": "ohm", "Wh": "kWh"}  # what is typed with them

Sign = Literal["plain", "signed", "size"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Format:
    """How a computed number is written.

    Parameters
    ----------
    unit : Unit or None
        Unit shown; None takes the number's own.
    decimals : int or None
        Digits after the decimal mark; None shows three significant ones.
    sign : "plain", "signed" or "size"
        Minus only, plus and minus, or the size without a sign.
    word : bool
        Whole numbers up to twelve as words.
    one : str
        The form that the word for 1 takes in this place, for languages with several.
    """

    unit: Unit | None = None
    decimals: int | None = None
    sign: Sign = "plain"
    word: bool = False
    one: str = ""


def find_unit(name: str) -> Unit:
    """The unit of that name.

    Raises
    ------
    LessonError
        If lessons know no such unit.
    """
    if name not in UNITS:
        raise LessonError(
            f"'{name}' is no unit a lesson can use",
            expected="one of " + ", ".join(UNITS),
            mend=nearest(name, UNITS),
        )
    return UNITS[name]


def unit_as_typed(typed: str) -> str:
    """The name of the unit that people mean who type its symbol or its word; else what they typed."""
    bare = typed.rstrip(".")
    return bare if bare in UNITS else _AS_TYPED.get(bare.lower(), typed)


def unit_meant(typed: str) -> Unit | None:
    """The unit that people mean who type this, with any prefix of the SI from pico to giga; None for no unit.

    Capitals count in prefixes: mW is not MW.
    """
    known = UNITS.get(unit_as_typed(typed))
    if known is not None:
        return known
    bare = typed.rstrip(".")
    size, base = _PREFIXES.get(bare[:1]), _PREFIXED.get(bare[1:])
    if bare == "Wh":
        size, base = 1.0, "kWh"
    if size is None or base is None:
        return None
    one = 3600.0 if base == "kWh" else 1.0
    return Unit(name=bare, symbol=bare, dimension=UNITS[base].dimension, size=size * one)


def unit_for(dimension: Dimension) -> Unit:
    """The unit a number of this dimension is shown in when none is asked for.

    Raises
    ------
    LessonError
        If there is none, such as for a voltage squared.
    """
    if dimension == PLAIN:
        return UNITS["plain"]
    for unit in UNITS.values():
        if unit.dimension == dimension:
            return unit
    raise LessonError(
        f"the result of this arithmetic is {describe(dimension)}, which has no unit here",
        expected="a voltage, current, power, energy, resistance, temperature, irradiance, length, area, "
        "time or ratio",
        mend="Check what is multiplied and what is divided",
    )


def describe(dimension: Dimension) -> str:
    """A dimension in words, for messages."""
    for unit in UNITS.values():
        if unit.dimension == dimension and dimension != PLAIN:
            return f"a number in {unit.symbol}"
    if dimension == PLAIN:
        return "a bare number"
    symbols = zip(("V", "A", "K", "m", "s"), dimension, strict=True)
    return "a number in " + " ".join(f"{s}^{p}" for s, p in symbols if p)


def parse_format(text: str) -> Format:
    """Read what stands behind the bar in `{{ number | W 1 signed }}`.

    Raises
    ------
    LessonError
        If a word is neither a unit, a count of decimals, nor one of signed, size, word
        or word:form.
    """
    unit: Unit | None = None
    decimals: int | None = None
    sign: Sign = "plain"
    as_word, one = False, ""
    for word in text.split():
        if word.isascii() and word.isdigit() and len(word) == 1:
            decimals = int(word)
        elif word == "signed":
            sign = "signed"
        elif word == "size":
            sign = "size"
        elif word == "word" or _FORM.fullmatch(word):
            as_word, one = True, word[len("word:") :]
        elif word in UNITS:
            unit = UNITS[word]
        else:
            raise LessonError(
                f"'{word}' says nothing about how to write a number",
                expected="a unit, a count of decimals from 0 to 9, signed, size, word or word:form",
                mend=nearest(word, [*UNITS, "signed", "size", "word"]),
            )
    return Format(unit=unit, decimals=decimals, sign=sign, word=as_word, one=one)


def write_number(value: float, unit: Unit, how: Format, language: str = "") -> str:
    """A number with its unit, as a reader sees it.

    Parameters
    ----------
    value : float
        In SI units.
    unit : Unit
        The unit to show it in.
    how : Format
        Decimals and sign.
    language : str
        Of the text around it: it decides decimal mark and words; the one spoken now if empty.

    Returns
    -------
    str
        For instance "−4.21 W", in German "−4,21 W"; "no value" when the number is not finite.
    """
    manner = manner_of(language or language_spoken().code)
    if not isfinite(value):
        return _("no value")
    shown = value / unit.size
    decimals = how.decimals
    if decimals is None:
        decimals = 0 if unit.name == "plain" and shown == round(shown) else decimals_of(shown, 3)
    shown = round(shown, decimals)
    if how.word and shown == round(shown) and (word := spell(int(shown), manner, how.one)):
        return word
    before = ""
    if how.sign != "size" and shown < 0:
        before = MINUS
    elif how.sign == "signed" and shown > 0:
        before = "+"
    number = before + f"{abs(shown):.{decimals}f}".replace(".", manner.decimal)
    return f"{number}{THIN_SPACE}{_(unit.symbol)}" if unit.symbol else number


def write_range(least: float, most: float, unit: Unit) -> str:
    """A range to the next full 5 of its unit, such as "165 to 210 °C"; ends in SI units."""
    low, high = (int(5 * turn(value / unit.size / 5.0)) for turn, value in ((floor, least), (ceil, most)))
    signs = [f"{MINUS}{-one}" if one < 0 else f"{one}" for one in (low, high)]
    return _("{least} to {most}").format(least=signs[0], most=f"{signs[1]}{THIN_SPACE}{_(unit.symbol)}")
