"""The clear sky against another published model, and what must hold of it."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.errors import SkyError
from pvsim.sky import air_mass, clear_sky
from tests.sky.samples import HARBOUR, MIDSUMMER, MIDWINTER, SOUTH, whole_day


@pytest.mark.parametrize(
    ("zenith_deg", "mass", "tolerance"),
    # F. Kasten, A. T. Young, Applied Optics 28 (1989) 4735, table, from memory
    [(0.0, 1.0, 1e-3), (60.0, 1.994, 2e-3), (48.19, 1.5, 3e-3), (90.0, 37.92, 0.05)],
)
def test_air_mass_is_as_published(zenith_deg, mass, tolerance):
    assert air_mass(zenith_deg)[0] == pytest.approx(mass, abs=tolerance)


def test_an_angle_below_the_horizon_has_no_air_mass():
    with pytest.raises(SkyError, match="apparent_zenith_deg"):
        air_mass(91.0)


def test_under_an_overhead_sun_the_beam_is_that_of_the_model():
    # 1353 x 0.7 at air mass 1 (A. B. and M. P. Meinel 1976, from memory), at the Earth's mean distance
    sun = whole_day()
    sky = clear_sky(sun)
    k = int(np.argmin(sun.apparent_zenith_deg))
    expected = 1353.0 * 0.7 ** (air_mass(sun.apparent_zenith_deg[k])[0] ** 0.678) / sun.distance_au[k] ** 2
    assert sky.beam_normal_W_m2[k] == pytest.approx(expected)


@pytest.mark.parametrize(("site", "day"), [(HARBOUR, MIDSUMMER), (SOUTH, MIDSUMMER), (SOUTH, MIDWINTER)])
def test_another_model_is_met_within_a_tenth_while_the_sun_is_well_up(site, day):
    # B. Haurwitz, J. Meteorology 2 (1945) 154: 1098 cos z exp(-0.057 / cos z), coefficients from memory.
    sun = whole_day(site, day)
    sky = clear_sky(sun)
    high = sun.apparent_zenith_deg < 70.0
    assert high.any()
    cosine = np.cos(np.radians(sun.apparent_zenith_deg[high]))
    haurwitz = 1098.0 * cosine * np.exp(-0.057 / cosine)
    mean_distance = sky.global_horizontal_W_m2[high] * sun.distance_au[high] ** 2
    assert np.abs(mean_distance / haurwitz - 1.0).max() < 0.10


def test_parts_add_up_and_the_night_is_dark():
    sun = whole_day(HARBOUR, MIDWINTER)
    sky = clear_sky(sun)
    down = sun.apparent_zenith_deg >= 90.0
    for light in (sky.beam_normal_W_m2, sky.diffuse_horizontal_W_m2, sky.global_horizontal_W_m2):
        assert (light[down] == 0.0).all()
        assert (light[~down] > 0.0).all()
    whole = sky.beam_normal_W_m2 * np.cos(np.radians(sun.apparent_zenith_deg)) + sky.diffuse_horizontal_W_m2
    assert sky.global_horizontal_W_m2[~down] == pytest.approx(whole[~down])


def test_the_light_rises_with_the_sun_and_with_the_site():
    sun = whole_day()
    forenoon = np.flatnonzero((sun.apparent_zenith_deg < 90.0) & (sun.clock_h < 12.0))
    low, high = clear_sky(sun), clear_sky(sun, height_m=2000.0)
    assert (np.diff(low.global_horizontal_W_m2[forenoon]) > 0.0).all()
    assert (high.beam_normal_W_m2[forenoon] > low.beam_normal_W_m2[forenoon]).all()
    assert high.beam_normal_W_m2.max() < 1353.0
    assert np.array_equal(clear_sky(sun, height_m=-400.0).beam_normal_W_m2, low.beam_normal_W_m2)


def test_a_height_that_cannot_be_is_refused():
    with pytest.raises(SkyError, match="height_m"):
        clear_sky(whole_day(), height_m=20_000.0)
