"""The element laws once more, in plain Python straight from their papers.

Shares no code with pvsim.circuit.leaf, so that a slip there shows.
"""

from __future__ import annotations

from math import exp, expm1

from scipy.constants import elementary_charge, zero_Celsius
from scipy.constants import k as boltzmann

from pvsim.circuit import Cell, Diode, Resistor
from pvsim.circuit.limits import MOST_SHUNT_ohm

T0 = 25.0 + zero_Celsius
EV_PER_K = boltzmann / elementary_charge


def cell_current(cell: Cell, Vd: float) -> float:
    """Current of a good cell at its junction voltage (Bishop 1988; De Soto et al. 2006)."""
    kind, T = cell.type, cell.temperature_K
    Vt = EV_PER_K * T
    gap = kind.band_gap_eV * (1.0 - kind.band_gap_coefficient_per_K * (T - T0))
    growth = (T / T0) ** 3 * exp(kind.band_gap_eV / (EV_PER_K * T0) - gap / Vt)
    sun = cell.irradiance_W_m2 / 1000.0
    Iph = kind.photocurrent_A * sun * (1.0 + kind.photocurrent_coefficient_per_K * (T - T0))
    # The second diode follows the intrinsic density n_i, the first its square.
    diodes = kind.saturation_current_A * growth * expm1(Vd / (kind.ideality * Vt))
    diodes += kind.second_saturation_current_A * growth**0.5 * expm1(Vd / (kind.second_ideality * Vt))
    Rsh = kind.shunt_resistance_ohm
    if kind.shunt_follows_irradiance:
        Rsh /= max(sun, 1e-3)  # bounded at 1 W/m2, as the cell type says
    # No real cell insulates better than the stated limit; a crack leaves less area to leak.
    Rsh = min(Rsh / cell.active_fraction, MOST_SHUNT_ohm)
    multiplier = (
        1.0 + kind.breakdown_fraction * (1.0 - Vd / kind.breakdown_voltage_V) ** -kind.breakdown_exponent
    )
    # A crack takes its share of everything but the shunt a fault added.
    lit = cell.active_fraction * (Iph - diodes)
    return lit - Vd / Rsh * multiplier - Vd / cell.parallel_resistance_ohm


def diode_current(diode: Diode, forward_V: float) -> float:
    """Forward current of a good diode at its junction voltage (Shockley 1949)."""
    T, n = diode.temperature_K, diode.ideality
    climb = diode.barrier_eV / n * (1.0 / (EV_PER_K * T0) - 1.0 / (EV_PER_K * T))
    Is = diode.saturation_current_A * (T / T0) ** 2 * exp(climb)
    return Is * expm1(forward_V / (n * EV_PER_K * T)) + forward_V / diode.leakage_resistance_ohm


def missed(leaf: Cell | Diode | Resistor, V: float, I: float) -> tuple[float, float]:
    """By how much current, and by how much voltage, (V, I) misses a leaf's law.

    Wires are judged by voltage, junctions by current.
    """
    if isinstance(leaf, Resistor):
        return 0.0, V + I * max(leaf.resistance_ohm, 1e-9)  # the least resistance a solver keeps
    if leaf.condition in ("open", "short"):
        ohms = 1e12 if leaf.condition == "open" else 1e-6
        return (I + V / ohms, 0.0) if leaf.condition == "open" else (0.0, V + I * ohms)
    if isinstance(leaf, Cell):
        Rs = leaf.type.series_resistance_ohm / leaf.active_fraction + leaf.extra_series_resistance_ohm
        return I - cell_current(leaf, V + I * Rs), 0.0
    Rd = leaf.series_resistance_ohm + (leaf.contact_resistance_ohm if leaf.condition == "resistive" else 0.0)
    way = -1.0 if leaf.condition == "reversed" else 1.0
    return way * I - diode_current(leaf, -way * (V + I * Rd)), 0.0
