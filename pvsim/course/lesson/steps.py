"""Reads one step of a lesson: its scenario, its questions, its text."""

from __future__ import annotations

import re
from collections.abc import Mapping

from pvsim.array import FAULT_KINDS
from pvsim.array.place import SHOWN_LEVELS, parse_place
from pvsim.array.scenario import SHOWN_QUANTITIES, Scenario, check_place
from pvsim.course.lesson.cautions import CAUTIONS
from pvsim.course.lesson.changes import Change, apply_all, read_changes
from pvsim.course.lesson.giveaway import HIDES
from pvsim.course.lesson.lesson import Look, Question, Step
from pvsim.course.lesson.questions import read_question
from pvsim.course.lesson.step_search import StepSearch, read_case, read_search
from pvsim.course.number.checks import places_in, read_checks
from pvsim.course.table import Table
from pvsim.course.text.body import NOTES, PARTS, Section
from pvsim.course.text.text_check import check_text
from pvsim.errors import PvsimError, nearest
from pvsim.field.search.case import the_visible

Sections = Mapping[tuple[str, str], Section]

_SIZE = re.compile(r"\d+(\.\d+)?")
_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


def read_step(
    table: Table, scenario: Scenario | None, previous: Step | None, sections: Sections
) -> Step | None:
    """The step in one [[step]] table, with its text; problems go to the report.

    Parameters
    ----------
    table : Table
        The step.
    scenario : Scenario or None
        What it starts from, before its own `start` changes.
    previous : Step or None
        The step before, whose finish it starts from when it says `continues = true`.
    sections : mapping
        The lesson's text by (step id, part).
    """
    report = table.report
    name = table.text("id", longest=40)
    if name and not _ID.fullmatch(name):
        table.refuse("id", f"'{name}' is no id", expected="small letters, digits and hyphens")
    title = table.text("title", longest=80)
    transfer = table.flag("transfer")
    if table.flag("continues"):
        if previous is None or table.has("scenario"):
            table.refuse(
                "continues",
                "there is no step to continue from",
                expected="a step before, on the same scenario",
                mend="Delete 'continues'",
            )
        else:
            scenario = previous.finish
    case = read_case(table, "search")
    search: StepSearch | None = None
    solution: tuple[Change, ...] = ()
    if case is None:
        start = _changed(table, "start", scenario, read_changes(table, "start"))
        solution = read_changes(table, "solution")
        finish = _changed(table, "solution", start, solution)
    else:
        _refuse_beside_search(table)
        search = read_search(table, "solution", case)
        start, finish = the_visible(case), case.scenario
    if not (solution or search):
        table.refuse("solution", "the step has no solution", expected="a list with at least one change")
    predict = _question(table, "predict", start, by_solver=False)
    observe = _question(table, "observe", start, by_solver=True, needed=not transfer)
    done_when = read_checks(table, "done_when", case)
    if not done_when:
        table.refuse("done_when", "nothing says when the act is done", expected="at least one check")
    look = _look(table, start)
    cautions = table.texts("cautions", most=4)
    for one in cautions:
        if one not in CAUTIONS:
            table.refuse(
                "cautions",
                f"there is no caution '{one}'",
                expected="one of " + ", ".join(CAUTIONS),
                mend=nearest(one, CAUTIONS),
            )
    hides = table.texts("hides", most=len(HIDES))
    for one in hides:
        if one not in HIDES:
            table.refuse(
                "hides",
                f"the page has nothing called '{one}' to keep back",
                expected="one of " + ", ".join(HIDES),
                mend=nearest(one, HIDES),
            )
    parts = {part: sections.get((name, part), Section()) for part in ("", *PARTS)}
    written = any(step == name for step, _ in sections)
    if not written:  # that alone: all of its parts are missing with it
        report.add(
            table.path,
            f"step '{name}' has no text '## {name}'",
            expected=f"a heading '## {name}', and below it '### predict' and the others",
            mend="Write it, or give the heading that you mean this id",
        )
    for part, section in parts.items():
        needed = written and part not in ("", NOTES) and (part != "observe" or observe is not None)
        if needed and not section:
            report.add(
                table.path,
                f"step '{name}' has no text '### {part}'",
                expected=f"a heading '### {part}' below '## {name}', with text",
                mend="Write it",
            )
        if part == "observe" and section and observe is None:
            report.add(
                section.line, "this text asks nothing", expected="a table [step.observe]", mend="Write it"
            )
        if start is not None:
            check_text(section.text, section.line, start, report)
    if start is None or finish is None or predict is None:
        return None
    for place in (place for check in done_when for place in places_in(check)):
        try:
            check_place(start, place)
        except PvsimError as error:
            report.take_over((*table.path, "done_when"), error)
    return Step(
        id=name,
        title=title,
        transfer=transfer,
        start=start,
        finish=finish,
        predict=predict,
        observe=observe,
        done_when=done_when,
        solution=solution,
        look=look,
        cautions=cautions,
        hides=hides,
        lead=parts[""],
        ask=parts["predict"],
        act=parts["act"],
        notice=parts["observe"],
        explain=parts["explain"],
        notes=parts[NOTES],
        line=report.line(table.path),
        search=search,
    )


def _refuse_beside_search(table: Table) -> None:
    """A search brings its array along, and nobody sets anything up in it."""
    for key in ("scenario", "continues", "start"):
        if table.has(key):
            table.refuse(
                key,
                f"a step with a search has '{key}'",
                expected="the array that the search draws from its number and level",
                mend=f"Delete '{key}'",
            )


def _changed(
    table: Table, key: str, scenario: Scenario | None, changes: tuple[Change, ...]
) -> Scenario | None:
    if scenario is None:
        return None
    try:
        return apply_all(scenario, changes)
    except PvsimError as error:
        table.report.take_over((*table.path, key), error)
        return None


def _question(
    table: Table, key: str, scenario: Scenario | None, *, by_solver: bool, needed: bool = True
) -> Question | None:
    inner = table.table(key)
    if inner is not None:
        return read_question(inner, scenario, by_solver=by_solver)
    if needed and not table.has(key):
        table.refuse(
            key,
            f"the step has no question '{key}'",
            expected=f"a table [step.{key}] with 'answer' or with choices",
            mend="Write it behind this step's other keys",
        )
    return None


def _look(table: Table, scenario: Scenario | None) -> Look:
    """What the page shows first; a place the array does not have is refused."""
    focus = None
    if table.has("focus"):
        try:
            focus = parse_place(table.text("focus"))
            if scenario is not None:
                check_place(scenario, focus)
        except PvsimError as error:
            table.report.take_over((*table.path, "focus"), error)
    return Look(
        focus=focus,
        level=table.word("level", SHOWN_LEVELS) if table.has("level") else None,
        quantity=table.word("quantity", SHOWN_QUANTITIES) if table.has("quantity") else None,
        condition=_condition(table) if table.has("condition") else None,
    )


def _condition(table: Table) -> str:
    """What a click applies: "shade:0.2", "mend" or a kind of fault, perhaps with its size."""
    text = table.text("condition", longest=60)
    kind, _, size = text.partition(":")
    if kind not in ("shade", "mend", *FAULT_KINDS) or (size and not _SIZE.fullmatch(size)):
        table.refuse(
            "condition",
            f"a click cannot apply '{text}'",
            expected='"shade:0.2", "mend" or a kind of fault such as "diode-open"',
            mend=nearest(kind, ("shade", "mend", *FAULT_KINDS)),
        )
    return text
