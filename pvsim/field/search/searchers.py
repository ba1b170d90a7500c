"""Three who search: one who guesses, one who halves, one who takes what tells most per minute.

All three see what anybody sees, reckon after each reading how likely each candidate has become (Bayes, normal
errors, with a floor for what nobody reckoned with) and answer when one is SURE. They differ in what they
read next:

    "guess"   any reading, drawn from the seed; close ones at the likeliest modules alone
    "halve"   the run of modules that is likely, as near to one half, to hold the fault; then the module
    "best"    the reading with the greatest expected information per minute, safety steps counted in

The expected information is the mutual information between candidates and reading, by three nodes of Gauss and
Hermite for each candidate. This measure of a search is pvsim's own; looking one reading ahead it is
greedy, and so a good search and not a proven best one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from pvsim.array.checks import one_of
from pvsim.array.draw import evenly, mixed, word_of
from pvsim.array.part_place import place_holds
from pvsim.array.place import Place
from pvsim.array.scenario import module_type
from pvsim.circuit.floats import Floats
from pvsim.field.search.act import Act, minutes_of
from pvsim.field.search.answer import Answer, Judgement, judged
from pvsim.field.search.candidates import Foresight
from pvsim.field.search.case import SearchCase, the_visible
from pvsim.field.search.plant import Plant
from pvsim.field.search.safety import after
from pvsim.field.search.transcript import Transcript, do, plant_after
from pvsim.prompt import summary

__all__ = ["SEARCHERS", "SURE", "Searched", "search"]

Searcher = Literal["guess", "halve", "best"]
SEARCHERS: tuple[Searcher, ...] = get_args(Searcher)

SURE = 0.95
MOST_LOOKS = 60
_FLOOR = 1e-3  # share of readings that come from what no candidate has
_FAINT = 2e-3  # less likely candidates are not reckoned with when something is looked at more closely
_CLOSE = 3  # modules, those that most likely have it, are looked at more closely
_NODES = ((-np.sqrt(3.0), 1 / 6), (0.0, 2 / 3), (np.sqrt(3.0), 1 / 6))
_STREAM = 22


@dataclass(frozen=True, slots=True, kw_only=True)
class _Look:
    """A reading, and how the plant has to stand for it: "work", "open" or "apart"; cloth or none."""

    mode: str
    act: Act
    cloth: Place | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Searched:
    """How a search by a searcher went.

    Parameters
    ----------
    transcript : Transcript
    answer : Answer
    judgement : Judgement
    """

    transcript: Transcript
    answer: Answer
    judgement: Judgement

    __repr__ = summary


def search(case: SearchCase, searcher: Searcher, foresight: Foresight | None = None) -> Searched:
    """Let a searcher search.

    Parameters
    ----------
    searcher : str
        One of SEARCHERS.
    foresight : Foresight or None
        Of the same case, from another searcher; it spares solving everything again.

    Raises
    ------
    ScenarioError
        If there is no such searcher.
    """
    one_of(_Who(searcher), "searcher", SEARCHERS)
    know = foresight or Foresight(case)
    likely = _evenly_by_place(know)
    transcript, done = Transcript(), set[_Look]()
    looks = _all_looks(case)
    while len(done) < MOST_LOOKS:
        sure = _likeliest(know, likely)[1]
        left = [look for look in looks if look not in done]
        if sure >= SURE or not left:
            break
        plant = plant_after(transcript)
        look = _CHOICES[searcher](case, know, likely, left, plant, len(done))
        done.add(look)
        for act in [*_way(plant, look), look.act]:
            transcript = do(case, transcript, act).transcript
        line = transcript.lines[-1]
        likely = _learnt(know, likely, line.plant, look, line.found[0].reading.value)
    (kind, place), sure = _likeliest(know, likely)
    answer = Answer(kind=kind, place=place, sure_percent=round(100.0 * sure, 1))
    return Searched(transcript=transcript, answer=answer, judgement=judged(case, answer))


@dataclass(frozen=True, slots=True)
class _Who:
    searcher: str


def _evenly_by_place(know: Foresight) -> Floats:
    """Each kind as likely as any other, each of its places and sizes as well: as cases are drawn."""
    kinds = [one.kind for one in know.candidates]
    weights = np.array([1.0 / kinds.count(kind) for kind in kinds])
    even: Floats = weights / weights.sum()
    return even


def _likeliest(know: Foresight, likely: Floats) -> tuple[tuple[str, Place], float]:
    shares: dict[tuple[str, Place], float] = {}
    for one, share in zip(know.candidates, likely.tolist(), strict=True):
        shares[one.kind, one.place] = shares.get((one.kind, one.place), 0.0) + share
    best = max(shares, key=lambda key: shares[key])
    return best, shares[best]


def _all_looks(case: SearchCase) -> list[_Look]:
    looks = []
    for string, one in enumerate(case.sound.array.strings, start=1):
        clamp = Act(kind="read", what="current", place=Place(string))
        looks.append(_Look(mode="work", act=clamp))
        count = len(one.modules)
        for first in range(1, count + 1):
            for last in range(first, count + 1):
                run = Act(kind="read-run", place=Place(string, first), last=last)
                looks += [_Look(mode=mode, act=run) for mode in ("work", "open")]
        for module in range(1, count + 1):
            at = Place(string, module)
            here = Act(kind="read-run", place=at, last=module)
            looks.append(_Look(mode="work", act=here, cloth=at))
            parts = range(1, _substrings(case, at) + 1)
            for cloth in [Place(string, module, substring=part) for part in parts]:
                looks += [_Look(mode="work", act=act, cloth=cloth) for act in (here, clamp)]
            looks.append(_Look(mode="apart", act=Act(kind="trace", place=at)))
    return looks


def _substrings(case: SearchCase, at: Place) -> int:
    kind = case.sound.array.strings[(at.string or 1) - 1].modules[(at.module or 1) - 1].type
    return len(module_type(case.sound, kind).substrings)


def _way(plant: Plant, look: _Look) -> list[Act]:
    """What has to be done before a look, in the safe order."""
    acts = []
    if plant.cloth is not None and plant.cloth != look.cloth:
        acts.append(Act(kind="lift"))
    if look.mode == "work":
        acts += [Act(kind="join", place=Place(string)) for string in plant.separated]
        acts += [] if plant.switch_closed else [Act(kind="close-switch")]
        acts += [] if plant.running else [Act(kind="start")]
    else:
        acts += [Act(kind="stop")] if plant.running else []
        acts += [Act(kind="open-switch")] if plant.switch_closed else []
    if look.mode == "apart" and look.act.place.string not in plant.separated:
        acts += [] if plant.proven else [Act(kind="prove-zero")]
        acts.append(Act(kind="separate", place=Place(look.act.place.string)))
    if look.cloth is not None and plant.cloth != look.cloth:
        acts.append(Act(kind="cover", place=look.cloth))
    return acts


def _learnt(know: Foresight, likely: Floats, plant: Plant, look: _Look, value: float) -> Floats:
    numbers = _reckoned(likely, look)
    mu, sigma = know.readings(numbers, plant, look.act)
    wide = float(np.ptp(mu)) + 6.0 * float(sigma.max())
    p = (1.0 - _FLOOR) * _normal(value, mu, sigma) + _FLOOR / wide
    out = likely.copy()
    out[numbers] *= p / float(np.average(p, weights=likely[numbers]))
    new: Floats = out / out.sum()
    return new


def _normal(y: float | Floats, mu: Floats, sigma: Floats) -> Floats:
    z = (y - mu) / sigma
    density: Floats = np.exp(-0.5 * z * z) / (sigma * np.sqrt(2.0 * np.pi))
    return density


def _reckoned(likely: Floats, look: _Look) -> list[int]:
    """All candidates for a plain reading; those that are not faint where each costs a circuit of its own."""
    if look.cloth is None and look.act.kind != "trace":
        return list(range(len(likely)))
    numbers: list[int] = np.flatnonzero(likely > min(_FAINT, 0.5 * float(likely.max()))).tolist()
    return numbers


def _information_bit(know: Foresight, likely: Floats, plant: Plant, look: _Look) -> float:
    """Expected, of a reading about the candidates."""
    numbers = _reckoned(likely, look)
    mu, sigma = know.readings(numbers, plant, look.act)
    w = likely[numbers]
    total = 0.0
    for node, weight in _NODES:
        y = mu + node * sigma
        p = _normal(y[:, None], mu[None, :], sigma[None, :])
        here = _normal(y, mu, sigma)
        total += weight * float((w * np.log2(here / (p @ (w / w.sum())))).sum())
    return total


def _module_shares(case: SearchCase, know: Foresight, likely: Floats) -> dict[Place, float]:
    """How likely the fault is in each module; a string's own is in none."""
    shares = {
        Place(string, module): 0.0
        for string, one in enumerate(case.sound.array.strings, start=1)
        for module in range(1, len(one.modules) + 1)
    }
    for one, share in zip(know.candidates, likely.tolist(), strict=True):
        at = Place(one.place.string, one.place.module)
        if at in shares:
            shares[at] += share
    return shares


def _worth_it(case: SearchCase, know: Foresight, likely: Floats, looks: list[_Look]) -> list[_Look]:
    """Plain looks, and close ones at the likeliest modules alone."""
    shares = _module_shares(case, know, likely)
    close = sorted(shares, key=lambda at: -shares[at])[:_CLOSE]
    seen = the_visible(case)
    return [
        look
        for look in looks
        if (look.cloth is None and look.mode != "apart")
        or any(place_holds(seen, at, look.cloth or look.act.place) for at in close)
    ]


def _guess(
    case: SearchCase, know: Foresight, likely: Floats, left: list[_Look], plant: Plant, count: int
) -> _Look:
    drawn = float(evenly(case.seed, _STREAM, mixed(np.atleast_1d(word_of(f"look {count}"))))[0])
    some = _worth_it(case, know, likely, left) or left
    return some[min(int((drawn + 1.0) / 2.0 * len(some)), len(some) - 1)]


def _halve(
    case: SearchCase, know: Foresight, likely: Floats, left: list[_Look], plant: Plant, count: int
) -> _Look:
    shares = _module_shares(case, know, likely)
    runs = [one for one in left if one.mode == "work" and one.cloth is None and one.act.kind == "read-run"]

    def inside(look: _Look) -> float:
        string, first = look.act.place.string, look.act.place.module or 1
        return sum(shares[Place(string, module)] for module in range(first, look.act.last + 1))

    top = max(shares, key=lambda at: shares[at])
    if runs and shares[top] < 0.8:
        best = min(runs, key=lambda look: abs(inside(look) - 0.5))
        if 0.1 < inside(best) < 0.9:
            return best
    ranked = sorted(shares, key=lambda at: -shares[at])
    for at in ranked:
        here = [look for look in left if _about(look, at)]
        if here:
            return min(here, key=lambda look: _ORDER.index((look.mode, look.cloth is not None)))
    return left[0]


_ORDER = [("work", False), ("open", False), ("work", True), ("apart", False)]


def _about(look: _Look, at: Place) -> bool:
    if look.cloth is not None:
        return (look.cloth.string, look.cloth.module) == (at.string, at.module)
    return look.act.place == at and look.act.last in (0, at.module)


def _best(
    case: SearchCase, know: Foresight, likely: Floats, left: list[_Look], plant: Plant, count: int
) -> _Look:
    def worth(look: _Look) -> float:
        minutes, then = minutes_of(look.act), plant
        for act in _way(plant, look):
            minutes += minutes_of(act)
            then = after(then, act, zero=True)
        return _information_bit(know, likely, then, look) / minutes

    return max(_worth_it(case, know, likely, left) or left, key=worth)


_CHOICES = {"guess": _guess, "halve": _halve, "best": _best}
