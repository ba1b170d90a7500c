"""A search that a class voted on, beside the best of what it was offered: a table, and bars of each vote."""

from __future__ import annotations

from typing import Any

from pvsim.app.session.field_work import FieldWork
from pvsim.app.words import _, ngettext
from pvsim.field.search.offer import Choice
from pvsim.field.search.telling import describe_choice
from pvsim.field.search.vote import RoomSearch, VoteTold, room_search
from pvsim.numbers import format_fixed, format_percent

__all__ = ["votes_values"]


def votes_values(work: FieldWork) -> dict[str, Any]:
    """How the votes went; {} where nobody voted, or the search has not been worked out yet.

    Returns
    -------
    dict
        `lead`, sentences; `head` of a table; `rows`, one a vote: `done`, `done_rate`, `done_share` (0 to 1
        of the greatest rate that was offered), `told`, `best`, `best_rate`, `best_share`, `voted`.
    """
    if work.debrief is None or not work.votes:
        return {}
    found = room_search(work.votes, [line.end_min for line in work.transcript.lines], work.debrief)
    most = max(one.best.rate_bit_min for one in found.told) or 1.0
    return {
        "lead": _lead(found),
        "head": [_("Vote"), _("What was done"), _("The best that was offered"), _("Voted for the best")],
        "rows": [_row(one, most) for one in found.told],
    }


def _lead(found: RoomSearch) -> list[str]:
    told = [
        _("The room's search took {mine} min; the computed best search needs {best} min.").format(
            mine=format_fixed(found.minutes), best=format_fixed(found.best_minutes)
        ),
        ngettext(
            "In {n} of {all} vote the best reading that was offered was done.",
            "In {n} of {all} votes the best reading that was offered was done.",
            len(found.told),
        ).format(n=found.best_done, all=len(found.told)),
    ]
    if found.votes:
        told.append(
            _("{share} of all votes were for the best one.").format(
                share=format_percent(found.for_best / found.votes, decimals=0)
            )
        )
    return told


def _row(one: VoteTold, most: float) -> dict[str, Any]:
    voted = _("nobody voted")
    if one.votes:
        voted = _("{n} of {all} ({share})").format(
            n=one.for_best, all=one.votes, share=format_percent(one.for_best / one.votes, decimals=0)
        )
    told = _("told {bit} in {minutes} min").format(
        bit=_bit(one.gained_bit), minutes=format_fixed(one.minutes)
    )
    return {
        "done": describe_choice(one.done),
        "done_rate": _rate(one.done),
        "done_share": one.done.rate_bit_min / most,
        "told": _("refused, and so it told nothing") if one.done.look is None else told,
        "best": _("the same") if one.done is one.best else describe_choice(one.best),
        "best_rate": _rate(one.best),
        "best_share": one.best.rate_bit_min / most,
        "voted": voted,
    }


def _rate(choice: Choice) -> str:
    return _("{bit} a minute expected").format(bit=_bit(choice.rate_bit_min))


def _bit(value: float) -> str:
    return format_fixed(value, _("bit"), decimals=2)
