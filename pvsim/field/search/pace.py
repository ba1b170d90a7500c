"""Which search comes next: its level, and whether one family is practised in a block or all are mixed.

Blocks of one family first, then mixed: A. A. Darabi et al., 2007 (second-hand). The rule itself is pvsim's
own, a judgement:

* On a level, families come one after the other, those alone that have kinds the level below has not. A block
ends
  with one search solved with GOOD points; after STUCK that were not, it is left for now.
* Then all families are mixed. Of the last WINDOW mixed searches of the level, NEEDED solved with GOOD points
lead
  one level up, and as many that were not solved lead one level down, to mixed practice.
* Whoever comes back to a level has its blocks behind them and practises mixed; what counts is what was done
  since they came.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pvsim.array.checks import finite, one_of, truth, whole
from pvsim.array.scatter import MOST_SEED
from pvsim.field.search.case import LEVELS, kinds_at
from pvsim.field.search.family import FAMILIES
from pvsim.words import mark

__all__ = ["GOOD", "NEEDED", "REASONS", "STUCK", "WINDOW", "Past", "Practice", "blocks_of", "next_practice"]

GOOD = 60.0
STUCK = 3
WINDOW, NEEDED = 3, 2

REASONS: dict[str, str] = {
    "block": mark("One family by itself first: its faults are looked for in like ways."),
    "again": mark("The same family once more, until one of its faults is found in good time."),
    "mixed": mark("Now all families mixed: nobody says which it is."),
    "up": mark("Found in good time, more than once: one level up."),
    "down": mark("Not found, more than once: one level down, to be sure of the ground."),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """One search that was ended.

    Parameters
    ----------
    level : int
    family : str
        The block's; "" where families were mixed.
    points : float
        Its score.
    solved : bool
    minutes, best_minutes : float
        Its own and those of the computed best search.
    seed : int or None
        Its number, where that was kept.
    """

    level: int
    family: str
    points: float
    solved: bool
    minutes: float
    best_minutes: float
    seed: int | None = None

    def __post_init__(self) -> None:
        whole(self, "level", least=min(LEVELS), most=max(LEVELS))
        if self.family != "":
            one_of(self, "family", FAMILIES)
        if self.seed is not None:
            whole(self, "seed", least=0, most=MOST_SEED)
        finite(self, "points", least=0.0, most=100.0)
        truth(self, "solved")
        finite(self, "minutes", least=0.0, most=1e6)
        finite(self, "best_minutes", least=0.0, most=1e6)


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """What comes next.

    Parameters
    ----------
    level : int
    family : str
        "" for mixed.
    reason : str
        A key of REASONS.
    """

    level: int
    family: str
    reason: str


def blocks_of(level: int) -> tuple[str, ...]:
    """The families that a level practises in blocks; none where several faults are hidden."""
    if LEVELS[level].hidden > 1:
        return ()
    known = kinds_at(level - 1) if level - 1 in LEVELS else ()
    return tuple(key for key in FAMILIES if any(kind not in known for kind in kinds_at(level, key)))


def next_practice(past: Sequence[Past]) -> Practice:
    """What comes after some searches, in the order they were done.

    Parameters
    ----------
    past : sequence of Past
        None for a beginner.
    """
    level = past[-1].level if past else min(LEVELS)
    if past and past[-1].family == "":
        mixed = _since_they_came(past)[-WINDOW:]
        if sum(map(_good, mixed)) >= NEEDED and level < max(LEVELS):
            return _begin(past, level + 1, "up")
        if sum(not one.solved for one in mixed) >= NEEDED and level > min(LEVELS):
            return Practice(level=level - 1, family="", reason="down")
    return _begin(past, level, "mixed")


def _good(one: Past) -> bool:
    return one.solved and one.points >= GOOD


def _since_they_came(past: Sequence[Past]) -> list[Past]:
    """The mixed searches at the end, all of the last one's level."""
    out: list[Past] = []
    for one in reversed(past):
        if one.level != past[-1].level or one.family != "":
            break
        out.insert(0, one)
    return out


def _begin(past: Sequence[Past], level: int, reason: str) -> Practice:
    """The first block of a level that is open yet, or mixed practice."""
    if any(one.level == level and one.family == "" for one in past):
        return Practice(level=level, family="", reason=reason)
    for family in blocks_of(level):
        mine = [one for one in past if (one.level, one.family) == (level, family)]
        if any(map(_good, mine)) or len(mine) >= STUCK:
            continue
        if reason != "up":
            reason = "again" if mine else "block"
        return Practice(level=level, family=family, reason=reason)
    return Practice(level=level, family="", reason=reason)
