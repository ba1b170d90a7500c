"""Heat: Faiman's law, the heat of electrical power, and the feedback."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvsim.array import (
    Operation,
    Place,
    Weather,
    paint,
    set_light,
    set_operation,
    set_weather,
    solve_array,
)
from pvsim.array.cooling import ABSORBED_SHARE, heat_loss
from pvsim.array.heat import HOTTEST_K, power_per_area, steady_range, steady_temperature
from pvsim.array.heat_feedback import SETTLED_K
from pvsim.array.losses import loss_account
from tests.array.samples import faulty, scenario
from tests.array.strategies import random_arrays
from tests.workshop_roof import workshop_roof

ROUNDED = 0.006  # temperatures of a circuit are rounded to 0.01 K


def feedback(start, **weather):
    return set_weather(start, heat="feedback", **weather)


@pytest.mark.parametrize(
    ("G", "ambient", "wind", "T"),
    [
        # Worked from D. Faiman, Prog. Photovolt. 16 (2008) 307: T = Ta + G / (25 + 6.84 v).
        (1000.0, 20.0, 1.0, 51.407),
        (1000.0, 20.0, 0.0, 60.0),
        (0.0, -5.0, 3.0, -5.0),
    ],
)
def test_cells_at_work_are_as_warm_as_faiman_says(G: float, ambient: float, wind: float, T: float) -> None:
    weather = Weather(ambient_temperature_C=ambient, wind_m_s=wind, heat="steady")
    start = set_weather(set_light(scenario(1), irradiance_W_m2=G), weather)
    assert solve_array(start).cells.temperature_K[0] - 273.15 == pytest.approx(T, abs=ROUNDED)


def test_fixed_temperature_is_what_the_circuit_gets() -> None:
    solution = solve_array(set_weather(scenario(1), cell_temperature_C=61.5))
    assert solution.cells.temperature_K == pytest.approx(61.5 + 273.15, abs=1e-9)


def test_a_cell_that_delivers_nothing_is_warmer_than_one_at_work() -> None:
    working = solve_array(feedback(scenario(2)))
    idle = solve_array(feedback(set_operation(scenario(2), "current", 0.0)))
    p = power_per_area(working.index, working.cells.power_W, working.built.active_fraction)
    more = [heat_loss(one.cells.temperature_K, 293.15, 1.0) for one in (idle, working)]
    assert more[0] - more[1] == pytest.approx(p, abs=30.0 * 2 * SETTLED_K)  # some 30 W/(m2 K)
    assert (idle.cells.temperature_K - working.cells.temperature_K).min() > 4.0


def test_after_feedback_light_power_and_temperature_agree() -> None:
    solution = solve_array(feedback(paint(scenario(4), [Place(1, 2, 5)], 0.4)))
    p = power_per_area(solution.index, solution.cells.power_W, solution.built.active_fraction)
    T = steady_temperature(solution.scenario.weather, solution.cells.irradiance_W_m2, p)
    assert np.abs(T - solution.cells.temperature_K).max() < SETTLED_K
    np.testing.assert_array_equal(T, solution.cells.steady_temperature_K)
    assert solution.heat_rounds > 1


def test_a_cell_that_eats_power_is_the_hottest_and_light_alone_would_make_it_the_coolest() -> None:
    shaded = paint(scenario(8), [Place(1, 2, 5)], 0.5)
    hot = solve_array(feedback(shaded))
    at = hot.cell_index(Place(1, 2, 5))
    assert hot.cells.power_W[at] < 0.0
    assert hot.cells.temperature_K.argmax() == at
    by_light = solve_array(set_weather(shaded, heat="steady"))
    assert by_light.cells.temperature_K.argmin() == at
    assert by_light.cells.steady_temperature_K.argmax() == at


def test_wind_cools() -> None:
    calm, windy = (solve_array(feedback(scenario(2), wind_m_s=v)) for v in (0.0, 8.0))
    assert windy.cells.temperature_K.max() < calm.cells.temperature_K.min() - 20.0
    assert windy.power_W > calm.power_W


def test_what_a_cracked_cell_eats_heats_the_part_that_works() -> None:
    cracked = faulty(scenario(8), ("cell-cracked", "1/2/5", 0.5))
    solution = solve_array(cracked)
    at = solution.cell_index(Place(1, 2, 5))
    eaten_W = -solution.cells.power_W[at]
    assert eaten_W > 50.0
    half_m2 = 0.5 * 0.166**2
    heat = ABSORBED_SHARE * 1000.0 + eaten_W / half_m2
    loss = heat_loss(solution.cells.steady_temperature_K[at : at + 1], 293.15, 1.0)
    assert loss[0] == pytest.approx(heat, rel=1e-4)
    whole = steady_temperature(
        solution.scenario.weather, np.array([1000.0]), np.array([-eaten_W / half_m2 / 2.0])
    )
    assert solution.cells.steady_temperature_K[at] > whole[0] + 40.0


def test_a_cell_at_work_is_known_to_some_5_K_and_a_hot_one_to_some_25() -> None:
    weather = Weather(ambient_temperature_C=20.0, wind_m_s=1.0)
    G = np.array([1000.0, 800.0])
    p = np.array([207.0, -150.0 / 0.166**2])  # at work; and 150 W eaten
    T = steady_temperature(weather, G, p)
    least, most = steady_range(weather, G, p)
    for down, up, (fewest, furthest) in zip(T - least, most - T, [(3.0, 7.5), (18.0, 32.0)], strict=True):
        assert fewest <= down <= furthest
        assert fewest <= up <= furthest
    night = steady_range(weather, np.array([0.0]), np.array([5.0]))  # cooler than the air
    assert night[0][0] < night[1][0] < 293.15


def test_heat_stops_where_solder_would_have_melted() -> None:
    weather = Weather(ambient_temperature_C=40.0, wind_m_s=0.0, heat="feedback")
    T = steady_temperature(weather, np.array([1000.0]), np.array([-50_000.0]))
    assert T[0] == HOTTEST_K


def test_equal_cells_stay_equal_through_the_feedback() -> None:
    solution = solve_array(feedback(paint(workshop_roof(), [Place(2, 5, 14)], 0.3)))
    assert len(np.unique(solution.cells.temperature_K)) < 12


@pytest.mark.parametrize("type", ["back-contact-72", "bare-60", "half-120", "shingled-360"])
@pytest.mark.parametrize("transmission", [0.0, 0.1, 0.5, 0.9])
def test_the_feedback_settles_with_a_shaded_cell_of_any_kind(type: str, transmission: float) -> None:
    start = paint(scenario(6, 6, type=type), [Place(1, 2, 5)], transmission)
    solution = solve_array(feedback(start, ambient_temperature_C=35.0, wind_m_s=0.0))
    assert solution.cells.temperature_K.max() <= HOTTEST_K


@settings(max_examples=25)  # each may take dozens of solves
@given(random_arrays(), st.sampled_from([Operation(), Operation("voltage", 0.0), Operation("load", 5.0)]))
def test_random_arrays_settle_wherever_they_are_held(start, operation: Operation) -> None:
    solution = solve_array(feedback(set_operation(start, operation)))
    assert np.isfinite(solution.cells.temperature_K).all()
    off = solution.cells.steady_temperature_K - solution.cells.temperature_K
    assert np.abs(off).max() < SETTLED_K


def test_a_maximum_that_comes_and_goes_with_the_heat_of_a_cell_still_settles() -> None:
    # While the cell eats power its heat makes the other maximum the greatest, and back.
    start = paint(scenario(6, 6, type="back-contact-72"), [Place(1, 2, 5)], 0.9)
    solution = solve_array(feedback(start, ambient_temperature_C=35.0, wind_m_s=0.0))
    best = solution.characteristic.mpp.power_W
    assert 0.95 * best < solution.power_W <= best * (1.0 + 1e-9)  # near the greatest, never above
    assert loss_account(solution).operation_W == pytest.approx(best - solution.power_W, abs=1e-6)
