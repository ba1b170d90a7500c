"""The points of a measured curve that faults are told by, and their noise as far as it is known."""

from __future__ import annotations

from dataclasses import replace
from math import log

import numpy as np

from pvsim.errors import FileError
from pvsim.traced.key_points import key_points, noise_of
from pvsim.traced.known_curves import KnownCurves
from pvsim.traced.likelihood import Measured
from pvsim.traced.look import Look, modelled
from pvsim.traced.shape import thinned
from pvsim.traced.traced_curve import LEAST_POINTS, TracedCurve
from pvsim.words import _

__all__ = ["NOISE_KNOWN", "measured_points", "noise_told"]

# What instruments miss from point to point beside noise, as shares of Isc and Voc: reckoned, no source.
MODEL_ERROR = (0.002, 0.001)
NOISE_KNOWN = 0.15  # noise itself is known to a tenth or so
_MOST = 120  # points; of more, neighbours are averaged
# How well the noise on each axis is known from the curve, in its logarithm, and what else it may be: few
# points are steep, so few tell of the noise of the voltage.
_NOISE_OF_A, _NOISE_OF_V = 0.18, 0.45
_TIMES_A = (0.75, 0.82, 0.9, 1.0, 1.1, 1.2, 1.35)
_TIMES_V = (0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.15, 1.3, 1.5, 1.75, 2.0, 2.4)
_APART, _OUTLYING = 0.6, 3.5  # neighbours share points: so much of what they miss counts; standard deviations


def measured_points(curve: TracedCurve) -> Measured:
    """The points between short and open circuit, few enough to be gone through often.

    Raises
    ------
    FileError
        If there are too few.
    """
    curve = thinned(curve, _MOST)
    points, noise = key_points(curve), noise_of(curve)
    inside = (curve.voltage_V >= 0.0) & (curve.voltage_V <= 1.05 * points.voc_V)
    V, I = curve.voltage_V[inside], curve.current_A[inside]
    if V.size < LEAST_POINTS:
        raise FileError(
            _("the measured curve has {count} points between short and open circuit").format(count=V.size),
            expected=_("at least {least}").format(least=LEAST_POINTS),
            mend=_("Take the curve again with more points"),
        )
    return Measured(
        voltage_V=V,
        current_A=I,
        noise_V=float(np.hypot(noise.voltage_V, MODEL_ERROR[1] * points.voc_V)),
        noise_A=float(np.hypot(noise.current_A, MODEL_ERROR[0] * points.isc_A)),
        isc_A=points.isc_A,
        voc_V=points.voc_V,
    )


def noise_told(known: KnownCurves, measured: Measured, ahead: Look) -> Measured:
    """The curve with the noise that its points tell beside the first family, as far as that is in doubt.

    Each point is held against its neighbours in what they miss, so that whatever the family misses on the
    whole does not pass for noise; and a step that it misses counts no more than an outlier does.
    """
    assert ahead.current_A is not None
    curve = modelled(known, ahead.current_A[None], measured)
    missed = measured.current_A - curve.current_A[0]
    apart = missed[1:-1] - 0.5 * (missed[:-2] + missed[2:])
    steep = curve.slope_A_per_V[0] ** 2
    best, found = -np.inf, measured
    for times_A in _TIMES_A:
        for times_V in _TIMES_V:
            each = (times_A * measured.noise_A) ** 2 + steep * (times_V * measured.noise_V) ** 2
            noise = each[1:-1] + 0.25 * (each[:-2] + each[2:])
            fit = np.minimum(apart**2 / noise, _OUTLYING**2) + np.log(noise)
            doubt = (log(times_A) / _NOISE_OF_A) ** 2 + (log(times_V) / _NOISE_OF_V) ** 2
            worth = -0.5 * (_APART * float(fit.sum()) + doubt)
            if worth > best:
                best = worth
                found = replace(
                    measured, noise_A=times_A * measured.noise_A, noise_V=times_V * measured.noise_V
                )
    return found
