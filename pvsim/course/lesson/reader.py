"""Reads lessons: Markdown with TOML front matter, strict, every problem with file and line."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from contextlib import suppress
from types import MappingProxyType

from pvsim.array.scenario import Scenario
from pvsim.course.lesson.draft import Draft, read_draft, translated_draft
from pvsim.course.lesson.lesson import Lesson
from pvsim.course.lesson.steps import Sections, read_step
from pvsim.course.problem import Problem, as_error
from pvsim.course.table import Enough, Report, Table
from pvsim.course.text.body import Section
from pvsim.course.text.references import Known, check_marks, refuse_marks
from pvsim.course.text.text_check import check_text, check_typed, refuse_computed, shown_values
from pvsim.course.text.typed_numbers import typed_numbers
from pvsim.errors import PvsimError, nearest
from pvsim.files.scenario_file import scenario_of
from pvsim.files.source import Source

FORMAT = 1
MOST_STEPS = 20

FindScenario = Callable[[str], Scenario]

_WHOSE = "Give the heading the id of its step, or 'afterwards' for the closing words"
SLUG = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


def read_lesson(text: str, file: str, find: FindScenario) -> Lesson:
    """Read one lesson that stands alone.

    Parameters
    ----------
    text : str
        What stands in the file; it is not trusted.
    file : str
        Its name, such as "one-cell.md".
    find : callable
        Gives the scenario of a name.

    Raises
    ------
    LessonError
        With file and line of the first problem and the number of further ones.
    """
    lesson, problems = examine_lesson(text, file, find)
    if lesson is None:
        raise as_error(problems[0], len(problems) - 1)
    return lesson


def examine_lesson(
    text: str, file: str, find: FindScenario, known: Known | None = None, language: str = "en"
) -> tuple[Lesson | None, tuple[Problem, ...]]:
    """Read one lesson and say everything that is wrong with it.

    Parameters
    ----------
    text, file : str
        What stands in the file, and its name.
    find : callable
        Gives the scenario of a name.
    known : Known, optional
        Tracks and terms of the course; left out, the lesson is looked at by itself.
    language : str
        It is written in.

    Returns
    -------
    lesson : Lesson or None
        None when there is a problem.
    problems : tuple of Problem
        In the order of their lines.
    """
    report = Report(file=file)
    slug = file.removesuffix(".md")
    if not SLUG.fullmatch(slug) or not file.endswith(".md"):
        report.add(
            0,
            f"'{file}' is no name for a lesson file",
            expected="small letters, digits and hyphens, then .md",
            mend="Rename the file, for instance one-cell.md",
        )
    lesson = None
    with suppress(Enough):
        draft = read_draft(text, report)
        lesson = None if draft is None else _lesson_of(slug, draft, report, find, known, language)
    return lesson, _sorted(report)


def examine_translation(
    text: str,
    file: str,
    original: str,
    find: FindScenario,
    known: Known | None = None,
    language: str = "en",
) -> tuple[Lesson | None, tuple[Problem, ...]]:
    """Read a translation over its original and say everything that is wrong with it.

    Parameters
    ----------
    text, file : str
        What stands in the translation, and its name: "de/one-cell.md".
    original : str
        What stands in the lesson itself, which is in order.
    find, known, language
        As for `examine_lesson`; the language is that of the translation.
    """
    report = Report(file=file)
    slug = file.rpartition("/")[2].removesuffix(".md")
    lesson = None
    with suppress(Enough):
        draft = translated_draft(text, original, slug, report)
        lesson = None if draft is None else _lesson_of(slug, draft, report, find, known, language)
    return lesson, _sorted(report)


def _sorted(report: Report) -> tuple[Problem, ...]:
    return tuple(sorted(report.problems, key=lambda one: one.line))


def _lesson_of(
    slug: str, draft: Draft, report: Report, find: FindScenario, known: Known | None, language: str
) -> Lesson | None:
    values, sections = draft.values, draft.sections
    top = Table(values, (), report)
    lesson = _lesson(slug, top, sections, find, language)
    top.close()
    shown = list(shown_values(values))
    texts = [(section.text, section.line) for section in sections.values()]
    texts += [(text, report.line(path)) for text, path in shown]
    check_typed(texts, _as_table(values.get("given")), report)
    refuse_marks(shown, report)
    refuse_computed(shown, report)
    check_marks(sections, known, report)
    return None if report.problems else lesson


def _as_table(value: object) -> dict[str, object]:
    return value if isinstance(value, dict) else {}


def _lesson(slug: str, top: Table, sections: Sections, find: FindScenario, language: str) -> Lesson | None:
    report = top.report
    top.number("format", least=FORMAT, most=FORMAT)
    title = top.text("title", longest=80)
    question = top.text("question", longest=200)
    minutes = int(top.number("minutes", least=1, most=60))
    objectives = top.texts("objectives", least=1, most=6)
    sources = top.texts("sources", most=12)
    limits = top.texts("limits", least=1, most=8)
    needs = top.texts("needs", most=8)
    given = _given(top)
    scenario = _scenario(top, find)
    steps = []
    previous = None
    tables = top.tables("step")
    if not 1 <= len(tables) <= MOST_STEPS:
        top.refuse(
            "step", f"the lesson has {len(tables)} steps", expected=f"1 to {MOST_STEPS} [[step]] tables"
        )
    for table in tables[:MOST_STEPS]:
        own = _scenario(table, find) if table.has("scenario") else scenario
        step = read_step(table, own, previous, sections)
        table.close()
        previous = step or previous
        if step is not None:
            steps.append(step)
    _check_steps(top, tables, sections)
    if scenario is not None:
        for key in (("", ""), ("afterwards", "")):
            section = sections.get(key, Section())
            check_text(section.text, section.line, scenario, report)
    if report.problems or not steps:
        return None
    return Lesson(
        slug=slug,
        file=report.file,
        title=title,
        question=question,
        minutes=minutes,
        objectives=objectives,
        sources=sources,
        limits=limits,
        needs=needs,
        given=given,
        steps=tuple(steps),
        opening=sections.get(("", ""), Section()),
        closing=sections.get(("afterwards", ""), Section()),
        language=language,
    )


def _given(top: Table) -> Mapping[str, str]:
    table = top.table("given")
    if table is None:
        return MappingProxyType({})
    found = {key: table.text(key, longest=200) for key in table.values}
    for quantity in found:
        if not list(typed_numbers(quantity, ())):
            table.refuse(
                quantity,
                f"'{quantity}' is no number with a unit",
                expected='a quantity as the text has it, such as "1000 W/m2"',
                mend='Write "1000 W/m2" = "why it may stand there"',
            )
    return MappingProxyType(found)


def _scenario(table: Table, find: FindScenario) -> Scenario | None:
    """The scenario under the key: the name of one, or the whole of it as a table."""
    key = "scenario"
    try:
        if isinstance(table.values.get(key), dict):
            inner = table.table(key)
            assert inner is not None
            return scenario_of(inner.values, Source(name="scenario"))
        name = table.text(key, longest=60)
        return find(name) if name else None
    except PvsimError as error:
        table.report.take_over((*table.path, key), error)
        return None


def _check_steps(top: Table, tables: list[Table], sections: Sections) -> None:
    """Ids that occur twice, text that belongs to no step, a lesson without a transfer."""
    report = top.report
    ids = [str(table.values.get("id", "")) for table in tables]
    for number, table in enumerate(tables):
        if ids[number] in ids[:number]:
            table.refuse("id", f"the id '{ids[number]}' is taken", expected="an id of its own for each step")
    for (name, part), section in sections.items():
        if name and name not in (*ids, "afterwards"):
            if not part:  # the heading itself; its parts share its fate
                report.add(
                    section.heading,
                    f"the text '## {name}' belongs to no step",
                    expected="the id of a step: " + ", ".join(ids),
                    mend=nearest(name, ids, _WHOSE),
                )
        elif name == "afterwards" and part:
            report.add(section.line, "'## afterwards' has parts", expected="text alone", mend="Delete ###")
    if tables and not any(table.values.get("transfer") is True for table in tables):
        top.refuse(
            "step",
            "no step carries the idea to another array",
            expected="one step with transfer = true",
            mend="Add a last [[step]] with transfer = true and a scenario of its own",
        )
