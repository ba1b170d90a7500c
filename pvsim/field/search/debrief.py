"""After a search: what each reading told and could have told, and what would have told most in its place.

The search is played again with the reckoning of the best searcher (`pvsim.field.search.reckoning`): what a
reading gave, and what was to be expected of it, are in bits about kind, place and size. That a search is
measured by information per minute is pvsim's own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from pvsim.array.fault import Fault
from pvsim.circuit.latest import Latest
from pvsim.field.search.act import minutes_of
from pvsim.field.search.answer import Answer, Judgement, judged_each
from pvsim.field.search.candidates import Answered
from pvsim.field.search.case import SearchCase
from pvsim.field.search.foresight import Foresight
from pvsim.field.search.hint import hints_taken
from pvsim.field.search.look import Look
from pvsim.field.search.reckoning import (
    best_look,
    expected_bit,
    gained_bit,
    likeliest,
    unexplained,
    worth_it,
)
from pvsim.field.search.replay import Step, replaying
from pvsim.field.search.safety import REFUSALS
from pvsim.field.search.searchers import Searched, search
from pvsim.field.search.transcript import Line, Transcript
from pvsim.prompt import summary

__all__ = ["Debrief", "LineTold", "Verdict", "debrief_of", "debriefing", "unsafe_acts", "verdict_of"]

_best_searches: Latest[Searched] = Latest(64)  # of cases that a class has all searched in


@dataclass(frozen=True, slots=True, kw_only=True)
class LineTold:
    """What one line of the transcript told.

    Parameters
    ----------
    number : int
        Of the line, from 0.
    gained_bit, expected_bit : float
        What the reading gave, and what was to be expected of it before; 0 of a line that read nothing that
        faults differ in, and of what had been read before.
    unexplained : float
        How likely it is that something of the reading comes from what nothing that may be hidden has, 0 to 1.
    likeliest : tuple of (str, Place)
        After the line: for each fault a key of ANSWERS and a place.
    share : float
        How likely that is, 0 to 1.
    rate_bit_min : float
        Expected information per minute of this reading.
    better : Look or None
        What had the greatest expected information per minute there, its way counted in; None of a line that
        read nothing.
    better_rate_bit_min : float
        Of that.
    """

    number: int
    gained_bit: float
    expected_bit: float
    unexplained: float
    likeliest: tuple[Answered, ...]
    share: float
    rate_bit_min: float
    better: Look | None
    better_rate_bit_min: float

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """How a search went, as far as that is worked out.

    Parameters
    ----------
    lines : tuple of LineTold
        Of the first lines of the transcript.
    faults : tuple of Fault
        What was hidden.
    judgements : tuple of Judgement
        What is right of the answers, for each fault.
    minutes : float
    unsafe : int
        Acts refused because they would have hurt somebody.
    refused : int
        All that were refused.
    hints : int
    """

    lines: tuple[LineTold, ...]
    faults: tuple[Fault, ...]
    judgements: tuple[Judgement, ...]
    minutes: float
    unsafe: int
    refused: int
    hints: int

    __repr__ = summary

    @property
    def solved(self) -> bool:
        """Every fault."""
        return all(one.solved for one in self.judgements)


@dataclass(frozen=True, slots=True, kw_only=True)
class Debrief(Verdict):
    """The same with all lines, beside the computed best search on the same case.

    Parameters
    ----------
    best : Searched
    """

    best: Searched

    __repr__ = summary

    @property
    def best_minutes(self) -> float:
        """Of the computed best search."""
        return self.best.transcript.minutes


def debrief_of(
    case: SearchCase,
    transcript: Transcript,
    answers: Answer | tuple[Answer, ...],
    foresight: Foresight | None = None,
) -> Debrief:
    """Play a search again, and say what each of its lines told.

    Parameters
    ----------
    answers : Answer or tuple of Answer
        One for each fault.
    foresight : Foresight or None
        Of the same case; it spares solving everything again.

    Raises
    ------
    ScenarioError
        If there are not as many answers as faults, or the array does not have a place.
    """
    *_parts, found = debriefing(case, transcript, answers, foresight)
    assert isinstance(found, Debrief)
    return found


def debriefing(
    case: SearchCase,
    transcript: Transcript,
    answers: Answer | tuple[Answer, ...],
    foresight: Foresight | None = None,
) -> Iterator[Verdict]:
    """As `debrief_of`, part by part: with one more line each time; the last is the Debrief."""
    so_far = verdict_of(case, transcript, answers)
    know = foresight or Foresight(case)
    done: set[Look] = set()
    for number, step in enumerate(replaying(know, transcript)):
        told = _told(know, step, number, transcript.lines[number], done)
        so_far = replace(so_far, lines=(*so_far.lines, told))
        if step.done is not None:
            done.add(step.done)
        yield so_far
    yield Debrief(
        lines=so_far.lines,
        faults=so_far.faults,
        judgements=so_far.judgements,
        minutes=so_far.minutes,
        unsafe=so_far.unsafe,
        refused=so_far.refused,
        hints=so_far.hints,
        best=_best(case, know),
    )


def verdict_of(
    case: SearchCase, transcript: Transcript, answers: Answer | tuple[Answer, ...]
) -> Verdict:
    """What is known at once: what was hidden, and what of the answers is right."""
    judgements = judged_each(case, answers if isinstance(answers, tuple) else (answers,))
    return Verdict(
        lines=(),
        faults=case.faults,
        judgements=judgements,
        minutes=transcript.minutes,
        unsafe=unsafe_acts(transcript),
        refused=sum(bool(line.refused) for line in transcript.lines),
        hints=hints_taken(transcript),
    )


def _best(case: SearchCase, know: Foresight) -> Searched:
    """The computed best search; that of a case is the same for all who search in it, and so kept."""
    found = _best_searches.get(case)
    if found is None:
        found = search(case, "best", know)
        _best_searches.keep(case, found)
    return found


def unsafe_acts(transcript: Transcript) -> int:
    """How often something was refused because it would have hurt somebody."""
    return sum(bool(line.refused) and REFUSALS[line.refused].unsafe for line in transcript.lines)


def _told(know: Foresight, step: Step, number: int, line: Line, done: set[Look]) -> LineTold:
    answers, share = likeliest(know, step.after)
    gained = expected = rate = better_rate = strange = 0.0
    better = None
    if step.look is not None:
        gained = gained_bit(step.before, step.after)
        if not step.again:
            expected = expected_bit(know, step.before, step.plant, step.look.act, whole=True)
            strange = unexplained(know, step.before, step.after, step.plant, line)
        rate = expected / minutes_of(line.act)
        left = [look for look in worth_it(know, step.before, list(know.looks)) if look not in done]
        better, better_rate = best_look(know, step.before, left, step.plant)
    return LineTold(
        number=number,
        gained_bit=gained,
        expected_bit=expected,
        unexplained=strange,
        likeliest=answers,
        share=share,
        rate_bit_min=rate,
        better=better,
        better_rate_bit_min=better_rate,
    )
