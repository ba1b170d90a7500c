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
        `lead`, sentences; `head` and `rows` of a table; `bars`, for each vote `done` and `best`, 0 to 1 of
        the greatest rate there was.
    """
    if work.debrief is None or not work.votes:
        return {}
    found = room_search(work.votes, [line.end_min for line in work.transcript.lines], work.debrief)
    most = max(one.best.rate_bit_min for one in found.told) or 1.0
    return {
        "lead": _lead(found),
        "head": [
            _("Vote"), _("What was done"), _("min"), _("told"), _("expected a minute"),
            _("The best that was offered"), _("expected a minute"), _("voted for it"),
        ],
        "rows": [_row(number, one) for number, one in enumerate(found.told, start=1)],
        "bars": [
            {"done": one.done.rate_bit_min / most, "best": one.best.rate_bit_min / most} for one in found.told
        ],
    }  # fmt: skip


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


def _row(number: int, one: VoteTold) -> list[str]:
    share = _("nobody voted")
    if one.votes:
        share = _("{n} of {all} ({share})").format(
            n=one.for_best, all=one.votes, share=format_percent(one.for_best / one.votes, decimals=0)
        )
    return [
        str(number),
        _("{what}, refused").format(what=describe_choice(one.done))
        if one.done.look is None
        else describe_choice(one.done),
        format_fixed(one.minutes),
        _bit(one.gained_bit),
        _rate(one.done),
        _("the same") if one.done is one.best else describe_choice(one.best),
        _rate(one.best),
        share,
    ]


def _rate(choice: Choice) -> str:
    return _bit(choice.rate_bit_min)


def _bit(value: float) -> str:
    return format_fixed(value, _("bit"), decimals=2)
