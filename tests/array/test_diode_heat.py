"""A diode's junction: power times thermal resistance, by the figures of a public data sheet."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log

import pytest

from pvsim.array.catalogue import BYPASS_DIODE
from pvsim.array.diode_heat import (
    BOX_K,
    TO_CASE_K_W,
    TO_STILL_AIR_K_W,
    forward_heat_W,
    junction_rise_K,
)
from pvsim.circuit import operate


def by_hand_W(current_A: float, kelvin: float) -> float:
    """Heat of the catalogue's diode; Is goes as T^2 exp(-barrier / n k T) (a Schottky contact)."""
    k_eV = 8.617333e-5
    cold, warm = 0.7 / (1.05 * k_eV * 298.15), 0.7 / (1.05 * k_eV * kelvin)
    saturation_A = 4.64e-5 * (kelvin / 298.15) ** 2 * exp(cold - warm)
    return current_A * (1.05 * k_eV * kelvin * log(current_A / saturation_A + 1.0) + 0.010 * current_A)


@pytest.mark.parametrize("resistance_K_W", [TO_CASE_K_W, TO_STILL_AIR_K_W])
@pytest.mark.parametrize("current_A", [0.1, 3.0, 7.74, 12.0])
def test_the_junction_is_as_warm_as_the_heat_it_makes_at_that_warmth(
    current_A: float, resistance_K_W: float
) -> None:
    rise = junction_rise_K(BYPASS_DIODE, current_A, resistance_K_W)
    assert rise == pytest.approx(resistance_K_W * by_hand_W(current_A, BOX_K + rise), rel=1e-5)


def test_its_heat_is_that_of_the_circuit() -> None:
    for kelvin in (298.15, 350.0, 420.0):
        point = operate(replace(BYPASS_DIODE, temperature_K=kelvin), current_A=7.74)
        assert forward_heat_W(BYPASS_DIODE, 7.74, kelvin) == pytest.approx(-point.power_W, rel=1e-6)


def test_a_warm_diode_is_far_cooler_than_the_heat_of_a_cold_one_says() -> None:
    """The fault that was: 3.1 W of a diode at 25 degrees C, times 40 K/W, 125 K."""
    cold = TO_STILL_AIR_K_W * forward_heat_W(BYPASS_DIODE, 7.74, 298.15)
    assert cold == pytest.approx(124.5, abs=0.5)
    assert junction_rise_K(BYPASS_DIODE, 7.74, TO_STILL_AIR_K_W) == pytest.approx(70.0, abs=0.5)


def test_how_warm_it_was_taken_to_be_does_not_matter() -> None:
    warm = replace(BYPASS_DIODE, temperature_K=380.0)
    assert junction_rise_K(warm, 5.0, TO_STILL_AIR_K_W) == junction_rise_K(
        BYPASS_DIODE, 5.0, TO_STILL_AIR_K_W
    )


def test_a_blocking_diode_is_not_warmed_and_none_is_cooled() -> None:
    assert junction_rise_K(BYPASS_DIODE, 0.0, TO_STILL_AIR_K_W) == 0.0
    assert junction_rise_K(BYPASS_DIODE, -1e-4, TO_STILL_AIR_K_W) == 0.0
