"""What `pvsim traced` says about a measured curve."""

from __future__ import annotations

import textwrap
from dataclasses import asdict
from typing import Any

from pvsim.commands.text import number, plural, table
from pvsim.numbers import format_percent
from pvsim.traced.columns import Proposal
from pvsim.traced.key_points import TracedPoints, key_points
from pvsim.traced.overlay import Overlay, is_of_another_part
from pvsim.traced.ranking import Ranking
from pvsim.traced.sentence import family_sentence, ranking_sentence, shape_sentence, share_text, size_text
from pvsim.traced.shape import EVIDENCE, TITLES, Deviation
from pvsim.traced.traced_curve import TracedCurve

__all__ = ["overlay_values", "recognised_values", "report_overlay", "report_recognised"]

_WIDTH = 100
FIGURES = (
    ("isc_A", "Isc", "A"),
    ("voc_V", "Voc", "V"),
    ("imp_A", "Imp", "A"),
    ("vmp_V", "Vmp", "V"),
    ("pmp_W", "Pmp", "W"),
    ("fill_factor", "FF", ""),
)


def report_recognised(name: str, found: Proposal, curve: TracedCurve) -> list[str]:
    """Lines for the terminal: the columns as they were read, what was left out, the key figures."""
    points = key_points(curve)
    figures = [(letter, number(getattr(points, key)), unit) for key, letter, unit in FIGURES]
    light, warmth = curve.irradiance_W_m2, curve.temperature_C
    return [
        name,
        "",
        "Columns",
        *table(("number", "heading", "read as", "unit", ""), _columns(found)),
        f"  {found.rows} rows, swept {found.direction or 'nowhere'}",
        *(
            f"  {plural(one.count, 'line')} {one.why}, from line {one.first_line} on"
            for one in found.left_out
        ),
        "  measured at "
        + (f"{number(light)} W/m2" if light is not None else "an irradiance that is not known")
        + " and "
        + (f"{number(warmth)} degrees C" if warmth is not None else "a temperature that is not known"),
        "",
        "Key figures as measured",
        *table(("", "measured", "unit"), figures),
    ]


def report_overlay(overlay: Overlay, ranking: Ranking) -> list[str]:
    """Lines for the terminal: the curve beside its model, the six classes, the faults."""
    found, modelled = overlay.beside.measured, overlay.beside.modelled
    laid = overlay.laid
    how = "translated" if overlay.correction is not None else "not translated"
    doubt = (
        _wrapped(
            "Open-circuit voltages are far apart: check the part, its module type, and the unit of voltage",
            "!",
        )
        if is_of_another_part(overlay)
        else []
    )
    return [
        "",
        f"Beside the model, at {number(laid.irradiance_W_m2 or 0.0)} W/m2 and "
        f"{number(laid.temperature_C or 0.0)} degrees C ({how})",
        *table(("", "measured", "model", "difference", "%", "unit"), _rows(found, modelled)),
        f"  current differs by {format_percent(overlay.beside.rms_of_isc)} of Isc, root mean square",
        *doubt,
        "",
        "Shape (* named)",
        *table(("", "evidence", "named from", ""), [_shape_row(one) for one in overlay.shapes.all]),
        *(line for one in overlay.shapes.all if one.named for line in _named(one)),
        "",
        "Faults, the likeliest first, at the light and temperature of the measurement",
        *_wrapped(ranking_sentence(ranking), " "),
        *table(
            ("", "likelihood", "misfit", ""),
            [
                (one.family.title, share_text(one.share), number(one.misfit), size_text(one))
                for one in ranking.ranked
            ],
        ),
        *_wrapped(f"{ranking.ranked[0].family.title}: {family_sentence(ranking.ranked[0].family.name)}", " "),
    ]


def recognised_values(found: Proposal, curve: TracedCurve) -> dict[str, Any]:
    """The columns and key figures for --json."""
    mapping = found.mapping
    return {
        "columns": [asdict(one) for one in found.columns],
        "read_as": {
            quantity: asdict(use)
            for quantity in ("voltage", "current", "irradiance", "temperature")
            if (use := getattr(mapping, quantity)) is not None
        },
        "layout": asdict(mapping.layout),
        "current_sign": mapping.current_sign,
        "rows": found.rows,
        "points": int(curve.voltage_V.size),
        "direction": found.direction,
        "left_out": [asdict(one) for one in found.left_out],
        "irradiance_W_m2": curve.irradiance_W_m2,
        "temperature_C": curve.temperature_C,
        "key_figures": asdict(key_points(curve)),
    }


def overlay_values(overlay: Overlay, ranking: Ranking) -> dict[str, Any]:
    """The curve beside its model, its shape and the ranking for --json."""
    return {
        "model": {
            "irradiance_W_m2": overlay.laid.irradiance_W_m2,
            "temperature_C": overlay.laid.temperature_C,
            "correction": asdict(overlay.correction) if overlay.correction is not None else None,
            "measured": asdict(overlay.beside.measured),
            "modelled": asdict(overlay.beside.modelled),
            "rms_of_isc": overlay.beside.rms_of_isc,
            "perhaps_another_part": is_of_another_part(overlay),
        },
        "shapes": [asdict(one) for one in overlay.shapes.all],
        "ranking": {
            "none_of_these": ranking.none_of_these,
            "most_misfit": ranking.most_misfit,
            "ranked": [
                {
                    "fault": one.family.name,
                    "title": one.family.title,
                    "share": one.share,
                    "size": one.size,
                    "size_name": one.family.size_name,
                    "misfit": one.misfit,
                    "sentence": family_sentence(one.family.name),
                }
                for one in ranking.ranked
            ],
        },
    }


def _columns(found: Proposal) -> list[tuple[str, ...]]:
    uses = {
        use.column: (quantity, use.unit)
        for quantity in ("voltage", "current", "irradiance", "temperature")
        if (use := getattr(found.mapping, quantity)) is not None
    }
    rows: list[tuple[str, ...]] = []
    for one in found.columns:
        quantity, unit = uses.get(one.number, ("not used", ""))
        assumed = "" if quantity == "not used" or (one.sure and one.quantity == quantity) else "assumed"
        rows.append((str(one.number), one.heading, quantity, unit, assumed))
    return rows


def _rows(found: TracedPoints, modelled: TracedPoints) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    for key, letter, unit in FIGURES:
        value, other = getattr(found, key), getattr(modelled, key)
        rows.append(
            (
                letter,
                number(value),
                number(other),
                f"{value - other:+.3f}",
                f"{100.0 * (value / other - 1.0):+.1f}",
                unit,
            )
        )
    return rows


def _shape_row(one: Deviation) -> tuple[str, ...]:
    return (TITLES[one.shape], f"{one.size:.4f}", f"{one.threshold:.4f}", "*" if one.named else "")


def _named(one: Deviation) -> list[str]:
    return _wrapped(f"{TITLES[one.shape]}: {EVIDENCE[one.shape]}. {shape_sentence(one.shape)}", "*")


def _wrapped(text: str, sign: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH, initial_indent=f"{sign} ", subsequent_indent="  ")
