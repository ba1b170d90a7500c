"""Bounds of every number that a cell, a diode or a resistor is made of.

They are wider than any device, lumped modules and thought experiments included, and narrow enough that
no exponential overflows and no sum drowns in rounding: whatever lies within them can be solved, or ends
in a ConvergenceError. No source; the usual values beside each are common practice.
"""

from __future__ import annotations

from typing import Final, TypeAlias

Bounds: TypeAlias = dict[str, tuple[float, float]]

OPEN_RESISTANCE_ohm = 1e12  # an ideal break, kept finite so that voltages stay defined
SHORT_RESISTANCE_ohm = 1e-6  # an ideal bridge, kept finite so that currents stay defined
MOST_SHUNT_ohm = 1e7  # a thousand times the best cell; beyond it voltages drown in rounding
MOST_RESISTANCE_ohm = 1e9  # in series with a cell or diode; a burnt contact has some ohms

CELL_TYPE: Final[Bounds] = {
    "photocurrent_A": (0.0, 1e3),  # a large wafer has 20
    "saturation_current_A": (1e-30, 1.0),  # silicon 1e-12 to 1e-6, wide gaps far less
    "ideality": (0.5, 200.0),  # 1 to 2; 60 cells lumped into one have 60 times that
    "series_resistance_ohm": (0.0, MOST_RESISTANCE_ohm),
    "shunt_resistance_ohm": (1e-6, MOST_SHUNT_ohm),
    "breakdown_fraction": (0.0, 1.0),  # 0.001 to 0.2; a larger one would bend the forward branch
    "breakdown_voltage_V": (-1e4, -0.5),  # -40 to -10 a cell
    "breakdown_exponent": (1.0, 20.0),  # 2 to 4
    "second_saturation_current_A": (0.0, 1.0),
    "second_ideality": (0.5, 200.0),
    "photocurrent_coefficient_per_K": (-0.01, 0.01),  # 0.0005
    "band_gap_eV": (0.1, 4.0),  # silicon 1.12, gallium nitride 3.4
    "band_gap_coefficient_per_K": (-0.002, 0.002),  # 0.00027
}
CELL: Final[Bounds] = {
    "irradiance_W_m2": (0.0, 20_000.0),  # 1000; twenty suns under a lens
    "temperature_K": (150.0, 600.0),  # 240 to 360
    "active_fraction": (1e-6, 1.0),
    "extra_series_resistance_ohm": (0.0, MOST_RESISTANCE_ohm),
    "photocurrent_factor": (0.0, 10.0),  # 0.97 to 1.03
    "shunt_factor": (1e-3, 1e3),  # 0.2 to 5
    "breakdown_factor": (0.1, 10.0),  # 0.8 to 1.2
}
ADDED_SHUNT_ohm = (1e-6, 1e12)  # where there is one
DIODE: Final[Bounds] = {
    "saturation_current_A": (1e-30, 1.0),  # 1e-9 to 1e-3
    "ideality": (0.5, 200.0),  # 1 to 2
    "series_resistance_ohm": (0.0, MOST_RESISTANCE_ohm),
    "leakage_resistance_ohm": (1e-6, 1e12),
    "temperature_K": (150.0, 600.0),
    "barrier_eV": (0.1, 4.0),  # Schottky 0.7, silicon 1.12
    "contact_resistance_ohm": (0.0, MOST_RESISTANCE_ohm),
}
RESISTOR: Final[Bounds] = {"resistance_ohm": (0.0, OPEN_RESISTANCE_ohm)}
