"""Votes of a class on what is read next, and how its search stands beside the best that was offered."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pvsim.field.search.debrief import Debrief
from pvsim.field.search.offer import Choice, best_of
from pvsim.prompt import summary

__all__ = ["RoomSearch", "Vote", "VoteTold", "most_wanted", "room_search"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Vote:
    """One vote that is over, and what was done then.

    Parameters
    ----------
    offer : tuple of Choice
    counts : tuple of int
        How many wanted each.
    chosen : int
        The place of the one that was done.
    first, line : int
        Numbers of the lines of the transcript, from 0, that it began and ended with.
    """

    offer: tuple[Choice, ...]
    counts: tuple[int, ...]
    chosen: int
    first: int
    line: int

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True)
class VoteTold:
    """What a vote came to.

    Parameters
    ----------
    vote : Vote
    done, best : Choice
        What was done; what had the greatest expected information per minute of all that was offered.
    gained_bit : float
        What the reading gave; 0 of one that was refused.
    minutes : float
        What it took, with the safe way to it.
    votes, for_best, for_done : int
        All; those for the best choice; those for what was done.
    """

    vote: Vote
    done: Choice
    best: Choice
    gained_bit: float
    minutes: float
    votes: int
    for_best: int
    for_done: int

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomSearch:
    """A search whose readings a class voted on.

    Parameters
    ----------
    told : tuple of VoteTold
    minutes, best_minutes : float
        Of the whole search, and of the computed best one.
    best_done : int
        In how many votes the best choice was done.
    votes, for_best : int
        All votes together; those for the best choice.
    """

    told: tuple[VoteTold, ...]
    minutes: float
    best_minutes: float
    best_done: int
    votes: int
    for_best: int

    __repr__ = summary


def most_wanted(counts: Sequence[int]) -> int | None:
    """The place that most want; of equal ones the first, as their order was drawn; None without votes."""
    most = max(counts, default=0)
    return list(counts).index(most) if most else None


def room_search(votes: Sequence[Vote], minutes: Sequence[float], debrief: Debrief) -> RoomSearch:
    """How votes went, by the debrief of the search.

    Parameters
    ----------
    minutes : sequence of float
        When each line of the transcript ended, in minutes.
    """
    told = []
    for vote in votes:
        best = best_of(vote.offer)
        before = minutes[vote.first - 1] if vote.first else 0.0
        told.append(
            VoteTold(
                vote=vote,
                done=vote.offer[vote.chosen],
                best=vote.offer[best],
                gained_bit=debrief.lines[vote.line].gained_bit,
                minutes=minutes[vote.line] - before,
                votes=sum(vote.counts),
                for_best=vote.counts[best],
                for_done=vote.counts[vote.chosen],
            )
        )
    return RoomSearch(
        told=tuple(told),
        minutes=debrief.minutes,
        best_minutes=debrief.best_minutes,
        best_done=sum(one.vote.chosen == best_of(one.vote.offer) for one in told),
        votes=sum(one.votes for one in told),
        for_best=sum(one.for_best for one in told),
    )
