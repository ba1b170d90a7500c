"""The texts of the curves: levels, key figures and the sentences a screen reader says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from pvsim.app.words import _, mark, ngettext, voltage_symbol
from pvsim.array.place import SHOWN_LEVELS, Level, Place, describe_place
from pvsim.circuit import Characteristic
from pvsim.files.figure.key_points import Named, greatest_change
from pvsim.numbers import MINUS, format_fixed, format_number
from pvsim.reading.difference import Difference, Quantity
from pvsim.reading.key_figures import NOTHING, KeyFigure

__all__ = [
    "curve_sentence",
    "fixed_words",
    "key_rows",
    "level_entries",
    "level_name",
    "relative_change",
]

MOST_TIMES = 100.0  # what has grown by more has no change in per cent that says anything
_LEVELS = {
    "array": mark("Array"),
    "string": mark("String {n}"),
    "module": mark("Module {n}"),
    "substring": mark("Substr. {n}"),
    "cell": mark("Cell {n}"),
}
OF_THE_MAXIMUM = ("vmp", "ff")  # where there is no power to speak of there is no maximum to read them at


def fixed_words() -> dict[str, Any]:
    """The texts that never change, once for the browser."""
    return {
        "level": _("Level shown"),
        "view": _("What is shown"),
        "views": [
            {"key": "curves", "label": _("Curves")},
            {"key": "difference", "label": _("Change"), "title": _("Now minus before, magnified")},
            {"key": "parts", "label": _("Parts"), "title": _("How this curve is built from its parts")},
            {"key": "table", "label": _("Table")},
        ],
        "quantity": _("Difference of"),
        "quantities": [
            {"key": "power", "label": "ΔP", "title": _("Difference of power")},
            {"key": "current", "label": "ΔI", "title": _("Difference of current")},
        ],
        "stages": _("Step of the construction"),
        "magnified": _("magnified"),
        "held": _("The array is held at"),
        "sum": _("How the parts add up"),
        "sum_part": _("part"),
        "sum_from": _("sum before it"),
        "sum_to": _("sum with it"),
        "reverse": f"{voltage_symbol()} < 0",
        "reverse_title": _("Show the reverse side, where a part takes power up"),
        "fit": _("Fit"),
        "fit_title": _("Axes are locked while you compare; fit them to the curves shown"),
        "fitted_title": _("Axes are fitted to the curves; lock them to the unbroken part again"),
        "voltage_axis": _("voltage in V"),
        "now": _("now"),
        "before": _("before"),
        "change": _("change"),
        "percent": _("in %"),
        "row": _("Key figures"),
    }


def level_name(level: str, place: Place) -> str:
    """A part by its level and number: "Module 5"."""
    return _(_LEVELS[level]).format(n="" if level == "array" else getattr(place, level))


def level_entries(places: Mapping[Level, Place]) -> list[dict[str, str]]:
    """The five levels with the number of the part each one shows."""
    return [
        {"key": level, "label": level_name(level, places[level]), "title": describe_place(places[level])}
        for level in SHOWN_LEVELS
    ]


def key_rows(figures: Sequence[KeyFigure]) -> list[dict[str, Any]]:
    """Key figures as they are written: now, before, change, change in per cent."""
    rows = []
    top = next((one for one in figures if one.key == "pmp"), None)
    dead = top is not None and top.now <= NOTHING
    was_dead = top is not None and top.before is not None and top.before <= NOTHING
    for one in figures:
        row: dict[str, Any] = {
            "key": one.key,
            "symbol": one.symbol,
            "name": one.name,
            "unit": one.unit,
            "now": format_fixed(one.now, decimals=one.decimals),
            "sign": 0,
            "before": "–",
            "change": "–",
            "percent": "–",
        }
        if one.before is not None:
            delta = one.now - one.before
            row["before"] = format_fixed(one.before, decimals=one.decimals)
            row["change"] = format_fixed(delta, decimals=one.decimals, sign=True)
            if round(delta, one.decimals):
                row["percent"] = relative_change(one.before, one.now, unit="")
                row["sign"] = 1 if delta > 0.0 else -1
            else:
                row["percent"] = "0"
        if one.key in OF_THE_MAXIMUM and (dead or was_dead):
            row |= dict.fromkeys(("change", "percent"), "–") | {"sign": 0}
            row |= {"now": "–"} if dead else {}
            row |= {"before": "–"} if was_dead else {}
        rows.append(row)
    return rows


def curve_sentence(
    place: str, quantity: Quantity, now: Characteristic, before: Characteristic | None
) -> str:
    """What a figure of a place shows, for those who cannot see it."""
    if quantity == "current":
        text = _("Current against voltage of {place}: short-circuit {isc}, open-circuit {voc}.")
        said = text.format(
            place=place,
            isc=format_number(now.isc_A, "A"),
            voc=format_number(now.voc_V, "V"),
        )
    else:
        text = _("Power against voltage of {place}: greatest power {pmp} at {vmp}.")
        said = text.format(
            place=place,
            pmp=format_number(now.mpp.power_W, "W"),
            vmp=format_number(now.mpp.voltage_V, "V"),
        )
    count = len(now.mpps)
    if count > 1:
        said += " " + ngettext("{n} maximum.", "{n} maxima of power.", count).format(n=count)
    if before is not None:
        fraction = relative_change(before.mpp.power_W, now.mpp.power_W)
        said += " " + _("Maximum power before: {pmp}; change {fraction}.").format(
            pmp=format_number(before.mpp.power_W, "W"), fraction=fraction
        )
    return said


def difference_shown(
    place: str, change: Difference | None, quantity: Quantity, factor: float
) -> tuple[dict[str, Any], Named]:
    """The magnified difference: title, factor and all of it in one sentence; and its greatest value."""
    unit = "A" if quantity == "current" else "W"
    symbol = "ΔI" if quantity == "current" else "ΔP"
    if change is None:
        title = _("no earlier curve to compare with")
        return {"title": title, "factor": "", "quantity": quantity, "spoken": title}, Named((), ())
    times = _("same scale") if factor == 1.0 else "×" + format_fixed(factor)
    title = _("{symbol} = now − before, in {unit}").format(symbol=symbol, unit=unit)
    what = _("Difference of current") if quantity == "current" else _("Difference of power")
    peak = signed(change.peak, unit)
    at = format_number(change.peak_V, "V")
    spoken = _("{what} of {place}, now minus before, {times}: greatest {peak} at {at}.").format(
        what=what, place=place, times=times, peak=peak, at=at
    )
    shown = {
        "title": title,
        "factor": times,
        "magnified": factor != 1.0,
        "quantity": quantity,
        "spoken": spoken,
    }
    return shown, greatest_change(change, quantity, _("{peak} at {at}").format(peak=peak, at=at))


def relative_change(before: float | None, now: float, *, unit: str = "%") -> str:
    """A change in per cent, with a digit more the smaller it is: what barely moves has a size too.

    Of nothing, of next to nothing and of what was negative there are no per cents.
    """
    if before is None or before < max(NOTHING, abs(now) / MOST_TIMES):
        return "–"
    percent = 100.0 * (now - before) / abs(before)
    size = abs(percent)
    decimals = 0 if size >= 100.0 or size < 5e-4 else 1 if size >= 1.0 else 2 if size >= 0.1 else 3
    return format_fixed(percent, unit, decimals=decimals, sign=True)


def signed(value: float, unit: str, *, digits: int = 3) -> str:
    """A difference with its sign and about three figures."""
    text = format_number(value, unit, digits=digits)
    return text if value <= 0.0 or text.startswith(MINUS) else "+" + text

