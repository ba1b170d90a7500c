"""Bypass and blocking diodes from data-sheet points.

Sources: public data sheets of a 45 V, 20 A axial type (VF at most 0.55 V at 20 A) and of
a 45 V, 15 A dual type (per leg 0.55 V at 7.5 A, 25 degrees C; 0.51 V at 125 degrees C).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from pvsim.circuit import diode_from_forward_drop, operate
from pvsim.errors import CircuitError


@pytest.mark.parametrize(
    ("series_ohm", "saturation_A", "at_8_A"),
    [
        # Is = IF / (exp((VF - IF Rd)/(n Vt)) - 1) at n = 1.05, recomputed by another program.
        pytest.param(0.0, 2.798e-8, 0.525, id="ideal"),
        pytest.param(0.005, 1.139e-6, 0.465, id="5-mohm"),
        pytest.param(0.010, 4.640e-5, 0.405, id="10-mohm"),
    ],
)
def test_a_forward_drop_gives_the_saturation_current(
    series_ohm: float, saturation_A: float, at_8_A: float
) -> None:
    diode = diode_from_forward_drop(0.55, 20.0, series_resistance_ohm=series_ohm)
    assert diode.saturation_current_A == pytest.approx(saturation_A, rel=5e-4)  # digits printed
    assert -operate(diode, current_A=20.0).voltage_V == pytest.approx(0.55, abs=1e-6)  # leakage of 1e6 ohm
    assert -operate(diode, current_A=8.0).voltage_V == pytest.approx(at_8_A, abs=5e-4)  # digits printed


def test_the_drop_falls_and_the_leakage_rises_with_temperature() -> None:
    cold = diode_from_forward_drop(0.55, 7.5, series_resistance_ohm=0.0175)
    hot = replace(cold, temperature_K=398.15)
    drops = [-operate(diode, current_A=7.5).voltage_V for diode in (cold, hot)]
    # The data sheet falls by 0.04 V as a maximum; a constant Rd makes the model fall more.
    assert 0.04 <= drops[0] - drops[1] <= 0.25
    leak = [-operate(diode, voltage_V=10.0).current_A for diode in (cold, hot)]
    assert leak[1] > 100.0 * leak[0] > 0.0


def test_a_bypass_diode_drops_a_few_tenths_of_a_volt_at_module_current() -> None:
    diode = diode_from_forward_drop(0.55, 20.0, series_resistance_ohm=0.005)
    for current_A in (8.0, 9.0, 10.0):
        assert 0.3 <= -operate(diode, current_A=current_A).voltage_V <= 0.6  # plausible range


def test_a_point_the_series_resistance_takes_up_alone_is_refused() -> None:
    with pytest.raises(CircuitError, match=r"drop of 0\.5 V at 10 A leaves.*Lower series_resistance_ohm"):
        diode_from_forward_drop(0.5, 10.0, series_resistance_ohm=0.06)
