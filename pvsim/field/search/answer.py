"""The answer to a search, and what of it is right: kind and place each by itself."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.checks import finite, one_of, refuse
from pvsim.array.part_place import DEPTH, place_at
from pvsim.array.place import Level, Place, level_of
from pvsim.array.scenario import check_place
from pvsim.field.search.case import SearchCase
from pvsim.field.search.family import HIDDEN_KINDS, family_of
from pvsim.words import _

__all__ = ["Answer", "Judgement", "judged"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What somebody takes the fault to be.

    Parameters
    ----------
    kind : str
        A key of HIDDEN_KINDS.
    place : Place
        As finely as it is known.
    sure_percent : float
        How sure that kind and place are right, 0 to 100.
    """

    kind: str
    place: Place
    sure_percent: float

    def __post_init__(self) -> None:
        one_of(self, "kind", HIDDEN_KINDS)
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
        Whether the place is right so far; None where the fault has no place so fine to be asked for.
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
    """What of an answer is right.

    Raises
    ------
    ScenarioError
        If the array does not have the place.
    """
    check_place(case.sound, answer.place)
    fault = case.fault
    asked = HIDDEN_KINDS[fault.kind].judged

    def right(level: Level) -> bool | None:
        if DEPTH[level] > DEPTH[asked]:
            return None
        if DEPTH[level] > DEPTH[level_of(answer.place)]:
            return False
        return place_at(case.sound, answer.place, level) == place_at(case.sound, fault.place, level)

    kind = answer.kind == fault.kind
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
