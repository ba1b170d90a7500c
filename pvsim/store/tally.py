"""The tally of a poll: how often each answer was given, in each round, on phones and by hands."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["RoundTally", "Tally", "tally_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundTally:
    """The answers of one round.

    Parameters
    ----------
    round : int
        1 before the discussion, 2 after it.
    phones : int
        How many phones have answered.
    counts : tuple of int
        Phones for each choice; empty when a number was asked for.
    hands : tuple of int
        Raised hands for each choice, as the lecturer counted them; zeros where nobody did.
    numbers : tuple of float
        The numbers given, in rising order; empty when a choice was asked for.
    """

    round: int
    phones: int
    counts: tuple[int, ...] = ()
    hands: tuple[int, ...] = ()
    numbers: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """The answers to one poll, by round."""

    poll: int
    rounds: tuple[RoundTally, ...]

    def in_round(self, number: int) -> RoundTally | None:
        """The answers of one round; None before it was begun."""
        return next((one for one in self.rounds if one.round == number), None)


def tally_of(
    poll: int,
    *,
    choices: int,
    rounds: int,
    answers: Iterable[tuple[int, float, int]],
    hands: Iterable[tuple[int, int, int]] = (),
) -> Tally:
    """Count.

    Parameters
    ----------
    poll : int
    choices : int
        How many answers to choose from; 0 when a number was asked for.
    rounds : int
        How many rounds were begun.
    answers : iterable of (round, value, how often)
    hands : iterable of (round, choice, how many)
    """
    answers, hands = list(answers), list(hands)
    made = []
    for number in range(1, rounds + 1):
        mine = [(value, times) for at, value, times in answers if at == number]
        counts, raised = [0] * choices, [0] * choices
        for value, times in mine if choices else ():
            counts[int(value)] += times
        for at, choice, many in hands:
            if at == number and 0 <= choice < choices:
                raised[choice] += many
        made.append(
            RoundTally(
                round=number,
                phones=sum(times for _, times in mine),
                counts=tuple(counts),
                hands=tuple(raised),
                numbers=() if choices else tuple(sorted(v for v, times in mine for _ in range(times))),
            )
        )
    return Tally(poll=poll, rounds=tuple(made))
