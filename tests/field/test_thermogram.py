"""Pictures by an infrared camera: cells averaged over pixels, with what a camera adds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pvsim.array import (
    ArraySolution,
    Place,
    module_positions,
    paint,
    roof_rectangles,
    set_weather,
    solve_array,
)
from pvsim.errors import ScenarioError
from pvsim.field import CameraSettings, Thermogram, read_often, take_thermogram
from pvsim.field.kit import CAMERA
from pvsim.files import read_demo

ROOF = read_demo("workshop")
SHADED = Place(2, 3, cell=25)
CLEAR = CameraSettings(emissivity_limit=0.0, pitch_m=0.02)


@pytest.fixture(scope="module")
def shaded() -> ArraySolution:
    return solve_array(paint(ROOF, [SHADED], 0.3))


def pixel(picture: Thermogram, solution: ArraySolution, cell: int) -> float:
    """What is shown in the middle of a cell."""
    left, top, right, bottom = roof_rectangles(solution.scenario)[cell]
    row = int(((top + bottom) / 2 - picture.top_m) / picture.pitch_m)
    column = int(((left + right) / 2 - picture.left_m) / picture.pitch_m)
    return float(picture.temperature_C[row, column])


def test_cells_are_seen_as_warm_as_they_are_but_for_the_cameras_own_error(shaded: ArraySolution) -> None:
    picture = take_thermogram(shaded, serial=3, settings=CLEAR)
    true = shaded.cells.steady_temperature_K - 273.15
    seen = np.array([pixel(picture, shaded, cell) for cell in range(len(true))])
    off = seen - true
    assert abs(off.mean()) <= 2.0  # the stated limit: one error for the whole picture
    one = CAMERA.ranges[0]
    assert off.std() == pytest.approx(np.hypot(one.noise, one.step / np.sqrt(12.0)), rel=0.1)
    assert seen[shaded.cell_index(SHADED)] > np.delete(seen, shaded.cell_index(SHADED)).max() + 5.0


def test_the_roof_beside_the_modules_is_as_warm_as_the_air(shaded: ArraySolution) -> None:
    picture = take_thermogram(shaded, serial=3, settings=replace(CLEAR, margin_m=0.2))
    corner = picture.temperature_C[:5, :5]
    assert corner.mean() == pytest.approx(picture.air_C, abs=2.1)
    assert corner.std() < 0.2


def test_coarse_pixels_lose_the_hot_cell_but_no_radiation() -> None:
    solution = solve_array(paint(read_demo("single-module"), [Place(1, 1, cell=25)], 0.3))
    own_K = read_often(CAMERA, np.full(20_000, 20.0), serial=3, number=np.arange(20_000)).value.mean() - 20.0
    sums, hottest = [], []
    for pitch_m in (0.01, 0.05, 0.4):
        settings = CameraSettings(emissivity_limit=0.0, pitch_m=pitch_m, margin_m=0.4)
        picture = take_thermogram(solution, serial=3, settings=settings)
        T, air = picture.temperature_C - own_K + 273.15, picture.air_C + 273.15
        sums.append(((T**4 - air**4) * pitch_m**2).sum())  # of what the module sends beyond the roof
        hottest.append(picture.temperature_C.max())
    true = solution.cells.steady_temperature_K
    left, top, right, bottom = module_rectangle(solution)
    kind = (right - left) * (bottom - top)
    assert sums[0] == pytest.approx(kind * ((true**4).mean() - air**4), rel=0.01)
    assert sums[1] == pytest.approx(sums[0], rel=0.01)
    assert sums[2] == pytest.approx(sums[0], rel=0.02)
    assert hottest[0] + 0.5 >= hottest[1] > hottest[2] + 2.0


def module_rectangle(solution: ArraySolution) -> tuple[float, float, float, float]:
    (one,) = module_positions(solution.scenario)
    return one.x_m, one.y_m, one.x_m + one.width_m, one.y_m + one.height_m


def test_a_wrong_emissivity_shows_what_the_radiation_is_taken_for() -> None:
    solution = solve_array(ROOF)
    right, wrong = (
        take_thermogram(solution, Place(1, 1), serial=3, settings=replace(CLEAR, emissivity=e))
        for e in (0.9, 0.6)
    )
    own_C = right.temperature_C.max() - (solution.cells.steady_temperature_K.max() - 273.15)
    T, air = solution.cells.steady_temperature_K[0], right.air_C + 273.15
    # Stefan and Boltzmann: what comes is 0.9 T^4 + 0.1 Ta^4, and is taken for 0.6 T^4 + 0.4 Ta^4.
    seen = ((0.9 * T**4 + 0.1 * air**4 - 0.4 * air**4) / 0.6) ** 0.25 - 273.15
    assert pixel(wrong, solution, 0) == pytest.approx(seen + own_C, abs=0.7)
    assert seen > T - 273.15 + 8.0


def test_wind_cools_what_is_seen() -> None:
    calm, windy = (
        take_thermogram(solve_array(set_weather(ROOF, wind_m_s=wind)), Place(1, 1), serial=3, settings=CLEAR)
        for wind in (0.5, 6.0)
    )
    assert calm.temperature_C.max() > windy.temperature_C.max() + 8.0
    assert (calm.wind_m_s, windy.wind_m_s) == (0.5, 6.0)


def test_the_stated_uncertainties_are_the_spread_of_many_cameras(shaded: ArraySolution) -> None:
    settings = CameraSettings(pitch_m=0.05)
    many = [take_thermogram(shaded, Place(2, 3), serial=serial, settings=settings) for serial in range(400)]
    hot = np.array([pixel(one, shaded, shaded.cell_index(SHADED)) for one in many])
    assert hot.std() == pytest.approx(many[0].uncertainty_K, rel=0.15)
    cool = np.array([np.median(one.temperature_C) for one in many])
    assert (hot - cool).std() < many[0].uncertainty_K
    assert (hot - cool).std() < 2.0 * many[0].contrast_uncertainty_K


def test_the_same_camera_takes_the_same_picture(shaded: ArraySolution) -> None:
    first, again = (take_thermogram(shaded, Place(2, 3), serial=5, number=2) for _ in range(2))
    np.testing.assert_array_equal(first.temperature_C, again.temperature_C)
    other = take_thermogram(shaded, Place(2, 3), serial=5, number=3)
    assert (first.temperature_C != other.temperature_C).mean() > 0.3


def test_what_cannot_be_a_picture_is_refused(shaded: ArraySolution) -> None:
    with pytest.raises(ScenarioError, match="pixels"):
        take_thermogram(shaded, serial=1, settings=CameraSettings(pitch_m=0.001))
    for wrong in ({"pitch_m": 0.0}, {"emissivity": 1.1}, {"emissivity": float("nan")}, {"margin_m": -1.0}):
        with pytest.raises(ScenarioError, match="of the camera settings is"):
            CameraSettings(**wrong)
    with pytest.raises(ScenarioError, match="does not exist"):
        take_thermogram(shaded, Place(3), serial=1)
    with pytest.raises(ScenarioError, match="serial of the reading"):
        take_thermogram(shaded, serial=-1)
