"""The photocurrent's coefficient from alpha and the band gap from beta, at 25 degrees C, in closed form."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from math import exp, expm1

import numpy as np

from pvsim.circuit.cell import CellType
from pvsim.circuit.diode import Diode
from pvsim.circuit.leaf import thermal_voltage
from pvsim.sheet.bands import Structure
from pvsim.sheet.cell_fit import CellParameters, Shunt, shunt_slope
from pvsim.sheet.cell_points import leakage
from pvsim.sheet.coefficient import absolute_per_K
from pvsim.sheet.data_sheet import DataSheet

_T = 298.15
_ROUNDS = 6
_APART_K = 5.0  # whole kelvins, as diodes of a module are taken
# Every cell type's own, which no data sheet changes.
_GAP_FALL_per_K = next(
    float(field.default)  # type: ignore[arg-type]
    for field in fields(CellType)
    if field.name == "band_gap_coefficient_per_K"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TemperatureFit:
    """The two parameters of a cell type that temperature coefficients give."""

    photocurrent_coefficient_per_K: float
    band_gap_eV: float


def fit_temperature(
    sheet: DataSheet, structure: Structure, cell: CellParameters, shunt: Shunt, diode: Diode | None
) -> TemperatureFit:
    """Let Isc and Voc of the module follow temperature at 25 degrees C as the sheet says.

    Notes
    -----
    The equation of the cell, differentiated by T along I(V = 0) and along I(module) = 0, with I0 after
    W. De Soto et al., Solar Energy 80 (2006) 78-88: d ln I0/dT = 3/T + Eg/(k T^2) + c Eg/(k T), where c is
    the gap's own relative fall; a = n k T/q. Both are linear in what is looked for, and each hardly depends
    on the other: some rounds settle them.
    """
    Iph, I0, Rs = cell.photocurrent_A, cell.saturation_current_A, cell.series_resistance_ohm
    a = cell.ideality * thermal_voltage(_T)
    Ns, Np, parts = structure.in_series, structure.side_by_side, max(sheet.bypass_diodes, 1)
    S = shunt_slope
    vs = sheet.isc_A / Np * Rs
    g = I0 / a * exp(vs / a) + float(S(shunt, np.array([vs]))[0])
    leak, leak_slope = leakage(diode, sheet.voc_V / parts)
    warmer = leakage(diode, sheet.voc_V / parts, 298.0 + _APART_K)[0]
    cooler = leakage(diode, sheet.voc_V / parts, 298.0 - _APART_K)[0]
    beta = absolute_per_K(sheet.beta, sheet.voc_V)
    dI = (leak_slope * beta / parts + (warmer - cooler) / (2.0 * _APART_K)) / Np
    v, dv = sheet.voc_V / Ns + leak / Np * Rs, beta / Ns + dI * Rs
    # dI = mu_A - I0' (exp(v/a) - 1) - I0 exp(v/a) (dv/a - v/(a T)) - S' dv
    rise = I0 * exp(v / a) * (dv / a - v / (a * _T))
    shunted = float(S(shunt, np.array([v]))[0]) * dv
    mu_A = alpha_A = absolute_per_K(sheet.alpha, sheet.isc_A) / Np * (1.0 + g * Rs)
    log_slope = 0.0
    for _round in range(_ROUNDS):
        log_slope = (mu_A - dI - rise - shunted) / (I0 * expm1(v / a))
        mu_A = alpha_A + I0 * (log_slope * expm1(vs / a) - exp(vs / a) * vs / (a * _T))
    c, kT = _GAP_FALL_per_K, thermal_voltage(_T)
    gap = (log_slope - 3.0 / _T) / (1.0 / (kT * _T) + c / kT)
    return TemperatureFit(photocurrent_coefficient_per_K=mu_A / Iph, band_gap_eV=gap)


def with_temperature(cell: CellType, fit: TemperatureFit) -> CellType:
    """The cell type with these two parameters."""
    return replace(
        cell,
        photocurrent_coefficient_per_K=fit.photocurrent_coefficient_per_K,
        band_gap_eV=fit.band_gap_eV,
    )
