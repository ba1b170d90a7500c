"""The current law of a junction, its parameters at temperature, and its inverse.

Cells and diodes are one law. In junction coordinates (v, x) = (Vd, Iph - I) of a cell,
or (forward voltage, forward current) of a diode,

    x = f(v) = I01 (exp(v/a1) - 1) + I02 (exp(v/a2) - 1) + v G + v H (1 - v/Vbr)^(-m)

with a = n k T / q, G the shunt conductance and H = a_Bishop / Rsh. f rises strictly, so
v = g(x) exists; it depends on the cell type and temperature alone and serves every
cell of an array, whatever its light. Sources: W. Shockley, Bell Syst. Tech. J. 28 (1949)
435; J. W. Bishop, Solar Cells 25 (1988) 73-89; W. De Soto, S. A. Klein, W. A. Beckman,
Solar Energy 80 (2006) 78-88.
"""

from __future__ import annotations

from functools import lru_cache
from math import exp
from typing import NamedTuple

from pvsim.circuit.cell import (
    REFERENCE_TEMPERATURE_K,
    Cell,
    CellType,
    REFERENCE_IRRADIANCE_W_m2,
)
from pvsim.circuit.diode import Diode
from pvsim.circuit.limits import MOST_SHUNT_ohm, OPEN_RESISTANCE_ohm, SHORT_RESISTANCE_ohm
from pvsim.circuit.network import Resistor
from pvsim.errors import CircuitError

# Exact in the SI of 2019; a test holds them to scipy.constants, whose import costs 0.1 s.
BOLTZMANN_J_per_K = 1.380649e-23
ELEMENTARY_CHARGE_C = 1.602176634e-19

LEAST_RESISTANCE_ohm = 1e-9  # keeps a branch of zero ohms solvable beside another one
LEAST_SHUNT_IRRADIANCE_W_m2 = 1.0  # bounds Rsh where it follows the irradiance

_WIRE_CONDUCTANCE_S = 1e30  # a junction that drops nothing: what is left is its resistance


class Junction(NamedTuple):
    """Parameters of f at one temperature; equal junctions share one table."""

    saturation_current_A: float
    thermal_V: float
    second_saturation_current_A: float
    second_thermal_V: float
    conductance_S: float
    breakdown_conductance_S: float
    breakdown_voltage_V: float
    breakdown_exponent: float


class Leaf(NamedTuple):
    """A cell, diode or resistor as the solvers see it.

    x = sign (source_A - I), v = sign (V + I resistance_ohm). A resistor has WIRE for a
    junction, which drops nothing.
    """

    junction: Junction
    sign: float
    source_A: float
    resistance_ohm: float

    # It is a part of a register as it stands (see register.py): unlike cells are too many to wrap each.

    @property
    def kind(self) -> str:
        """Among the kinds of parts."""
        return "leaf"

    @property
    def leaf(self) -> Leaf:
        """Itself; other parts are none."""
        return self

    @property
    def most_source_A(self) -> float:
        """No light drives more than this through it."""
        return self.source_A


WIRE = Junction(1e-30, 1.0, 0.0, 1.0, _WIRE_CONDUCTANCE_S, 0.0, -1.0, 1.0)


def thermal_voltage(temperature_K: float) -> float:
    """The thermal voltage k T / q, in V."""
    return BOLTZMANN_J_per_K * temperature_K / ELEMENTARY_CHARGE_C


def band_gap(type: CellType, temperature_K: float) -> float:
    """The band gap at a temperature, in eV (De Soto et al. 2006)."""
    rise = temperature_K - REFERENCE_TEMPERATURE_K
    return type.band_gap_eV * (1.0 - type.band_gap_coefficient_per_K * rise)


def saturation_ratio(type: CellType, temperature_K: float) -> float:
    """I0 at a temperature over I0 at 25 degrees C (De Soto et al. 2006)."""
    arrhenius = type.band_gap_eV / thermal_voltage(REFERENCE_TEMPERATURE_K) - band_gap(
        type, temperature_K
    ) / thermal_voltage(temperature_K)
    return (temperature_K / REFERENCE_TEMPERATURE_K) ** 3 * exp(arrhenius)


def _make_junction(
    type: CellType,
    temperature_K: float,
    active_fraction: float,
    parallel_resistance_ohm: float,
    shunt_scale: float,
    breakdown_scale: float = 1.0,
) -> Junction:
    """The junction of a cell; the scales multiply its own shunt resistance and breakdown voltage."""
    I01, a1, I02, a2 = _diodes_at(type, temperature_K)
    own = active_fraction / min(type.shunt_resistance_ohm * shunt_scale, active_fraction * MOST_SHUNT_ohm)
    return Junction(
        active_fraction * I01,
        a1,
        active_fraction * I02,
        a2,
        own + 1.0 / parallel_resistance_ohm,
        own * type.breakdown_fraction,
        type.breakdown_voltage_V * breakdown_scale,
        type.breakdown_exponent,
    )


cell_junction = lru_cache(maxsize=4096)(_make_junction)


@lru_cache(maxsize=4096)
def _diodes_at(type: CellType, temperature_K: float) -> tuple[float, float, float, float]:
    """Saturation currents and thermal voltages of both diodes; cells that differ in a shunt share them."""
    Vt = thermal_voltage(temperature_K)
    ratio = saturation_ratio(type, temperature_K)
    return (
        type.saturation_current_A * ratio,
        type.ideality * Vt,
        # Recombination in the depletion region goes with n_i, the square root of n_i^2.
        type.second_saturation_current_A * ratio**0.5,
        # Without a second diode its scale must not overflow where the first's does not.
        (type.second_ideality if type.second_saturation_current_A > 0.0 else type.ideality) * Vt,
    )


def photocurrent(cell: Cell) -> float:
    """Iph of a cell at its light and temperature, in A."""
    type = cell.type
    factor = 1.0 + type.photocurrent_coefficient_per_K * (cell.temperature_K - REFERENCE_TEMPERATURE_K)
    if factor <= 0.0:
        return 0.0
    own_A = cell.active_fraction * type.photocurrent_A * cell.photocurrent_factor
    return own_A * (cell.irradiance_W_m2 / REFERENCE_IRRADIANCE_W_m2) * factor


@lru_cache(maxsize=1024)
def diode_junction(diode: Diode) -> Junction:
    """The junction of a diode; Is rises with temperature over its barrier (A T^2 law)."""
    T = diode.temperature_K
    climb = diode.barrier_eV * (1.0 / thermal_voltage(REFERENCE_TEMPERATURE_K) - 1.0 / thermal_voltage(T))
    scale = (T / REFERENCE_TEMPERATURE_K) ** 2 * exp(climb / diode.ideality)
    Vt = thermal_voltage(T)
    return Junction(
        diode.saturation_current_A * scale,
        diode.ideality * Vt,
        0.0,
        diode.ideality * Vt,
        1.0 / diode.leakage_resistance_ohm,
        0.0,
        -1.0,
        1.0,
    )


def leaf_of(element: Cell | Diode | Resistor) -> Leaf:
    """The junction, source and resistance of a cell, diode or resistor."""
    if isinstance(element, Cell):
        if element.condition != "good":
            return _wire(element.condition)
        scale = element.shunt_factor
        if element.type.shunt_follows_irradiance:
            scale *= REFERENCE_IRRADIANCE_W_m2 / max(element.irradiance_W_m2, LEAST_SHUNT_IRRADIANCE_W_m2)
        # A cell with factors of its own is like no other: nobody will ask for its junction again.
        alone = element.shunt_factor != 1.0 or element.breakdown_factor != 1.0
        junction = (_make_junction if alone else cell_junction)(
            element.type,
            element.temperature_K,
            element.active_fraction,
            element.parallel_resistance_ohm,
            scale,
            element.breakdown_factor,
        )
        Rs = element.type.series_resistance_ohm / element.active_fraction
        return Leaf(junction, 1.0, photocurrent(element), Rs + element.extra_series_resistance_ohm)
    if isinstance(element, Diode):
        if element.condition in ("open", "short"):
            return _wire(element.condition)
        extra = element.contact_resistance_ohm if element.condition == "resistive" else 0.0
        sign = 1.0 if element.condition == "reversed" else -1.0
        return Leaf(diode_junction(element), sign, 0.0, element.series_resistance_ohm + extra)
    return Leaf(WIRE, 1.0, 0.0, max(element.resistance_ohm, LEAST_RESISTANCE_ohm))


def _wire(condition: str) -> Leaf:
    return Leaf(WIRE, 1.0, 0.0, OPEN_RESISTANCE_ohm if condition == "open" else SHORT_RESISTANCE_ohm)


def diode_from_forward_drop(
    forward_drop_V: float, at_current_A: float, *, ideality: float = 1.05, series_resistance_ohm: float = 0.0
) -> Diode:
    """A diode whose forward drop is known at one current, at 25 degrees C.

    Parameters
    ----------
    forward_drop_V, at_current_A : float
        The point of the data sheet.
    ideality : float
        n.
    series_resistance_ohm : float
        Rd; the drop over it is taken off first.

    Returns
    -------
    Diode

    Raises
    ------
    CircuitError
        If the series resistance alone drops more than the point allows.

    Notes
    -----
    Is = IF / (exp((VF - IF Rd) / (n Vt)) - 1).
    """
    inner = forward_drop_V - at_current_A * series_resistance_ohm
    if not inner > 0.0 or not at_current_A > 0.0:
        raise CircuitError(
            f"a drop of {forward_drop_V:g} V at {at_current_A:g} A leaves {inner:g} V for the junction",
            expected="a junction voltage above 0 V at a current above 0 A",
            mend="Lower series_resistance_ohm",
        )
    Vt = thermal_voltage(REFERENCE_TEMPERATURE_K)
    Is = at_current_A / (exp(inner / (ideality * Vt)) - 1.0)
    return Diode(saturation_current_A=Is, ideality=ideality, series_resistance_ohm=series_resistance_ohm)
