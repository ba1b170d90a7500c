"""Light on the back: crossed strings piece by piece, rays by chance, and what everybody knows of it."""

from __future__ import annotations

from math import cos, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvsim.errors import SkyError
from pvsim.sky import (
    ModuleRows,
    Plane,
    clear_sky,
    equivalent_irradiance,
    ground_sky,
    incidence_deg,
    least_bifaciality,
    rear_light,
    rear_view,
    shadow_strips,
    sun_vectors,
    view_factor,
)
from tests.sky.samples import sky_light, whole_day
from tests.sky.test_module_rows import ROWS, row_fields, slopes

FAR_m = 1e7
ALONE = ModuleRows(slope_m=2.0, tilt_deg=30.0, height_m=0.5)


@given(row_fields, st.data())
def test_ground_sky_and_row_behind_are_what_crossed_strings_say(rows, data):
    row = data.draw(st.integers(1, rows.rows))
    view = rear_view(rows, row=row, points=400)
    assert view.sky + view.ground + view.row_behind == pytest.approx(np.ones(400))
    all_rows = slopes(rows)
    back = all_rows[row - 1][::-1]
    others = all_rows[row:]
    ground = view_factor(back, [(-FAR_m, 0.0), (FAR_m, 0.0)], others)
    assert view.ground.mean() == pytest.approx(ground, abs=1e-3)  # a mean of points for a mean
    if row < rows.rows:
        hidden = view_factor(back, all_rows[row], all_rows[row + 1 :])
        assert view.row_behind.mean() == pytest.approx(hidden, abs=1e-3)
    else:
        assert view.row_behind == pytest.approx(np.zeros(400), abs=1e-12)
        assert view.ground == pytest.approx(np.full(400, (1.0 + cos(radians(rows.tilt_deg))) / 2.0))


@pytest.mark.parametrize("row", [1, 3, 5])
@pytest.mark.parametrize("elevation", [15.0, 40.0, 70.0])
def test_lit_ground_counts_as_crossed_strings_say(row, elevation):
    sun = sun_vectors(90.0 - elevation, 180.0)
    view = rear_view(ROWS, row=row, points=400)
    beam_alone = sky_light(1000.0, 0.0, 0.0)
    light = rear_light(view, sun, beam_alone, ground_reflectance=0.5)
    begin, end = shadow_strips(ROWS, sun)
    edges = [-FAR_m, *np.stack([begin[0], end[0]], axis=1).ravel(), FAR_m]
    all_rows = slopes(ROWS)
    lit = sum(
        view_factor(all_rows[row - 1][::-1], [(a, 0.0), (b, 0.0)], all_rows[row:])
        for a, b in zip(edges[::2], edges[1::2], strict=True)
        if b > a
    )
    expected = 0.5 * 1000.0 * sin(radians(elevation)) * lit
    assert light.ground_W_m2.mean() == pytest.approx(expected, rel=2e-3)
    assert (light.beam_W_m2 == 0.0).all()


@pytest.mark.parametrize("row", [1, 2, 5])
def test_rays_by_chance_find_the_same_sky_by_way_of_the_ground(row):
    # Rays from random points of the back, sines alike likely (the cosine's law in two dimensions), are
    # followed to the row behind, the ground or the sky; what the ground sees there is asked anew.
    rng = np.random.default_rng(20_260_321)
    n = 40_000
    b = radians(ROWS.tilt_deg)
    s = rng.uniform(0.0, ROWS.slope_m, n)
    foot = (row - 1) * ROWS.pitch_m
    y, z = foot + s * cos(b), ROWS.height_m + s * sin(b)
    sine = rng.uniform(-1.0, 1.0, n)
    cosine = np.sqrt(1.0 - sine**2)
    dy, dz = sine * cos(b) + cosine * sin(b), sine * sin(b) - cosine * cos(b)
    way = ROWS.pitch_m * sin(b) / cosine  # to the plane of the row behind: its normal is the back's
    height = z + way * dz - ROWS.height_m
    blocked = (height >= 0.0) & (height <= ROWS.slope_m * sin(b)) & (row < ROWS.rows)
    down = ~blocked & (dz < 0.0)
    hits = y[down] - z[down] * dy[down] / dz[down]
    by_rays = ground_sky(ROWS, np.clip(hits, -1e8, 1e8)).sum() / n
    view = rear_view(ROWS, row=row, points=100)
    assert view.sky_by_ground.mean() == pytest.approx(by_rays, abs=0.006)  # four times the chance's share
    assert view.ground.mean() == pytest.approx(down.mean(), abs=0.01)
    assert view.sky.mean() == pytest.approx((~blocked & ~down).mean(), abs=0.01)


def test_the_edges_are_brighter_than_the_middle():
    noon = sun_vectors(35.0, 180.0)
    light = rear_light(rear_view(ALONE, points=12), noon, sky_light(900.0, 100.0, 837.0))
    profile = light.total_W_m2[0]
    assert profile[0] > profile[3]
    assert profile[-1] > profile[3]
    flat = ModuleRows(slope_m=2.0, tilt_deg=0.0, height_m=1.0)
    even = rear_light(rear_view(flat, points=12), sun_vectors(0.0, 180.0), sky_light(900.0, 100.0, 1000.0))
    assert even.total_W_m2[0] == pytest.approx(even.total_W_m2[0, ::-1])  # a table under the zenith's sun
    assert (np.diff(even.total_W_m2[0, :6]) < 0.0).all()


@given(row_fields, st.floats(10.0, 80.0))
def test_higher_modules_over_brighter_ground_get_more_from_it(rows, elevation):
    sun, sky = sun_vectors(90.0 - elevation, 180.0), sky_light(800.0, 100.0, 800.0)

    def mean(height_m, reflectance):
        fields = {"slope_m": rows.slope_m, "tilt_deg": rows.tilt_deg, "height_m": height_m}
        view = rear_view(ModuleRows(**fields), points=20)
        return rear_light(view, sun, sky, ground_reflectance=reflectance).ground_W_m2.mean()

    assert mean(0.5, 0.6) == pytest.approx(3.0 * mean(0.5, 0.2))
    assert mean(20.0, 0.2) >= mean(0.5, 0.2) - 1e-9
    # So high that its shadow hardly counts it sees open ground, for which there is a closed form.
    level = 100.0 + 800.0 * sin(radians(elevation))
    open_ground = 0.2 * level * (1.0 + cos(radians(rows.tilt_deg))) / 2.0
    assert mean(100.0, 0.2) == pytest.approx(open_ground, rel=0.12)
    assert mean(100.0, 0.2) < open_ground


def test_an_upright_row_gets_the_morning_sun_on_its_back():
    # Fronts face west, the sun stands in the east: the back's beam is that of a plane that faces east.
    fence = ModuleRows(slope_m=2.0, tilt_deg=90.0, height_m=0.5, pitch_m=10.0, rows=3)
    sun = sun_vectors(70.0, 95.0, facing_deg=270.0)
    sky = sky_light(700.0, 80.0, 320.0)
    last = rear_light(rear_view(fence, row=3), sun, sky)
    incidence = incidence_deg(Plane(tilt_deg=90.0, azimuth_deg=90.0), 70.0, 95.0)
    assert last.beam_W_m2[0] == pytest.approx(np.full(12, 700.0 * cos(radians(incidence[0]))))
    assert last.sky_W_m2[0] == pytest.approx(np.full(12, 40.0))  # half the sky
    # A lower sun: the row behind throws its shadow on the lower part, 2 m - 10 m tan(profile) of it.
    low = sun_vectors(85.0, 95.0, facing_deg=270.0)
    middle = rear_light(rear_view(fence, row=2, points=400), low, sky)
    profile = low[0, 2] / low[0, 1]
    assert (middle.beam_W_m2[0] == 0.0).mean() * 2.0 == pytest.approx(2.0 - 10.0 * profile, abs=0.01)
    assert middle.beam_W_m2[0, -1] > 0.0


def test_night_is_dark_and_a_day_at_once_is_each_of_its_times():
    sun = whole_day(step_min=30.0)
    vectors, sky = sun_vectors(sun.apparent_zenith_deg, sun.azimuth_deg), clear_sky(sun)
    view = rear_view(ROWS, row=2, points=6)
    day = rear_light(view, vectors, sky, ground_reflectance=0.3)
    assert (day.total_W_m2[sun.apparent_zenith_deg >= 90.0] == 0.0).all()
    assert (day.total_W_m2 >= 0.0).all()
    assert day.total_W_m2 == pytest.approx(day.beam_W_m2 + day.sky_W_m2 + day.ground_W_m2)
    k = 24
    one = sky_light(sky.beam_normal_W_m2[k], sky.diffuse_horizontal_W_m2[k], sky.global_horizontal_W_m2[k])
    assert rear_light(view, vectors[k : k + 1], one, ground_reflectance=0.3).total_W_m2[0] == pytest.approx(
        day.total_W_m2[k]
    )


def test_the_back_of_a_single_row_at_noon_gets_about_a_tenth():
    # An order of magnitude: 5 to 15 % of the front over ground of 0.2 (common practice, no source).
    light = rear_light(rear_view(ALONE), sun_vectors(35.0, 180.0), sky_light(900.0, 100.0, 837.0))
    assert 50.0 < light.total_W_m2.mean() < 150.0


def test_equivalent_irradiance_is_front_plus_the_backs_share():
    # IEC TS 60904-1-2 (from memory): G_E = 1000 + phi G_R with phi = min(phi_Isc, phi_Pmax)
    phi = least_bifaciality(0.72, 0.69)
    assert phi == 0.69
    assert equivalent_irradiance(1000.0, [0.0, 100.0, 200.0], phi) == pytest.approx([1000.0, 1069.0, 1138.0])


@pytest.mark.parametrize(
    ("call", "told"),
    [
        (lambda: rear_view(ROWS, row=6), "from 1 to 5"),
        (lambda: rear_view(ROWS, row=0), "row is 0"),
        (lambda: rear_view(ROWS, points=0), "points"),
        (lambda: rear_light(rear_view(ROWS), [0.0, 0.0, 1.0], sky_light(1, 1, 1)), "toward_sun"),
        (lambda: rear_light(rear_view(ROWS), sun_vectors([1.0, 2.0], 9.0), clear_sky(whole_day())), "many"),
        (
            lambda: rear_light(
                rear_view(ROWS), sun_vectors(1.0, 180.0), sky_light(1, 1, 1), ground_reflectance=1.5
            ),
            "as a share",
        ),
        (lambda: equivalent_irradiance(1000.0, -1.0, 0.7), "rear_W_m2"),
        (lambda: equivalent_irradiance(1000.0, 100.0, 70.0), r"0\.7 for 70 %"),
        (lambda: least_bifaciality(0.7, 1.2), "pmax_bifaciality"),
    ],
)
def test_what_cannot_be_is_refused(call, told):
    with pytest.raises(SkyError, match=told):
        call()
