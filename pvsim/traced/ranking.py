"""Families of fault ranked by how well each explains a measured curve."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import exp, log, sqrt

import numpy as np

from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.array.solve import level_curve
from pvsim.errors import FileError
from pvsim.prompt import summary
from pvsim.traced.family import Family, families_of
from pvsim.traced.known_curves import KnownCurves, known_curves, scattered_at
from pvsim.traced.likelihood import FINE, MANY_WAVES, ROUGH, UNKNOWN, Measured, likelihood
from pvsim.traced.look import Look, fares_now, first_look, look_between, look_closer, modelled
from pvsim.traced.measured_points import NOISE_KNOWN, measured_points, noise_told
from pvsim.traced.stranger import Stranger, stranger_to
from pvsim.traced.traced_curve import TracedCurve
from pvsim.traced.where import IN_DOUBT, Where
from pvsim.words import _

# The best family misses by more than noise allows from so many standard deviations of chi-square on.
SIGMAS = 6.0
_CONTENDING = 25.0  # in the logarithm of likelihood: families further behind are not looked at closer
_BESIDE = 15.0  # the same, of other counts of the same family
_SCATTERED = 0.1
_TRIED = 8  # variants of a family whose size is refined at all
_VARIANTS = 4  # of a family that are looked at closer
_NEARLY = log(10.0)  # a count that is a tenth as likely may be the true one
NONE_BEFORE = log(0.01)  # before the curve is looked at, one in a hundred has something else. Our own choice.


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
    measured = measured_points(curve)
    known = known_curves(scenario, place)
    count = measured.voltage_V.size
    rough = likelihood(measured, modelled(known, known.current_A, measured), smooth=ROUGH)
    looks = [first_look(one, rough, count) for one in known.hypotheses]
    top = max(one.log for one in looks)
    chosen = _contending(known, measured, looks, top)
    closer = [look_closer(known, measured, one) for one in chosen]
    ahead = max(closer, key=lambda one: one.log)
    measured = noise_told(known, measured, ahead)
    closer = [fares_now(known, measured, one) for one in closer]
    ahead = max(closer, key=lambda one: one.log)
    behind = ahead.log - top  # what the two kinds of looks differ by
    done = {one.hypothesis.family.name for one in closer}
    far = [replace(one, log=one.log + behind) for one in looks if one.hypothesis.family.name not in done]
    rows = _ranked([*closer, *far], count)
    none = _none(known, measured, ahead)
    most = 1.0 + SIGMAS * float(np.hypot(sqrt(2.0 / count), 2.0 * NOISE_KNOWN / SIGMAS))
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


def _contending(known: KnownCurves, measured: Measured, looks: list[Look], top: float) -> list[Look]:
    """The looks that are worth a closer one: of each family near the likeliest, its likeliest variants."""
    # What even the best misses is what scatter does not make of all alike: no reason to leave out others.
    missed = _SCATTERED * min(one.chi_square for one in looks)
    chosen: list[Look] = []
    for name in dict.fromkeys(one.hypothesis.family.name for one in looks):
        mine = _likeliest([one for one in looks if one.hypothesis.family.name == name])
        if mine[0].log < top - _CONTENDING - missed:
            continue
        if mine[0].hypothesis.family.sizes:
            mine = _likeliest([look_between(known, measured, one) for one in mine[:_TRIED]])
        if mine[0].log >= top - _CONTENDING - missed:
            chosen += [one for one in mine[:_VARIANTS] if one.log >= mine[0].log - _BESIDE - missed]
    return chosen


def _likeliest(looks: list[Look]) -> list[Look]:
    return sorted(looks, key=lambda one: -one.log)


def _ranked(looks: list[Look], count: int) -> tuple[Ranked, ...]:
    best: dict[str, Look] = {}
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


def _where(best: Look, looks: list[Look]) -> Where | None:
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


def _none(known: KnownCurves, measured: Measured, ahead: Look) -> float:
    """How likely it is that something unknown is beside the first family, or in its place."""
    assert ahead.current_A is not None
    scatter = scattered_at(known, ahead.hypothesis, ahead.row)
    curve = modelled(known, ahead.current_A[None], measured, scatter)
    alone = likelihood(measured, curve, smooth=FINE).log[0]
    beside = np.array(
        [likelihood(measured, curve, smooth=one, waves=MANY_WAVES).log[0] - alone for one in UNKNOWN]
    )
    top = float(beside.max())
    worth = NONE_BEFORE + top + log(float(np.exp(beside - top).mean()))
    return 1.0 / (1.0 + exp(-max(-700.0, min(700.0, worth))))
