"""Three who search: one who guesses, one who halves, one who takes what tells most per minute.

All three see what anybody sees, reckon after each reading how likely each candidate has become
(`pvsim.field.search.reckoning`) and answer when one is SURE. They differ in what they read next:

    "guess"   any reading, drawn from the seed; close ones at the likeliest modules alone
    "halve"   the run of modules that is likely, as near to one half, to hold the fault; then the module
    "best"    the reading with the greatest expected information per minute, safety steps counted in

This measure of a search is pvsim's own; looking one reading ahead it is greedy, and so a good search and not
a proven best one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from pvsim.array.checks import one_of
from pvsim.array.draw import evenly as drawn_evenly
from pvsim.array.draw import mixed, word_of
from pvsim.array.place import Place
from pvsim.circuit.floats import Floats
from pvsim.field.search.answer import Answer, Judgement, judged_each
from pvsim.field.search.case import SearchCase
from pvsim.field.search.foresight import Foresight
from pvsim.field.search.look import Look, way_to
from pvsim.field.search.plant import Plant
from pvsim.field.search.reckoning import (
    best_look,
    evenly,
    learnt_from,
    likeliest,
    module_shares,
    worth_it,
)
from pvsim.field.search.transcript import Transcript, do, plant_after
from pvsim.prompt import summary

__all__ = ["SEARCHERS", "SURE", "Searched", "Searcher", "halving_look", "search"]

Searcher = Literal["guess", "halve", "best"]
SEARCHERS: tuple[Searcher, ...] = get_args(Searcher)

SURE = 0.95
MOST_LOOKS = 60
_STREAM = 22


@dataclass(frozen=True, slots=True, kw_only=True)
class Searched:
    """How a search by a searcher went.

    Parameters
    ----------
    transcript : Transcript
    answers : tuple of Answer
        One for each fault.
    judgements : tuple of Judgement
        Of each fault.
    """

    transcript: Transcript
    answers: tuple[Answer, ...]
    judgements: tuple[Judgement, ...]

    __repr__ = summary

    @property
    def solved(self) -> bool:
        """Every fault."""
        return all(one.solved for one in self.judgements)


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
    likely = evenly(know)
    transcript, done = Transcript(), set[Look]()
    looks = know.looks
    while len(done) < MOST_LOOKS:
        sure = likeliest(know, likely)[1]
        left = [look for look in looks if look not in done]
        if sure >= SURE or not left:
            break
        look = _CHOICES[searcher](case, know, likely, left, plant_after(transcript), len(done))
        done.add(look)
        for act in [*way_to(plant_after(transcript), look), look.act]:
            transcript = do(case, transcript, act).transcript
        line = transcript.lines[-1]
        likely = learnt_from(know, likely, line.plant, line)
    found, sure = likeliest(know, likely)
    answers = tuple(
        Answer(kind=kind, place=place, sure_percent=round(100.0 * sure, 1)) for kind, place in found
    )
    return Searched(transcript=transcript, answers=answers, judgements=judged_each(case, answers))


@dataclass(frozen=True, slots=True)
class _Who:
    searcher: str


def _guess(
    case: SearchCase, know: Foresight, likely: Floats, left: list[Look], plant: Plant, count: int
) -> Look:
    drawn = float(drawn_evenly(case.seed, _STREAM, mixed(np.atleast_1d(word_of(f"look {count}"))))[0])
    some = worth_it(know, likely, left) or left
    return some[min(int((drawn + 1.0) / 2.0 * len(some)), len(some) - 1)]


def _halve(
    case: SearchCase, know: Foresight, likely: Floats, left: list[Look], plant: Plant, count: int
) -> Look:
    return halving_look(know, likely, left)


def halving_look(know: Foresight, likely: Floats, left: list[Look]) -> Look:
    """The run of modules that is as near to one half likely to hold it; then the likeliest module."""
    shares = module_shares(know, likely)
    runs = [one for one in left if one.mode == "work" and one.cloth is None and one.act.kind == "read-run"]

    def inside(look: Look) -> float:
        string, first = look.act.place.string, look.act.place.module or 1
        return sum(shares[Place(string, module)] for module in range(first, look.act.last + 1))

    top = max(shares, key=lambda at: shares[at])
    if runs and shares[top] < 0.8:
        best = min(runs, key=lambda look: abs(inside(look) - 0.5))
        if 0.1 < inside(best) < 0.9:
            return best
    (_kind, place), *_rest = likeliest(know, likely)[0]
    ranked = sorted(shares, key=lambda at: -shares[at])
    for at in [place, *ranked] if place.module is None else ranked:
        here = [look for look in left if _about(look, at)]
        if here:
            return min(here, key=lambda look: _ORDER.index((look.mode, look.cloth is not None)))
    return left[0]


_ORDER = [("work", False), ("open", False), ("work", True), ("apart", False)]


def _about(look: Look, at: Place) -> bool:
    if look.cloth is not None:
        return (look.cloth.string, look.cloth.module) == (at.string, at.module)
    return look.act.place == at and look.act.last in (0, at.module)


def _best(
    case: SearchCase, know: Foresight, likely: Floats, left: list[Look], plant: Plant, count: int
) -> Look:
    return best_look(know, likely, worth_it(know, likely, left) or left, plant)[0]


_CHOICES = {"guess": _guess, "halve": _halve, "best": _best}
