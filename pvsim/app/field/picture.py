"""The last infrared picture, as the desk draws it: shades between its coldest and its warmest pixel."""

from __future__ import annotations

from base64 import b64encode
from math import ceil
from typing import Any

import numpy as np

from pvsim.app.session.field_work import FieldWork
from pvsim.app.words import _
from pvsim.array.place import describe_place
from pvsim.circuit.floats import Floats
from pvsim.field.meter import COVERAGE
from pvsim.field.thermogram import USUAL_SETTINGS, Thermogram
from pvsim.numbers import format_fixed

__all__ = ["picture_values"]

_RIM = 0.12  # of the modules' pixels may lie half beside them
_BELOW, _LEAST_BELOW_K = 0.3, 2.0  # where the colours begin, below what most pixels show


def picture_values(work: FieldWork) -> dict[str, Any]:
    """The picture of the last line that took one; {} where none has.

    Returns
    -------
    dict
        `shades`, base64 of one byte a pixel, row by row from the top left; `rows`, `columns`; `least` and
        `most`, the temperatures of 0 and 255, in degrees C: what is colder is 0 as well; texts `said`,
        `where` and `about`.
    """
    if work.picture is None or not isinstance(picture := work.picture.shown, Thermogram):
        return {}
    seen = picture.temperature_C
    least, most = _span_C(picture)
    shades = np.round(np.clip((seen - least) / (most - least), 0.0, 1.0) * 255.0).astype(np.uint8)
    return {
        "shades": b64encode(shades.tobytes()).decode("ascii"),
        "rows": seen.shape[0],
        "columns": seen.shape[1],
        "least": round(least, 1),
        "most": round(most, 1),
        "where": describe_place(work.picture.place),
        "said": _("warmest pixel {most}, on average {mean}").format(
            most=format_fixed(most, "°C", decimals=1),
            mean=format_fixed(float(_of_modules(picture).mean()), "°C", decimals=1),
        ),
        "about": _(
            "air {air}, wind {wind}, {light}; the picture as a whole ±{whole}, "
            "from pixel to pixel ±{contrast}"
        ).format(
            air=format_fixed(picture.air_C, "°C"),
            wind=format_fixed(picture.wind_m_s, "m/s", decimals=1),
            light=format_fixed(picture.irradiance_W_m2, "W/m²"),
            whole=format_fixed(COVERAGE * picture.uncertainty_K, "K", decimals=1),
            contrast=format_fixed(COVERAGE * picture.contrast_uncertainty_K, "K", decimals=1),
        ),
    }


def _of_modules(picture: Thermogram) -> Floats:
    """Pixels of what was looked at: without the margin, nearer to the warmest than to the air."""
    rim = ceil(USUAL_SETTINGS.margin_m / picture.pitch_m)
    seen = picture.temperature_C[rim:-rim, rim:-rim]
    warm: Floats = seen[seen >= 0.5 * (seen.max() + min(picture.air_C, float(seen.min())))]
    return warm


def _span_C(picture: Thermogram) -> tuple[float, float]:
    """Of the colours: round what most of the modules show, never so narrow that noise looks like more."""
    mine = _of_modules(picture)
    most, usual = float(mine.max()), float(np.median(mine))
    # A module in less light is colder than most, and is to be seen as well.
    coldest = float(np.quantile(mine, _RIM)) - 0.5 * _LEAST_BELOW_K
    return min(usual - max(_BELOW * (most - usual), _LEAST_BELOW_K), coldest), most
