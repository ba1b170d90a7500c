"""What an infrared picture tells in a search: how much warmer the warmest cell is than its module.

A cell counts with the mean of the pixels that lie in it altogether. What is common to a module, its own
warmth, the air and the camera's error, is gone from the difference; left are noise and what is not known of
the glass.

Contrasts are foreseen on a scale that is even for small ones and logarithmic for large ones: how warm a cell
gets that turns round is known by its order alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, sqrt

import numpy as np

from pvsim.array.cooling import FRONT_EMISSIVITY
from pvsim.array.index import module_range
from pvsim.array.layout import cells_on_roof, roof_of
from pvsim.array.place import Place
from pvsim.array.solution import ArraySolution
from pvsim.circuit.floats import Floats
from pvsim.field.kit import CAMERA
from pvsim.field.meter import budget_of
from pvsim.field.reading import Reading
from pvsim.field.thermogram import USUAL_SETTINGS, Thermogram, take_thermogram
from pvsim.prompt import summary

__all__ = [
    "Contrast",
    "contrast_from",
    "contrast_slope",
    "contrast_told",
    "contrast_uncertainties_K",
    "contrast_uncertainty_K",
    "contrasts_of",
    "true_contrasts_K",
]

_EVEN_K = 0.5  # up to where the scale is even; some times what noise is


@dataclass(frozen=True, slots=True, kw_only=True)
class Contrast:
    """The warmest cell of a part, less the mean of all cells of its module.

    Parameters
    ----------
    place : Place
        A module where a string was looked at, a substring where a module was.
    reading : Reading
        In kelvin, though the camera's unit is written with it.
    """

    place: Place
    reading: Reading

    __repr__ = summary


def contrasts_of(
    solution: ArraySolution, place: Place, *, serial: int, time_min: float, number: int
) -> tuple[Contrast, ...]:
    """What a picture of a string or a module tells; the picture is that of `take_thermogram`.

    Parameters
    ----------
    serial, time_min, number
        As of `take_thermogram`.

    Raises
    ------
    ScenarioError
        If the array, as built, does not have the place.
    """
    picture = take_thermogram(solution, place, serial=serial, time_min=time_min, number=number)
    cells_C = _cells_C(solution, place, picture)
    return tuple(
        Contrast(
            place=part,
            reading=Reading(
                value=round(value, 2),
                unit=CAMERA.unit,
                standard_uncertainty=contrast_uncertainty_K(value),
                range_most=CAMERA.ranges[-1].most,
            ),
        )
        for part, value in _contrasts(solution, place, cells_C)
    )


def true_contrasts_K(solution: ArraySolution, place: Place) -> tuple[tuple[Place, float], ...]:
    """The same of the cells themselves: no camera, no glass."""
    first, last = module_range(solution.index, place)
    start = solution.index.cell_start
    return tuple(_contrasts(solution, place, solution.cells.steady_temperature_K[start[first] : start[last]]))


def contrast_uncertainty_K(value: float) -> float:
    """Standard uncertainty of a contrast, by noise of both its ends and by what is not known of the glass.

    To first order a contrast is off by the share that the glass's emissivity is.
    """
    glass = USUAL_SETTINGS.emissivity_limit / FRONT_EMISSIVITY / sqrt(3.0)
    return hypot(sqrt(2.0) * budget_of(CAMERA, value).random, glass * value)


def contrast_uncertainties_K(values: Floats) -> Floats:
    """As `contrast_uncertainty_K`, of many contrasts; the camera has one range, and its noise is that."""
    glass = USUAL_SETTINGS.emissivity_limit / FRONT_EMISSIVITY / sqrt(3.0)
    found: Floats = np.hypot(contrast_uncertainty_K(0.0), glass * values)
    return found


def contrast_told(values_K: Floats) -> Floats:
    """Contrasts on the scale that they are foreseen on."""
    told: Floats = np.arcsinh(np.asarray(values_K) / _EVEN_K)
    return told


def contrast_from(told: Floats) -> Floats:
    """Contrasts in kelvin, from what `contrast_told` gives."""
    values: Floats = _EVEN_K * np.sinh(told)
    return values


def contrast_slope(values_K: Floats) -> Floats:
    """How much more a contrast is told as with each kelvin; for uncertainties."""
    slope: Floats = 1.0 / np.hypot(_EVEN_K, values_K)
    return slope


def _contrasts(solution: ArraySolution, place: Place, cells: Floats) -> list[tuple[Place, float]]:
    """Of each module of a string, or of each substring of a module; `cells` are those of the place."""
    index = solution.index
    first, last = module_range(index, place)
    begin = int(index.cell_start[first])
    out = []
    for m in range(first, last):
        mine = cells[int(index.cell_start[m]) - begin : int(index.cell_start[m + 1]) - begin]
        at = Place(place.string, m - first + 1) if place.module is None else place
        if place.module is None:
            out.append((at, float(mine.max() - mine.mean())))
            continue
        edges = index.kinds[index.module_kind[m]].substring_start
        for part in range(len(edges) - 1):
            warmest = mine[edges[part] : edges[part + 1]].max()
            out.append((Place(at.string, at.module, substring=part + 1), float(warmest - mine.mean())))
    return out


def _cells_C(solution: ArraySolution, place: Place, picture: Thermogram) -> Floats:
    first, last = module_range(solution.index, place)
    boxes = cells_on_roof(roof_of(solution.scenario), np.arange(first, last))
    corner = np.array([picture.left_m, picture.top_m] * 2)
    edges = (boxes - corner) / picture.pitch_m
    pixels = np.hstack([np.ceil(edges[:, :2] - 1e-9), np.floor(edges[:, 2:] + 1e-9)]).astype(int)
    shown = picture.temperature_C
    return np.array([float(shown[top:bottom, left:right].mean()) for left, top, right, bottom in pixels])
