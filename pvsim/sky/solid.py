"""Solid things that throw shadows: what they are, and their corners and edges.

In site coordinates, in m: x to the right, y away, z up, for somebody who looks at what the coordinates face
(`sun_vectors`). Angles in the ground plan turn against the clock as seen from above.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvsim.sky.checks import above_zero, finite, refuse
from pvsim.sky.floats import Floats
from pvsim.words import _

FARTHEST_m = 1e4
LARGEST_m = 1e3
SIDES = 24  # of the prism that stands for a pole


@dataclass(frozen=True, slots=True, kw_only=True)
class Pole:
    """An upright cylinder: a pole, an antenna's mast, a vent pipe.

    Parameters
    ----------
    x_m, y_m : float
        Its axis.
    radius_m, height_m : float
    foot_m : float
        z of its lower end. What of it is below a plane throws no shadow there.
    """

    x_m: float
    y_m: float
    radius_m: float
    height_m: float
    foot_m: float = 0.0

    def __post_init__(self) -> None:
        _place(self)
        _sizes(self, "radius_m", "height_m")


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """An upright box: a chimney, a lift's head, a tank.

    Parameters
    ----------
    x_m, y_m : float
        The middle of its ground plan.
    width_m, depth_m, height_m : float
        Along x and y before it is turned; upwards.
    foot_m : float
        z of its lower end.
    turn_deg : float
        -360 to 360.
    """

    x_m: float
    y_m: float
    width_m: float
    depth_m: float
    height_m: float
    foot_m: float = 0.0
    turn_deg: float = 0.0

    def __post_init__(self) -> None:
        _place(self)
        _sizes(self, "width_m", "depth_m", "height_m")
        finite(self, "turn_deg", least=-360.0, most=360.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Parapet:
    """A long low wall with a straight middle line.

    Parameters
    ----------
    x_m, y_m, to_x_m, to_y_m : float
        Where its middle line begins and ends.
    thickness_m, height_m : float
    foot_m : float
        z of its lower end.
    """

    x_m: float
    y_m: float
    to_x_m: float
    to_y_m: float
    thickness_m: float
    height_m: float
    foot_m: float = 0.0

    def __post_init__(self) -> None:
        _place(self)
        finite(self, "to_x_m", least=-FARTHEST_m, most=FARTHEST_m)
        finite(self, "to_y_m", least=-FARTHEST_m, most=FARTHEST_m)
        _sizes(self, "thickness_m", "height_m")
        if (self.x_m, self.y_m) == (self.to_x_m, self.to_y_m):
            refuse(
                "to_x_m, to_y_m",
                (self.to_x_m, self.to_y_m),
                _("another point than the one where the wall begins"),
                _("Of something as long as it is thick make a box"),
                of=_("parapet"),
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class TiltedRectangle:
    """A flat thing that leans back: a row of modules in front, a sign, a dormer's roof.

    Parameters
    ----------
    x_m, y_m : float
        The middle of its lower edge, seen from above.
    width_m : float
        Of the lower edge, along x before it is turned.
    slope_m : float
        From the lower edge to the upper one, along the thing, towards y before it is turned.
    tilt_deg : float
        0 to 90, from the horizontal.
    foot_m : float
        z of the lower edge.
    turn_deg : float
        -360 to 360.
    """

    x_m: float
    y_m: float
    width_m: float
    slope_m: float
    tilt_deg: float
    foot_m: float = 0.0
    turn_deg: float = 0.0

    def __post_init__(self) -> None:
        _place(self)
        _sizes(self, "width_m", "slope_m")
        finite(self, "tilt_deg", least=0.0, most=90.0)
        finite(self, "turn_deg", least=-360.0, most=360.0)


Solid = Pole | Box | Parapet | TiltedRectangle


def solid_corners(solid: Solid) -> tuple[Floats, NDArray[np.intp]]:
    """The corners of a solid thing, and which of them edges join.

    Parameters
    ----------
    solid : Pole, Box, Parapet or TiltedRectangle

    Returns
    -------
    (corners, 3), (edges, 2)
        Site coordinates in m; numbers of corners from 0. The thing is their convex hull. A pole is a prism of
        SIDES sides, as far round as the pole, so that seen from all sides it is on the average as wide.

    Raises
    ------
    SkyError
        If it is none of the four.
    """
    if not isinstance(solid, Solid):
        refuse("solid", solid, _("a Pole, a Box, a Parapet or a TiltedRectangle"))
    middle = np.array([solid.x_m, solid.y_m])
    if isinstance(solid, Pole):
        turn = 2.0 * np.pi * np.arange(SIDES) / SIDES
        radius = solid.radius_m * (np.pi / SIDES) / np.sin(np.pi / SIDES)
        plan = radius * np.stack([np.cos(turn), np.sin(turn)], axis=1)
        return _prism(middle + plan, solid.foot_m, solid.height_m)
    if isinstance(solid, Box):
        plan = _rectangle(solid.width_m, solid.depth_m, np.radians(solid.turn_deg))
        return _prism(middle + plan, solid.foot_m, solid.height_m)
    if isinstance(solid, Parapet):
        end = np.array([solid.to_x_m, solid.to_y_m])
        along = end - middle
        plan = _rectangle(float(np.hypot(*along)), solid.thickness_m, float(np.arctan2(along[1], along[0])))
        return _prism((middle + end) / 2.0 + plan, solid.foot_m, solid.height_m)
    b, turned = np.radians(solid.tilt_deg), float(np.radians(solid.turn_deg))
    depth = solid.slope_m * np.cos(b)
    back = np.array([-np.sin(turned), np.cos(turned)]) * depth / 2.0
    plan = middle + back + _rectangle(solid.width_m, depth, turned)
    z = solid.foot_m + np.array([0.0, 0.0, 1.0, 1.0]) * solid.slope_m * np.sin(b)
    return np.column_stack([plan, z]), _ring(4)


def _place(solid: Solid) -> None:
    for name in ("x_m", "y_m", "foot_m"):
        finite(solid, name, least=-FARTHEST_m, most=FARTHEST_m)


def _sizes(solid: Solid, *names: str) -> None:
    for name in names:
        above_zero(solid, name, most=LARGEST_m)


def _rectangle(width: float, depth: float, turn_rad: float) -> Floats:
    """Corners about the origin, against the clock from the one at the front on the left."""
    corners = np.array([(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)]) * (width, depth)
    c, s = np.cos(turn_rad), np.sin(turn_rad)
    turned: Floats = corners @ np.array([[c, s], [-s, c]])
    return turned


def _prism(plan: Floats, foot: float, height: float) -> tuple[Floats, NDArray[np.intp]]:
    n = len(plan)
    lower = np.column_stack([plan, np.full(n, foot)])
    upper = np.column_stack([plan, np.full(n, foot + height)])
    ring = _ring(n)
    walls = np.stack([np.arange(n), np.arange(n) + n], axis=1)
    return np.concatenate([lower, upper]), np.concatenate([ring, ring + n, walls])


def _ring(n: int) -> NDArray[np.intp]:
    return np.stack([np.arange(n), (np.arange(n) + 1) % n], axis=1).astype(np.intp)
