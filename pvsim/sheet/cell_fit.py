"""The single-diode cell through three points and a slope: Isc, Voc, Imp, Vmp and dP/dV = 0.

With the shunt and Bishop's term given, S(v) = v / Rsh (1 + a (1 - v/Vbr)^-m), four unknowns are left:
Iph, I0, a = n Vt and Rs. For a given Rs the junction voltages vs, vm, vo of the three points are known,
and two differences of

    I = Iph - I0 (exp(v / a) - 1) - S(v)

leave one equation in a alone, whose right side falls strictly as a rises:

    [Im - Io - S(vo) + S(vm)] / [Is - Io - S(vo) + S(vs)] = [1 - exp((vm - vo)/a)] / [1 - exp((vs - vo)/a)]

What remains is one equation in Rs, the slope at the MPP. Both are closed in brackets, over a whole row of
Rs at once, so that neither can miss its root nor run away.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.circuit.floats import Floats
from pvsim.circuit.leaf import thermal_voltage

_ROW = 65  # values of Rs looked at together
_MOST_ROUNDS = 12  # each narrows the bracket 64 times
_HALVINGS = 14  # of the bracket of a, before Newton's steps
_NEWTONS = 6
_LEAST_IDEALITY, _MOST_IDEALITY = 0.2, 10.0  # of the search; what is physical is judged afterwards
_NARROW = 1e-13  # of the largest Rs there could be


@dataclass(frozen=True, slots=True, kw_only=True)
class CellPoints:
    """What the fit reproduces, of one cell.

    Parameters
    ----------
    isc_A : float
        At 0 V.
    voc_V, voc_A : float
        The cell's point where the module has none; the current is what the bypass diode takes.
    vmp_V, imp_A, slope_A_per_V : float
        The cell's point at the module's MPP and -dI/dV there.
    """

    isc_A: float
    voc_V: float
    voc_A: float
    vmp_V: float
    imp_A: float
    slope_A_per_V: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Shunt:
    """The current that does not pass the diode: Rsh and Bishop's a, Vbr and m."""

    resistance_ohm: float
    breakdown_fraction: float = 0.0
    breakdown_voltage_V: float = -15.0
    breakdown_exponent: float = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CellParameters:
    """What was found: Iph, I0, n and Rs; any of them may be unphysical."""

    photocurrent_A: float
    saturation_current_A: float
    ideality: float
    series_resistance_ohm: float


def fit_cell(points: CellPoints, shunt: Shunt, *, narrow: float = _NARROW) -> CellParameters | None:
    """The cell through these points.

    Parameters
    ----------
    points : CellPoints
    shunt : Shunt
    narrow : float
        How far Rs is pinned down, as a share of the most it can be.

    Returns
    -------
    CellParameters or None
        Of several solutions the one with the least Rs that is not negative, else the one nearest to it.
        None where no cell with this shunt passes through the points.
    """
    most = (points.voc_V - points.vmp_V) / (points.imp_A - points.voc_A)
    low, high = -most, most * (1.0 - 1e-9)
    found: list[float] = []
    row = np.linspace(low, high, 2 * _ROW - 1)
    miss = _slope_miss(points, shunt, row)[0]
    for k in _crossings(miss):
        found.append(_narrowed(points, shunt, float(row[k]), float(row[k + 1]), narrow * most))
    if not found:
        return None
    Rs = min((one for one in found if one >= 0.0), default=max(found))
    _miss, a, I0 = _slope_miss(points, shunt, np.array([Rs]))
    vs = points.isc_A * Rs
    Iph = points.isc_A + I0[0] * np.expm1(vs / a[0]) + float(shunt_current(shunt, np.array([vs]))[0])
    return CellParameters(
        photocurrent_A=float(Iph),
        saturation_current_A=float(I0[0]),
        ideality=float(a[0]) / thermal_voltage(298.15),
        series_resistance_ohm=Rs,
    )


def shunt_current(shunt: Shunt, v: Floats) -> Floats:
    """S(v), in A."""
    rise = (1.0 - v / shunt.breakdown_voltage_V) ** -shunt.breakdown_exponent
    return v / shunt.resistance_ohm * (1.0 + shunt.breakdown_fraction * rise)


def shunt_slope(shunt: Shunt, v: Floats) -> Floats:
    """dS/dv, in S."""
    u = 1.0 - v / shunt.breakdown_voltage_V
    m, a = shunt.breakdown_exponent, shunt.breakdown_fraction
    bent = u**-m + v * m / shunt.breakdown_voltage_V * u ** (-m - 1.0)
    return (1.0 + a * bent) / shunt.resistance_ohm


def _narrowed(points: CellPoints, shunt: Shunt, low: float, high: float, apart: float) -> float:
    for _round in range(_MOST_ROUNDS):
        if high - low <= apart:
            break
        row = np.linspace(low, high, _ROW)
        crossings = _crossings(_slope_miss(points, shunt, row)[0])
        if not len(crossings):
            break
        low, high = float(row[crossings[0]]), float(row[crossings[0] + 1])
    return 0.5 * (low + high)


def _crossings(miss: Floats) -> np.ndarray:
    with np.errstate(invalid="ignore"):  # nan stands where no a fits
        return np.flatnonzero(miss[:-1] * miss[1:] <= 0.0)


def _slope_miss(points: CellPoints, shunt: Shunt, Rs: Floats) -> tuple[Floats, Floats, Floats]:
    """By how much the slope at the MPP is missed, with a and I0; nan where no a fits; (n,) each."""
    vs = points.isc_A * Rs
    vm = points.vmp_V + points.imp_A * Rs
    vo = points.voc_V + points.voc_A * Rs
    So, Sm, Ss = shunt_current(shunt, vo), shunt_current(shunt, vm), shunt_current(shunt, vs)
    upper, lower = points.imp_A - points.voc_A - So + Sm, points.isc_A - points.voc_A - So + Ss
    with np.errstate(divide="ignore", invalid="ignore"):  # a shunt that takes it all leaves no junction
        ratio = upper / lower
    a = _solve_a(ratio, vo - vm, vo - vs)
    a = np.where((upper > 0.0) & (lower > 0.0), a, np.nan)
    # I0 exp(vo/a), which neither overflows nor underflows
    scale = lower / -np.expm1((vs - vo) / a)
    g = scale * np.exp((vm - vo) / a) / a + shunt_slope(shunt, vm)
    left = 1.0 - points.slope_A_per_V * Rs
    return g * left - points.slope_A_per_V, a, scale * np.exp(-vo / a)


def _solve_a(ratio: Floats, near: Floats, far: Floats) -> Floats:
    """a of (1 - exp(-near/a)) / (1 - exp(-far/a)) = ratio, in a bracket; nan where there is none in it."""
    Vt = thermal_voltage(298.15)
    low, high = np.log(_LEAST_IDEALITY * Vt), np.log(_MOST_IDEALITY * Vt)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):  # nan stays nan
        fits = (_share(low, near, far) >= ratio) & (_share(high, near, far) <= ratio)
        least, most = np.full_like(ratio, low), np.full_like(ratio, high)
        for _step in range(_HALVINGS):
            middle = 0.5 * (least + most)
            above = _share(middle, near, far) > ratio
            least, most = np.where(above, middle, least), np.where(above, most, middle)
        x = 0.5 * (least + most)
        for _step in range(_NEWTONS):
            miss, slope = _share_and_slope(x, near, far)
            x = np.clip(x - (miss - ratio) / slope, least, most)
    return np.where(fits, np.exp(x), np.nan)


def _share(x: Floats | float, near: Floats, far: Floats) -> Floats:
    share: Floats = np.expm1(-near * np.exp(-x)) / np.expm1(-far * np.exp(-x))
    return share


def _share_and_slope(x: Floats, near: Floats, far: Floats) -> tuple[Floats, Floats]:
    """The share and its derivative by x = ln a."""
    s, t = near * np.exp(-x), far * np.exp(-x)
    upper, lower = -np.expm1(-s), -np.expm1(-t)
    # d(-expm1(-s))/dx = -s exp(-s)
    slope = (-s * np.exp(-s) * lower + upper * t * np.exp(-t)) / lower**2
    return upper / lower, slope
