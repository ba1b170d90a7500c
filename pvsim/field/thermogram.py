"""A picture by an infrared camera: cells as warm as light, wind and their power make them, pixel by pixel.

What a pixel gets is radiation, so what lies in it counts by T^4 and by its share of the pixel. The glass
sends the share e of what its temperature would, and reflects the rest from surroundings as warm as the air;
the camera reckons back with the e that somebody set on it:

    T_seen^4 = (e T^4 + (1 - e) Ta^4 - (1 - e_set) Ta^4) / e_set

Limits: radiation over all wavelengths (a camera sees 8 to 14 um), seen from straight above, pixels with sharp
edges, no clouds and no camera in the glass. Cells as `pvsim.array.heat` has them: each evenly warm. Between
its cells a module is as warm as they are on average; the roof beside the modules is as warm as the air.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

import numpy as np

from pvsim.array.checks import finite
from pvsim.array.cooling import FRONT_EMISSIVITY
from pvsim.array.draw import evenly, word_of
from pvsim.array.heat import ZERO_CELSIUS_K
from pvsim.array.index import module_range
from pvsim.array.layout import cells_on_roof, roof_of
from pvsim.array.place import WHOLE_ARRAY, Place
from pvsim.array.solution import ArraySolution
from pvsim.circuit.floats import Floats
from pvsim.errors import ScenarioError
from pvsim.field.kit import CAMERA
from pvsim.field.meter import budget_of
from pvsim.field.reading import Asked, read_often
from pvsim.prompt import summary
from pvsim.words import _

__all__ = ["MOST_PIXELS", "USUAL_SETTINGS", "CameraSettings", "Thermogram", "take_thermogram"]

MOST_PIXELS = 1_000_000
_TAKEN = 2**20  # numbers of readings that one picture takes up: one a pixel
_GLASS = 4  # stream of the glass's own emissivity


@dataclass(frozen=True, slots=True, kw_only=True)
class CameraSettings:
    """How a camera is held and set.

    Parameters
    ----------
    pitch_m : float
        From one pixel to the next, on the module.
    emissivity : float
        As set on the camera.
    emissivity_limit : float
        How far the glass's own, FRONT_EMISSIVITY, may be off at the angle it is looked at: plus or minus,
        typical, from memory.
    margin_m : float
        Roof around the part that is looked at.
    """

    pitch_m: float = 0.03
    emissivity: float = FRONT_EMISSIVITY
    emissivity_limit: float = 0.05
    margin_m: float = 0.05

    def __post_init__(self) -> None:
        finite(self, "pitch_m", least=0.001, most=1.0)
        finite(self, "emissivity", least=0.1, most=1.0)
        finite(self, "emissivity_limit", least=0.0, most=0.1)
        finite(self, "margin_m", least=0.0, most=10.0)


USUAL_SETTINGS = CameraSettings()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Thermogram:
    """A picture.

    Parameters
    ----------
    temperature_C : (rows, columns)
        As shown; the end of the camera's range where a pixel is over it.
    over_range : (rows, columns)
        True where it is.
    left_m, top_m, pitch_m : float
        Of the first pixel's upper left corner on the roof, and from one to the next.
    uncertainty_K : float
        Standard uncertainty of the warmest pixel by itself.
    contrast_uncertainty_K : float
        Of the difference between two pixels: what is common to both, the camera's own error, is gone. The
        emissivity leaves its share of the difference between the warmest and the mean pixel.
    irradiance_W_m2, wind_m_s, air_C : float
        While it was taken, as the scenario has them.
    """

    temperature_C: Floats
    over_range: np.ndarray
    left_m: float
    top_m: float
    pitch_m: float
    uncertainty_K: float
    contrast_uncertainty_K: float
    irradiance_W_m2: float
    wind_m_s: float
    air_C: float

    __repr__ = summary


def take_thermogram(
    solution: ArraySolution,
    place: Place = WHOLE_ARRAY,
    *,
    serial: int,
    time_min: float = 0.0,
    number: int = 0,
    settings: CameraSettings = USUAL_SETTINGS,
) -> Thermogram:
    """A picture of a part of the array, and of all else in its frame.

    Parameters
    ----------
    place : Place
        Of any level; the frame holds the modules that it lies in.
    serial, time_min, number
        As of `read_meter`.

    Raises
    ------
    ScenarioError
        If the array does not have the place, or the picture would have more than MOST_PIXELS.
    """
    Asked(serial=serial, time_min=time_min, number=number)
    frame = _frame(solution, place, settings)
    weather = solution.scenario.weather
    air_K = weather.ambient_temperature_C + ZERO_CELSIUS_K
    T4 = _radiating(solution, frame, air_K)
    glass, limit = word_of("glass"), settings.emissivity_limit
    e = float(min(FRONT_EMISSIVITY + limit * evenly(serial, _GLASS, np.atleast_1d(glass))[0], 1.0))
    seen = _seen_K(T4, air_K, e, settings.emissivity)
    numbers = np.uint64(number) * np.uint64(_TAKEN) + np.arange(T4.size, dtype=np.uint64)
    shown = read_often(
        CAMERA, seen.ravel() - ZERO_CELSIUS_K, serial=serial, time_min=time_min, number=numbers
    )
    picture, over = shown.value.reshape(T4.shape), shown.over_range.reshape(T4.shape)
    known = budget_of(CAMERA, float(picture.max()), time_min)
    by_glass, by_mean = (_by_glass(np.array([one]), air_K, settings) for one in (T4.max(), T4.mean()))
    return Thermogram(
        temperature_C=picture,
        over_range=over,
        left_m=frame.left_m,
        top_m=frame.top_m,
        pitch_m=frame.pitch_m,
        uncertainty_K=float(np.hypot(known.combined, by_glass)),
        contrast_uncertainty_K=float(np.hypot(np.sqrt(2.0) * known.random, abs(by_glass - by_mean))),
        irradiance_W_m2=solution.scenario.light.irradiance_W_m2,
        wind_m_s=weather.wind_m_s,
        air_C=weather.ambient_temperature_C,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """The edges of a picture on the roof."""

    left_m: float
    top_m: float
    pitch_m: float
    rows: int
    columns: int


def _frame(solution: ArraySolution, place: Place, settings: CameraSettings) -> _Frame:
    first, last = module_range(solution.index, place)
    mine = roof_of(solution.scenario).rectangle[first:last]
    margin, pitch = settings.margin_m, settings.pitch_m
    left, top = mine[:, 0].min() - margin, mine[:, 1].min() - margin
    across, down = mine[:, 2].max() + margin - left, mine[:, 3].max() + margin - top
    rows, columns = max(ceil(down / pitch), 1), max(ceil(across / pitch), 1)
    if rows * columns > MOST_PIXELS:
        raise ScenarioError(
            _("the picture would have {count:,} pixels").format(count=rows * columns),
            expected=_("at most {most:,}").format(most=MOST_PIXELS),
            mend=_("Take a coarser pitch, or look at a smaller part"),
        )
    return _Frame(left_m=float(left), top_m=float(top), pitch_m=pitch, rows=rows, columns=columns)


def _seen_K(T4: Floats, air_K: float, e: float, e_set: float) -> Floats:
    """The temperature that the camera reckons from what it gets."""
    seen: Floats = np.maximum((e * T4 + (e_set - e) * air_K**4) / e_set, 0.0) ** 0.25
    return seen


def _by_glass(T4: Floats, air_K: float, settings: CameraSettings) -> float:
    """Standard uncertainty of one pixel for what is not known of the glass, in K."""
    limit, e_set = settings.emissivity_limit, settings.emissivity
    ends = (FRONT_EMISSIVITY - limit, min(FRONT_EMISSIVITY + limit, 1.0))
    low, high = (float(_seen_K(T4, air_K, e, e_set)[0]) for e in ends)
    return float(abs(high - low) / 2.0 / np.sqrt(3.0))


def _radiating(solution: ArraySolution, frame: _Frame, air_K: float) -> Floats:
    """T^4 of every pixel, by area; (rows, columns)."""
    index, roof = solution.index, roof_of(solution.scenario)
    modules = np.arange(len(roof.rectangle))
    T4 = solution.cells.steady_temperature_K**4
    counts = np.diff(index.cell_start)
    mean4 = np.add.reduceat(T4, index.cell_start[:-1]) / counts
    out = np.full((frame.rows, frame.columns), air_K**4)
    _lay(out, frame, roof.rectangle, mean4 - air_K**4)
    _lay(out, frame, cells_on_roof(roof, modules), T4 - np.repeat(mean4, counts))
    return out


def _lay(out: Floats, frame: _Frame, rectangles: Floats, values: Floats) -> None:
    """Add to each pixel the value of every rectangle by the share of the pixel that it covers."""
    scaled = (rectangles - np.array([frame.left_m, frame.top_m] * 2)) / frame.pitch_m
    left, top, right, bottom = np.clip(scaled, 0.0, np.array([frame.columns, frame.rows] * 2)).T
    inside = (right > left) & (bottom > top) & (values != 0.0)
    for k in np.flatnonzero(inside).tolist():
        across, x0 = _shares(left[k], right[k])
        down, y0 = _shares(top[k], bottom[k])
        out[y0 : y0 + len(down), x0 : x0 + len(across)] += values[k] * np.outer(down, across)


def _shares(start: float, stop: float) -> tuple[Floats, int]:
    """What of each pixel a line from `start` to `stop` covers, and the first one's number."""
    first, last = int(start), ceil(stop)
    edges = np.arange(first, last + 1)
    shares: Floats = np.diff(np.clip(edges, start, stop))
    return shares, first
