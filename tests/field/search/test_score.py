"""Scores: of the three who search the best has most; minutes, hints and wrong parts never raise a score."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from pvsim.errors import ScenarioError
from pvsim.field.search import (
    SEARCHERS,
    TAKE_HINT,
    Debrief,
    Foresight,
    Judgement,
    debrief_of,
    do,
    score_of,
    search,
    search_case,
)
from pvsim.field.search.score import MOST_PARTIAL, FAIR_min, pace_of, right_share


@cache
def debriefs(seed: int) -> dict[str, Debrief]:
    case = search_case(seed, 1)
    know = Foresight(case)
    found = {who: search(case, who, know) for who in SEARCHERS}
    best = debrief_of(case, found["best"].transcript, found["best"].answers, know)
    return {
        who: replace(best, minutes=one.transcript.minutes, judgements=one.judgements)
        for who, one in found.items()
    }


def test_the_best_searcher_scores_highest_on_average() -> None:
    points = {who: np.mean([score_of(debriefs(seed)[who]).points for seed in range(4)]) for who in SEARCHERS}
    assert points["best"] > points["halve"] > points["guess"]


def test_the_best_search_itself_has_full_marks_if_it_is_solved() -> None:
    found = score_of(debriefs(1)["best"])
    assert (found.points, found.right, found.pace) == (100.0, 1.0, 1.0)


def test_more_minutes_never_score_more() -> None:
    one = debriefs(1)["best"]
    points = [score_of(replace(one, minutes=float(minutes))).points for minutes in range(0, 400, 5)]
    assert all(after <= before for before, after in pairwise(points))
    assert points[0] == 100.0
    assert 0.0 < points[-1] < 10.0


def test_three_times_the_best_minutes_are_half_the_pace() -> None:
    assert pace_of(60.0, 20.0) == pytest.approx(0.5)
    assert pace_of(FAIR_min, 3.0) == 1.0  # a lucky best search is no measure


def test_a_hint_never_raises_a_score() -> None:
    case = search_case(1, 1)
    know = Foresight(case)
    found = search(case, "best", know)
    with_hint = do(case, found.transcript, TAKE_HINT).transcript
    one, other = (
        score_of(debrief_of(case, transcript, found.answers, know))
        for transcript in (found.transcript, with_hint)
    )
    assert other.points <= one.points
    assert (one.hints, other.hints) == (0, 1)


def test_partial_credit_rises_with_what_is_right_and_stays_below_a_solution() -> None:
    def share(kind: bool, family: bool, string: bool, module: bool) -> float:
        solved = kind and string and module
        return right_share(
            Judgement(
                kind=kind,
                family=family,
                string=string,
                module=module,
                substring=None,
                solved=solved,
                brier=0.0,
            )
        )

    rising = [share(*(k < n for k in range(4))) for n in (0, 1, 2, 3)]
    assert share(False, False, False, False) == 0.0
    assert all(before < after for before, after in pairwise(rising))
    assert max(rising) <= MOST_PARTIAL < share(True, True, True, True) == 1.0


def test_calibration_and_unsafe_acts_are_told_and_not_mixed_in() -> None:
    one = debriefs(1)["best"]
    other = replace(
        one, unsafe=7, judgements=tuple(replace(judgement, brier=0.9) for judgement in one.judgements)
    )
    assert score_of(other).points == score_of(one).points
    assert (score_of(other).unsafe, score_of(other).brier) == (7, 0.9)


def test_minutes_that_are_none_are_refused() -> None:
    with pytest.raises(ScenarioError):
        pace_of(-1.0, 10.0)
