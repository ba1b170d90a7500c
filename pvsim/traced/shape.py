"""The trade's six deviations of a measured curve's shape from the one expected, each with its evidence.

The classes are those of IEC 62446-1 (from memory). How each is told, and from when on, is pvsim's own: a
number for each, held against a least size that matters and against what noise alone would make of it. For
the latter the expected curve is measured again and again with the noise found on the curve.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from pvsim.circuit.floats import Floats
from pvsim.circuit.solution import Characteristic
from pvsim.errors import FileError
from pvsim.prompt import summary
from pvsim.traced.key_points import Noise, TracedPoints, key_points, noise_of
from pvsim.traced.residual import modelled_points, reaching
from pvsim.traced.traced_curve import LEAST_POINTS, TracedCurve
from pvsim.words import mark

Shape = Literal["steps", "low-current", "low-voltage", "rounder-knee", "slope-at-isc", "slope-at-voc"]
SHAPES: tuple[Shape, ...] = get_args(Shape)

# In English, marked to be translated when shown.
TITLES: dict[Shape, str] = {
    "steps": mark("steps in the curve"),
    "low-current": mark("low current"),
    "low-voltage": mark("low voltage"),
    "rounder-knee": mark("rounder knee"),
    "slope-at-isc": mark("steeper slope at short circuit"),
    "slope-at-voc": mark("less steep slope at open circuit"),
}
EVIDENCE: dict[Shape, str] = {
    "steps": mark("depth of the deepest dent below the curve's hull, as a share of Isc and Voc"),
    "low-current": mark("Isc missing, as a share of the Isc expected"),
    "low-voltage": mark("Voc missing, as a share of the Voc expected"),
    "rounder-knee": mark("fill factor missing beyond what both slopes take, as a share"),
    "slope-at-isc": mark("more slope −dI/dV at short circuit, in Isc/Voc"),
    "slope-at-voc": mark("more slope −dV/dI at open circuit, in Voc/Isc"),
}
# Least sizes that matter: below them tracers, sensors and a model differ without any fault. Reckoned, no
# source; current is the widest, since a light sensor errs by some per cent.
LEAST: dict[Shape, float] = {
    "steps": 0.025,
    "low-current": 0.03,
    "low-voltage": 0.015,
    "rounder-knee": 0.01,
    "slope-at-isc": 0.015,
    "slope-at-voc": 0.02,
}
SIGMAS = 4.5  # six classes, one of a hundred thousand each were all normal; their spread is itself estimated
_REPEATS = 32
_SEED = 60904  # one curve is judged in one way, whenever it is asked
_MOST = 200  # points; of more, neighbours are averaged
_SMOOTHED = 5  # points of the running median before steps are looked for


@dataclass(frozen=True, slots=True, kw_only=True)
class Deviation:
    """One of the six, as it is found on a curve.

    Parameters
    ----------
    shape : Shape
    size : float
        The evidence, in the terms of EVIDENCE: measured less expected.
    noise : float
        Standard deviation of the same evidence that the curve's noise alone makes.
    threshold : float
        From which size on it is named: the least that matters, or more where the curve is noisy.
    named : bool
        Whether it is. Beside steps no knee is named, for dents round it.
    """

    shape: Shape
    size: float
    noise: float
    threshold: float
    named: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Deviations:
    """All six, in the order of SHAPES, and the noise of the curve they were held against."""

    all: tuple[Deviation, ...]
    noise: Noise

    __repr__ = summary


def shape_deviations(curve: TracedCurve, expected: Characteristic) -> Deviations:
    """Name how a measured curve differs in shape from the one expected.

    Parameters
    ----------
    curve : TracedCurve
        At the light and temperature of the one expected, or translated to them.
    expected : Characteristic
        Of the same part in order, from the model.

    Raises
    ------
    FileError
        If one of the two is no curve from short to open circuit.
    """
    curve = thinned(curve, _MOST)
    found, modelled = key_points(curve), modelled_points(expected)
    noise = noise_of(curve)
    # The expected curve at the same shares of its Voc, so that fits over it err alike.
    V = curve.voltage_V * (modelled.voc_V / found.voc_V)
    I = reaching(expected, V)
    plain = TracedCurve(voltage_V=V, current_A=I)
    plain_points = key_points(plain)
    plain_dent = deepest_dent(plain, plain_points)
    rng = np.random.default_rng(_SEED)
    scale_I, scale_V = plain_points.isc_A / found.isc_A, plain_points.voc_V / found.voc_V
    rows = []
    for _repeat in range(_REPEATS):
        noisy = _noisy(V, I, noise.current_A * scale_I, noise.voltage_V * scale_V, rng)
        if noisy is not None:
            rows.append(_sizes(*noisy, plain, plain_points, plain_dent))
    healthy = np.array(rows)
    sizes = _sizes(curve, found, plain, plain_points, plain_dent)
    spread = healthy.std(axis=0, ddof=1) if len(rows) > 1 else np.zeros(len(SHAPES))
    middle = healthy.mean(axis=0) if rows else np.zeros(len(SHAPES))
    deviations: list[Deviation] = []
    for k, shape in enumerate(SHAPES):
        threshold = max(LEAST[shape], float(middle[k] + SIGMAS * spread[k]))
        named = bool(sizes[k] > threshold) and not (shape == "rounder-knee" and deviations[0].named)
        deviations.append(
            Deviation(
                shape=shape,
                size=float(sizes[k]),
                noise=float(spread[k]),
                threshold=threshold,
                named=named,
            )
        )
    return Deviations(all=tuple(deviations), noise=noise)


def thinned(curve: TracedCurve, most: int) -> TracedCurve:
    """A curve of at most so many points: neighbours averaged."""
    count = curve.voltage_V.size
    if count <= most:
        return curve
    starts = np.linspace(0, count, most + 1).astype(int)[:-1]
    sizes = np.diff(np.append(starts, count))
    return TracedCurve(
        voltage_V=np.add.reduceat(curve.voltage_V, starts) / sizes,
        current_A=np.add.reduceat(curve.current_A, starts) / sizes,
        irradiance_W_m2=curve.irradiance_W_m2,
        temperature_C=curve.temperature_C,
    )


def _noisy(
    V: Floats, I: Floats, dI: float, dV: float, rng: np.random.Generator
) -> tuple[TracedCurve, TracedPoints] | None:
    v = V + dV * rng.standard_normal(V.size)
    i = I + dI * rng.standard_normal(I.size)
    v, first = np.unique(v, return_index=True)
    if v.size < LEAST_POINTS:
        return None
    one = TracedCurve(voltage_V=v, current_A=i[first])
    try:
        return one, key_points(one)
    except FileError:  # too noisy to tell anything of this repeat
        return None


def _sizes(
    curve: TracedCurve, points: TracedPoints, plain: TracedCurve, expected: TracedPoints, dent: float
) -> Floats:
    """The six evidences of a curve against the expected one, whose dent is known, in the order of SHAPES."""
    shunt = _slope_at_isc(points) - _slope_at_isc(expected)
    series = _slope_at_voc(points) - _slope_at_voc(expected)
    fill = expected.fill_factor * _sloped(plain, expected, shunt, series)
    return np.array(
        [
            deepest_dent(curve, points) - dent,
            1.0 - points.isc_A / expected.isc_A,
            1.0 - points.voc_V / expected.voc_V,
            1.0 - points.fill_factor / fill,
            shunt,
            series,
        ]
    )


def _slope_at_isc(points: TracedPoints) -> float:
    return -points.slope_at_isc_A_per_V * points.voc_V / points.isc_A


def _slope_at_voc(points: TracedPoints) -> float:
    return -points.slope_at_voc_V_per_A * points.isc_A / points.voc_V


def _sloped(plain: TracedCurve, points: TracedPoints, shunt: float, series: float) -> float:
    """What is left of the fill factor of a curve when a shunt and a series resistance are added to it.

    Both in Isc/Voc and Voc/Isc; what they take of Isc and Voc themselves does not count.
    """
    v, i = plain.voltage_V / points.voc_V, plain.current_A / points.isc_A
    i2 = i - shunt * v
    v2 = v - series * i2
    order = np.argsort(v2, kind="stable")
    v2, i2 = v2[order], i2[order]
    isc = float(np.interp(0.0, v2, i2))
    falling = np.minimum.accumulate(i2)
    voc = float(np.interp(0.0, -falling, v2))
    before, after = float((v * i).max()), float((v2 * i2).max())
    return after / (before * isc * voc) if isc > 0.0 and voc > 0.0 and before > 0.0 and after > 0.0 else 1.0


def deepest_dent(curve: TracedCurve, points: TracedPoints) -> float:
    """How deep a curve dips below its concave hull, both axes as shares; a curve without steps is concave."""
    inside = (curve.voltage_V >= 0.0) & (curve.current_A >= 0.0)
    v, i = curve.voltage_V[inside] / points.voc_V, curve.current_A[inside] / points.isc_A
    if v.size < _SMOOTHED:
        return 0.0
    half = _SMOOTHED // 2
    window = np.lib.stride_tricks.sliding_window_view(i, _SMOOTHED)
    i = np.concatenate([i[:half], np.partition(window, half, axis=1)[:, half], i[-half:]])
    hull = np.array(_hull(v.tolist(), i.tolist()))
    hx, hy = v[hull], i[hull]
    at = np.clip(np.searchsorted(hx, v, side="right") - 1, 0, hx.size - 2)
    dx, dy = hx[at + 1] - hx[at], hy[at + 1] - hy[at]
    below = (dx * (hy[at] - i) - dy * (hx[at] - v)) / np.hypot(dx, dy)
    return float(below.max())


def _hull(x: list[float], y: list[float]) -> list[int]:
    """Which points, from left to right, lie on the concave hull."""
    hull: list[int] = []
    for c, (xc, yc) in enumerate(zip(x, y, strict=True)):
        while len(hull) > 1:
            a, b = hull[-2], hull[-1]
            # b stays if it lies above the line from a to c.
            if (x[b] - x[a]) * (yc - y[a]) < (xc - x[a]) * (y[b] - y[a]):
                break
            hull.pop()
        hull.append(c)
    return hull
