"""A score from 0 to 100, against the computed best search.

    score = 100 * right * pace

`right` is 1 for a fault found: its kind, and its place as finely as it is asked for. Else there is partial
credit, MOST_PARTIAL at most, in even parts for family, kind, string, module and substring, as far as they are
asked for. Of several faults it is the mean. `pace` is 1 up to the minutes b of the best search, and FAIR_min
at least; of a search of m minutes beyond, 2 b / (b + m): one half at three times b.

That the best search is the one by expected information per minute, and this score with it, is pvsim's own; it
is a judgement, no source. Hints count by their minutes. Two things are told beside the score and not mixed
into it: whether one knows how sure one may be (the Brier score), and how often something unsafe was tried.
"""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.checks import finite
from pvsim.field.search.answer import Judgement, right_parts
from pvsim.field.search.debrief import Debrief
from pvsim.prompt import summary

__all__ = ["MOST_PARTIAL", "FAIR_min", "Score", "pace_of", "right_share", "score_of"]

MOST_PARTIAL = 0.4
FAIR_min = 10.0  # nobody is held to a best search that was lucky at once


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """A score and what it is made of.

    Parameters
    ----------
    points : float
        0 to 100.
    right, pace : float
        0 to 1.
    brier : float
        Mean over the faults: 0 best, 1 worst.
    unsafe, hints : int
    """

    points: float
    right: float
    pace: float
    brier: float
    unsafe: int
    hints: int

    __repr__ = summary


def score_of(debrief: Debrief) -> Score:
    """The score of a search."""
    judgements = debrief.judgements
    right = sum(map(right_share, judgements)) / len(judgements)
    pace = pace_of(debrief.minutes, debrief.best_minutes)
    return Score(
        points=100.0 * right * pace,
        right=right,
        pace=pace,
        brier=sum(one.brier for one in judgements) / len(judgements),
        unsafe=debrief.unsafe,
        hints=debrief.hints,
    )


def right_share(judgement: Judgement) -> float:
    """What of a fault was found, 0 to 1."""
    if judgement.solved:
        return 1.0
    parts = right_parts(judgement)
    return MOST_PARTIAL * sum(parts) / len(parts)


def pace_of(minutes: float, best_minutes: float) -> float:
    """1 as long as the best search took, or less; then falling."""
    asked = _Minutes(minutes, best_minutes)
    finite(asked, "minutes", least=0.0, most=1e6)
    finite(asked, "best_minutes", least=0.0, most=1e6)
    fair = max(best_minutes, FAIR_min)
    return min(1.0, 2.0 * fair / (fair + minutes))


@dataclass(frozen=True, slots=True)
class _Minutes:
    minutes: float
    best_minutes: float
