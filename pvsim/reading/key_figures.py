"""The key figures of a part's characteristic, now and before."""

from __future__ import annotations

from dataclasses import dataclass
from operator import attrgetter

from pvsim.circuit import Characteristic
from pvsim.numbers import decimals_for
from pvsim.words import _, voltage_symbol

__all__ = ["NOTHING", "KeyFigure", "key_figure", "key_figures"]

NOTHING = 1e-6  # volts, amperes or watts: less is what a solver leaves of zero

_VALUES = {
    "isc": attrgetter("isc_A"),
    "voc": attrgetter("voc_V"),
    "imp": attrgetter("mpp.current_A"),
    "vmp": attrgetter("mpp.voltage_V"),
    "pmp": attrgetter("mpp.power_W"),
    "ff": attrgetter("fill_factor"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyFigure:
    """One key figure, now and before.

    Parameters
    ----------
    key : str
        "isc", "voc", "imp", "vmp", "pmp" or "ff".
    symbol : (letters, index)
        As the trade writes it: ("I", "sc").
    name, unit : str
        In words, and A, V, W or "" for the fill factor.
    now : float
        In that unit; the fill factor as a fraction.
    before : float or None
        None when there is nothing to compare with.
    decimals : int
        Digits worth showing.
    """

    key: str
    symbol: tuple[str, str]
    name: str
    unit: str
    now: float
    before: float | None
    decimals: int


def key_figures(now: Characteristic, before: Characteristic | None) -> tuple[KeyFigure, ...]:
    """The six key figures in the order they are read off: Isc, Voc, Imp, Vmp, Pmp, FF.

    Parameters
    ----------
    now, before : Characteristic, Characteristic or None
        Of one part; nothing to compare with is None.
    """
    both = [now] if before is None else [now, before]
    tops = {
        "A": max(abs(one.isc_A) for one in both),
        "V": max(abs(one.voc_V) for one in both),
        "W": max(abs(one.mpp.power_W) for one in both),
    }

    def figure(key: str, symbol: tuple[str, str], name: str, unit: str) -> KeyFigure:
        return KeyFigure(
            key=key,
            symbol=symbol,
            name=name,
            unit=unit,
            now=key_figure(now, key),
            before=None if before is None else key_figure(before, key),
            decimals=decimals_for(tops[unit]) if unit else 3,
        )

    return (
        figure("isc", ("I", "sc"), _("short-circuit current"), "A"),
        figure("voc", (voltage_symbol(), "oc"), _("open-circuit voltage"), "V"),
        figure("imp", ("I", "mp"), _("current at maximum power"), "A"),
        figure("vmp", (voltage_symbol(), "mp"), _("voltage at maximum power"), "V"),
        figure("pmp", ("P", "mp"), _("maximum power"), "W"),
        figure("ff", ("FF", ""), _("fill factor"), ""),
    )


def key_figure(curve: Characteristic, key: str) -> float:
    """One key figure of a curve by its key, in A, V or W; the fill factor as a fraction.

    Raises
    ------
    KeyError
        If it is none of "isc", "voc", "imp", "vmp", "pmp" and "ff".
    """
    return float(_VALUES[key](curve))
