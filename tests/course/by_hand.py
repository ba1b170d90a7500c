"""A few lines of numpy that reckon cells, substrings and strings without the solver.

Curves are tabulated over the junction's voltage and read by interpolation; nothing is iterated.
Sources: J. W. Bishop, Solar Cells 25 (1988) 73-89; W. De Soto and others, Solar Energy 80 (2006) 78-88.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit.cell import CellType
from pvsim.circuit.diode import Diode

Floats = NDArray[np.float64]

KELVIN_25 = 298.15
VOLT_PER_KELVIN = 8.617333e-5  # k / q


@lru_cache(maxsize=512)
def curve(cell: CellType, light: float, warmer_K: float) -> tuple[Floats, Floats]:
    """Voltages of a cell, falling, and its currents there, rising."""
    kelvin = KELVIN_25 + warmer_K
    gap_eV = cell.band_gap_eV * (1 - cell.band_gap_coefficient_per_K * warmer_K)
    cold, warm = cell.band_gap_eV / (VOLT_PER_KELVIN * KELVIN_25), gap_eV / (VOLT_PER_KELVIN * kelvin)
    saturation_A = cell.saturation_current_A * (kelvin / KELVIN_25) ** 3 * np.exp(cold - warm)
    vbr, scale = cell.breakdown_voltage_V, cell.ideality * VOLT_PER_KELVIN * kelvin
    v = np.concatenate([vbr * (1 - np.geomspace(1e-7, 0.999, 8_000)), np.linspace(0.001 * vbr, 0.9, 12_000)])
    breakdown = 1 + cell.breakdown_fraction * (1 - v / vbr) ** -cell.breakdown_exponent
    photo_A = cell.photocurrent_A * light * (1 + cell.photocurrent_coefficient_per_K * warmer_K)
    i = photo_A - saturation_A * np.expm1(v / scale) - v / cell.shunt_resistance_ohm * breakdown
    order = np.argsort(i)
    return (v - i * cell.series_resistance_ohm)[order], i[order]


def cell_voltage(cell: CellType, current_A: Floats, light: float = 1.0, warmer_K: float = 0.0) -> Floats:
    """Voltage of a cell at these currents, with a share of full sun, so much above 25 degrees C."""
    volts, amps = curve(cell, light, warmer_K)
    return np.interp(current_A, amps, volts)


def forward_voltage(diode: Diode, current_A: Floats, warmer_K: float = 0.0) -> Floats:
    """Voltage across a conducting diode, so much above 25 degrees C; Is by the A T^2 law."""
    kelvin, barrier_K = KELVIN_25 + warmer_K, diode.barrier_eV / diode.ideality / VOLT_PER_KELVIN
    rising = (kelvin / KELVIN_25) ** 2 * np.exp(barrier_K / KELVIN_25 - barrier_K / kelvin)
    across = (
        diode.ideality
        * VOLT_PER_KELVIN
        * kelvin
        * np.log1p(current_A / (diode.saturation_current_A * rising))
    )
    return across + current_A * diode.series_resistance_ohm


def row_voltage(cell: CellType, current_A: Floats, lights: Iterable[float], warmer_K: float = 0.0) -> Floats:
    """Voltage of cells in series, each with its share of full sun; equal ones are reckoned once."""
    shares = list(lights)
    return sum(
        (shares.count(one) * cell_voltage(cell, current_A, one, warmer_K) for one in sorted(set(shares))),
        np.zeros_like(current_A),
    )


def substring_voltage(cell: CellType, diode: Diode, current_A: Floats, lights: Iterable[float]) -> Floats:
    """The same cells with a bypass diode across them."""
    through = np.linspace(0.0, 1.02 * cell.photocurrent_A, 8_001)
    across = row_voltage(cell, through, lights)
    amps = np.linspace(0.0, 2 * cell.photocurrent_A, 8_001)
    around = np.interp(np.maximum(-across, 0.0), forward_voltage(diode, amps), amps)
    return np.interp(current_A, through + around, across)


def pair_voltage(cell: CellType, current_A: Floats, *rows: Iterable[float]) -> Floats:
    """Rows side by side, each by its lights, while they give voltage."""
    through = np.linspace(-cell.photocurrent_A, cell.photocurrent_A, 16_001)
    volts = np.linspace(0.0, 20.0, 8_001)
    amps = sum(np.interp(-volts, -row_voltage(cell, through, lights), through) for lights in rows)
    return np.interp(-current_A, -amps, volts)


def greatest_power(voltage_V: Floats, current_A: Floats) -> tuple[float, float]:
    """Power and voltage at the top of a characteristic."""
    at = int(np.argmax(voltage_V * current_A))
    return float(voltage_V[at] * current_A[at]), float(voltage_V[at])
