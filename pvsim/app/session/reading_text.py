"""Readings and minutes as people read them."""

from __future__ import annotations

from math import isinf, log10

from pvsim.app.words import _
from pvsim.field.reading import Reading
from pvsim.field.search.act import Act
from pvsim.field.search.telling import describe_act
from pvsim.numbers import format_fixed, format_setting, unit_symbol

__all__ = ["decimals_of_doubt", "minutes_text", "not_done_text", "reading_texts"]

_MOST_DECIMALS = 3


def minutes_text(minutes: float) -> str:
    """Minutes of work: "3 min"."""
    return format_setting(minutes, "min")


def not_done_text(act: Act) -> str:
    """What an act that was refused is called."""
    return _("Not done: {act}").format(act=describe_act(act))


def decimals_of_doubt(expanded: float) -> int:
    """As many as show an uncertainty with two figures (GUM 7.2.6: at most two)."""
    wide, decimals = expanded, 0
    while 0.0 < wide < 9.95 and decimals < _MOST_DECIMALS:
        wide, decimals = 10.0 * wide, decimals + 1
    return decimals


def reading_texts(reading: Reading, unit: str = "") -> tuple[str, str]:
    """A reading and within what it holds, k = 2: "34.1 V", "±0.2"; in its own unit unless told another.

    Over range: "OL", "beyond 6 V".
    """
    unit = unit_symbol(unit or reading.unit)
    if isinf(reading.standard_uncertainty):
        shown = "OL" if reading.value >= 0.0 else "\N{MINUS SIGN}OL"  # as meters show it, in every language
        return shown, _("beyond {most}").format(most=format_setting(reading.range_most, unit))
    decimals = decimals_of_doubt(reading.expanded_uncertainty)
    if reading.step:
        decimals = min(decimals, max(0, round(-log10(reading.step))))
    return (
        format_fixed(reading.value, unit, decimals=decimals),
        f"±{format_fixed(reading.expanded_uncertainty, decimals=decimals)}",
    )
