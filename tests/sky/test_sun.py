"""The sun's path against the published example, and what holds of it everywhere."""

from __future__ import annotations

from datetime import date, time, timedelta

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pvsim.errors import SkyError
from pvsim.sky import Site, clock_hours, hour_of, sun_path, sun_times, sun_vectors
from pvsim.sky.sun import air_pressure, refraction
from tests.sky.samples import GOLDEN, GOLDEN_DAY, HARBOUR, MIDSUMMER, MIDWINTER, SOUTH, SPRING, whole_day

OBLIQUITY_deg = 23.44

sites = st.builds(
    Site,
    latitude_deg=st.floats(-90, 90),
    longitude_deg=st.floats(-180, 180),
    height_m=st.floats(0, 3000),
    utc_offset_h=st.floats(-12, 14),
)
days = st.dates(date(1950, 1, 1), date(2050, 12, 31))


def test_the_published_example_is_met():
    # I. Reda, A. Andreas, Solar Energy 76 (2004) 577-589: 12:30:30, 820 hPa, 11 degrees C.
    sun = sun_path(GOLDEN, GOLDEN_DAY, hour_of(time(12, 30, 30)), air_temperature_C=11.0)
    assert sun.zenith_deg[0] == pytest.approx(50.127954, abs=0.005)
    assert sun.apparent_zenith_deg[0] == pytest.approx(50.111622, abs=0.005)
    assert sun.azimuth_deg[0] == pytest.approx(194.340241, abs=0.005)


def test_the_examples_sun_rises_and_sets_when_it_is_published():
    # The same example: sunrise 06:12:43, sunset 17:20:19. Its algorithm counts the day by UT, which is
    # seven hours ahead, so that the sunset of its 17 October is the evening of the 16th by the clock.
    assert sun_times(GOLDEN, GOLDEN_DAY).sunrise_h == pytest.approx(hour_of(time(6, 12, 43)), abs=10 / 3600)
    evening = sun_times(GOLDEN, GOLDEN_DAY - timedelta(days=1)).sunset_h
    assert evening == pytest.approx(hour_of(time(17, 20, 19)), abs=10 / 3600)
    # Days grow shorter by a minute or two then, and the next evening is earlier by that.
    assert 60 < (evening - sun_times(GOLDEN, GOLDEN_DAY).sunset_h) * 3600 < 120


def test_the_examples_refraction_is_met():
    # zenith without and with refraction, the same example, for its own pressure and temperature
    raised = refraction(90.0 - 50.127954, pressure_hPa=820.0, air_C=11.0)[0]
    assert raised == pytest.approx(50.127954 - 50.111622, abs=1e-6)


def test_the_air_of_the_standard_atmosphere_thins_out():
    assert air_pressure(0.0) == 1013.25
    assert air_pressure(1830.14) == pytest.approx(820.0, rel=0.015)  # measured in the published example
    assert air_pressure(5000.0) == pytest.approx(540.2, rel=1e-3)  # ISO 2533, table, from memory


@pytest.mark.parametrize("site", [HARBOUR, SOUTH])
def test_at_the_equinox_the_day_is_twelve_hours_and_rises_in_the_east(site):
    times = sun_times(site, SPRING)
    length = times.sunset_h - times.sunrise_h
    assert 12.0 < length < 12.4  # refraction and the sun's disc add some minutes
    morning = sun_path(site, SPRING, times.sunrise_h)
    assert morning.azimuth_deg[0] == pytest.approx(90.0, abs=1.5)


@pytest.mark.parametrize(
    ("day", "declination"), [(MIDSUMMER, OBLIQUITY_deg), (MIDWINTER, -OBLIQUITY_deg), (SPRING, 0.0)]
)
@pytest.mark.parametrize("site", [HARBOUR, SOUTH, GOLDEN])
def test_noon_height_is_latitude_less_declination(site, day, declination):
    noon = sun_path(site, day, sun_times(site, day).noon_h)
    # at the equinox itself the declination passes 0.4 degrees a day
    assert noon.zenith_deg[0] == pytest.approx(abs(site.latitude_deg - declination), abs=0.3)
    meridian = np.cos(np.radians(noon.azimuth_deg[0]))
    assert meridian == pytest.approx(-1.0 if site.latitude_deg > declination else 1.0, abs=1e-6)


def test_the_southern_sun_goes_through_the_north():
    sun = whole_day(SOUTH, MIDWINTER)  # summer there
    up = sun.zenith_deg < 80.0
    assert (np.cos(np.radians(sun.azimuth_deg[up & (np.abs(sun.clock_h - 13.0) < 3.0)])) > 0.0).all()


@pytest.mark.parametrize("latitude", [68.0, 75.0, 90.0])
def test_beyond_the_polar_circles_the_sun_stays_up_or_down(latitude):
    north = Site(latitude_deg=latitude, longitude_deg=20.0, utc_offset_h=1.0)
    south = Site(latitude_deg=-latitude, longitude_deg=20.0, utc_offset_h=1.0)
    for site, up, down in ((north, MIDSUMMER, MIDWINTER), (south, MIDWINTER, MIDSUMMER)):
        assert sun_times(site, up).daylight == "never sets"
        assert sun_times(site, down).daylight == "never rises"
        assert sun_times(site, up).sunrise_h is sun_times(site, up).sunset_h is None
        assert (whole_day(site, up).apparent_zenith_deg < 90.0).all()
        assert (whole_day(site, down).zenith_deg > 90.8).all()


def test_at_the_pole_the_sun_keeps_its_height_all_day():
    pole = Site(latitude_deg=90.0, longitude_deg=0.0)
    zenith = whole_day(pole, MIDSUMMER).zenith_deg
    assert np.ptp(zenith) < 0.02
    assert zenith.mean() == pytest.approx(90.0 - OBLIQUITY_deg, abs=0.02)


@given(sites, days)
def test_the_sun_rises_before_it_sets_and_stands_at_the_horizon_then(site, day):
    times = sun_times(site, day)
    assert 0.0 <= times.noon_h <= 24.0
    for hour, sense in ((times.sunrise_h, -1.0), (times.sunset_h, 1.0)):
        if hour is not None:
            assert 0.0 <= sense * (hour - times.noon_h) <= 12.01
            assert sun_path(site, day, hour).zenith_deg[0] == pytest.approx(90.8333, abs=1e-3)


@given(sites, days)
def test_four_years_on_the_sun_is_where_it_was(site, day):
    later = day + timedelta(days=1461)  # with a leap day between
    assume(later.year <= 2050)
    suns = [sun_path(site, one, clock_hours(60.0)) for one in (day, later)]
    a, b = (sun_vectors(sun.zenith_deg, sun.azimuth_deg) for sun in suns)
    assert np.abs(a - b).max() < 0.003


@given(sites, days, st.floats(0, 24))
def test_everything_is_in_its_range_and_the_air_only_raises_the_sun(site, day, hour):
    sun = sun_path(site, day, hour)
    assert 0.0 <= sun.zenith_deg[0] <= 180.01
    assert 0.0 <= sun.azimuth_deg[0] <= 360.0
    assert 0.983 < sun.distance_au[0] < 1.017
    assert 0.0 <= sun.zenith_deg[0] - sun.apparent_zenith_deg[0] < 0.7
    assert np.linalg.norm(sun_vectors(sun.zenith_deg, sun.azimuth_deg)) == pytest.approx(1.0)


@given(sites, days, st.floats(0, 24), st.floats(-10, 10))
def test_the_clock_and_the_longitude_move_the_sun_alike(site, day, hour, shift):
    # One hour of the clock is fifteen degrees of longitude, but for what the sun itself goes meanwhile.
    offset, longitude = site.utc_offset_h + shift, site.longitude_deg + 15.0 * shift
    assume(abs(offset) <= 12.0 and abs(longitude) <= 180.0)
    moved = Site(latitude_deg=site.latitude_deg, longitude_deg=longitude, utc_offset_h=offset)
    here, there = sun_path(site, day, hour), sun_path(moved, day, hour)
    a, b = (sun_vectors(one.zenith_deg, one.azimuth_deg) for one in (here, there))
    assert np.abs(a - b).max() < 0.006  # the declination goes 0.4 degrees a day at most


def test_a_day_at_once_is_each_of_its_times():
    sun = whole_day()
    for k in (0, 100, 287):
        one = sun_path(HARBOUR, MIDSUMMER, float(sun.clock_h[k]))
        assert one.zenith_deg[0] == sun.zenith_deg[k]
        assert one.azimuth_deg[0] == sun.azimuth_deg[k]


def test_vectors_point_where_the_compass_says():
    # facing south: x east, y north, z up; facing east: x north, y west
    south = sun_vectors([90.0, 90.0, 0.0], [90.0, 0.0, 0.0])
    assert south == pytest.approx(np.array([[1, 0, 0], [0, 1, 0], [0, 0, 1]]), abs=1e-12)
    east = sun_vectors([90.0, 90.0], [0.0, 270.0], facing_deg=90.0)
    assert east == pytest.approx(np.array([[1, 0, 0], [0, 1, 0]]), abs=1e-12)


@pytest.mark.parametrize("hours", [[49.0], [np.nan], "noon", [[1.0, 2.0]]])
def test_times_that_cannot_be_are_refused(hours):
    with pytest.raises(SkyError, match="clock_h"):
        sun_path(HARBOUR, MIDSUMMER, hours)


def test_a_value_says_of_itself_no_more_than_fits():
    assert len(repr(whole_day())) < 400
