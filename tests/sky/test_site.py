"""Sites and their clocks: what they take, what they refuse and how they say it can be mended."""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from math import nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvsim.errors import ScenarioError, SkyError
from pvsim.sky import Site, clock_hours, clock_of, hour_of
from pvsim.sky.site import day_number


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"latitude_deg": 91.0}, "exchanged"),
        ({"latitude_deg": -90.001}, "North is positive"),
        ({"longitude_deg": 180.5}, "East is positive"),
        ({"longitude_deg": nan}, "finite number"),
        ({"height_m": 9000.0}, "height_m is in m"),
        ({"utc_offset_h": 60.0}, "utc_offset_h is in hours"),
        ({"latitude_deg": "54"}, "finite number"),
        ({"latitude_deg": True}, "finite number"),
        ({"title": "x" * 300}, "Shorten"),
    ],
)
def test_a_site_that_cannot_be_is_refused_with_the_mend(wrong, told):
    right = {"latitude_deg": 54.0, "longitude_deg": 10.0}
    with pytest.raises(SkyError, match=told) as caught:
        Site(**{**right, **wrong})
    assert next(iter(wrong)) in caught.value.wrong
    assert isinstance(caught.value, ScenarioError)


def test_poles_and_the_date_line_are_sites():
    assert Site(latitude_deg=90, longitude_deg=-180).latitude_deg == 90.0
    assert Site(latitude_deg=-90, longitude_deg=180).longitude_deg == 180.0


def test_a_day_in_five_minutes_has_288_steps():
    hours = clock_hours()
    assert len(hours) == 288
    assert hours[0] == 0.0
    assert hours[-1] == pytest.approx(24.0 - 1.0 / 12.0)


@pytest.mark.parametrize("step_min", [0.0, -5.0, 721.0, nan])
def test_a_step_that_cannot_be_is_refused(step_min):
    with pytest.raises(SkyError, match="step_min"):
        clock_hours(step_min)


@given(st.integers(0, 86_399))
def test_a_time_comes_back_from_its_hours(second):
    clock = time(second // 3600, second // 60 % 60, second % 60)
    assert clock_of(hour_of(clock)) == clock


def test_hours_beyond_the_day_start_anew():
    assert clock_of(24.5) == clock_of(0.5) == clock_of(-23.5) == time(0, 30)


def test_a_time_with_a_zone_of_its_own_is_refused():
    with pytest.raises(SkyError, match="utc_offset_h"):
        hour_of(time(12, tzinfo=UTC))


@pytest.mark.parametrize(
    ("day", "julian"),
    # Julian dates of two noons less half a day: the epoch J2000, and the published example's day
    # (2452930.312847 at 19:30:30 UT; I. Reda, A. Andreas, Solar Energy 76 (2004) 577).
    [(date(2000, 1, 1), 2_451_544.5), (date(2003, 10, 17), 2_452_930.312847 - (19.0 + 30.5 / 60.0) / 24.0)],
)
def test_days_have_their_julian_date(day, julian):
    assert day_number(day) == pytest.approx(julian, abs=1e-6)


@pytest.mark.parametrize("day", [date(1949, 12, 31), date(2051, 1, 1), datetime(2026, 6, 21), "2026-06-21"])
def test_days_that_the_formulas_do_not_know_are_refused(day):
    with pytest.raises(SkyError, match="day is"):
        day_number(day)
