"""Families of fault ranked by how well each explains a measured curve."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import exp, log, sqrt

import numpy as np

from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.array.solve import level_curve
from pvsim.circuit.floats import Floats
from pvsim.circuit.solution import Characteristic
from pvsim.errors import FileError
from pvsim.prompt import summary
from pvsim.traced.family import Family, families_of
from pvsim.traced.key_points import key_points, noise_of
from pvsim.traced.residual import reaching
from pvsim.traced.shape import thinned
from pvsim.traced.traced_curve import LEAST_POINTS, TracedCurve
from pvsim.words import _

# What model and instruments miss beside noise, as shares of Isc and Voc: reckoned, no source. A curve of
# less noise is not told from others by more than this.
MODEL_ERROR = (0.002, 0.001)
# The best family misses by more than noise allows from so many standard deviations of chi-square on; noise
# itself is known to a tenth or so.
SIGMAS = 6.0
_NOISE_KNOWN = 0.15
_ROUNDS = 7  # of golden section, for each size
_POINTS = 200  # of each solved curve
_MOST = 200  # of the measured one
_GOLDEN = 0.5 * (sqrt(5.0) - 1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranked:
    """A family of fault beside a measured curve.

    Parameters
    ----------
    family : Family
    size : float or None
        At which it fits best, in the terms of the family.
    misfit : float
        Mean square of what it misses, over what noise and model error make of it: about 1 where it fits.
    share : float
        Its likelihood among all families, a size counted against it; all shares sum to 1.
    """

    family: Family
    size: float | None
    misfit: float
    share: float

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranking:
    """Families of fault, the likeliest first; the second is the runner-up.

    Parameters
    ----------
    ranked : tuple of Ranked
    most_misfit : float
        What noise allows; a family that misses more explains nothing, however far ahead of others.
    none_of_these : bool
        Whether even the first misses more.
    """

    ranked: tuple[Ranked, ...]
    most_misfit: float
    none_of_these: bool

    __repr__ = summary


def rank_faults(curve: TracedCurve, scenario: Scenario, place: Place) -> Ranking:
    """Hold a curve against every family of fault its part can have.

    Parameters
    ----------
    curve : TracedCurve
        At the light and temperature of the scenario, or translated to them.
    scenario : Scenario
        With the part as it is thought to be; every family adds its fault to that.
    place : Place
        The part that was measured: a module, a string or the array.

    Returns
    -------
    Ranking
        Faults of one family in different places of a part often have one curve: nothing is said of where.

    Raises
    ------
    FileError
        If the curve is none from short to open circuit, or the part is a cell or a substring.
    ScenarioError
        If the array, as built, does not have the part.

    Notes
    -----
    Least squares at equal weights by noise, both axes: a point misses by r = (I - I_model) / s with
    s^2 = sI^2 + (dI/dV sV)^2. Families of several sizes pay for their choice as the Schwarz criterion has it
    (G. Schwarz, Ann. Stat. 6 (1978) 461): ln L = -chi^2 / 2 - k ln(n) / 2.
    """
    families = families_of(scenario, place)
    if not families:
        raise FileError(
            _("faults are ranked from the curve of a module, a string or the array"),
            expected=_("one of these parts"),
            mend=_("Choose the part that was measured"),
        )
    curve = thinned(curve, _MOST)
    points, noise = key_points(curve), noise_of(curve)
    dI = float(np.hypot(noise.current_A, MODEL_ERROR[0] * points.isc_A))
    dV = float(np.hypot(noise.voltage_V, MODEL_ERROR[1] * points.voc_V))
    inside = (curve.voltage_V >= 0.0) & (curve.voltage_V <= 1.05 * points.voc_V)
    V, I = curve.voltage_V[inside], curve.current_A[inside]
    if V.size < LEAST_POINTS:
        raise FileError(
            _("the measured curve has {count} points between short and open circuit").format(count=V.size),
            expected=_("at least {least}").format(least=LEAST_POINTS),
            mend=_("Take the curve again with more points"),
        )

    def misses(family: Family, size: float) -> float:
        solved = level_curve(family.change(scenario, place, size), place, points=_POINTS)
        return _chi_square(V, I, solved, dI, dV)

    rows = [(family, *_best(family, misses)) for family in families]
    worth = [-0.5 * chi - 0.5 * bool(family.sizes) * log(V.size) for family, _size, chi in rows]
    top = max(worth)
    total = sum(exp(one - top) for one in worth)
    ranked = [
        Ranked(family=family, size=size, misfit=chi / V.size, share=exp(one - top) / total)
        for (family, size, chi), one in zip(rows, worth, strict=True)
    ]
    ranked.sort(key=lambda one: (-one.share, one.misfit))
    most = 1.0 + SIGMAS * float(np.hypot(sqrt(2.0 / V.size), 2.0 * _NOISE_KNOWN / SIGMAS))
    return Ranking(ranked=tuple(ranked), most_misfit=most, none_of_these=ranked[0].misfit > most)


def _chi_square(V: Floats, I: Floats, solved: Characteristic, dI: float, dV: float) -> float:
    """What a curve misses of one solved; the slope is taken over the width of the noise, for corners."""
    model = reaching(solved, V)
    slope = (reaching(solved, V - dV) - reaching(solved, V + dV)) / (2.0 * dV)
    return float((((I - model) ** 2) / (dI**2 + (slope * dV) ** 2)).sum())


def _best(family: Family, misses: Callable[[Family, float], float]) -> tuple[float | None, float]:
    """The size that misses least, and by how much; a coarse look first, for there may be several valleys."""
    if not family.sizes:
        return None, misses(family, 0.0)
    sizes = family.sizes
    found = [misses(family, size) for size in sizes]
    k = int(np.argmin(found))
    low, high = sizes[max(0, k - 1)], sizes[min(len(sizes) - 1, k + 1)]
    best = (found[k], sizes[k])
    a, b = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_a, at_b = misses(family, a), misses(family, b)
    for _round in range(_ROUNDS):
        best = min(best, (at_a, a), (at_b, b))
        if at_a < at_b:
            high, b, at_b = b, a, at_a
            a = high - _GOLDEN * (high - low)
            at_a = misses(family, a)
        else:
            low, a, at_a = a, b, at_b
            b = low + _GOLDEN * (high - low)
            at_b = misses(family, b)
    chi, size = min(best, (at_a, a), (at_b, b))
    return size, chi
