"""What no data sheet says, chosen from named ranges: the shunt and the reverse characteristic."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

from pvsim.errors import SheetError
from pvsim.numbers import short_number
from pvsim.prompt import summary
from pvsim.sheet.checks import Check, number, problems, word
from pvsim.words import _, mark


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """From where to where a value lies, and the one taken where nobody chose."""

    least: float
    usual: float
    most: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ReverseRange:
    """A named kind of reverse characteristic: spans of a, Vbr and m of Bishop's term."""

    title: str
    breakdown_fraction: Span
    breakdown_voltage_V: Span
    breakdown_exponent: Span


# Shunt resistance times area of one cell: a full wafer of 250 cm2 at 10 kohm cm2 has 40 ohm. Common practice,
# no source; the module of Villalva et al. 2009 (IEEE Trans. Power Electron. 24, 1198) comes to 1.9 kohm cm2.
SHUNTS: dict[str, tuple[str, Span]] = {
    "low": (mark("low, as in cells with many defects"), Span(least=500.0, usual=1900.0, most=3000.0)),
    "usual": (mark("usual"), Span(least=3000.0, usual=10_000.0, most=30_000.0)),
    "high": (mark("high, as in the best cells"), Span(least=30_000.0, usual=100_000.0, most=1_000_000.0)),
}
# Voltages: IEA-PVPS T13-30:2025, 2.4.1: mono PERC below -20 V, passivated contacts more negative,
# back-contact above -5 V; O. Breitenstein et al.: multicrystalline often from below -5 V. Fractions and
# exponents: common practice, no source.
REVERSES: dict[str, ReverseRange] = {
    "early": ReverseRange(
        title=mark("early, as in multicrystalline cells"),
        breakdown_fraction=Span(least=0.01, usual=0.1, most=0.3),
        breakdown_voltage_V=Span(least=-20.0, usual=-14.0, most=-8.0),
        breakdown_exponent=Span(least=2.0, usual=3.0, most=6.0),
    ),
    "late": ReverseRange(
        title=mark("late, as in monocrystalline cells"),
        breakdown_fraction=Span(least=0.002, usual=0.05, most=0.2),
        breakdown_voltage_V=Span(least=-30.0, usual=-20.0, most=-15.0),
        breakdown_exponent=Span(least=2.0, usual=3.5, most=6.0),
    ),
    "very-late": ReverseRange(
        title=mark("very late, as in cells with passivated contacts"),
        breakdown_fraction=Span(least=0.001, usual=0.02, most=0.1),
        breakdown_voltage_V=Span(least=-45.0, usual=-25.0, most=-20.0),
        breakdown_exponent=Span(least=2.0, usual=3.5, most=6.0),
    ),
    "back-contact": ReverseRange(
        title=mark("at some volts, as in back-contact cells"),
        breakdown_fraction=Span(least=0.05, usual=0.5, most=1.0),
        breakdown_voltage_V=Span(least=-5.0, usual=-4.2, most=-2.5),
        breakdown_exponent=Span(least=2.0, usual=3.0, most=6.0),
    ),
    "none": ReverseRange(
        title=mark("none: the shunt alone"),
        breakdown_fraction=Span(least=0.0, usual=0.0, most=0.0),
        breakdown_voltage_V=Span(least=-30.0, usual=-20.0, most=-8.0),
        breakdown_exponent=Span(least=2.0, usual=3.0, most=6.0),
    ),
}
_REVERSE_FIELDS = ("breakdown_fraction", "breakdown_voltage_V", "breakdown_exponent")


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumptions:
    """What is assumed of the cells, each value in the range whose name stands before it.

    Parameters
    ----------
    shunt : str
        A key of SHUNTS.
    shunt_ohm_cm2 : float
        Shunt resistance of a cell times its area; left out, the usual one of the range.
    reverse : str
        A key of REVERSES.
    breakdown_fraction, breakdown_voltage_V, breakdown_exponent : float
        a, Vbr and m of Bishop's term; left out, the usual ones of the range.

    Raises
    ------
    SheetError
        If a name is unknown or a value lies outside the range chosen.
    """

    shunt: str = "usual"
    shunt_ohm_cm2: float = None  # type: ignore[assignment]
    reverse: str = "late"
    breakdown_fraction: float = None  # type: ignore[assignment]
    breakdown_voltage_V: float = None  # type: ignore[assignment]
    breakdown_exponent: float = None  # type: ignore[assignment]

    __repr__ = summary

    def __post_init__(self) -> None:
        for _names, check in _CHECKS:
            check(self)


def assumption_problems(values: Mapping[str, Any]) -> tuple[SheetError, ...]:
    """All that is wrong with what is to become Assumptions; see `sheet_problems`."""
    return problems(Assumptions, values, _CHECKS)


def shunt_resistance_ohm(assumed: Assumptions, area_cm2: float) -> float:
    """Rsh of one cell of that area."""
    return assumed.shunt_ohm_cm2 / area_cm2


def breakdown(assumed: Assumptions) -> dict[str, Any]:
    """The reverse characteristic as fields of a CellType."""
    return {name: getattr(assumed, name) for name in _REVERSE_FIELDS}


def assumptions_text(assumed: Assumptions, area_cm2: float) -> str:
    """One sentence that says what is assumed."""
    # TRANSLATORS: Ohm cm2 and the letters a, Vbr and m are those of the equation
    return _(
        "Assumed, for no data sheet says it: shunt {shunt} ({value} Ω cm², {ohm} Ω a cell); reverse "
        "characteristic {reverse} (a {a}, Vbr {Vbr} V, m {m})."
    ).format(
        shunt=_(SHUNTS[assumed.shunt][0]),
        value=short_number(assumed.shunt_ohm_cm2, 7),
        ohm=short_number(shunt_resistance_ohm(assumed, area_cm2), 3),
        reverse=_(REVERSES[assumed.reverse].title),
        a=short_number(assumed.breakdown_fraction, 4),
        Vbr=short_number(assumed.breakdown_voltage_V, 4),
        m=short_number(assumed.breakdown_exponent, 4),
    )


def _check_word(name: str, known: tuple[str, ...], assumed: Assumptions) -> None:
    word(assumed, name, known)


def _check_shunt(assumed: Assumptions) -> None:
    _fill(assumed, "shunt_ohm_cm2", SHUNTS[assumed.shunt][1], "Ω cm²")


def _check_reverse(name: str, assumed: Assumptions) -> None:
    _fill(assumed, name, getattr(REVERSES[assumed.reverse], name), "V" if name.endswith("_V") else "")


def _fill(assumed: Assumptions, name: str, span: Span, unit: str) -> None:
    if getattr(assumed, name) is None:
        object.__setattr__(assumed, name, span.usual)
    number(assumed, name, least=span.least, most=span.most, unit=unit)


_CHECKS: tuple[Check, ...] = (
    (("shunt",), partial(_check_word, "shunt", tuple(SHUNTS))),
    (("reverse",), partial(_check_word, "reverse", tuple(REVERSES))),
    (("shunt", "shunt_ohm_cm2"), _check_shunt),
    *((("reverse", name), partial(_check_reverse, name)) for name in _REVERSE_FIELDS),
)
