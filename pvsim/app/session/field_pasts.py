"""Searches that were ended, as this browser keeps them: level, family, how it went, for what comes next."""

from __future__ import annotations

import json

from pvsim.app.session.field_work import FieldWork
from pvsim.errors import PvsimError
from pvsim.field.search.debrief import Debrief
from pvsim.field.search.pace import Past
from pvsim.field.search.score import score_of

__all__ = ["MOST_PASTS", "past_of", "pasts_kept", "pasts_text"]

MOST_PASTS = 200
MOST_SIGNS = 20_000


def past_of(work: FieldWork, debrief: Debrief) -> Past:
    """What is remembered of a search that is over."""
    assert work.case is not None
    return Past(
        level=work.case.level,
        family=work.case.family,
        points=round(score_of(debrief).points, 1),
        solved=debrief.solved,
        minutes=debrief.minutes,
        best_minutes=debrief.best_minutes,
        seed=work.case.seed,
    )


def pasts_text(pasts: tuple[Past, ...]) -> str:
    """What is kept; "" for none."""
    rows = [[p.level, p.family, p.points, p.solved, p.minutes, p.best_minutes, p.seed] for p in pasts]
    return json.dumps(rows, separators=(",", ":")) if rows else ""


def pasts_kept(text: str) -> tuple[Past, ...]:
    """What was kept; what cannot be read is as if nobody had practised."""
    try:
        rows = json.loads(text) if len(text) <= MOST_SIGNS else []
        return tuple(
            Past(
                level=level,
                family=family,
                points=points,
                solved=solved,
                minutes=minutes,
                best_minutes=best_minutes,
                seed=seed[0] if seed else None,
            )
            for level, family, points, solved, minutes, best_minutes, *seed in rows[-MOST_PASTS:]
        )
    except (PvsimError, TypeError, ValueError, KeyError, RecursionError):
        return ()
