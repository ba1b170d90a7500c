"""Solar cells: what a cell type is, and one cell with its light, heat and condition."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Literal, get_args

from pvsim.circuit import limits
from pvsim.circuit.checks import finite, one_of, within

CellCondition = Literal["good", "open", "short"]

REFERENCE_IRRADIANCE_W_m2 = 1000.0  # standard test conditions, IEC 60904-3
REFERENCE_TEMPERATURE_K = 298.15  # standard test conditions, 25 degrees C


@dataclass(frozen=True, slots=True, kw_only=True)
class CellType:
    """The parameters one kind of cell has at 1000 W/m2 and 25 degrees C.

    Parameters
    ----------
    photocurrent_A : float
        Light-generated current Iph.
    saturation_current_A, ideality : float
        I0 and n of the (first) diode.
    series_resistance_ohm, shunt_resistance_ohm : float
        Rs and Rsh. Rsh is a property of the cell and does not follow irradiance
        unless `shunt_follows_irradiance` is set.
    breakdown_fraction, breakdown_voltage_V, breakdown_exponent : float
        a, Vbr (negative) and m (at least 1) of Bishop's reverse term; a = 0 leaves it out.
    second_saturation_current_A, second_ideality : float
        I02 and n2 of the optional second diode; I02 = 0 leaves it out.
    photocurrent_coefficient_per_K : float
        Relative rise of Iph with temperature.
    band_gap_eV, band_gap_coefficient_per_K : float
        Eg at 25 degrees C and its relative fall with temperature.
    shunt_follows_irradiance : bool
        Rsh = Rsh_ref * 1000 / G, as De Soto et al. have it.

    Raises
    ------
    CircuitError
        If a value is not finite or outside its bounds in `pvsim.circuit.limits`.

    Notes
    -----
    Sources: J. W. Bishop, Solar Cells 25 (1988) 73-89; W. De Soto, S. A. Klein and
    W. A. Beckman, Solar Energy 80 (2006) 78-88.
    """

    photocurrent_A: float
    saturation_current_A: float
    ideality: float
    series_resistance_ohm: float
    shunt_resistance_ohm: float
    breakdown_fraction: float = 0.0
    breakdown_voltage_V: float = -15.0
    breakdown_exponent: float = 3.0
    second_saturation_current_A: float = 0.0
    second_ideality: float = 2.0
    photocurrent_coefficient_per_K: float = 0.0005
    band_gap_eV: float = 1.121
    band_gap_coefficient_per_K: float = 0.0002677
    shunt_follows_irradiance: bool = False

    def __post_init__(self) -> None:
        within(self, limits.CELL_TYPE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One cell: its type, its light and temperature, and what is wrong with it.

    Parameters
    ----------
    type : CellType
        The kind of cell.
    irradiance_W_m2 : float
        Light that reaches the cell, front plus the rear's share; 0 is a dark cell.
    temperature_K : float
        Cell temperature.
    condition : "good", "open" or "short"
        An open cell carries no current, a short one has no voltage.
    active_fraction : float
        Share of the area still connected, above 0 to 1. A crack cuts the rest off.
    parallel_resistance_ohm : float
        A shunt added by a fault; infinite when there is none.
    extra_series_resistance_ohm : float
        Series resistance added by a fault.
    photocurrent_factor, shunt_factor, breakdown_factor : float
        By how much Iph, Rsh and Vbr of this very cell differ from its type's.

    Raises
    ------
    CircuitError
        If a value is not finite or outside its range.
    """

    type: CellType
    irradiance_W_m2: float = REFERENCE_IRRADIANCE_W_m2
    temperature_K: float = REFERENCE_TEMPERATURE_K
    condition: CellCondition = "good"
    active_fraction: float = 1.0
    parallel_resistance_ohm: float = inf
    extra_series_resistance_ohm: float = 0.0
    photocurrent_factor: float = 1.0
    shunt_factor: float = 1.0
    breakdown_factor: float = 1.0

    def __post_init__(self) -> None:
        within(self, limits.CELL)
        one_of(self, "condition", get_args(CellCondition))
        if self.parallel_resistance_ohm != inf:
            least, most = limits.ADDED_SHUNT_ohm
            finite(self, "parallel_resistance_ohm", least=least, most=most)
