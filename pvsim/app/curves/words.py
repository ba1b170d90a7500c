"""The texts of the curves: labels, levels, tables and the sentences a screen reader says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from pvsim.app.words import _, ngettext, voltage_symbol
from pvsim.array.place import SHOWN_LEVELS, Level, Place, describe_place
from pvsim.circuit import Characteristic, PowerPoint
from pvsim.numbers import MINUS, decimals_for, format_fixed, format_number
from pvsim.reading.difference import Difference, Quantity
from pvsim.reading.key_figures import KeyFigure

__all__ = [
    "NOTHING",
    "curve_sentence",
    "fixed_words",
    "gap_shown",
    "key_rows",
    "level_entries",
    "level_name",
    "marks",
    "point_label",
    "point_parts",
    "point_text",
    "relative_change",
]

Label = list[list[str]]
MOST_TIMES = 100.0  # what has grown by more has no change in per cent that says anything
OF_THE_MAXIMUM = ("vmp", "ff")  # where there is no power to speak of there is no maximum to read them at
NOTHING = 1e-6  # volts, amperes or watts: less is what a solver leaves of zero


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
    short = {
        "array": _("Array"),
        "string": _("String {n}"),
        "module": _("Module {n}"),
        "substring": _("Substr. {n}"),
        "cell": _("Cell {n}"),
    }
    return short[level].format(n="" if level == "array" else getattr(place, level))


def level_entries(places: Mapping[Level, Place]) -> list[dict[str, str]]:
    """The five levels with the number of the part each one shows."""
    return [
        {"key": level, "label": level_name(level, places[level]), "title": describe_place(places[level])}
        for level in SHOWN_LEVELS
    ]


def point_parts(point: PowerPoint, scale: Characteristic) -> tuple[str, str, str]:
    """Voltage, current and power of a point, with digits that suit the part and the point."""
    triples = (
        (point.voltage_V, scale.voc_V, "V"),
        (point.current_A, scale.isc_A, "A"),
        (point.power_W, scale.mpp.power_W, "W"),
    )
    volts, amperes, watts = (
        format_fixed(value, unit, decimals=decimals_for(max(abs(value), abs(most))))
        for value, most, unit in triples
    )
    return volts, amperes, watts


def point_text(point: PowerPoint, scale: Characteristic) -> str:
    """Voltage, current and power of a point in one line."""
    return " · ".join(point_parts(point, scale))


def point_label(point: PowerPoint, scale: Characteristic, name: str = "") -> dict[str, Label]:
    """Labels of a point in the two figures, led by what it is."""
    name = f"{name}\u00a0" if name else ""
    volts, amperes, watts = point_parts(point, scale)
    return {"current": [[f"{name}{volts} · {amperes}", ""]], "power": [[f"{name}{watts}", ""]]}


def marks(curve: Characteristic, *, labelled: bool = True) -> list[dict[str, Any]]:
    """The key points of a curve with their labels, the most important first."""
    best = curve.mpp
    found: list[dict[str, Any]] = []
    if best.power_W > NOTHING:
        found.append(_mark("mpp", best, point_label(best, curve, _("MPP")), [0, 1, 4, 2, 3, 6, 7, 5]))
    isc = format_fixed(curve.isc_A, "A", decimals=decimals_for(abs(curve.isc_A)))
    voc = format_fixed(curve.voc_V, "V", decimals=decimals_for(abs(curve.voc_V)))
    at_isc = PowerPoint(voltage_V=0.0, current_A=curve.isc_A, power_W=0.0)
    at_voc = PowerPoint(voltage_V=curve.voc_V, current_A=0.0, power_W=0.0)
    found.append(_mark("isc", at_isc, {"current": [["I", ""], ["sc", "sub"], [f" {isc}", ""]]}, [2, 0, 6]))
    voc_label: Label = [[voltage_symbol(), ""], ["oc", "sub"], [f" {voc}", ""]]
    found.append(_mark("voc", at_voc, {"current": voc_label}, [1, 3, 7, 4]))
    for point in curve.mpps:
        if point != best:
            label = {"power": point_label(point, curve)["power"]}
            found.append(_mark("peak", point, label, [4, 1, 0, 5, 2, 3, 6, 7]))
    return found if labelled else [one | {"label": {}} for one in found]


def _mark(kind: str, point: PowerPoint, label: dict[str, Label], prefer: list[int]) -> dict[str, Any]:
    return {
        "kind": kind,
        "V": point.voltage_V,
        "I": point.current_A,
        "P": point.power_W,
        "label": label,
        "prefer": prefer,
        "must": kind == "mpp",
    }


def gap_shown(point: PowerPoint | None) -> dict[str, float] | None:
    """Where the earlier curve is named."""
    return None if point is None else {"V": point.voltage_V, "I": point.current_A, "P": point.power_W}


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
            **dict.fromkeys(("before", "change", "percent"), "–"),
        }
        if one.before is not None:
            delta = one.now - one.before
            still = abs(round(delta, one.decimals)) == 0.0
            row |= {
                "before": format_fixed(one.before, decimals=one.decimals),
                "change": format_fixed(delta, decimals=one.decimals, sign=True),
                "percent": "0" if still else relative_change(one.before, one.now, unit=""),
                "sign": 0 if still else (1 if delta > 0.0 else -1),
            }
        if one.key in OF_THE_MAXIMUM and (dead or was_dead):
            row |= dict.fromkeys(("change", "percent"), "–") | {"sign": 0}
            row |= {"now": "–"} if dead else {}
            row |= {"before": "–"} if was_dead else {}
        rows.append(row)
    return rows


def curve_sentence(
    place: Place, quantity: Quantity, now: Characteristic, before: Characteristic | None
) -> str:
    """What a figure shows, for those who cannot see it."""
    if quantity == "current":
        text = _("Current against voltage of {place}: short-circuit {isc}, open-circuit {voc}.")
        said = text.format(
            place=describe_place(place),
            isc=format_number(now.isc_A, "A"),
            voc=format_number(now.voc_V, "V"),
        )
    else:
        text = _("Power against voltage of {place}: greatest power {pmp} at {vmp}.")
        said = text.format(
            place=describe_place(place),
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
) -> dict[str, Any]:
    """The magnified difference: title, factor, greatest value, and all of it in one sentence."""
    unit = "A" if quantity == "current" else "W"
    symbol = "ΔI" if quantity == "current" else "ΔP"
    if change is None:
        title = _("no earlier curve to compare with")
        return {"title": title, "factor": "", "peak": None, "quantity": quantity, "spoken": title}
    times = _("same scale") if factor == 1.0 else "×" + format_fixed(factor)
    title = _("{symbol} = now − before, in {unit}").format(symbol=symbol, unit=unit)
    what = _("Difference of current") if quantity == "current" else _("Difference of power")
    peak = signed(change.peak, unit)
    at = format_number(change.peak_V, "V")
    spoken = _("{what} of {place}, now minus before, {times}: greatest {peak} at {at}.").format(
        what=what, place=place, times=times, peak=peak, at=at
    )
    label = [[_("{peak} at {at}").format(peak=peak, at=at), ""]]
    shown = {"V": change.peak_V, "value": change.peak, "label": label}
    return {
        "title": title,
        "factor": times,
        "magnified": factor != 1.0,
        "peak": shown if change.peak else None,
        "quantity": quantity,
        "spoken": spoken,
    }


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

