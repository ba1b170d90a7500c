"""Power maxima from points that bracket them, on curves with known maxima."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from pvsim.circuit import PowerPoint
from pvsim.circuit.floats import Floats
from pvsim.circuit.peak import greatest, power_peaks


def straight(V: Floats) -> tuple[Floats, Floats]:
    """A source of 20 V behind 2 ohm: the most power is 50 W at 10 V."""
    return 10.0 - 0.5 * V, np.full(len(V), -0.5)


def stepped(V: Floats) -> tuple[Floats, Floats]:
    """8 A that fall by 3 A near 10 V and by 6 A near 20 V: a maximum before each fall."""
    low, high = np.tanh((V - 10.0) / 0.2), np.tanh((V - 20.0) / 0.3)
    I = 8.0 - 1.5 * (1.0 + low) - 3.0 * (1.0 + high)
    return I, -1.5 / 0.2 * (1.0 - low**2) - 3.0 / 0.3 * (1.0 - high**2)


def test_a_straight_line_gives_its_maximum_in_the_middle() -> None:
    V = np.linspace(-5.0, 30.0, 8)
    (peak,) = power_peaks(V, *straight(V), straight)
    assert peak.voltage_V == pytest.approx(10.0, rel=1e-8)  # dP/dV of 1e-9 I
    assert peak.current_A == pytest.approx(5.0, rel=1e-8)
    assert peak.power_W == pytest.approx(50.0, rel=1e-14)


def test_every_maximum_is_found_and_stationary() -> None:
    V = np.linspace(0.0, 25.0, 101)
    peaks = power_peaks(V, *stepped(V), stepped)
    for peak, bounds in zip(peaks, ((8.0, 11.0), (17.0, 21.0)), strict=True):
        found = minimize_scalar(
            lambda v: -v * float(stepped(np.array([v]))[0][0]),
            bounds=bounds,
            method="bounded",
            options={"xatol": 1e-9},
        )
        assert peak.power_W == pytest.approx(-found.fun, rel=1e-12)
        I, slope = stepped(np.array([peak.voltage_V]))
        assert I[0] + peak.voltage_V * slope[0] == pytest.approx(0.0, abs=1e-8 * peak.current_A)
        beside = peak.voltage_V + np.array([-1e-3, 1e-3])
        assert np.all(beside * stepped(beside)[0] < peak.power_W)


def test_the_order_of_the_points_does_not_matter() -> None:
    V = np.linspace(0.0, 25.0, 101)
    mixed = np.random.default_rng(1).permutation(V)
    assert power_peaks(mixed, *stepped(mixed), stepped) == power_peaks(V, *stepped(V), stepped)


def test_a_maximum_is_found_in_few_evaluations() -> None:
    asked: list[int] = []

    def counted(V: Floats) -> tuple[Floats, Floats]:
        asked.append(len(V))
        return stepped(V)

    V = np.linspace(0.0, 25.0, 101)
    power_peaks(V, *stepped(V), counted)
    assert set(asked) == {2}  # both brackets together
    assert len(asked) <= 12


def test_where_nothing_is_delivered_there_is_no_maximum() -> None:
    V = np.linspace(-5.0, 5.0, 21)
    assert power_peaks(V, -V, np.full(21, -1.0), straight) == ()
    assert greatest(()) == PowerPoint(voltage_V=0.0, current_A=0.0, power_W=0.0)


def test_the_greatest_is_the_one_of_most_power() -> None:
    V = np.linspace(0.0, 25.0, 101)
    peaks = power_peaks(V, *stepped(V), stepped)
    assert greatest(peaks) is max(peaks, key=lambda peak: peak.power_W)
