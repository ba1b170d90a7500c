"""What came out, in plain values: the figure, tables, classes of deviation, faults in their order."""

from __future__ import annotations

from typing import Any

import numpy as np

from pvsim.app.traced.picture import MEASURED, MODEL, UNTRANSLATED, draw_overlay
from pvsim.app.traced.setting import Setting
from pvsim.app.words import _, mark
from pvsim.array.place import describe_place
from pvsim.files.figure.svg import write_inline_svg
from pvsim.numbers import MINUS, format_fixed, format_number, format_percent, format_setting, significant
from pvsim.traced.key_points import TracedPoints
from pvsim.traced.overlay import Overlay, is_of_another_part
from pvsim.traced.ranking import Ranked, Ranking
from pvsim.traced.sentence import (
    family_sentence,
    ranking_sentence,
    shape_sentence,
    share_text,
    size_text,
)
from pvsim.traced.shape import EVIDENCE, TITLES, Deviation
from pvsim.traced.translate import FirstCorrection

__all__ = ["key_figures", "laid_over", "ranked"]

Item = dict[str, Any]

MOST_ROWS = 40  # of the table behind the figure
# (field, symbol, unit)
FIGURES = (
    ("isc_A", mark("Isc"), "A"),
    ("voc_V", mark("Voc"), "V"),
    ("imp_A", mark("Imp"), "A"),
    ("vmp_V", mark("Vmp"), "V"),
    ("pmp_W", mark("Pmp"), "W"),
    ("fill_factor", mark("FF"), ""),
)
_CORRECTION = {
    "alpha_A_per_K": ("α", "A/K"),
    "beta_V_per_K": ("β", "V/K"),
    "alpha_per_K": ("α", "%/K"),
    "beta_per_K": ("β", "%/K"),
    "light_factor": ("a", ""),
    "series_resistance_ohm": ("Rs", "Ω"),
    "kappa_ohm_per_K": ("κ", "Ω/K"),
}


def laid_over(
    overlay: Overlay, setting: Setting, kinds: tuple[str, ...], *, width_px: float, large: bool
) -> Item:
    """A measured curve over the model's as static/traced/laid.js shows it.

    Parameters
    ----------
    overlay : Overlay
    setting : Setting
    kinds : tuple of str
        Titles of the module types in the part.
    width_px : float
        There is for the figure.
    large : bool
        Whether type is large.
    """
    drawing = draw_overlay(overlay, width_px=width_px, type_scale=1.4 if large else 1.0)
    at = _conditions(overlay.laid.irradiance_W_m2, overlay.laid.temperature_C)
    legend = [
        [MEASURED, _("measured")],
        [MODEL, _("model of {part}").format(part=describe_place(setting.place))],
    ]
    if overlay.correction is not None:
        was = _conditions(setting.irradiance_W_m2, setting.temperature_C)
        legend[0][1] = _("measured, translated")
        legend.append([UNTRANSLATED, _("as it was measured, at {conditions}").format(conditions=was)])
    return {
        "said": _said(overlay, setting, at),
        "doubt": _doubt(overlay, setting),
        "figure": write_inline_svg(drawing),
        "legend": legend,
        "points": _points_table(overlay),
        "figures": key_figures(overlay),
        "correction": _correction_table(overlay, kinds),
        "shapes": _shapes(overlay),
    }


def _conditions(irradiance_W_m2: float | None, temperature_C: float | None) -> str:
    light = format_setting(irradiance_W_m2 or 0.0, "W/m²")
    return f"{light}, {format_setting(temperature_C or 0.0, '°C')}"


def _said(overlay: Overlay, setting: Setting, at: str) -> str:
    found, modelled = overlay.beside.measured, overlay.beside.modelled
    return _(
        "At {conditions} {part} gives {measured}, its model {modelled} ({change}). Along the curve the "
        "current differs by {rms} of Isc in the root mean square."
    ).format(
        conditions=at,
        part=describe_place(setting.place),
        measured=format_number(found.pmp_W, "W"),
        modelled=format_number(modelled.pmp_W, "W"),
        change=format_percent(found.pmp_W / modelled.pmp_W - 1.0, sign=True),
        rms=format_percent(overlay.beside.rms_of_isc),
    )


def _doubt(overlay: Overlay, setting: Setting) -> str:
    """Why this may not be the part that was measured; nothing where it may well be."""
    if not is_of_another_part(overlay):
        return ""
    return _(
        "Open-circuit voltage was measured at {measured}, and the model of {part} has {modelled}: that is "
        "hardly the same part. Check the part, its module type and the unit of the voltage."
    ).format(
        measured=format_number(overlay.beside.measured.voc_V, "V"),
        part=describe_place(setting.place),
        modelled=format_number(overlay.beside.modelled.voc_V, "V"),
    )


def key_figures(overlay: Overlay) -> Item:
    """Key figures of both, with their differences."""
    found, modelled = overlay.beside.measured, overlay.beside.modelled
    return {
        "caption": _("Key figures, found in the same way on both curves"),
        "head": ["", _("Measured"), _("Model"), _("Difference"), "%"],
        "rows": [_figure_row(*one, found, modelled) for one in FIGURES],
    }


def _figure_row(field: str, symbol: str, unit: str, found: TracedPoints, modelled: TracedPoints) -> list[str]:
    value, other = getattr(found, field), getattr(modelled, field)
    decimals = 3 if not unit else 2 if other < 100.0 else 1
    return [
        f"{_(symbol)}, {unit}" if unit else _(symbol),
        format_fixed(value, decimals=decimals),
        format_fixed(other, decimals=decimals),
        format_fixed(value - other, decimals=decimals, sign=True),
        format_fixed(100.0 * (value / other - 1.0), decimals=1, sign=True),
    ]


def _points_table(overlay: Overlay) -> Item:
    """The points of the figure in numbers; of many, some."""
    beside, laid = overlay.beside, overlay.laid
    V = beside.voltage_V
    step = max(1, -(-V.size // MOST_ROWS))
    measured = np.interp(V, laid.voltage_V, laid.current_A)
    rows = [
        [
            format_fixed(float(V[k]), decimals=2),
            format_fixed(float(measured[k]), decimals=3),
            format_fixed(float(measured[k] - beside.residual_A[k]), decimals=3),
            format_fixed(float(beside.residual_A[k]), decimals=3, sign=True),
        ]
        for k in range(0, V.size, step)
    ]
    shown = _("{shown} of {count} points").format(shown=len(rows), count=V.size)
    return {
        "caption": _("Points of the figure ({shown})").format(shown=shown),
        "head": [_("Voltage, V"), _("Measured, A"), _("Model, A"), _("Difference, A")],
        "rows": rows,
    }


def _correction_table(overlay: Overlay, kinds: tuple[str, ...]) -> Item | None:
    """By which numbers the curve was translated, and where they are from."""
    by = overlay.correction
    if by is None:
        return None
    first = isinstance(by, FirstCorrection)
    rows = []
    for field in type(by).__dataclass_fields__:
        letter, unit = _CORRECTION[field]
        value = getattr(by, field) * (100.0 if unit == "%/K" else 1.0)
        rows.append([f"{letter}, {unit}" if unit else letter, significant(value, 4).replace("-", MINUS)])
    return {
        "caption": _("Translated by IEC 60891, procedure 1")
        if first
        else _("Translated by IEC 60891, procedure 2"),
        "head": ["", _("Value")],
        "rows": rows,
        "note": _(
            "Source: the model of this part as it stands on the bench, with module type {kinds}, solved at "
            "1000 and {dimmer} W/m² and at 25 and 55 °C. What a further fault does to the curve is moved "
            "along by them, which is not quite what light and temperature would do to it."
        ).format(kinds=", ".join(f"“{_(one)}”" for one in kinds), dimmer=800 if first else 500),
    }


def _shapes(overlay: Overlay) -> Item:
    named = [one for one in overlay.shapes.all if one.named]
    return {
        "caption": _("Six classes of deviation"),
        "said": _("Named: {names}.").format(names=", ".join(_(TITLES[one.shape]) for one in named))
        if named
        else _("None of the six classes is named: no evidence is above its threshold."),
        "head": [_("Class"), _("Evidence"), _("Named from"), ""],
        "rows": [_shape_row(one) for one in overlay.shapes.all],
    }


def _shape_row(one: Deviation) -> Item:
    shares = one.shape not in ("slope-at-isc", "slope-at-voc")

    def written(value: float) -> str:
        return format_percent(value) if shares else format_fixed(value, decimals=3)

    hidden = one.size > one.threshold and not one.named  # a dent rounds the knee too
    not_named = _("not beside steps") if hidden else _("not named")
    return {
        "title": _(TITLES[one.shape]),
        "size": written(one.size),
        "threshold": written(one.threshold),
        "named": one.named,
        "verdict": _("named") if one.named else not_named,
        "evidence": _(EVIDENCE[one.shape]),
        "sentence": shape_sentence(one.shape) if one.named else "",
    }


def ranked(found: Ranking) -> Item:
    """Faults in the order of their likelihood as static/traced/ranked.js shows them."""
    return {
        "said": ranking_sentence(found),
        "none": found.none_of_these,
        "rows": [_ranked_row(one, number, found) for number, one in enumerate(found.ranked)],
    }


def _ranked_row(one: Ranked, number: int, found: Ranking) -> Item:
    places = (_("likeliest"), _("runner-up"))
    return {
        "title": _(one.family.title),
        "share": share_text(one.share),
        "part": one.share,
        "rank": places[number] if number < len(places) else "",
        "size": size_text(one),
        "misfit": _("misfit {misfit}").format(misfit=significant(one.misfit, 3)),
        "fits": one.misfit <= found.most_misfit,
        "sentence": family_sentence(one.family.name),
        "plants": one.family.name != "healthy",
    }
