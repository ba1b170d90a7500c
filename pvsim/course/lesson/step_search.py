"""A step whose act is a search for a hidden fault: which one, and how its solution goes about it.

    search = { seed = 38, level = 2, family = "cells" }
    solution = [
        { do = "read-run", at = "1/1", last = 3 },
        { do = "read", what = "voltage", at = "1/3" },
        { answer = "cell-open", at = "1/3/s2", sure_percent = 90 },
    ]

The step begins with what an eye sees of the array, and ends with the array as it is: the page puts that on
the bench once the search has been answered.
"""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.place import WHOLE_ARRAY, Place, parse_place
from pvsim.array.scatter import MOST_SEED
from pvsim.course.table import Table
from pvsim.errors import LessonError, PvsimError
from pvsim.field.search.act import ACTS, Act
from pvsim.field.search.answer import Answer, judged_each
from pvsim.field.search.case import LEVELS, SearchCase, search_case
from pvsim.field.search.family import ANSWERS, FAMILIES
from pvsim.field.search.transcript import Transcript, do

__all__ = ["SetSearch", "StepSearch", "played", "read_case", "read_search", "unsolved"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SetSearch:
    """A search that a course gives as practice; what it hides follows from the three.

    Parameters
    ----------
    seed, level : int
    family : str
        A key of FAMILIES; "" for all of them mixed.
    """

    seed: int
    level: int
    family: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepSearch:
    """The search that a step asks for.

    Parameters
    ----------
    case : SearchCase
    acts : tuple of Act
        Of the step's solution, in their order.
    answers : tuple of Answer
        That it comes to, one for each fault.
    """

    case: SearchCase
    acts: tuple[Act, ...]
    answers: tuple[Answer, ...]


def read_case(owner: Table, key: str) -> SearchCase | None:
    """The case of a number, a level and perhaps a family; None where there is none, or a wrong one."""
    table = owner.table(key)
    if table is None:
        return None
    told = len(owner.report.problems)
    seed = table.whole("seed", least=0, most=MOST_SEED)
    level = table.whole("level", least=min(LEVELS), most=max(LEVELS))
    family = table.word("family", tuple(FAMILIES)) if table.has("family") else ""
    table.close()
    if len(owner.report.problems) > told:
        return None
    try:
        return search_case(seed, level, family)
    except PvsimError as error:
        owner.report.take_over(table.path, error)
        return None


def read_search(owner: Table, key: str, case: SearchCase) -> StepSearch:
    """The solution of a search, from the list under a key; wrong entries go to the report."""
    acts: list[Act] = []
    answers: list[Answer] = []
    for table in owner.tables(key):
        told = len(owner.report.problems)
        try:
            if table.has("answer"):
                answers.append(_answer(table))
            elif table.has("do"):
                acts.append(_act(table))
            else:
                owner.refuse(
                    key,
                    "an entry of the search has the keys " + (", ".join(table.values) or "none"),
                    expected="'do' or 'answer'",
                    mend='Write for instance { do = "read", what = "voltage", at = "1/3" }',
                )
                continue
            table.close()
        except PvsimError as error:
            if len(owner.report.problems) == told:
                owner.report.take_over(table.path, error)
    return StepSearch(case=case, acts=tuple(acts), answers=tuple(answers))


def _act(table: Table) -> Act:
    return Act(
        kind=table.word("do", tuple(ACTS)),
        place=_place(table),
        what=table.text("what", longest=40) if table.has("what") else "",
        last=table.whole("last", least=0, most=1000, default=0),
        leak=table.number("leak", least=0.0, most=1.0, default=0.0),
        range_most=table.number("range_most", least=0.0, most=1e6, default=0.0),
    )


def _answer(table: Table) -> Answer:
    return Answer(
        kind=table.word("answer", tuple(ANSWERS)),
        place=_place(table),
        sure_percent=table.number("sure_percent", least=0.0, most=100.0, default=90.0),
    )


def _place(table: Table) -> Place:
    text = table.text("at", longest=40) if table.has("at") else "array"
    return WHOLE_ARRAY if text == "array" else parse_place(text)


def played(search: StepSearch) -> Transcript:
    """The log of the solution.

    Raises
    ------
    LessonError
        If something of it is not done.
    ScenarioError
        If the array does not have a place.
    """
    transcript = Transcript()
    for number, act in enumerate(search.acts, start=1):
        outcome = do(search.case, transcript, act)
        if outcome.refusal is not None:
            raise LessonError(
                f"act {number} of the solution, '{act.kind}', is refused: {outcome.refusal.sentence}",
                expected="acts that may be done as the plant then stands",
                mend="Put before it what it needs, or leave it out",
            )
        transcript = outcome.transcript
    return transcript


def unsolved(search: StepSearch) -> str:
    """Why the solution does not find what is hidden; "" where it does.

    Raises
    ------
    PvsimError
        If it cannot be played.
    """
    played(search)
    if len(search.answers) != len(search.case.faults):
        return f"the search asks for {len(search.case.faults)} answers and has {len(search.answers)}"
    if not all(one.solved for one in judged_each(search.case, search.answers)):
        return "the answer of the solution is not what is hidden"
    return ""
