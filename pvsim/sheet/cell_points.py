"""From the module's points to those of one of its cells, the bypass diodes' leakage taken into account."""

from __future__ import annotations

from dataclasses import replace
from math import expm1

from pvsim.circuit.diode import Diode
from pvsim.circuit.leaf import Junction, diode_junction
from pvsim.sheet.bands import Structure
from pvsim.sheet.cell_fit import CellPoints
from pvsim.sheet.data_sheet import DataSheet

_STEPS = 4  # of the drop over the diode's own resistance: a millionth of a volt


def cell_points(sheet: DataSheet, structure: Structure, diode: Diode | None) -> CellPoints:
    """What one cell must do for the module to have the points of the sheet.

    Parameters
    ----------
    sheet : DataSheet
    structure : Structure
    diode : Diode or None
        The bypass diode across each substring.

    Notes
    -----
    All substrings are alike: each has its share of the voltage, and its diode takes its leakage from the
    current of the chains. At the MPP d(V I)/dV = 0, so that dI/dV = -Imp / Vmp of the module.
    """
    Ns, Np = structure.in_series, structure.side_by_side
    parts = max(sheet.bypass_diodes, 1)
    leak_oc, _slope = leakage(diode, sheet.voc_V / parts)
    leak_mp, slope_mp = leakage(diode, sheet.vmp_V / parts)
    module_slope = sheet.imp_A / sheet.vmp_V
    return CellPoints(
        isc_A=sheet.isc_A / Np,
        voc_V=sheet.voc_V / Ns,
        voc_A=leak_oc / Np,
        vmp_V=sheet.vmp_V / Ns,
        imp_A=(sheet.imp_A + leak_mp) / Np,
        slope_A_per_V=(module_slope - slope_mp / parts) * Ns / Np,
    )


def leakage(diode: Diode | None, voltage_V: float, temperature_K: float | None = None) -> tuple[float, float]:
    """What a bypass diode lets back across a substring at this voltage, in A, and its slope, in A/V.

    Parameters
    ----------
    temperature_K : float, optional
        In place of 298 K: module circuits take their diodes to a whole kelvin.
    """
    if diode is None:
        return 0.0, 0.0
    at = 298.0 if temperature_K is None else temperature_K
    junction = diode_junction(replace(diode, temperature_K=at))
    leak, slope = _reverse(junction, voltage_V)
    for _step in range(_STEPS):
        leak, slope = _reverse(junction, voltage_V - leak * diode.series_resistance_ohm)
    return leak, slope / (1.0 + slope * diode.series_resistance_ohm)


def _reverse(junction: Junction, reverse_V: float) -> tuple[float, float]:
    bent = expm1(-reverse_V / junction.thermal_V)
    leak = -junction.saturation_current_A * bent + reverse_V * junction.conductance_S
    return leak, junction.saturation_current_A * (bent + 1.0) / junction.thermal_V + junction.conductance_S
