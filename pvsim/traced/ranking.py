"""Families of fault ranked by how well each explains a measured curve."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import exp, log, sqrt

import numpy as np

from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.array.solve import level_curve
from pvsim.circuit.floats import Floats
from pvsim.errors import FileError
from pvsim.prompt import summary
from pvsim.traced.family import Family, families_of
from pvsim.traced.key_points import key_points, noise_of
from pvsim.traced.known_curves import Hypothesis, KnownCurves, known_curves, scattered_at, solved_at
from pvsim.traced.likelihood import (
    FINE,
    MANY_WAVES,
    ROUGH,
    UNKNOWN,
    Likelihood,
    Measured,
    Modelled,
    likelihood,
)
from pvsim.traced.shape import thinned
from pvsim.traced.stranger import Stranger, stranger_to
from pvsim.traced.traced_curve import LEAST_POINTS, TracedCurve
from pvsim.traced.where import IN_DOUBT, Where
from pvsim.words import _

# What instruments miss from point to point beside noise, as shares of Isc and Voc: reckoned, no source.
MODEL_ERROR = (0.002, 0.001)
# The best family misses by more than noise allows from so many standard deviations of chi-square on; noise
# itself is known to a tenth or so.
SIGMAS = 6.0
_NOISE_KNOWN = 0.15
_MOST = 120  # points; of more, neighbours are averaged
_CONTENDING = 25.0  # in the logarithm of likelihood: families further behind are not looked at closer
_BESIDE = 15.0  # the same, of other counts of the same family
_SCATTERED = 0.1
_TRIED = 8  # variants of a family whose size is refined at all
_VARIANTS = 4  # of a family that are looked at closer
_FINER = 9  # sizes tried between two that are known
_NEARLY = log(10.0)  # a count that is a tenth as likely may be the true one
# Before the curve is looked at: parts in order are thirty times as many as those with any one kind of fault,
# and one in a hundred has something that is none of the families. Our own choice.
IN_ORDER_BEFORE = log(30.0)
NONE_BEFORE = log(0.01)
# How well the noise on each axis is known from the curve, in its logarithm, and what else it may be: few
# points are steep, so few tell of the noise of the voltage.
_NOISE_OF_A, _NOISE_OF_V = 0.18, 0.45
_TIMES_A = (0.75, 0.82, 0.9, 1.0, 1.1, 1.2, 1.35)
_TIMES_V = (0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.15, 1.3, 1.5, 1.75, 2.0, 2.4)
_APART, _OUTLYING = 0.6, 3.5  # neighbours share points: so much of what they miss counts; standard deviations


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
    where : Where or None
        Of how many parts, as far as the curve tells; None where nothing is wrong.
    """

    family: Family
    size: float | None
    misfit: float
    share: float
    where: Where | None = None

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
        Whether even the first misses more, or in a way that something unknown explains better.
    none_share : float
        How likely it is that none of them explains the curve; beside the shares, which leave this out.
    stranger : Stranger or None
        That the curve is not of the part at all; then none of the families is meant.
    """

    ranked: tuple[Ranked, ...]
    most_misfit: float
    none_of_these: bool
    none_share: float = 0.0
    stranger: Stranger | None = None

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
        With each family how many parts it concerns, where a curve can tell it: `Where`.

    Raises
    ------
    FileError
        If the curve is none from short to open circuit, or the part is a cell or a substring.
    ScenarioError
        If the array, as built, does not have the part.

    Notes
    -----
    The likelihood is that of pvsim/traced/likelihood.py, with what scatter makes of each contending curve
    (pvsim/traced/scattered.py). Families of several sizes pay for their choice as the Schwarz criterion has
    it (G. Schwarz, Ann. Stat. 6 (1978) 461): ln(n) / 2. None of these is the first family and a smooth
    deviation of any form beside it.
    """
    if not families_of(scenario, place):
        raise FileError(
            _("faults are ranked from the curve of a module, a string or the array"),
            expected=_("one of these parts"),
            mend=_("Choose the part that was measured"),
        )
    measured = _measured(curve)
    known = known_curves(scenario, place)
    count = measured.voltage_V.size
    rough = likelihood(measured, _modelled(known, known.current_A, measured), smooth=ROUGH)
    looks = [_Look(one, *_best_row(one, rough, count)) for one in known.hypotheses]
    top = max(one.log for one in looks)
    # What even the best misses is what scatter does not make of all alike: no reason to leave out others.
    missed = _SCATTERED * min(one.chi_square for one in looks)
    chosen = []
    for name in dict.fromkeys(one.hypothesis.family.name for one in looks):
        mine = sorted((one for one in looks if one.hypothesis.family.name == name), key=lambda one: -one.log)
        if mine[0].log < top - _CONTENDING - missed:
            continue
        if mine[0].hypothesis.family.sizes:
            mine = sorted((_between(known, measured, one) for one in mine[:_TRIED]), key=lambda one: -one.log)
        if mine[0].log >= top - _CONTENDING - missed:
            chosen += [one for one in mine[:_VARIANTS] if one.log >= mine[0].log - _BESIDE - missed]
    closer = [_look_closer(known, measured, one) for one in chosen]
    ahead = max(closer, key=lambda one: one.log)
    measured = _noise_told(known, measured, ahead)
    closer = [_fares_now(known, measured, one) for one in closer]
    ahead = max(closer, key=lambda one: one.log)
    behind = ahead.log - top  # what the two kinds of looks differ by
    done = {one.hypothesis.family.name for one in closer}
    far = [replace(one, log=one.log + behind) for one in looks if one.hypothesis.family.name not in done]
    rows = _ranked([*closer, *far], count)
    none = _none(known, measured, ahead)
    most = 1.0 + SIGMAS * float(np.hypot(sqrt(2.0 / count), 2.0 * _NOISE_KNOWN / SIGMAS))
    unexplained = none > 0.5 or ahead.chi_square / count > most
    stranger = stranger_to(
        curve, level_curve(replace(scenario, scatter=None), place), unexplained=unexplained
    )
    return Ranking(
        ranked=rows,
        most_misfit=most,
        none_of_these=bool(unexplained or stranger is not None),
        none_share=none if stranger is None else 1.0,
        stranger=stranger,
    )


@dataclass(frozen=True, slots=True, kw_only=False, eq=False)
class _Look:
    """A hypothesis at its best size: the known curve nearest to it, and how it fares."""

    hypothesis: Hypothesis
    row: int
    size: float
    log: float
    chi_square: float
    current_A: Floats | None = None


def _measured(curve: TracedCurve) -> Measured:
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


def _modelled(
    known: KnownCurves, current_A: Floats, measured: Measured, scatter: tuple[Floats, Floats] | None = None
) -> Modelled:
    """Some curves at the points of the measured one; current_A is (curves, n) at the known voltages."""
    V, dV = measured.voltage_V, measured.noise_V
    wide = float(np.hypot(dV, 0.005 * measured.voc_V))

    def at(rows: Floats, voltage_V: Floats) -> Floats:
        place = (voltage_V - known.voltage_V[0]) / (known.voltage_V[1] - known.voltage_V[0])
        k = np.clip(place.astype(int), 0, known.voltage_V.size - 2)
        found: Floats = rows[..., k] + (place - k) * (rows[..., k + 1] - rows[..., k])
        return found

    mean = modes = None
    if scatter is not None:
        curves = current_A.shape[0]
        mean = np.broadcast_to(at(scatter[0], V), (curves, V.size))
        modes = np.broadcast_to(at(scatter[1].T, V).T, (curves, V.size, scatter[1].shape[1]))
    return Modelled(
        current_A=at(current_A, V),
        slope_A_per_V=(at(current_A, V - dV) - at(current_A, V + dV)) / (2.0 * dV),
        shift_A_per_V=(at(current_A, V - wide) - at(current_A, V + wide)) / (2.0 * wide),
        mean_A=mean,
        modes_A=modes,
    )


def _paid(hypothesis: Hypothesis, count: int) -> float:
    """What a hypothesis pays beforehand: for its size, and for how seldom so many are concerned."""
    before = IN_ORDER_BEFORE if hypothesis.variant.where is None else log(hypothesis.variant.weight)
    return before - 0.5 * bool(hypothesis.family.sizes) * log(count)


def _best_row(hypothesis: Hypothesis, rough: Likelihood, count: int) -> tuple[int, float, float, float]:
    rows = list(hypothesis.rows)
    row = rows[int(np.argmax(rough.log[rows]))]
    at = rows.index(row)
    size = hypothesis.family.sizes[at] if hypothesis.family.sizes else 0.0
    return row, size, float(rough.log[row]) + _paid(hypothesis, count), float(rough.chi_square[row])


def _look_closer(known: KnownCurves, measured: Measured, look: _Look) -> _Look:
    """Refine the size between known curves, then by curves solved there, with scatter as it is there."""
    scatter = scattered_at(known, look.hypothesis, look.row)

    def fares(rows: Floats) -> Likelihood:
        return likelihood(measured, _modelled(known, rows, measured, scatter), smooth=FINE)

    sizes, rows = look.hypothesis.family.sizes, look.hypothesis.rows
    if not sizes:
        found = fares(known.current_A[[look.row]])
        return _of(look, known.current_A[look.row], look.size, found, 0, measured)
    size, step = look.size, 0.0
    low, high = _beside(sizes, rows.index(look.row), size)
    for _round in range(2):
        tried = np.linspace(low, high, _FINER)
        step = float(tried[1] - tried[0])
        size = float(tried[int(np.argmax(fares(_interpolated(known, look, tried)).log))])
        low, high = max(sizes[0], size - step), min(sizes[-1], size + step)
    near = np.unique(np.clip([size - step, size, size + step], sizes[0], sizes[-1]))
    solved = np.array([solved_at(known, look.hypothesis, one) for one in near.tolist()])
    found = fares(solved)
    best = int(np.argmax(found.log))
    return _of(look, solved[best], float(near[best]), found, best, measured)


def _beside(sizes: tuple[float, ...], at: int, size: float) -> tuple[float, float]:
    """Between which sizes the best one lies: the known ones beside it, nearer where one was tried between."""
    low, high = sizes[max(0, at - 1)], sizes[min(len(sizes) - 1, at + 1)]
    if size != sizes[at]:
        step = (high - low) / (_FINER - 1)
        low, high = max(sizes[0], size - 2.0 * step), min(sizes[-1], size + 2.0 * step)
    return low, high


def _interpolated(known: KnownCurves, look: _Look, tried: Floats) -> Floats:
    """Curves of sizes between known ones; (sizes, n)."""
    sizes, rows = look.hypothesis.family.sizes, look.hypothesis.rows
    k = np.clip(np.searchsorted(sizes, tried, side="right") - 1, 0, len(sizes) - 2)
    share = (tried - np.take(sizes, k)) / (np.take(sizes, k + 1) - np.take(sizes, k))
    below, above = known.current_A[np.take(rows, k)], known.current_A[np.take(rows, k + 1)]
    between: Floats = below + share[:, None] * (above - below)
    return between


def _between(known: KnownCurves, measured: Measured, look: _Look) -> _Look:
    """A rough look at sizes between the known ones; the row stays that of the nearest."""
    sizes, rows = look.hypothesis.family.sizes, look.hypothesis.rows
    tried = np.linspace(*_beside(sizes, rows.index(look.row), look.size), _FINER)
    found = likelihood(measured, _modelled(known, _interpolated(known, look, tried), measured), smooth=ROUGH)
    best = int(np.argmax(found.log))
    worth = float(found.log[best]) + _paid(look.hypothesis, measured.voltage_V.size)
    row = rows[int(np.argmin(np.abs(np.array(sizes) - tried[best])))]
    return replace(
        look, row=row, size=float(tried[best]), log=worth, chi_square=float(found.chi_square[best])
    )


def _noise_told(known: KnownCurves, measured: Measured, ahead: _Look) -> Measured:
    """The curve with the noise that its points tell beside the first family, as far as that is in doubt.

    Each point is held against its neighbours in what they miss, so that whatever the family misses on the
    whole does not pass for noise; and a step that it misses counts no more than an outlier does.
    """
    assert ahead.current_A is not None
    curve = _modelled(known, ahead.current_A[None], measured)
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


def _fares_now(known: KnownCurves, measured: Measured, look: _Look) -> _Look:
    """A look with the noise as it is now known, at the size it has."""
    assert look.current_A is not None
    scatter = scattered_at(known, look.hypothesis, look.row)
    found = likelihood(measured, _modelled(known, look.current_A[None], measured, scatter), smooth=FINE)
    return _of(look, look.current_A, look.size, found, 0, measured)


def _of(look: _Look, current_A: Floats, size: float, found: Likelihood, k: int, measured: Measured) -> _Look:
    worth = float(found.log[k]) + _paid(look.hypothesis, measured.voltage_V.size)
    return replace(look, size=size, log=worth, chi_square=float(found.chi_square[k]), current_A=current_A)


def _ranked(looks: list[_Look], count: int) -> tuple[Ranked, ...]:
    best: dict[str, _Look] = {}
    for one in sorted(looks, key=lambda one: -one.log):
        best.setdefault(one.hypothesis.family.name, one)
    top = max(one.log for one in best.values())
    total = sum(exp(one.log - top) for one in best.values())
    found = [
        Ranked(
            family=one.hypothesis.family,
            size=one.size if one.hypothesis.family.sizes else None,
            misfit=one.chi_square / count,
            share=exp(one.log - top) / total,
            where=_where(one, looks),
        )
        for one in best.values()
    ]
    return tuple(sorted(found, key=lambda one: (-one.share, one.misfit)))


def _where(best: _Look, looks: list[_Look]) -> Where | None:
    """The place of the best, with other counts of its family that are nearly as likely."""
    where = best.hypothesis.variant.where
    if where is None:
        return None
    near = [
        one.hypothesis.variant.where
        for one in looks
        if one.hypothesis.family is best.hypothesis.family and one.log >= best.log - _NEARLY
    ]
    places = {one.place for one in near if one is not None and one.place != where.place}
    if where.place is not None and places:
        where = replace(where, place=None, told=IN_DOUBT[where.told])
    others = sorted({one.count for one in near if one is not None} - {where.count})
    strings = sorted({one.strings for one in near if one is not None} - {where.strings})
    if where.level == "string":  # there a count is one of strings
        others = []
    return replace(where, others=tuple(others), other_strings=tuple(strings))


def _none(known: KnownCurves, measured: Measured, ahead: _Look) -> float:
    """How likely it is that something unknown is beside the first family, or in its place."""
    assert ahead.current_A is not None
    scatter = scattered_at(known, ahead.hypothesis, ahead.row)
    curve = _modelled(known, ahead.current_A[None], measured, scatter)
    alone = likelihood(measured, curve, smooth=FINE).log[0]
    beside = np.array(
        [likelihood(measured, curve, smooth=one, waves=MANY_WAVES).log[0] - alone for one in UNKNOWN]
    )
    top = float(beside.max())
    worth = NONE_BEFORE + top + log(float(np.exp(beside - top).mean()))
    return 1.0 / (1.0 + exp(-max(-700.0, min(700.0, worth))))
