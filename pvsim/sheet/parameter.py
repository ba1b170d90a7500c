"""The parameters of a fitted cell, with their letters, units, and which of them are assumed."""

from __future__ import annotations

from pvsim.words import mark

# Letter of the equation or a name, field of CellType, unit.
PARAMETERS = (
    ("Iph", "photocurrent_A", "A"),
    ("I0", "saturation_current_A", "A"),
    ("n", "ideality", ""),
    ("Rs", "series_resistance_ohm", "Ω"),
    ("Rsh", "shunt_resistance_ohm", "Ω"),
    ("a", "breakdown_fraction", ""),
    (mark("Vbr"), "breakdown_voltage_V", "V"),
    ("m", "breakdown_exponent", ""),
    (mark("coefficient of Iph"), "photocurrent_coefficient_per_K", "1/K"),
    (mark("slope of I0"), "band_gap_eV", "eV"),
)
ASSUMED = ("shunt_resistance_ohm", "breakdown_fraction", "breakdown_voltage_V", "breakdown_exponent")
