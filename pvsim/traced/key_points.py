"""Key figures of a noisy curve, from fits over many points, and how noisy it is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit.floats import Floats
from pvsim.errors import FileError
from pvsim.prompt import summary
from pvsim.traced.traced_curve import TracedCurve
from pvsim.words import _

# Shares of Voc and Isc up to which a curve is taken for straight or for a parabola, and of Pmp above which
# its power is taken for a quartic; what the key figures then miss is held in tests/traced/test_key_points.py.
FLAT, STEEP, TOP = 0.35, 0.50, 0.90
BELOW = 0.005  # of Voc: flat points are no further below 0, where bypass diodes begin to conduct
NEAR = 0.08  # of Voc: steep points are no further away, though a shaded part's plateau may be as low
STEEPNESS = 3.0  # Isc/Voc
KNEE, BENT = 0.75, 0.97  # of Voc and Isc: between them the diodes bend the curve
_FEWEST = 4  # points of a fit
_FEWEST_ON_TOP = 6  # points that a polynomial goes through the top of
_UNTOLD = 0.005  # of Isc: noise, where too few points tell it; reckoned, no source
_ROUNDS = 5
_MAD = 0.6745  # median absolute deviation of a normal distribution, in standard deviations
_HUBER = 1.5
_SETTLED = 0.0005  # of weights: what is left moves a fit by far less than noise does
_LAST = 3  # points near open circuit: where a curve falls steeply, noise may put any of them last
_LEAST_OF_MOST = 0.05  # Isc, of the greatest current: one that rises from nothing is no curve

Where = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedPoints:
    """Key figures of a measured curve.

    Parameters
    ----------
    isc_A, voc_V, imp_A, vmp_V, pmp_W : float
    fill_factor : float
    slope_at_isc_A_per_V : float
        dI/dV, at most a little above 0 with noise.
    slope_at_voc_V_per_A : float
        dV/dI, below 0.
    """

    isc_A: float
    voc_V: float
    imp_A: float
    vmp_V: float
    pmp_W: float
    fill_factor: float
    slope_at_isc_A_per_V: float
    slope_at_voc_V_per_A: float

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True)
class Noise:
    """Standard deviations of a curve's points about a smooth one."""

    current_A: float
    voltage_V: float


def key_points(curve: TracedCurve) -> TracedPoints:
    """Key figures of a measured curve.

    Raises
    ------
    FileError
        If it does not come near both short circuit and open circuit, or delivers no power.

    Notes
    -----
    Isc and its slope are those of a line through the flat points, Voc and its slope of a parabola V(I)
    through the steep ones, Vmp and Pmp of a quartic P(V) through the top; all with Huber's weights
    (P. J. Huber, Ann. Math. Stat. 35 (1964) 73), so that single bad points hardly count. A curve of few
    points, as a class takes by hand, has Voc by the bend of a diode and its top between neighbours.
    """
    V, I = curve.voltage_V, curve.current_A
    isc, voc = _roughly(V, I)
    flat = _at_least((V <= FLAT * voc) & (V >= -BELOW * voc), np.abs(V), 2)
    slope, at_zero = _robust_fit(V[flat], I[flat], 1)
    bend = _steep(V, I, isc, voc)
    vmp, pmp = _top(V, I)
    scale, rough = isc, voc
    isc, voc = float(at_zero), float(bend[-1])
    # A fit far from the points it is of has found no curve.
    if not (0.3 < isc / scale < 3.0 and 0.7 < voc / rough < 1.4 and vmp > 0.0 and pmp > 0.0):
        _refuse()
    return TracedPoints(
        isc_A=isc,
        voc_V=voc,
        imp_A=pmp / vmp,
        vmp_V=vmp,
        pmp_W=pmp,
        fill_factor=pmp / (isc * voc),
        slope_at_isc_A_per_V=float(slope),
        slope_at_voc_V_per_A=float(bend[-2] / scale),
    )


def noise_of(curve: TracedCurve) -> Noise:
    """How noisy a curve is: current on its flat part, voltage where it is steep.

    Notes
    -----
    Each point is held against the line through its neighbours; the median of what is missed is that of
    most points, whatever a step or an outlier does. Where too few points are steep, the voltage is taken to
    be as noisy as the current.
    """
    V, I = curve.voltage_V, curve.current_A
    isc, voc = _roughly(V, I)
    current = _rough_of(V, I, V[1:-1] < 0.6 * voc, _UNTOLD * isc)
    # Neighbours by current, since noise may shuffle close voltages. Three of them are steep where current
    # falls over them far more than voltage rises, noise apart.
    order = np.argsort(-I, kind="stable")
    order = order[V[order] > 0.5 * voc]
    v, i = V[order], I[order]
    fall, rise = i[:-2] - i[2:], v[2:] - v[:-2]
    steep = (fall / isc > STEEPNESS * rise / voc) & (fall > 8.0 * current) & (i[:-2] < 0.9 * isc)
    if steep.sum() < _FEWEST:
        return Noise(current_A=current, voltage_V=current * voc / isc)
    fall = np.where(steep, fall, 1.0)
    share = (i[:-2] - i[1:-1]) / fall
    missed = (v[1:-1] - (1.0 - share) * v[:-2] - share * v[2:]) / np.sqrt(1.0 + share**2 + (1.0 - share) ** 2)
    voltage = float(np.median(np.abs(missed[steep])) / _MAD)
    # What current noise alone does to the steep part is taken off.
    slope = max(0.0, float(np.median((rise / fall)[steep])))
    return Noise(current_A=current, voltage_V=float(np.sqrt(max(voltage**2 - (current * slope) ** 2, 0.0))))


def _rough_of(V: Floats, I: Floats, where: Where, untold: float) -> float:
    share = (V[1:-1] - V[:-2]) / np.maximum(V[2:] - V[:-2], 1e-300)
    missed = I[1:-1] - (1.0 - share) * I[:-2] - share * I[2:]
    sigma = np.abs(missed) / np.sqrt(1.0 + share**2 + (1.0 - share) ** 2)
    return float(np.median(sigma[where]) / _MAD) if where.sum() >= _FEWEST else untold


def _roughly(V: Floats, I: Floats) -> tuple[float, float]:
    """Isc and Voc to some per cent, from medians."""
    power = np.where((V > 0.0) & (I > 0.0), V * I, 0.0)
    if not power.max() > 0.0:
        _refuse()
    high = V[int(np.argmax(power))]
    isc = median(I[_at_least((V <= 0.3 * high) & (V >= -BELOW * high), np.abs(V))])
    voc = float(V[np.flatnonzero(I > 0.0)[-1]])
    near_voc = I[-_LAST:].min()
    if not isc > _LEAST_OF_MOST * I[V >= 0.0].max() or V[0] > 0.4 * voc or near_voc > 0.5 * isc:
        _refuse()
    return isc, voc


def _at_least(where: Where, order: Floats, least: int = _FEWEST) -> Where:
    """Points that meet a condition; of too few, the nearest beside them."""
    if where.sum() >= least:
        return where
    nearest: Where = np.zeros(order.size, dtype=bool)
    nearest[np.argsort(order, kind="stable")[:least]] = True
    return nearest | where


def _steep(V: Floats, I: Floats, isc: float, voc: float) -> Floats:
    """V as a polynomial in I/Isc where it is steep, the highest power first; Voc and its slope end it."""
    near = (np.abs(I) <= STEEP * isc) & (np.abs(V / voc - 1.0) <= NEAR)
    if near.sum() >= _FEWEST:
        return _robust_fit(I[near] / isc, V[near], 2 if near.sum() >= 10 else 1)
    # A line through points so far apart would miss the bend: V = Voc + a ln(1 - I/Isc) - Rs I.
    bent = _at_least((I < BENT * isc) & (V > KNEE * voc), -V, 2)
    i = np.minimum(I[bent] / isc, BENT)
    shapes = [np.ones(i.size), np.log1p(-i), -i] if i.size >= _FEWEST else [np.ones(i.size), np.log1p(-i)]
    at_open, *falling = np.linalg.lstsq(np.array(shapes).T, V[bent], rcond=None)[0]
    return np.array([-sum(falling), at_open])


def _top(V: Floats, I: Floats) -> tuple[float, float]:
    """Voltage and power of the greatest maximum."""
    P = V * I
    smooth = np.convolve(np.pad(P, 1, mode="edge"), np.full(3, 1.0 / 3.0), mode="valid")
    best = int(np.argmax(np.where(V > 0.0, smooth, -np.inf)))
    if not smooth[best] > 0.0:
        _refuse()
    enough = smooth >= TOP * smooth[best]
    first = best - int(np.argmin(enough[best::-1])) + 1 if not enough[: best + 1].all() else 0
    last = best + int(np.argmin(enough[best:])) if not enough[best:].all() else V.size
    if last - first < _FEWEST_ON_TOP:
        return _top_between(V, I)
    v, p = V[first:last], P[first:last]
    middle, half = 0.5 * (v[0] + v[-1]), 0.5 * (v[-1] - v[0])
    x = (v - middle) / half
    bend = _robust_fit(x, p, 4 if v.size >= 10 else min(3, v.size - 2))
    inside = np.linspace(-1.0, 1.0, 401)
    fitted = np.polyval(bend, inside)
    at = int(np.argmax(fitted))
    return float(middle + half * inside[at]), float(fitted[at])


def _top_between(V: Floats, I: Floats) -> tuple[float, float]:
    """The same of few points: between two of them no current is beyond theirs.

    Notes
    -----
    Cubics whose slopes are weighted harmonic means of those to the neighbours (F. N. Fritsch, J. Butland,
    SIAM J. Sci. Stat. Comput. 5 (1984) 300).
    """
    from scipy.interpolate import PchipInterpolator  # only here: most curves have many points

    best = int(np.argmax(V * I))
    near = slice(max(0, best - 2), best + 3)
    at = np.linspace(V[near][0], V[near][-1], 1601)
    power = at * PchipInterpolator(V[near], I[near])(at)
    top = int(np.argmax(power))
    return float(at[top]), float(power[top])


def _robust_fit(x: Floats, y: Floats, degree: int) -> Floats:
    """Coefficients of a polynomial, the highest power first, with Huber's weights."""
    degree = min(degree, x.size - 1)
    scale = float(np.abs(x).max()) or 1.0  # normal equations want numbers about 1
    powers = np.vander(x / scale, degree + 1)
    least = 1e-9 * float(np.abs(y).max())
    weight = np.ones(x.size)
    found: Floats = np.zeros(degree + 1)
    for _round in range(_ROUNDS):
        weighted = powers.T * weight
        try:
            found = np.asarray(np.linalg.solve(weighted @ powers, weighted @ y), dtype=np.float64)
        except np.linalg.LinAlgError:  # of points at one place
            square = np.linalg.lstsq(weighted @ powers, weighted @ y, rcond=None)[0]
            found = np.asarray(square, dtype=np.float64)
        missed = np.abs(y - powers @ found)
        spread = median(missed) / _MAD
        if spread <= least:
            break
        before, weight = weight, np.minimum(1.0, _HUBER * spread / np.maximum(missed, 1e-300))
        if float(np.abs(weight - before).max()) < _SETTLED:
            break
    return found / scale ** np.arange(degree, -1, -1)


def median(values: Floats) -> float:
    """The middle of a row without gaps; `numpy.median` takes ten times as long over so few."""
    half = values.size // 2
    parted = np.partition(values, half)
    if values.size % 2:
        return float(parted[half])
    return 0.5 * float(parted[:half].max() + parted[half])


def _refuse() -> None:
    raise FileError(
        _("the measured curve has no short circuit or no open circuit"),
        expected=_("a curve that delivers power and comes near both axes"),
        mend=_("Check the columns, their units and the sign of the current"),
    )
