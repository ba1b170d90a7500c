"""The outlines of shadows on the roof, as polygons."""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np

from pvsim.array.layout import Roof, roof_of
from pvsim.array.light import Shadow
from pvsim.array.scenario import Scenario
from pvsim.circuit.floats import Floats

_t = np.linspace(0.0, 1.0, 13)
_bulge = 0.5 * np.sin(np.pi * _t) ** 0.8 * (1.0 + 0.25 * np.cos(np.pi * _t))
_bulge *= 0.5 / _bulge.max()

# Unit shapes in a square of side 1 about the origin, y down; a leaf with its tip below.
LEAF = np.concatenate([np.stack([_bulge, _t - 0.5], axis=1), np.stack([-_bulge, _t - 0.5], axis=1)[-2:0:-1]])
DROPPING = np.array(
    [
        (-0.10, -0.50), (0.14, -0.44), (0.22, -0.26), (0.42, -0.24), (0.50, -0.02), (0.36, 0.12),
        (0.38, 0.30), (0.20, 0.34), (0.12, 0.50), (0.00, 0.36), (-0.18, 0.40), (-0.26, 0.22),
        (-0.46, 0.18), (-0.50, -0.06), (-0.34, -0.18), (-0.32, -0.38),
    ]
)  # fmt: skip
RECTANGLE = np.array([(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)])

_SHAPES: dict[str, Floats] = {"leaf": LEAF, "dropping": DROPPING}


def shadow_outlines(scenario: Scenario, shadow: Shadow) -> tuple[Floats, ...]:
    """The outlines of one shadow on the roof.

    Parameters
    ----------
    shadow : Shadow
        Need not be one of the scenario's own.

    Returns
    -------
    tuple of (n, 2)
        Corners in m, roof coordinates, each polygon closed by its first corner. A "snow-edge"
        has one for each module, a "front-row" one for each row of modules, others have one.
        None when the shadow has no area.
    """
    if shadow.height_m == 0.0:
        return ()
    if shadow.kind in ("snow-edge", "front-row"):
        return tuple(_corners(*band) for band in bands(roof_of(scenario), shadow))
    if shadow.width_m == 0.0:
        return ()
    shape = _SHAPES.get(shadow.kind, RECTANGLE) * (shadow.width_m, shadow.height_m)
    angle = radians(shadow.angle_deg)
    # With y down, this matrix turns clockwise as seen.
    turn = np.array([[cos(angle), sin(angle)], [-sin(angle), cos(angle)]])
    return (shape @ turn + (shadow.x_m, shadow.y_m),)


def bands(roof: Roof, shadow: Shadow) -> list[tuple[float, float, float, float]]:
    """Left, top, right, bottom of each band of a "snow-edge" or a "front-row", in m."""
    left, top, right, bottom = roof.rectangle.T
    if shadow.kind == "snow-edge":
        edge = np.maximum(bottom - shadow.height_m, top)
        return [tuple(band) for band in np.stack([left, edge, right, bottom], axis=1).tolist()]
    out = []
    for row in np.unique(roof.row):
        mine = roof.row == row
        low, high = float(bottom[mine].max()), float(top[mine].min())
        out.append((float(left[mine].min()), max(low - shadow.height_m, high), float(right[mine].max()), low))
    return out


def _corners(left: float, top: float, right: float, bottom: float) -> Floats:
    return np.array([(left, top), (right, top), (right, bottom), (left, bottom)])
