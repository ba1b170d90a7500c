"""Radiation and air: Faiman's line near usual work, far less heat above it than the line has."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from pvsim.array import Weather
from pvsim.array.cooling import (
    ABSORBED_SHARE,
    EFFICIENCY_AT_WORK,
    U0_W_m2_K,
    U1_W_s_m3_K,
    air_coefficient,
    fit_to_usual_work,
    heat_loss,
    radiated,
)
from pvsim.array.heat import COLDEST_K, HOTTEST_K, steady_range, steady_temperature

LINE_W_m2_K = (ABSORBED_SHARE - EFFICIENCY_AT_WORK) * (U0_W_m2_K + U1_W_s_m3_K)  # at 1 m/s


def settled_C(heat_W_m2: float, *, air_C: float = 20.0, wind_m_s: float = 1.0) -> float:
    weather = Weather(ambient_temperature_C=air_C, wind_m_s=wind_m_s)
    return float(steady_temperature(weather, np.zeros(1), np.array([-heat_W_m2]))[0]) - 273.15


@pytest.mark.parametrize("wind_m_s", [0.0, 0.5, 1.0, 3.0, 10.0])
def test_a_module_at_usual_work_is_as_warm_as_faimans_line_says(wind_m_s: float) -> None:
    rise = 1000.0 / (U0_W_m2_K + U1_W_s_m3_K * wind_m_s)  # D. Faiman 2008, coefficients from memory
    assert settled_C(770.0, wind_m_s=wind_m_s) == pytest.approx(20.0 + rise, abs=0.01)


@pytest.mark.parametrize("G", [200.0, 500.0, 800.0])
@pytest.mark.parametrize("air_C", [0.0, 20.0, 35.0])
def test_in_less_sun_and_other_air_the_line_is_missed_by_a_few_kelvin(G: float, air_C: float) -> None:
    line_C = air_C + G / (U0_W_m2_K + U1_W_s_m3_K)
    assert settled_C(0.77 * G, air_C=air_C) == pytest.approx(line_C, abs=2.5)


@pytest.mark.parametrize(
    ("line_C", "other_C"),
    # Recomputed by another hand with T^4 radiation and natural convection, fitted to the same 48
    # degrees C: what a straight line to a hot cell printed, and what comes out instead.
    [(262.0, 178.0), (274.0, 183.0), (200.0, 149.0)],
)
def test_a_hot_cell_is_far_below_the_straight_line(line_C: float, other_C: float) -> None:
    heat = (line_C - 20.0) * LINE_W_m2_K
    assert settled_C(heat) == pytest.approx(other_C, abs=6.0)
    weather = Weather(ambient_temperature_C=20.0, wind_m_s=1.0)
    least, most = steady_range(weather, np.zeros(1), np.array([-heat]))
    assert least[0] - 273.15 < other_C < most[0] - 273.15
    assert most[0] - 273.15 < line_C


@pytest.mark.parametrize("heat_W_m2", [770.0, 2000.0, 6000.0])
@pytest.mark.parametrize(("air_C", "wind_m_s"), [(20.0, 1.0), (20.0, 0.0), (-10.0, 4.0), (40.0, 0.5)])
def test_another_reckoning_with_other_air_data_agrees(
    heat_W_m2: float, air_C: float, wind_m_s: float
) -> None:
    # Air by D. M. Sutherland's law and its like for the conductivity (US Standard Atmosphere 1976,
    # from memory) in place of the table; the root by Brent's method in place of a table's inverse.
    def air(T: float) -> tuple[float, float, float]:
        density, mu = 101_325.0 / 287.05 / T, 1.458e-6 * T**1.5 / (T + 110.4)
        k = 2.64638e-3 * T**1.5 / (T + 245.4 * 10.0 ** (-12.0 / T))
        return mu / density, k, k / (density * 1007.0)

    def h(T: float, Ta: float) -> float:
        nu, k, alpha = air(0.5 * (T + Ta))
        Pr, Ra = nu / alpha, 9.81 * 2.0 / (T + Ta) * abs(T - Ta) / nu / alpha
        rising = (
            0.68
            if Ra == 0.0
            else ((0.825 + 0.387 * Ra ** (1 / 6) / (1 + (0.492 / Pr) ** (9 / 16)) ** (8 / 27)) ** 2)
        )
        blown = 0.037 * (wind_m_s / nu) ** 0.8 * Pr ** (1 / 3)
        return k * (rising**3 + blown**3) ** (1 / 3)

    def loss(T: float, Ta: float, c: float) -> float:
        return 1.8 * 5.670374e-8 * (T**4 - Ta**4) + c * h(T, Ta) * (T - Ta)

    usual = 293.15 + 1000.0 / (25.0 + 6.84 * wind_m_s)
    c = (770.0 - loss(usual, 293.15, 0.0)) / h(usual, 293.15) / (usual - 293.15)
    Ta = air_C + 273.15
    T = brentq(lambda T: loss(T, Ta, c) - heat_W_m2, Ta, 900.0)
    assert settled_C(heat_W_m2, air_C=air_C, wind_m_s=wind_m_s) == pytest.approx(T - 273.15, abs=1.0)


def test_the_air_rising_along_a_warm_plate_is_as_the_correlation_has_it() -> None:
    # A vertical plate of 1 m at 60 degrees C in still air of 20: 4.69 W/(m2 K) by Churchill and
    # Chu with air at 313 K (nu 17.2e-6 m2/s, Pr 0.705, k 0.0272 W/(m K)); reckoned by hand.
    assert air_coefficient(np.array([333.15]), 293.15, 0.0)[0] == pytest.approx(4.69, abs=0.03)


def test_what_faimans_line_asks_of_the_air_is_near_what_the_correlations_give() -> None:
    for wind_m_s in (0.0, 0.5, 1.0, 2.0, 5.0, 10.0):
        assert 0.7 <= fit_to_usual_work(wind_m_s) <= 1.0


@given(st.floats(-60.0, 70.0), st.floats(0.0, 60.0))
def test_a_warmer_module_loses_more(air_C: float, wind_m_s: float) -> None:
    T = np.linspace(COLDEST_K, HOTTEST_K, 400)
    air_K = air_C + 273.15
    loss = heat_loss(T, air_K, wind_m_s)
    assert np.diff(loss).min() > 0.0
    assert (np.sign(loss) == np.sign(T - air_K)).all()


def test_black_surfaces_radiate_by_the_fourth_power() -> None:
    # Stefan and Boltzmann: 418.7 W/m2 at 293.15 K; both sides at 0.9 of it, against cold space.
    assert radiated(np.array([293.15]), 0.0)[0] == pytest.approx(2 * 0.9 * 418.75, rel=1e-4)
