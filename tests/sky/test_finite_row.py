"""The ends of rows: closed forms of textbooks, rays by chance in space, rows so long that they have none."""

from __future__ import annotations

from functools import lru_cache
from math import atan, cos, pi, radians, sin, sqrt

import numpy as np
import pytest

from pvsim.errors import SkyError
from pvsim.sky import (
    ModuleRows,
    clear_sky,
    finite_row_light,
    finite_row_view,
    rear_light,
    rear_view,
    sun_vectors,
)
from pvsim.sky.finite_row import along_share
from tests.sky.samples import sky_light, whole_day
from tests.sky.test_module_rows import ROWS

LENGTH_m = 6.0
RAYS = 200_000
CHANCE = 4.0 * 0.5 / sqrt(RAYS)  # four standard deviations of a share, at the most


def rays_from(x, s, row, rng, rows=ROWS):
    """Where points of the back are, and random directions from them after Lambert's law; (rays, 3) both."""
    b = radians(rows.tilt_deg)
    start = np.array([x, (row - 1) * rows.pitch_m + s * cos(b), rows.height_m + s * sin(b)])
    radius, turn = np.sqrt(rng.uniform(size=RAYS)), rng.uniform(0.0, 2.0 * pi, RAYS)
    up, normal = np.array([0.0, cos(b), sin(b)]), np.array([0.0, sin(b), -cos(b)])
    out = np.sqrt(1.0 - radius**2)[:, None] * normal + (radius * np.sin(turn))[:, None] * up
    out[:, 0] += radius * np.cos(turn)
    return np.broadcast_to(start, out.shape), out


def hits_a_row(start, way, length=LENGTH_m, rows=ROWS, but=None):
    """Which rays meet one of the rows, as rectangles in space."""
    b = radians(rows.tilt_deg)
    normal, up = np.array([0.0, sin(b), -cos(b)]), np.array([0.0, cos(b), sin(b)])
    met = np.zeros(len(start), dtype=bool)
    away, across = start @ normal, way @ normal
    across = np.where(np.abs(across) < 1e-12, 1e-12, across)
    s_start, s_way, x_start, x_way = start @ up, way @ up, start[:, 0], way[:, 0]
    for k in range(rows.rows):
        if k + 1 == but:
            continue
        foot = np.array([0.0, k * rows.pitch_m, rows.height_m])
        t = (foot @ normal - away) / across
        x, s = x_start + t * x_way, s_start + t * s_way - foot @ up
        met |= (t > 1e-9) & (x >= 0) & (x <= length) & (s >= 0) & (s <= rows.slope_m)
    return met


@lru_cache(maxsize=3)  # the same rays are held against the sun in three places
def fates(x, s, row, seed=7):
    """Of rays from a point: which end at a row, in the sky, at the ground; and where at the ground."""
    start, way = rays_from(x, s, row, np.random.default_rng(seed))
    met = hits_a_row(start, way, but=row)
    ground = ~met & (way[:, 2] < 0.0)
    down = way[ground]
    places = start[ground] + (-start[ground, 2] / down[:, 2])[:, None] * down
    return met, ~met & ~ground, ground, places


@pytest.mark.parametrize("row", [1, 2, 5])
@pytest.mark.parametrize(("place", "point"), [(0, 0), (0, 3), (2, 1), (5, 2)])
def test_rays_by_chance_end_where_view_factors_say(row, place, point):
    view = finite_row_view(ROWS, LENGTH_m, row=row, across=6, points=4)
    met, sky, ground, places = fates(view.across_m[place], view.along_m[point], row)
    assert view.row_behind[place, point] == pytest.approx(met.mean(), abs=CHANCE)
    assert view.sky[place, point] == pytest.approx(sky.mean(), abs=CHANCE)
    assert view.ground[place, point] == pytest.approx(ground.mean(), abs=CHANCE)
    # From each place on the ground one ray goes up after Lambert's law: does it get out to the sky?
    rng = np.random.default_rng(11)
    radius, turn = np.sqrt(rng.uniform(size=len(places))), rng.uniform(0.0, 2.0 * pi, len(places))
    up = np.stack([radius * np.cos(turn), radius * np.sin(turn), np.sqrt(1.0 - radius**2)], axis=1)
    out = ~hits_a_row(places, up)
    by_rays = out.sum() / RAYS
    assert view.sky_by_ground[place, point] == pytest.approx(by_rays, abs=CHANCE + 0.005)  # of the strips


@pytest.mark.parametrize("row", [1, 3, 5])
@pytest.mark.parametrize(("zenith", "azimuth"), [(40.0, 180.0), (55.0, 130.0), (30.0, 250.0)])
@pytest.mark.parametrize(("place", "point"), [(0, 0), (1, 3), (3, 2)])
def test_rays_by_chance_find_as_much_lit_ground(row, zenith, azimuth, place, point):
    sun = sun_vectors(zenith, azimuth)
    view = finite_row_view(ROWS, LENGTH_m, row=row, across=6, points=4)
    light = finite_row_light(view, sun, sky_light(1000.0, 0.0, 0.0), ground_reflectance=1.0)
    _met, _sky, _ground, places = fates(view.across_m[place], view.along_m[point], row)
    lit = (~hits_a_row(places, np.broadcast_to(sun, places.shape))).sum() / RAYS
    found = light.ground_W_m2[0, place, point] / (1000.0 * cos(radians(zenith)))
    assert found == pytest.approx(lit, abs=CHANCE + 0.01)  # shadows seen beside the row behind are left out


def test_rows_so_long_that_they_have_no_ends_are_those_without_end():
    sun = whole_day(step_min=20.0)
    vectors, sky = sun_vectors(sun.apparent_zenith_deg, sun.azimuth_deg), clear_sky(sun)
    for row in (1, 2, 5):
        long = finite_row_view(ROWS, 1000.0, row=row, across=3, points=5)
        endless = rear_view(ROWS, row=row, points=5)
        for name in ("sky", "ground", "row_behind"):
            assert getattr(long, name)[1] == pytest.approx(getattr(endless, name), abs=1e-4)
        assert long.sky_by_ground[1] == pytest.approx(endless.sky_by_ground, abs=1e-3)
        here = finite_row_light(long, vectors, sky).total_W_m2[:, 1]
        assert here == pytest.approx(rear_light(endless, vectors, sky).total_W_m2, abs=0.5)  # W/m2


def test_a_row_is_brighter_at_its_ends_and_alike_at_both():
    view = finite_row_view(ROWS, 20.0, row=3, across=10, points=4)
    light = finite_row_light(view, sun_vectors(40.0, 180.0), sky_light(900.0, 100.0, 789.0))
    along = light.total_W_m2[0].mean(axis=1)
    assert along == pytest.approx(along[::-1])
    assert (np.diff(along[:5]) < 0.0).all()
    assert along[0] > 1.1 * along[4]


def test_the_suns_side_of_a_row_is_the_brighter_one():
    # In the morning the shadow falls to the west: more lit ground at the eastern end, which is on the right.
    view = finite_row_view(ROWS, LENGTH_m, row=1, across=6, points=4)
    morning = finite_row_light(view, sun_vectors(50.0, 110.0), sky_light(900.0, 100.0, 679.0))
    evening = finite_row_light(view, sun_vectors(50.0, 250.0), sky_light(900.0, 100.0, 679.0))
    along = morning.ground_W_m2[0].mean(axis=1)
    assert along[-1] > along[0]
    assert evening.ground_W_m2[0].mean(axis=1) == pytest.approx(along[::-1])


def test_the_sun_behind_a_fence_comes_past_the_end_of_the_next():
    fence = ModuleRows(slope_m=2.0, tilt_deg=90.0, height_m=0.0, pitch_m=5.0, rows=2)
    view = finite_row_view(fence, 20.0, row=1, across=20, points=4)
    light = finite_row_light(view, sun_vectors(85.0, 45.0), sky_light(500.0, 50.0, 94.0))
    # 45 degrees east of what the back faces: rays go 5 m to the side between the rows (elementary), and
    # those that reach the last 5 m have come past the end of the fence behind, on the right.
    low = light.beam_W_m2[0, :, 0]
    assert (low > 0.0).tolist() == [x + 5.0 > 20.0 for x in view.across_m]


@pytest.mark.parametrize(("a", "b", "c"), [(1.0, 1.0, 1.0), (2.0, 0.5, 1.0), (4.0, 3.0, 0.7)])
def test_strips_make_up_the_textbooks_rectangle(a, b, c):
    # A small surface and a rectangle a x b in parallel, c apart, the surface under one of its corners
    # (every textbook of radiation; formula from memory).
    A, B = a / c, b / c
    closed = (
        A / sqrt(1 + A * A) * atan(B / sqrt(1 + A * A)) + B / sqrt(1 + B * B) * atan(A / sqrt(1 + B * B))
    ) / (2.0 * pi)
    edges = np.linspace(0.0, a, 2001)
    middles = (edges[1:] + edges[:-1]) / 2.0
    strips = 0.5 * np.diff(edges / np.hypot(edges, c))
    r = np.hypot(middles, c)
    assert np.sum(strips * (along_share(b, r) - along_share(0.0, r))) == pytest.approx(closed, abs=1e-6)


def test_all_light_comes_from_somewhere_along_the_row():
    assert along_share([-np.inf, 0.0, np.inf], 2.0) == pytest.approx([0.0, 0.5, 1.0])
    view = finite_row_view(ROWS, LENGTH_m, row=2)
    assert view.sky + view.ground + view.row_behind == pytest.approx(np.ones((6, 6)))


@pytest.mark.parametrize("tilt", [0.0, 5.0, 60.0, 90.0])
@pytest.mark.parametrize("height_m", [0.0, 0.3])
def test_every_tilt_gives_light_that_can_be(tilt, height_m):
    rows = ModuleRows(slope_m=1.0, tilt_deg=tilt, height_m=height_m, pitch_m=2.0, rows=3)
    sun = whole_day(step_min=60.0)
    vectors, sky = sun_vectors(sun.apparent_zenith_deg, sun.azimuth_deg), clear_sky(sun)
    view = finite_row_view(rows, 5.0, row=2)
    light = finite_row_light(view, vectors, sky, ground_reflectance=1.0)
    most = sky.global_horizontal_W_m2 + sky.beam_normal_W_m2 + sky.diffuse_horizontal_W_m2
    assert np.isfinite(light.total_W_m2).all()
    assert (light.total_W_m2 >= 0.0).all()
    assert (light.total_W_m2 <= most[:, None, None] + 1e-9).all()


@pytest.mark.parametrize(
    ("fields", "told"),
    [({"length_m": 0.0}, "length_m"), ({"row": 9}, "row"), ({"across": 0}, "across"), ({"points": 61}, "61")],
)
def test_what_cannot_be_is_refused(fields, told):
    with pytest.raises(SkyError, match=told):
        finite_row_view(ROWS, **{"length_m": 10.0, **fields})
