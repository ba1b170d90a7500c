"""Solid things: their corners, and the sizes that cannot be."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.errors import SkyError
from pvsim.sky import Box, Parapet, Pole, TiltedRectangle
from pvsim.sky.solid import solid_corners

RIGHT = {
    Pole: {"x_m": 0.0, "y_m": 0.0, "radius_m": 0.1, "height_m": 3.0},
    Box: {"x_m": 0.0, "y_m": 0.0, "width_m": 1.0, "depth_m": 1.0, "height_m": 2.0},
    Parapet: {"x_m": 0.0, "y_m": 0.0, "to_x_m": 5.0, "to_y_m": 0.0, "thickness_m": 0.2, "height_m": 1.0},
    TiltedRectangle: {"x_m": 0.0, "y_m": 0.0, "width_m": 5.0, "slope_m": 2.0, "tilt_deg": 30.0},
}


@pytest.mark.parametrize("kind", list(RIGHT))
@pytest.mark.parametrize("foot_m", [-1.0, 0.0, 2.5])
def test_a_thing_stands_on_its_foot(kind, foot_m):
    corners, edges = solid_corners(kind(**RIGHT[kind], foot_m=foot_m))
    assert corners[:, 2].min() == foot_m
    height = RIGHT[kind].get("height_m", 2.0 * np.sin(np.radians(30.0)))
    assert corners[:, 2].max() == pytest.approx(foot_m + height)
    assert edges.max() == len(corners) - 1


@pytest.mark.parametrize(("kind", "faces"), [(Pole, 26), (Box, 6), (Parapet, 6)])
def test_corners_edges_and_faces_make_a_body(kind, faces):
    corners, edges = solid_corners(kind(**RIGHT[kind]))
    assert len(corners) - len(edges) + faces == 2  # L. Euler
    assert len({tuple(sorted(edge)) for edge in edges.tolist()}) == len(edges)


def test_a_box_turns_against_the_clock():
    corners = solid_corners(Box(x_m=1.0, y_m=2.0, width_m=4.0, depth_m=2.0, height_m=1.0, turn_deg=90.0))[0]
    assert corners[:, 0].min() == pytest.approx(0.0)
    assert corners[:, 0].max() == pytest.approx(2.0)
    assert np.ptp(corners[:, 1]) == pytest.approx(4.0)
    assert corners[0, :2] == pytest.approx([2.0, 0.0])  # once at the front on the left, now on the right


def test_a_parapet_runs_from_its_beginning_to_its_end():
    wall = Parapet(x_m=1.0, y_m=1.0, to_x_m=4.0, to_y_m=5.0, thickness_m=0.2, height_m=1.0)
    corners = solid_corners(wall)[0]
    ends = np.array([(1.0, 1.0), (4.0, 5.0)])
    for end in ends:
        assert np.hypot(*(corners[:, :2] - end).T).min() == pytest.approx(0.1)
    along = np.array([0.6, 0.8])
    assert np.ptp(corners[:, :2] @ along) == pytest.approx(5.0)


def test_a_tilted_rectangle_rises_away_from_its_front():
    corners = solid_corners(TiltedRectangle(**RIGHT[TiltedRectangle], turn_deg=0.0))[0]
    assert corners[:2] == pytest.approx(np.array([(-2.5, 0.0, 0.0), (2.5, 0.0, 0.0)]))
    assert corners[2:, 1:] == pytest.approx(np.array([(3.0**0.5, 1.0)] * 2))
    turned = solid_corners(TiltedRectangle(**RIGHT[TiltedRectangle], turn_deg=90.0))[0]
    assert turned[:2, 0] == pytest.approx([0.0, 0.0])
    assert (turned[2:, 0] < 0.0).all()  # what rose towards y now rises towards -x


@pytest.mark.parametrize(
    ("kind", "name"),
    [
        (Pole, "radius_m"), (Pole, "height_m"), (Box, "width_m"), (Box, "depth_m"), (Box, "height_m"),
        (Parapet, "thickness_m"), (Parapet, "height_m"), (TiltedRectangle, "slope_m"),
        (TiltedRectangle, "width_m"),
    ],
)  # fmt: skip
def test_sizes_of_nothing_or_less_are_refused_with_the_mend(kind, name):
    with pytest.raises(SkyError, match="Leave the minus out") as caught:
        kind(**{**RIGHT[kind], name: -1.0})
    assert name in caught.value.wrong
    with pytest.raises(SkyError, match="greater than 0"):
        kind(**{**RIGHT[kind], name: 0.0})
    with pytest.raises(SkyError, match=name):
        kind(**{**RIGHT[kind], name: float("nan")})


def test_a_wall_without_length_is_refused():
    with pytest.raises(SkyError, match="make a box"):
        Parapet(**{**RIGHT[Parapet], "to_x_m": 0.0})


def test_what_is_no_solid_is_refused():
    with pytest.raises(SkyError, match="a Pole, a Box"):
        solid_corners("a tree")
