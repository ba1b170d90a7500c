"""The class at the field desk: how phones come in, what they are asked, how they vote, what was read then."""

from __future__ import annotations

from typing import Any

from pvsim.app.field.log_rows import log_lines
from pvsim.app.qr import qr_path
from pvsim.app.session.state import State
from pvsim.app.session.vote_commands import choice_minutes
from pvsim.app.words import _, ngettext
from pvsim.field.search.telling import describe_choice
from pvsim.field.search.vote import Vote, most_wanted
from pvsim.numbers import format_percent

__all__ = ["LETTERS", "room_values"]

LETTERS = "ABCDEFGH"


def room_values(state: State) -> dict[str, Any]:
    """What the desk shows of a class that votes on a search; {} where there can be none.

    Returns
    -------
    dict
        `open`; of an open one `code`, `address`, `dots`, `path`, `far` (why nobody else can join), `own`
        (whether it may be closed here), `working`, `vote` (`asking`, `count`, `choices` with `letter`,
        `text`, `minutes`, `votes`, `share`, and `most`, what most want) and `last`, what was done last.
    """
    room, work = state.classroom, state.field
    if room is None or work.case is None or (work.over and not room.is_open):
        return {}
    if not room.is_open:
        return {"open": False}
    dots, path = qr_path(room.url)
    return {
        "open": True,
        "code": room.code,
        "address": room.join_url.split("//")[-1],
        "dots": dots,
        "path": path,
        "far": "" if room.network else _("Only this machine can join: start pvsim with --network."),
        "own": state.lecture is None,
        "over": work.over,
        "working": state.offering,
        "vote": _vote_values(state),
        "last": _last_values(state, work.votes[-1]) if work.votes else {},
    }


def _vote_values(state: State) -> dict[str, Any]:
    ballot, room = state.standing_ballot, state.classroom
    if ballot is None or room is None:
        return {}
    counts = state.vote_counts()
    total, most = sum(counts), most_wanted(counts)
    return {
        "asking": room.asking,
        "count": ngettext("{n} phone answered", "{n} phones answered", total).format(n=total),
        "most": -1 if most is None else most,
        "tied": most is not None and counts.count(counts[most]) > 1,
        "choices": [
            {
                "letter": LETTERS[place],
                "text": describe_choice(one),
                "minutes": choice_minutes(one),
                "votes": counts[place],
                "share": counts[place] / total if total else 0.0,
                "percent": format_percent(counts[place] / total, decimals=0) if total else "",
            }
            for place, one in enumerate(ballot.offer)
        ],
    }


def _last_values(state: State, vote: Vote) -> dict[str, Any]:
    """What was done after the last vote, and what it read."""
    line, total = log_lines(state.field)[vote.line], sum(vote.counts)
    return {
        "letter": LETTERS[vote.chosen],
        "text": describe_choice(vote.offer[vote.chosen]),
        "wanted": _("{n} of {all} wanted this").format(n=vote.counts[vote.chosen], all=total)
        if total
        else "",
        "found": line["found"],
        "refused": line["refused"],
        "unsafe": line["unsafe"],
        "number": vote.line,
    }
