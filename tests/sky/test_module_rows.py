"""Rows on level ground: their shadows by trigonometry, the sky between them by crossed strings."""

from __future__ import annotations

from math import cos, radians, sin, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvsim.errors import SkyError
from pvsim.sky import ModuleRows, ground_sky, shadow_strips, sun_vectors, view_factor

ROWS = ModuleRows(slope_m=2.0, tilt_deg=30.0, height_m=0.5, pitch_m=4.0, rows=5)
LID_m = 1e6

row_fields = st.builds(
    ModuleRows,
    slope_m=st.floats(0.5, 4.0),
    tilt_deg=st.floats(0.0, 90.0),
    height_m=st.floats(0.1, 2.0),
    pitch_m=st.floats(4.1, 9.0),
    rows=st.integers(1, 5),
)


def slopes(rows):
    """Every row as a segment in the cross-section."""
    b = radians(rows.tilt_deg)
    up = np.array([cos(b), sin(b)]) * rows.slope_m
    feet = [np.array([k * rows.pitch_m, rows.height_m]) for k in range(rows.rows)]
    return [np.stack([foot, foot + up]) for foot in feet]


@given(row_fields, st.floats(-5.0, 40.0))
def test_ground_sees_of_the_sky_what_crossed_strings_leave_of_it(rows, y):
    speck = [(y, 0.0), (y + 1e-4, 0.0)]
    lid = [(LID_m, 10.0), (-LID_m, 10.0)]
    strings = view_factor(speck, lid, slopes(rows))
    assert ground_sky(rows, y + 5e-5)[0] == pytest.approx(strings, abs=2e-4)


def test_far_away_the_ground_sees_all_of_the_sky():
    assert ground_sky(ROWS, [-1e6, 1e6]) == pytest.approx([1.0, 1.0], abs=1e-5)


def test_below_a_roof_without_end_there_is_none():
    low = ModuleRows(slope_m=100.0, tilt_deg=0.0, height_m=0.01)
    assert ground_sky(low, 50.0)[0] == pytest.approx(0.0, abs=1e-6)


@given(row_fields, st.floats(5.0, 85.0))
def test_shadows_lie_where_the_sun_in_front_puts_them(rows, elevation):
    # Elementary: a point at the height z throws its shadow z / tan(elevation) behind it.
    begin, end = shadow_strips(rows, sun_vectors(90.0 - elevation, 180.0))
    behind = [z / tan(radians(elevation)) + y for slope in slopes(rows)[:1] for y, z in slope]
    assert begin[0, 0] == pytest.approx(min(behind))
    if rows.rows == 1 or max(behind) - min(behind) <= rows.pitch_m:
        assert end[0, 0] == pytest.approx(max(behind))
    assert end[0, -1] == pytest.approx(max(behind) + (rows.rows - 1) * rows.pitch_m)


def test_shadows_of_a_low_sun_run_together_and_none_counts_twice():
    low = sun_vectors(88.0, 180.0)
    begin, end = shadow_strips(ROWS, low)
    assert (begin[0, 1:] == end[0, :-1]).all()
    assert (end >= begin).all()


def test_by_night_there_are_no_shadows():
    begin, end = shadow_strips(ROWS, sun_vectors([95.0, 90.0], [180.0, 180.0]))
    assert np.array_equal(begin, end)


def test_the_sun_along_the_slope_leaves_a_line_of_shadow():
    # Behind them, as high as they are tilted: the rays run along the modules.
    begin, end = shadow_strips(ROWS, sun_vectors(60.0, 0.0))
    assert end[0] - begin[0] == pytest.approx(np.zeros(5), abs=1e-9)


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"height_m": -0.5}, "Leave the minus out"),
        ({"slope_m": 0.0}, "greater than 0"),
        ({"tilt_deg": 95.0}, "tilt_deg is in degrees"),
        ({"pitch_m": 1.5}, r"more than 1\.732"),
        ({"rows": 0}, "a whole number from 1 to 200"),
        ({"rows": 2.0}, "without a point"),
    ],
)
def test_rows_that_cannot_be_are_refused_with_the_mend(wrong, told):
    fields = {"slope_m": 2.0, "tilt_deg": 30.0, "height_m": 0.5, "pitch_m": 4.0, "rows": 3}
    with pytest.raises(SkyError, match=told):
        ModuleRows(**{**fields, **wrong})


def test_the_pitch_of_a_row_alone_means_nothing():
    assert ModuleRows(slope_m=2.0, tilt_deg=30.0, height_m=0.5, pitch_m=1.0).rows == 1
