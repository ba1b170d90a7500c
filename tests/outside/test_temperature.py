"""Temperature: De Soto's ratios, the thermal voltage and what theory says of Voc.

Sources: W. De Soto, S. A. Klein, W. A. Beckman, Solar Energy 80 (2006) 78-88, equations from
memory, gap 1.121 eV and 0.0002677 per K as quoted elsewhere; Applied Photovoltaics,
equations 3.10 to 3.13, p. 50; CODATA 2019.
"""

from __future__ import annotations

from math import exp, log

import pytest

from pvsim.circuit import Cell, CellType, solve
from pvsim.circuit.leaf import (
    band_gap,
    leaf_of,
    saturation_ratio,
    thermal_voltage,
)


def cell_type(saturation_current_A: float, *, ideality: float = 1.0, rise_per_K: float = 0.0) -> CellType:
    return CellType(
        photocurrent_A=8.0,
        saturation_current_A=saturation_current_A,
        ideality=ideality,
        series_resistance_ohm=0.0,
        shunt_resistance_ohm=1e7,
        photocurrent_coefficient_per_K=rise_per_K,
    )


@pytest.mark.parametrize(("temperature_C", "mV"), [(25.0, 25.69258), (33.0, 26.38197), (45.0, 27.41605)])
def test_the_thermal_voltage_is_kT_over_q(temperature_C: float, mV: float) -> None:
    assert 1000.0 * thermal_voltage(temperature_C + 273.15) == pytest.approx(mV, abs=5e-6)  # digits printed


@pytest.mark.parametrize(
    ("temperature_C", "gap_eV", "ratio"),
    [
        pytest.param(0.0, 1.1285023, 0.0103084, id="0-C"),
        pytest.param(25.0, 1.121, 1.0, id="25-C"),
        pytest.param(50.0, 1.1134977, 48.737, id="50-C"),
        pytest.param(65.0, 1.1089963, 384.06, id="65-C"),
    ],
)
def test_gap_and_saturation_current_follow_de_soto(temperature_C: float, gap_eV: float, ratio: float) -> None:
    silicon, T = cell_type(1e-10), temperature_C + 273.15
    assert band_gap(silicon, T) == pytest.approx(gap_eV, abs=5e-8)
    assert saturation_ratio(silicon, T) == pytest.approx(ratio, rel=1e-4)  # digits printed
    hot = leaf_of(Cell(type=silicon, temperature_K=T)).junction.saturation_current_A
    assert hot == pytest.approx(1e-10 * ratio, rel=1e-4)


def test_photocurrent_follows_irradiance_and_temperature() -> None:
    # IL = G/Gref (IL,ref + alpha dT).
    lit = Cell(type=cell_type(1e-10, rise_per_K=0.0006), irradiance_W_m2=500.0, temperature_K=328.15)
    assert leaf_of(lit).source_A == pytest.approx(0.5 * 8.0 * (1.0 + 0.0006 * 30.0), rel=1e-14)


@pytest.mark.parametrize("voc_V", [0.55, 0.60, 0.65, 0.70])
def test_open_circuit_voltage_falls_as_theory_says(voc_V: float) -> None:
    # dVoc/dT = -(Vg0 - Voc + 3 kT/q) / T, Vg0 the gap extended in a straight line to 0 K.
    T, Vt = 298.15, thermal_voltage(298.15)
    silicon = cell_type(8.0 / (exp(voc_V / Vt) - 1.0))
    warm, cold = (solve(Cell(type=silicon, temperature_K=T + dT)).voc_V for dT in (0.05, -0.05))
    slope = (warm - cold) / 0.1
    Vg0 = 1.121 * (1.0 + 0.0002677 * T)
    assert slope == pytest.approx(-(Vg0 - voc_V + 3.0 * Vt) / T, rel=1e-4)  # of the difference quotient
    # Applied Photovoltaics with Vg0 = 1.2 V at 300 K: -2.425, -2.259, -2.092, -1.925 mV/K.
    textbook = {0.55: -2.425e-3, 0.60: -2.259e-3, 0.65: -2.092e-3, 0.70: -1.925e-3}[voc_V]
    assert slope == pytest.approx(textbook, rel=0.03)  # another gap, and 2 K


def test_halving_the_light_costs_17_8_mV_a_cell() -> None:
    # n = 1, 25 degrees C: (kT/q) ln 2 = 17.809 mV; 59.159 mV a decade.
    cells = [solve(Cell(type=cell_type(1e-10), irradiance_W_m2=G)).voc_V for G in (1000.0, 500.0, 100.0)]
    assert 1000.0 * (cells[0] - cells[1]) == pytest.approx(17.809, abs=1e-3)
    assert 1000.0 * (cells[0] - cells[2]) == pytest.approx(59.159, abs=1e-3)
    assert 1000.0 * thermal_voltage(298.15) * log(2.0) == pytest.approx(17.809, abs=5e-4)
