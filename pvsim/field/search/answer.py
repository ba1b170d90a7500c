"""The answer to a search, and what of it is right: kind and place each by itself."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import permutations

from pvsim.array.checks import finite, one_of, refuse
from pvsim.array.fault import Fault
from pvsim.array.part_place import DEPTH, place_at
from pvsim.array.place import Level, Place, level_of
from pvsim.array.scenario import check_place
from pvsim.errors import ScenarioError
from pvsim.field.search.case import SearchCase
from pvsim.field.search.family import ANSWERS, HIDDEN_KINDS, answer_of, family_of
from pvsim.words import _

__all__ = ["Answer", "Judgement", "judged", "judged_each", "right_parts"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What somebody takes the fault to be.

    Parameters
    ----------
    kind : str
        A key of ANSWERS.
    place : Place
        As finely as it is known.
    sure_percent : float
        How sure that kind and place are right, 0 to 100.
    """

    kind: str
    place: Place
    sure_percent: float

    def __post_init__(self) -> None:
        one_of(self, "kind", ANSWERS)
        if not isinstance(self.place, Place):
            refuse(self, "place", self.place, _("a Place"))
        finite(self, "sure_percent", least=0.0, most=100.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """What is right.

    Parameters
    ----------
    kind, family : bool
    string, module, substring : bool or None
        Whether the place is right so far, of a wire either end; None where the fault has no place so fine to
        be asked for.
    solved : bool
        Kind and all of the place that is asked for.
    brier : float
        (p - o)^2, with p how sure and o 1 if solved, else 0: 0 is best, 1 worst, and whoever says one half
        each time has 0.25. G. W. Brier, Mon. Weather Rev. 78 (1950) 1, halved, from memory.
    """

    kind: bool
    family: bool
    string: bool | None
    module: bool | None
    substring: bool | None
    solved: bool
    brier: float


def judged(case: SearchCase, answer: Answer) -> Judgement:
    """What of an answer is right; of two faults, beside the one that it fits better.

    Raises
    ------
    ScenarioError
        If the array does not have the place.
    """
    return max((_beside(case, fault, answer) for fault in case.faults), key=_fit)


def judged_each(case: SearchCase, answers: tuple[Answer, ...]) -> tuple[Judgement, ...]:
    """What is right of the answers to each fault, in the order of the case's faults.

    Answers and faults are put together so that most is right.

    Raises
    ------
    ScenarioError
        If there are not as many answers as faults, or the array does not have a place.
    """
    if len(answers) != len(case.faults):
        raise ScenarioError(
            _("{count} answers are given").format(count=len(answers)),
            expected=_("as many as there are faults: {count}").format(count=len(case.faults)),
            mend=_("Answer once for each fault"),
        )
    ways = [
        tuple(_beside(case, fault, answer) for fault, answer in zip(case.faults, order, strict=True))
        for order in permutations(answers)
    ]
    return max(ways, key=lambda way: sum(map(_fit, way)))


def right_parts(judgement: Judgement) -> tuple[bool, ...]:
    """Kind, family, and as much of the place as is asked for: each right or wrong."""
    place = (judgement.string, judgement.module, judgement.substring)
    return judgement.kind, judgement.family, *(one for one in place if one is not None)


def _fit(judgement: Judgement) -> float:
    parts = right_parts(judgement)
    return float(judgement.solved) + sum(parts) / len(parts)


def _beside(case: SearchCase, fault: Fault, answer: Answer) -> Judgement:
    check_place(case.sound, answer.place)
    asked = HIDDEN_KINDS[fault.kind].judged
    ends = [fault.place] if fault.other is None else [fault.place, fault.other]

    def right(level: Level) -> bool | None:
        if DEPTH[level] > DEPTH[asked]:
            return None
        if DEPTH[level] > DEPTH[level_of(answer.place)]:
            return False
        named = place_at(case.sound, answer.place, level)
        return any(named == place_at(case.sound, end, level) for end in ends)

    kind = answer.kind == answer_of(fault.kind)
    parts = [right(level) for level in ("string", "module", "substring")]
    solved = kind and all(part is not False for part in parts)
    return Judgement(
        kind=kind,
        family=family_of(answer.kind) == family_of(fault.kind),
        string=parts[0],
        module=parts[1],
        substring=parts[2],
        solved=solved,
        brier=(answer.sure_percent / 100.0 - float(solved)) ** 2,
    )
