"""How likely each candidate is after a reading, and what a reading is expected to tell.

Bayes, with normal errors and a floor for what nobody reckoned with. The information of a reading is the
relative entropy from before to after it, in bits; what is expected of one is the mutual information between
candidates and reading, by nodes of Gauss and Hermite for each candidate. Both are about kind, place and size
together. Information per minute as the measure of a search is pvsim's own.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.array.draw import mixed, normal
from pvsim.array.part_place import place_holds
from pvsim.array.place import Place
from pvsim.circuit.floats import Floats
from pvsim.field.search.act import Act
from pvsim.field.search.candidates import Answered
from pvsim.field.search.foresight import Foresight, groups_of
from pvsim.field.search.look import Look, minutes_to
from pvsim.field.search.plant import Plant
from pvsim.field.search.transcript import Line

__all__ = [
    "best_look",
    "evenly",
    "expected_bit",
    "gained_bit",
    "learnt",
    "learnt_from",
    "likeliest",
    "module_shares",
    "unexplained",
    "worth_it",
]

# Share of readings that come from what no candidate has: with the switch open; at work, where a weak
# substring may turn round under a current that others drive; of a picture, that shows each weak cell. Held to
# drawn cases.
_FLOOR, _FLOOR_AT_WORK, _FLOOR_PICTURE = 1e-3, 0.03, 0.05
_FAINT = 2e-3  # less likely candidates are not reckoned with when something is looked at more closely
_TIE = 1e-6  # of two that tell as much, the first
_NONE = 1e-12  # less likely candidates do not count in what is expected
_CLOSE = 3  # modules, those that most likely have it, are looked at more closely
_NODES = ((-np.sqrt(3.0), 1 / 6), (0.0, 2 / 3), (np.sqrt(3.0), 1 / 6))
_DRAWN = 2  # pairs of nodes where a reading has several parts


def evenly(know: Foresight) -> Floats:
    """As cases are drawn: each kind as likely as any other, and each place and size of it; (candidates,)."""
    kinds = [tuple(fault.kind for fault in one.faults) for one in know.candidates]
    counts = {kind: kinds.count(kind) for kind in set(kinds)}
    weights = np.array([1.0 / counts[kind] for kind in kinds])
    even: Floats = weights / weights.sum()
    return even


def likeliest(know: Foresight, likely: Floats) -> tuple[tuple[Answered, ...], float]:
    """The answer that is most likely, one for each fault, and its share."""
    shares = np.bincount(know.answer_of, weights=likely)
    best = int(shares.argmax())
    return know.answers[best], min(float(shares[best]), 1.0)


def learnt_from(
    know: Foresight, likely: Floats, plant: Plant, line: Line, *, whole: bool = False
) -> Floats:
    """How likely each candidate is after a line of a transcript; (candidates,).

    Parameters
    ----------
    plant : Plant
        As the line met it.
    whole : bool
        As of `learnt`.
    """
    return learnt(know, likely, plant, line.act, *_values(line), whole=whole)


def learnt(
    know: Foresight,
    likely: Floats,
    plant: Plant,
    act: Act,
    values: Floats,
    over: np.ndarray | None = None,
    *,
    whole: bool = False,
) -> Floats:
    """How likely each candidate is after an act read some values; (candidates,).

    Parameters
    ----------
    values : (parts,)
    over : (parts,) or None
        Where the meter was over range: there the value is the end of its range, and what is beyond is all
        that it tells.
    whole : bool
        Whether faint candidates count too where each costs a circuit. Many faint ones are together likely;
        who goes on searching does without them, for speed.
    """
    numbers, told, floor = _weighed(know, likely, plant, act, values, over, whole=whole)
    logs = np.log(told + floor).sum(axis=1)
    p = np.exp(logs - logs.max())
    out = likely.copy()
    out[numbers] *= p / float(np.average(p, weights=likely[numbers]))
    new: Floats = out / out.sum()
    return new


def unexplained(know: Foresight, before: Floats, now: Floats, plant: Plant, line: Line) -> float:
    """How likely it is that something that a line read comes from what no candidate has; 0 to 1.

    Parameters
    ----------
    before, now : (candidates,)
        How likely each was before the line and is after it, as `learnt_from` gives it of all candidates.
    plant : Plant
        As the line met it.
    """
    numbers, told, floor = _weighed(know, before, plant, line.act, *_values(line), whole=True)
    foreseen = np.prod(told / (told + floor), axis=1)
    return 1.0 - float(np.average(foreseen, weights=now[numbers]))


def _weighed(
    know: Foresight,
    likely: Floats,
    plant: Plant,
    act: Act,
    values: Floats,
    over: np.ndarray | None,
    *,
    whole: bool,
) -> tuple[np.ndarray, Floats, Floats]:
    """Which candidates are reckoned with, how likely each has the values, and how likely nobody's floor has.

    The last two (candidates reckoned with, parts).
    """
    numbers = np.arange(len(likely)) if whole else _reckoned(likely, plant, act)
    mu, sigma = know.readings(numbers, plant, act)
    wide = np.ptp(mu, axis=0) + 6.0 * sigma.max(axis=0)
    share = _FLOOR_PICTURE if act.kind == "picture" else _FLOOR_AT_WORK if plant.running else _FLOOR
    shown = know.shown(act, values)
    told = (1.0 - share) * _normal(shown, mu, sigma)
    floor = np.broadcast_to(share / wide, told.shape)
    if over is not None and over.any():
        told = np.where(over, (1.0 - share) * _beyond(shown, mu, sigma), told)
        floor = np.where(over, 0.5 * share, floor)  # nobody reckoned: as well not
    return numbers, told, floor


def _values(line: Line) -> tuple[Floats, np.ndarray]:
    """What a line read, and where that was over range; (parts,) each."""
    values = np.array([one.reading.value for one in line.found])
    return values, np.array([one.reading.over_range for one in line.found])


def gained_bit(before: Floats, now: Floats) -> float:
    """What a reading told: the relative entropy of how likely candidates are now and were before."""
    some = now > 0.0
    return max(float((now[some] * np.log2(now[some] / before[some])).sum()), 0.0)


def expected_bit(
    know: Foresight, likely: Floats, plant: Plant, act: Act, *, whole: bool = False
) -> float:
    """What a reading is expected to tell; `whole` as of `learnt`."""
    return _information(_grouped(know, likely, plant, act, whole=whole))


@dataclass(frozen=True, slots=True, eq=False)
class _Grouped:
    """Candidates that are alike as one: how likely, what they would have a reading be, how well known.

    Parameters
    ----------
    w : (groups,)
    mu, sigma : (groups, parts)
    most : float
        Beyond which the meter shows no figure.
    """

    w: Floats
    mu: Floats
    sigma: Floats
    most: float

    @property
    def entropy_bit(self) -> float:
        """What a reading can tell at most: which group it is."""
        some = self.w[self.w > 0.0]
        return -float((some * np.log2(some)).sum())


def _grouped(
    know: Foresight, likely: Floats, plant: Plant, act: Act, *, whole: bool = False
) -> _Grouped:
    numbers = np.arange(len(likely)) if whole else _reckoned(likely, plant, act)
    numbers = numbers[likely[numbers] > _NONE]
    mu, sigma = know.readings(numbers, plant, act)
    alike = know.alike(numbers, plant, act)
    if alike is None:
        alike = groups_of(mu, sigma)
    _groups, first, alike = np.unique(alike, return_index=True, return_inverse=True)
    w = np.bincount(alike, weights=likely[numbers], minlength=len(first)).astype(np.float64)
    return _Grouped(w=w, mu=mu[first], sigma=sigma[first], most=know.most_shown(act))


def _information(of: _Grouped) -> float:
    """By nodes for each group: how much likelier it makes what it reads than all of them together do."""
    if len(of.w) == 1:
        return 0.0
    total, share = 0.0, of.w / of.w.sum()
    for node, weight in _nodes(of.mu.shape[1]):
        y = of.mu + node * of.sigma
        p = np.ones((len(of.w), len(of.w)))
        here = np.ones(len(of.w))
        for part in range(of.mu.shape[1]):
            p *= _likelihood(y[:, part, None], of.mu[None, :, part], of.sigma[None, :, part], of.most)
            here *= _likelihood(y[:, part], of.mu[:, part], of.sigma[:, part], of.most)
        total += weight * float((of.w * np.log2(here / (p @ share))).sum())
    return max(total, 0.0)


def _nodes(parts: int) -> list[tuple[Floats, float]]:
    if parts == 1:
        return [(np.array([node]), weight) for node, weight in _NODES]
    drawn = [
        normal(pair, 0, mixed(np.arange(parts, dtype=np.uint64))) for pair in range(_DRAWN)
    ]  # the same each time
    return [(sign * one, 0.5 / _DRAWN) for one in drawn for sign in (-1.0, 1.0)]


def _normal(y: Floats, mu: Floats, sigma: Floats) -> Floats:
    z = (y - mu) / sigma
    density: Floats = np.exp(-0.5 * z * z) / (sigma * np.sqrt(2.0 * np.pi))
    return density


def _beyond(end: Floats, mu: Floats, sigma: Floats) -> Floats:
    """Probability that a reading is further out than the end of a range, on that end's side."""
    from scipy.special import ndtr

    share: Floats = ndtr(np.sign(end) * (mu - end) / sigma)
    return share


def _likelihood(y: Floats, mu: Floats, sigma: Floats, most: float) -> Floats:
    """Of readings: their density, or beyond what the meter shows the probability of no more than that."""
    density = _normal(y, mu, sigma)
    out = np.abs(y) > most
    if not out.any():
        return density
    return np.where(out, _beyond(np.copysign(most, y), mu, sigma), density)


def _reckoned(likely: Floats, plant: Plant, act: Act) -> np.ndarray:
    """All candidates for a plain reading; those that are not faint where each costs a circuit of its own."""
    switched = (plant.running and plant.switch_closed and not plant.separated) or not plant.switch_closed
    taken_out = act.kind == "trace" or act.what == "open-voltage"
    if plant.cloth is None and switched and not taken_out:
        return np.arange(len(likely))
    return np.flatnonzero(likely > min(_FAINT, 0.5 * float(likely.max())))


def module_shares(know: Foresight, likely: Floats) -> dict[Place, float]:
    """How likely a fault is in each module; a string's own is in none."""
    whose, where = know.in_modules
    shares = np.bincount(where, weights=likely[whose], minlength=len(know.modules))
    return dict(zip(know.modules, shares.tolist(), strict=True))


def worth_it(know: Foresight, likely: Floats, looks: list[Look]) -> list[Look]:
    """Plain looks, and close ones at the likeliest modules alone."""
    shares = module_shares(know, likely)
    close = sorted(shares, key=lambda at: -shares[at])[:_CLOSE]
    return [
        look
        for look in looks
        if _is_plain(look) or any(place_holds(know.seen, at, look.cloth or look.act.place) for at in close)
    ]


def _is_plain(look: Look) -> bool:
    if look.act.kind == "picture":
        return look.act.place.module is None
    return look.act.what == "insulation" or (look.cloth is None and look.mode != "apart")


def best_look(know: Foresight, likely: Floats, looks: list[Look], plant: Plant) -> tuple[Look, float]:
    """The look with the greatest expected information per minute, its way counted in; and that, in bits.

    Short ones are reckoned first. One that could not have as much, by how many things are left to be told
    apart, is passed over: what is left out is below the greatest, so that the choice is the same.
    """
    ways = [minutes_to(plant, look) for look in looks]
    left_bit = _Grouped(w=likely, mu=likely, sigma=likely, most=np.inf).entropy_bit
    rates = np.zeros(len(looks))
    most = 0.0
    for number in sorted(range(len(looks)), key=lambda one: ways[one][0]):
        minutes, then = ways[number]
        need_bit = most * minutes * (1.0 - 2.0 * _TIE)
        if left_bit < need_bit:
            continue
        of = _grouped(know, likely, then, looks[number].act)
        if of.entropy_bit < need_bit:
            continue
        rates[number] = _information(of) / minutes
        most = max(most, float(rates[number]))
    best, most = 0, 0.0
    for number, rate in enumerate(rates.tolist()):
        if rate > most * (1.0 + _TIE):
            best, most = number, rate
    return looks[best], most
