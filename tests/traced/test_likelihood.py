"""The likelihood is that of a normal distribution, whatever the way it is reckoned."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.traced.likelihood import (
    GAIN_CURRENT,
    GAIN_VOLTAGE,
    SHIFT_VOLTAGE,
    Measured,
    Modelled,
    likelihood,
)

V = np.linspace(0.0, 20.0, 30)
MODEL = 8.0 - 8.0 * (V / 20.0) ** 8
SLOPE = 8.0 * 8.0 / 20.0 * (V / 20.0) ** 7


def measured(current_A):
    return Measured(voltage_V=V, current_A=current_A, noise_V=0.05, noise_A=0.04, isc_A=8.0, voc_V=20.0)


def modelled():
    return Modelled(current_A=MODEL[None], slope_A_per_V=SLOPE[None], shift_A_per_V=SLOPE[None])


def test_it_is_the_density_of_a_normal_distribution_with_the_whole_covariance():
    I = MODEL + 0.05 * np.sin(V)
    found = likelihood(measured(I), modelled(), smooth=0.0)
    shared = np.stack([GAIN_CURRENT * MODEL, GAIN_VOLTAGE * V * SLOPE, SHIFT_VOLTAGE * 20.0 * SLOPE], axis=1)
    covariance = np.diag(0.04**2 + (SLOPE * 0.05) ** 2) + shared @ shared.T
    missed = I - MODEL
    chi_square = missed @ np.linalg.solve(covariance, missed)
    exact = -0.5 * (chi_square + np.linalg.slogdet(2.0 * np.pi * covariance)[1])
    # Distances from the curve in shares of both axes, in place of currents: a change of measure alone.
    scale = 0.5 * np.log((1.0 + (SLOPE * 20.0 / 8.0) ** 2) * 8.0**2).sum() + 0.5 * V.size * np.log(
        2.0 * np.pi
    )
    assert found.log[0] == pytest.approx(exact + scale, abs=1e-8)
    assert found.chi_square[0] == pytest.approx(chi_square, rel=1e-9)


def test_what_all_points_share_counts_once_and_what_they_do_not_counts_each():
    gain = likelihood(measured(1.01 * MODEL), modelled(), smooth=0.0).chi_square[0]
    rng = np.random.default_rng(1)
    noise = likelihood(measured(MODEL + 0.08 * rng.standard_normal(V.size)), modelled(), smooth=0.0)
    assert gain < 1.0  # one standard uncertainty of the gain
    assert noise.chi_square[0] > V.size


def test_a_smooth_deviation_is_likelier_with_waves_and_noise_is_not():
    smooth = measured(MODEL + 0.2 * np.cos(np.pi * V / 10.0))
    rough = measured(MODEL)
    for one, better in ((smooth, True), (rough, False)):
        without, beside = (likelihood(one, modelled(), smooth=waves).log[0] for waves in (1e-4, 0.02))
        assert (beside > without) == better
