"""Light on a plane: the published incidence, closed forms, and energy that adds up."""

from __future__ import annotations

from datetime import time

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvsim.errors import SkyError
from pvsim.sky import Plane, clear_sky, hour_of, incidence_deg, plane_axes, plane_light, sun_path, sun_vectors
from tests.sky.samples import GOLDEN, GOLDEN_DAY, sky_light, whole_day

angles = {"tilt": st.floats(0, 180), "azimuth": st.floats(0, 360)}


def test_the_published_incidence_is_met():
    # I. Reda, A. Andreas, Solar Energy 76 (2004) 577: tilted 30 degrees, turned 10 degrees from south to
    # the east: 25.187 degrees. Their own sun first, then the one of sun_path.
    plane = Plane(tilt_deg=30.0, azimuth_deg=170.0)
    assert incidence_deg(plane, 50.111622, 194.340241)[0] == pytest.approx(25.187, abs=5e-4)
    sun = sun_path(GOLDEN, GOLDEN_DAY, hour_of(time(12, 30, 30)), air_temperature_C=11.0)
    found = incidence_deg(plane, sun.apparent_zenith_deg, sun.azimuth_deg)[0]
    assert found == pytest.approx(25.187, abs=0.005)


@given(angles["tilt"], angles["azimuth"], st.floats(0, 180), st.floats(0, 360), st.floats(0, 360))
def test_incidence_is_the_angle_between_two_vectors(tilt, azimuth, zenith, sun_azimuth, facing):
    plane = Plane(tilt_deg=tilt, azimuth_deg=azimuth)
    normal = plane_axes(plane, facing_deg=facing)[2]
    sun = sun_vectors(zenith, sun_azimuth, facing_deg=facing)[0]
    cosine = np.cos(np.radians(incidence_deg(plane, zenith, sun_azimuth)[0]))
    assert cosine == pytest.approx(float(normal @ sun), abs=1e-9)


@given(angles["tilt"], angles["azimuth"], st.floats(-360, 720))
def test_a_planes_directions_are_square_to_one_another(tilt, azimuth, facing):
    axes = plane_axes(Plane(tilt_deg=tilt, azimuth_deg=azimuth), facing_deg=facing)
    assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-12)
    assert axes[0, 2] == pytest.approx(0.0)  # rows are level
    assert axes[1, 2] <= 1e-12  # down is down
    # x to the right and y down as its front is seen: y is clockwise of x, so their product points inwards
    assert np.cross(axes[0], axes[1]) == pytest.approx(-axes[2], abs=1e-12)


def test_a_roof_to_the_south_has_its_right_in_the_east():
    right, down, normal = plane_axes(Plane(tilt_deg=30.0, azimuth_deg=180.0))
    assert right == pytest.approx([1.0, 0.0, 0.0])
    assert down == pytest.approx([0.0, -np.cos(np.pi / 6), -0.5])
    assert normal == pytest.approx([0.0, -0.5, np.cos(np.pi / 6)])


def test_flat_ground_gets_what_the_sky_sends():
    sun = whole_day()
    sky = clear_sky(sun)
    light = plane_light(Plane(tilt_deg=0.0), sun, sky)
    assert light.total_W_m2 == pytest.approx(sky.global_horizontal_W_m2)
    assert (light.ground_W_m2 == 0.0).all()


@pytest.mark.parametrize("tilt", [0.0, 20.0, 60.0, 90.0])
@pytest.mark.parametrize("azimuth", [0.0, 90.0, 200.0])
def test_front_and_back_share_one_sky_and_one_ground(tilt, azimuth):
    sun = whole_day()
    sky = clear_sky(sun)
    front = plane_light(Plane(tilt_deg=tilt, azimuth_deg=azimuth), sun, sky, ground_reflectance=0.5)
    back = plane_light(
        Plane(tilt_deg=180.0 - tilt, azimuth_deg=(azimuth + 180.0) % 360.0), sun, sky, ground_reflectance=0.5
    )
    assert front.sky_W_m2 + back.sky_W_m2 == pytest.approx(sky.diffuse_horizontal_W_m2)
    assert front.ground_W_m2 + back.ground_W_m2 == pytest.approx(0.5 * sky.global_horizontal_W_m2)
    assert (np.minimum(front.beam_W_m2, back.beam_W_m2) == 0.0).all()


def test_an_upright_wall_sees_half_the_sky_and_half_the_ground():
    sun = whole_day()
    k = int(np.argmin(sun.zenith_deg))
    noon = sun_path(GOLDEN, GOLDEN_DAY, float(sun.clock_h[k]))
    light = plane_light(Plane(tilt_deg=90.0), noon, sky_light(800.0, 100.0, 600.0), ground_reflectance=0.2)
    assert light.sky_W_m2[0] == pytest.approx(50.0)
    assert light.ground_W_m2[0] == pytest.approx(60.0)
    assert light.total_W_m2 == pytest.approx(light.beam_W_m2 + light.sky_W_m2 + light.ground_W_m2)


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"tilt_deg": -1.0}, "Leave the minus out"),
        ({"tilt_deg": 181.0}, "tilt_deg is in degrees"),
        ({"azimuth_deg": -90.0}, "Add or take away 360"),
        ({"origin_m": (0.0, 0.0)}, "3 finite coordinates"),
        ({"origin_m": (0.0, 0.0, 1e6)}, "from -10000 to 10000"),
    ],
)
def test_a_plane_that_cannot_be_is_refused(wrong, told):
    with pytest.raises(SkyError, match=told):
        Plane(**{"tilt_deg": 30.0, **wrong})


def test_a_reflectance_in_per_cent_is_told_as_a_share():
    sun = whole_day()
    with pytest.raises(SkyError, match=r"0\.2 for 20 %"):
        plane_light(Plane(tilt_deg=30.0), sun, clear_sky(sun), ground_reflectance=20.0)


def test_times_that_do_not_match_are_refused():
    with pytest.raises(SkyError, match="as many as the others"):
        plane_light(Plane(tilt_deg=30.0), whole_day(), clear_sky(whole_day(step_min=60.0)))
