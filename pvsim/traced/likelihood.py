"""How likely a curve's points are under another: noise on both axes, and what is not known.

A point misses the modelled curve by r = I - I_model(V). Noise makes of it a variance dI^2 + (dI/dV dV)^2 of
its own, point by point; instruments, light, warmth and the scatter of cells move all points together:

    r ~ N(mean, N + J J')     N diagonal, a column of J for each thing that is not known

With the columns in J each is taken out as far as its own uncertainty allows, and no further.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.circuit.floats import Floats

# Standard uncertainties of what all points share, as shares. Current: the gains of the tracer and of its
# light sensor, as if both had just been held against the array; voltage: the tracer's gain; warmth: 1.5 K at
# 0.3 % of Voc a kelvin. Typical, from memory.
GAIN_CURRENT, GAIN_VOLTAGE, SHIFT_VOLTAGE = 0.01, 0.003, 0.0045
# What the model itself misses, as a smooth curve's deviation in shares of Isc and Voc: reckoned, no source.
# It is large while it stands for the scatter of cells too, and small beside curves that have this scatter.
ROUGH, FINE = 0.006, 0.0015
UNKNOWN = (0.004, 0.01, 0.03)  # the same, of whatever none of the families explains; each as likely
WAVES, MANY_WAVES = 8, 14  # cosines along the curve; more of them where a step may be unknown


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Measured:
    """Points of a curve, how noisy they are, and the scales of both axes."""

    voltage_V: Floats
    current_A: Floats
    noise_V: float
    noise_A: float
    isc_A: float
    voc_V: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Modelled:
    """Some curves at the points of a measured one.

    Parameters
    ----------
    current_A : (curves, n)
    slope_A_per_V : (curves, n)
        Over the width of the noise, for corners.
    shift_A_per_V : (curves, n)
        Over the width of what the voltage is not known by.
    mean_A : (curves, n)
        To be added to the current: what scatter makes of the curve on the whole.
    modes_A : (curves, n, modes)
        What scatter may make of it besides, in standard deviations.
    """

    current_A: Floats
    slope_A_per_V: Floats
    shift_A_per_V: Floats
    mean_A: Floats | None = None
    modes_A: Floats | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Likelihood:
    """Of each curve: the logarithm of the likelihood, and what is missed in squares of its uncertainty."""

    log: Floats
    chi_square: Floats


def likelihood(measured: Measured, modelled: Modelled, *, smooth: float, waves: int = WAVES) -> Likelihood:
    """How likely the points are under each of some curves.

    Parameters
    ----------
    smooth : float
        Standard deviation of what the model misses in a smooth way, as a share of Isc and Voc.
    waves : int
        How many cosines along the curve that is made of.

    Notes
    -----
    By the matrix determinant lemma and Woodbury's identity: no matrix is larger than there are columns in J.
    Along a steep flank a current counts by the voltage it stands for, so that the likelihood is one of
    distances from the curve, and curves that are steep where others are flat are neither favoured nor not.
    """
    m, by = measured, modelled
    V = m.voltage_V
    noise = m.noise_A**2 + (by.slope_A_per_V * m.noise_V) ** 2
    steep = 1.0 + (by.slope_A_per_V * m.voc_V / m.isc_A) ** 2
    columns = [
        GAIN_CURRENT * by.current_A[..., None],
        (GAIN_VOLTAGE * V * by.shift_A_per_V)[..., None],
        (SHIFT_VOLTAGE * m.voc_V * by.shift_A_per_V)[..., None],
        (smooth * m.isc_A * np.sqrt(steep))[..., None] * _waves(m, by, waves),
    ]
    missed = m.current_A - by.current_A
    if by.mean_A is not None and by.modes_A is not None:
        # Cells may scatter as much as is usual, or not at all.
        missed = missed - 0.5 * by.mean_A
        columns += [0.5 * by.mean_A[..., None], by.modes_A]
    whiten = 1.0 / np.sqrt(noise)
    r = missed * whiten
    J = np.concatenate(columns, axis=-1) * whiten[..., None]
    inner = np.einsum("cni,cnj->cij", J, J, optimize=True)
    inner += np.eye(inner.shape[-1])
    b = np.einsum("cni,cn->ci", J, r)
    found = np.linalg.solve(inner, b[..., None])[..., 0]
    chi = np.einsum("cn,cn->c", r, r) - np.einsum("ci,ci->c", b, found)
    _sign, volume = np.linalg.slogdet(inner)
    spread = np.log(noise / (steep * m.isc_A**2)).sum(axis=-1)
    return Likelihood(log=-0.5 * (chi + volume + spread), chi_square=chi)


def _waves(measured: Measured, modelled: Modelled, count: int) -> Floats:
    """Cosines along each curve to open circuit, of one mean square together; (curves, n, count)."""
    V, I = measured.voltage_V / measured.voc_V, modelled.current_A / measured.isc_A
    steps = np.hypot(np.diff(V), np.diff(I, axis=-1))
    along = np.concatenate([np.zeros((I.shape[0], 1)), np.cumsum(steps, axis=-1)], axis=-1)
    along /= np.maximum(along[:, -1:], 1e-12)
    waves: Floats = np.cos(np.pi * along[..., None] * np.arange(count)) * np.sqrt(2.0 / count)
    waves[..., 0] *= np.sqrt(0.5)
    return waves
