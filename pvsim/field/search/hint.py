"""Hints: they cost minutes, and go from general to particular.

    1   what to compare with what
    2   the family that the fault belongs to
    3   in which half of it: of the string's modules, or of the strings
    4   what would tell most per minute now, after all that has been read; each time anew

None of them, nor the first three together, tells the fault: each leaves at least two answers
(`still_possible`). Of two faults the first three speak of the first.
"""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.checks import whole
from pvsim.field.search.act import Act, minutes_of
from pvsim.field.search.candidates import Answered, answers_to
from pvsim.field.search.case import SearchCase
from pvsim.field.search.family import FAMILIES, HIDDEN_KINDS, family_of
from pvsim.field.search.foresight import Foresight
from pvsim.field.search.reckoning import best_look, evenly, worth_it
from pvsim.field.search.replay import replayed
from pvsim.field.search.telling import describe_look
from pvsim.field.search.transcript import Transcript, plant_after
from pvsim.prompt import summary
from pvsim.words import _

__all__ = ["MOST_HINT", "TAKE_HINT", "Hint", "hint_of", "hints_taken", "next_hint", "still_possible"]

MOST_HINT = 4
TAKE_HINT = Act(kind="hint")
_FEWEST = 2  # modules or strings that a half may have, so that it does not name the place


@dataclass(frozen=True, slots=True, kw_only=True)
class Hint:
    """One hint.

    Parameters
    ----------
    sentence : str
        For people, translated.
    minutes : float
        What it costs.
    """

    sentence: str
    minutes: float

    __repr__ = summary


def hints_taken(transcript: Transcript) -> int:
    """How many hints a search has had."""
    return sum(line.act.kind == "hint" for line in transcript.lines)


def next_hint(transcript: Transcript) -> int:
    """The number of the hint that comes next; the last comes again, and tells what is best by then."""
    return min(hints_taken(transcript) + 1, MOST_HINT)


def hint_of(
    case: SearchCase, transcript: Transcript, number: int, foresight: Foresight | None = None
) -> Hint:
    """A hint. It is taken by `do(case, transcript, TAKE_HINT)`, which makes it a line of the transcript.

    Parameters
    ----------
    transcript : Transcript
        What has been read before it; of one that was taken, the lines before it.
    number : int
        1 to MOST_HINT, from general to particular.
    foresight : Foresight or None
        Of the same case; it spares solving everything again. The last hint alone asks it.

    Raises
    ------
    ScenarioError
        If there is no such hint.
    """
    whole(_Asked(number), "number", least=1, most=MOST_HINT)
    sentences = {1: _compare, 2: _family, 3: _half}
    if number in sentences:
        sentence = sentences[number](case)
    else:
        sentence = _reading(case, transcript, foresight or Foresight(case))
    return Hint(sentence=sentence, minutes=minutes_of(TAKE_HINT))


def still_possible(case: SearchCase, number: int) -> frozenset[Answered]:
    """Answers to the first fault that the hints up to `number` leave; the last hint takes none away."""
    fault = case.faults[0]
    found = set(answers_to(case))
    if number >= 1:
        level = HIDDEN_KINDS[fault.kind].judged
        found = {one for one in found if (one[1].module is None) == (level == "string")}
    if number >= 2:
        found = {one for one in found if family_of(one[0]) == family_of(fault.kind)}
    if number >= 3:
        strings, modules = _halves(case)
        found = {
            (kind, at)
            for kind, at in found
            if at.string in strings and (at.module is None or at.module in modules)
        }
    return frozenset(found)


@dataclass(frozen=True, slots=True)
class _Asked:
    number: int


def _compare(case: SearchCase) -> str:
    if HIDDEN_KINDS[case.faults[0].kind].judged == "string":
        return _("Compare what is alike: one string as a whole is not as it should be.")
    return _("Compare what is alike: one module differs from its neighbours.")


def _family(case: SearchCase) -> str:
    family = FAMILIES[family_of(case.faults[0].kind)]
    return _("Look among the faults of this family: {family}.").format(family=_(family.title))


def _half(case: SearchCase) -> str:
    strings, modules = _halves(case)
    if HIDDEN_KINDS[case.faults[0].kind].judged == "string":
        if len(strings) == len(case.sound.array.strings):
            return _("It concerns a string as a whole: measure strings from end to end, and to earth.")
        return _("Look at strings {first} to {last}.").format(first=strings[0], last=strings[-1])
    return _("Look at modules {first} to {last} of string {string}.").format(
        first=modules[0], last=modules[-1], string=strings[0]
    )


def _halves(case: SearchCase) -> tuple[range, range]:
    """Strings and modules that the third hint leaves."""
    at, array = case.faults[0].place, case.sound.array
    modules = range(1, len(array.strings[(at.string or 1) - 1].modules) + 1)
    if HIDDEN_KINDS[case.faults[0].kind].judged == "string":
        return _half_of(range(1, len(array.strings) + 1), at.string or 1), modules
    return range(at.string or 1, (at.string or 1) + 1), _half_of(modules, at.module or 1)


def _half_of(numbers: range, mine: int) -> range:
    """The half that holds a number; _FEWEST at least."""
    count = max((len(numbers) + 1) // 2, min(_FEWEST, len(numbers)))
    return numbers[:count] if mine in numbers[:count] else numbers[-count:]


def _reading(case: SearchCase, transcript: Transcript, know: Foresight) -> str:
    steps = replayed(know, transcript)
    likely = steps[-1].after if steps else evenly(know)
    done = {step.done for step in steps if step.done is not None}
    left = [look for look in worth_it(know, likely, list(know.looks)) if look not in done]
    look, _rate = best_look(know, likely, left, plant_after(transcript))
    return _("Most per minute would now be told by: {look}.").format(look=describe_look(look))
