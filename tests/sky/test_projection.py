"""Shadows: elementary trigonometry, and rays that are traced towards the sun one by one."""

from __future__ import annotations

from math import cos, pi, radians, sin, tan

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pvsim.errors import SkyError
from pvsim.sky import (
    Box,
    Parapet,
    Plane,
    Pole,
    TiltedRectangle,
    plane_axes,
    shadow_polygons,
    sun_times,
    sun_vectors,
)
from tests.sky.samples import HARBOUR, MIDSUMMER, SPRING, whole_day

GROUND = Plane(tilt_deg=0.0, azimuth_deg=180.0)

small = st.floats(0.1, 3.0)
place = st.floats(-4.0, 4.0)
solids = st.one_of(
    st.builds(Pole, x_m=place, y_m=place, radius_m=st.floats(0.05, 1.0), height_m=small, foot_m=place),
    st.builds(
        Box, x_m=place, y_m=place, width_m=small, depth_m=small, height_m=small, foot_m=place,
        turn_deg=st.floats(-360, 360),
    ),
    st.builds(
        Parapet, x_m=place, y_m=place, to_x_m=st.floats(5, 9), to_y_m=place, thickness_m=st.floats(0.1, 1.0),
        height_m=small, foot_m=place,
    ),
    st.builds(
        TiltedRectangle, x_m=place, y_m=place, width_m=small, slope_m=small, tilt_deg=st.floats(0, 90),
        foot_m=place, turn_deg=st.floats(-360, 360),
    ),
)  # fmt: skip
planes = st.builds(
    Plane,
    tilt_deg=st.floats(0, 90),
    azimuth_deg=st.floats(0, 360),
    origin_m=st.tuples(place, place, st.floats(-2, 2)),
)


def area(polygon):
    x, y = polygon.T
    return 0.5 * float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))


def inside_by(polygon, points):
    """How far points are inside a convex polygon, in m; outside negative."""
    start, along = polygon, np.roll(polygon, -1, axis=0) - polygon
    way = points[:, None, :] - start
    return ((along[:, 0] * way[..., 1] - along[:, 1] * way[..., 0]) / np.hypot(*along.T)).min(axis=1)


def clearance(solid, points, sun):
    """How near rays from points towards the sun pass into a solid, by sampling the rays; positive inside.

    Asks only what each thing is by definition: a distance from an axis, coordinates along its edges.
    """
    if isinstance(solid, TiltedRectangle):
        turn, b = radians(solid.turn_deg), radians(solid.tilt_deg)
        x = np.array([cos(turn), sin(turn), 0.0])
        up = np.array([-sin(turn) * cos(b), cos(turn) * cos(b), sin(b)])
        normal = np.cross(x, up)
        foot = np.array([solid.x_m, solid.y_m, solid.foot_m])
        t = ((foot - points) @ normal) / (sun @ normal)
        hit = points + t[:, None] * sun - foot
        edges = [solid.width_m / 2.0 - np.abs(hit @ x), hit @ up, solid.slope_m - hit @ up, t]
        return np.min(edges, axis=0)
    # Only where the ray is as high as the thing, from the plane on.
    top = solid.foot_m + solid.height_m
    first, last = (np.maximum((z - points[:, 2]) / sun[2], 0.0) for z in (solid.foot_m, top))
    t = np.linspace(first, last, 2001, axis=1)
    ray = points[:, None, :] + t[..., None] * sun
    low, high = ray[..., 2] - solid.foot_m, solid.foot_m + solid.height_m - ray[..., 2]
    if isinstance(solid, Pole):
        aside = solid.radius_m - np.hypot(ray[..., 0] - solid.x_m, ray[..., 1] - solid.y_m)
        return np.min([low, high, aside], axis=0).max(axis=1)
    if isinstance(solid, Parapet):
        start, end = np.array([solid.x_m, solid.y_m]), np.array([solid.to_x_m, solid.to_y_m])
        middle, along, depth = (start + end) / 2.0, end - start, solid.thickness_m
        width = float(np.hypot(*along))
        along = along / width
    else:
        turn = radians(solid.turn_deg)
        middle, along = np.array([solid.x_m, solid.y_m]), np.array([cos(turn), sin(turn)])
        width, depth = solid.width_m, solid.depth_m
    off = ray[..., :2] - middle
    aside = width / 2.0 - np.abs(off @ along)
    ahead = depth / 2.0 - np.abs(off @ np.array([-along[1], along[0]]))
    return np.min([low, high, aside, ahead], axis=0).max(axis=1)


@given(solids, planes, st.floats(5, 85), st.floats(0, 360), st.integers(0, 2**32 - 1))
def test_a_point_is_in_the_shadow_where_its_ray_meets_the_thing(solid, plane, zenith, azimuth, seed):
    sun = sun_vectors(zenith, azimuth)
    axes = plane_axes(plane)
    assume(axes[2] @ sun[0] > 0.1)
    (polygon,) = shadow_polygons(solid, plane, sun)
    rng = np.random.default_rng(seed)
    if len(polygon):
        low, high = polygon.min(axis=0) - 0.5, polygon.max(axis=0) + 0.5
        points = rng.uniform(low, high, (60, 2))
        inside = inside_by(polygon, points)
    else:
        points = rng.uniform(-8.0, 8.0, (60, 2))
        inside = np.full(60, -1.0)
    in_space = np.array(plane.origin_m) + points @ axes[:2]
    met = clearance(solid, in_space, sun[0])
    # A pole is a prism there, at the most 0.9 % off its radius; rays are sampled at least every 17 mm.
    edge = 0.03
    assert (met[inside > edge] > -0.01).all()
    assert (met[inside < -edge] < 0.01).all()


@pytest.mark.parametrize("day", [MIDSUMMER, SPRING])
def test_at_noon_a_poles_shadow_on_flat_ground_is_its_height_over_the_tangent(day):
    sun = whole_day(HARBOUR, day)
    k = int(np.argmin(np.abs(sun.clock_h - sun_times(HARBOUR, day).noon_h)))
    pole = Pole(x_m=0.0, y_m=0.0, radius_m=0.05, height_m=3.0)
    elevation = radians(90.0 - sun.apparent_zenith_deg[k])
    vector = sun_vectors(sun.apparent_zenith_deg[k], sun.azimuth_deg[k])
    (polygon,) = shadow_polygons(pole, GROUND, vector)
    # On flat ground y runs down, that is towards the south; the shadow falls to the north.
    along = np.hypot(*polygon.T).max()
    assert along == pytest.approx(3.0 / tan(elevation) + 0.05, rel=2e-3)
    assert polygon[:, 1].min() == pytest.approx(-3.0 / tan(elevation) - 0.05, rel=2e-3)
    assert np.ptp(polygon[:, 0]) < 0.1 + 3.0 / tan(elevation) * 0.05  # within the 5 minutes from noon


def test_a_pole_over_a_tilted_roof_throws_the_shadow_that_trigonometry_says():
    # In the plane of the sun at noon: a pole of height h on a roof tilted by b, the sun at elevation e in
    # front of it. Law of sines in the triangle of pole, ray and roof: l = h sin(90 - e) / sin(e + b).
    b, e, h = radians(25.0), radians(40.0), 2.0
    plane = Plane(tilt_deg=25.0, azimuth_deg=180.0)
    (polygon,) = shadow_polygons(
        Pole(x_m=0.0, y_m=0.0, radius_m=0.01, height_m=h), plane, sun_vectors(50.0, 180.0)
    )
    assert -polygon[:, 1].min() == pytest.approx(h * cos(e) / sin(e + b), abs=0.02)


def test_the_area_of_a_boxs_shadow_is_that_of_its_top_and_its_walls():
    # On flat ground, the sun square to a wall: depth x width from the top, width x height / tan(elevation)
    # from the wall (elementary).
    box = Box(x_m=1.0, y_m=2.0, width_m=2.0, depth_m=1.0, height_m=3.0)
    (polygon,) = shadow_polygons(box, GROUND, sun_vectors(60.0, 180.0))
    assert area(polygon) == pytest.approx(2.0 * 1.0 + 2.0 * 3.0 / tan(radians(30.0)))


@given(st.floats(0, 360), st.floats(20, 80))
def test_a_pole_is_as_wide_from_all_sides(azimuth, zenith):
    pole = Pole(x_m=0.0, y_m=0.0, radius_m=0.5, height_m=2.0)
    (polygon,) = shadow_polygons(pole, GROUND, sun_vectors(zenith, azimuth))
    exact = pi * 0.25 + 2.0 * 0.5 * 2.0 * tan(radians(zenith))  # the rim, and a strip as wide as the pole
    assert area(polygon) == pytest.approx(exact, rel=0.01)


def test_a_row_in_front_shades_the_lower_part_of_the_row_behind():
    # Rows of 2 m, 30 degrees, 4 m apart, the sun in front at 15 degrees: the ray over the upper edge of
    # the first (at depth 2 cos 30 and height 1) meets the second's plane at the height s sin 30 with
    # 1 - tan 15 (4 + s cos 30 - 2 cos 30) = s sin 30.
    plane = Plane(tilt_deg=30.0, azimuth_deg=180.0, origin_m=(-5.0, 2.0 * cos(radians(30)), 1.0))
    front = TiltedRectangle(x_m=0.0, y_m=-4.0, width_m=20.0, slope_m=2.0, tilt_deg=30.0)
    (polygon,) = shadow_polygons(front, plane, sun_vectors(75.0, 180.0))
    t, c, s = tan(radians(15)), cos(radians(30)), sin(radians(30))
    shaded = (1.0 - t * (4.0 - 2.0 * c)) / (s + t * c)
    assert polygon[:, 1].min() == pytest.approx(2.0 - shaded)
    assert polygon[:, 1].max() > 2.0  # from there the shadow goes on below the row
    assert np.ptp(polygon[:, 0]) == pytest.approx(20.0)
    assert polygon[:, 0].min() == pytest.approx(-5.0)


def test_only_what_is_in_front_of_the_plane_throws_a_shadow():
    roof = Plane(tilt_deg=30.0, azimuth_deg=180.0)
    sun = sun_vectors(50.0, 180.0)
    below = Box(x_m=0.0, y_m=0.0, width_m=1.0, depth_m=1.0, height_m=1.0, foot_m=-5.0)
    assert [one.shape for one in shadow_polygons(below, roof, sun)] == [(0, 2)]
    # A chimney whose foot is deep in the house throws the shadow of what looks out of the roof.
    deep = Box(x_m=0.0, y_m=-2.0, width_m=1.0, depth_m=1.0, height_m=9.0, foot_m=-8.0)
    higher = Box(x_m=0.0, y_m=-2.0, width_m=1.0, depth_m=1.0, height_m=4.0, foot_m=-3.0)
    a, b = shadow_polygons(deep, roof, sun)[0], shadow_polygons(higher, roof, sun)[0]
    assert a == pytest.approx(b)


def test_there_is_no_shadow_by_night_nor_with_the_sun_behind():
    sun = whole_day()
    vectors = sun_vectors(sun.apparent_zenith_deg, sun.azimuth_deg)
    wall = Plane(tilt_deg=90.0, azimuth_deg=180.0)
    thing = Box(x_m=0.0, y_m=-2.0, width_m=1.0, depth_m=1.0, height_m=3.0, foot_m=-1.0)
    polygons = shadow_polygons(thing, wall, vectors)
    lit = (vectors[:, 2] > 0.0) & (vectors[:, 1] < -1e-3)
    assert lit.any()
    assert not lit.all()
    assert [len(one) > 0 for one in polygons] == lit.tolist()


def test_a_day_at_once_is_each_of_its_times():
    sun = whole_day(step_min=60.0)
    vectors = sun_vectors(sun.apparent_zenith_deg, sun.azimuth_deg, facing_deg=150.0)
    roof = Plane(tilt_deg=30.0, azimuth_deg=150.0)
    pole = Pole(x_m=1.0, y_m=-2.0, radius_m=0.1, height_m=3.0, foot_m=-2.0)
    day = shadow_polygons(pole, roof, vectors, facing_deg=150.0)
    for k, vector in enumerate(vectors):
        assert np.array_equal(day[k], shadow_polygons(pole, roof, vector, facing_deg=150.0)[0])


@given(solids, planes, st.floats(5, 85), st.floats(0, 360), st.floats(0, 360))
def test_coordinates_that_face_elsewhere_have_the_same_shadow(solid, plane, zenith, azimuth, turn):
    # Turn plane and sun together, and nothing is seen to change.
    turned = Plane(
        tilt_deg=plane.tilt_deg, azimuth_deg=(plane.azimuth_deg + turn) % 360.0, origin_m=plane.origin_m
    )
    (here,) = shadow_polygons(solid, plane, sun_vectors(zenith, azimuth))
    vector = sun_vectors(zenith, (azimuth + turn) % 360.0, facing_deg=180.0 + turn)
    (there,) = shadow_polygons(solid, turned, vector, facing_deg=180.0 + turn)
    assume(len(here) == len(there))  # a corner in a straight line may come and go
    around = [np.hypot(*(np.roll(one, -1, axis=0) - one).T).sum() for one in (here, there)]
    assert around[0] == pytest.approx(around[1], rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("sun", [[[0.0, 0.0, 2.0]], [[0.0, 0.0]], [[np.nan, 0.0, 1.0]]])
def test_vectors_that_are_no_directions_are_refused(sun):
    with pytest.raises(SkyError, match="sun_vectors makes one"):
        shadow_polygons(Pole(x_m=0.0, y_m=0.0, radius_m=0.1, height_m=1.0), GROUND, sun)
