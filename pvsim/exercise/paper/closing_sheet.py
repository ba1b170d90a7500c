"""A closing test on paper: its questions with room for the answers; the solution is that of any sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from pvsim.course.lesson.lesson import Course
from pvsim.course.play.closing_work import AskedQuestion
from pvsim.course.play.revisit import Idea
from pvsim.exercise.case import ExerciseCase
from pvsim.exercise.given import given_of
from pvsim.exercise.paper.document import Block, Document, Heading, Picture, Prose, Together, Writing
from pvsim.exercise.paper.parts import Part, parts_of_case
from pvsim.exercise.paper.picture import draw_blank
from pvsim.exercise.paper.solution_sheet import solution_sheet
from pvsim.exercise.paper.work_sheet import answer_room, document_of, points_of
from pvsim.exercise.pool import Pool
from pvsim.exercise.template import Template
from pvsim.files.provenance import one_line
from pvsim.numbers import format_setting
from pvsim.words import _, ngettext, speaking

__all__ = ["closing_sheet", "closing_solution", "closing_templates", "parts_of_closing"]

REASON_LINES = 4
BLANK_WIDE = "\N{NO-BREAK SPACE}" * 8  # where the points are written by hand


def closing_templates(pool: Pool, asked: Sequence[AskedQuestion]) -> tuple[Template, ...]:
    """The exercises of a test that was drawn from the pool, in its order."""
    found = (pool.find(one.exercise) for one in asked)
    return tuple(one for one in found if one is not None)


def parts_of_closing(
    pool: Pool,
    asked: Sequence[AskedQuestion],
    case: ExerciseCase,
    course: Course,
    revisit: Sequence[Idea] | None = None,
) -> tuple[Part, ...]:
    """A part for each question of a test, with the numbers of a case, in the course's language.

    Parameters
    ----------
    pool : Pool
        That the test was drawn from.
    asked : sequence of AskedQuestion
    case : ExerciseCase
    course : Course
        Its lessons are named.
    revisit : sequence of Idea, optional
        For the solution, which says what idea a question was drawn for; to whoever answers it that would
        tell too much.

    Raises
    ------
    LessonError
        If what is drawn makes no exercise of one.
    """
    titles = {lesson.slug: lesson.title for lesson in course.lessons}
    words = {one.key: one.text for one in revisit or ()}
    with speaking(course.language):
        return tuple(
            replace(part, told=_told(one, titles, words))
            for one, part in zip(asked, parts_of_case(closing_templates(pool, asked), case), strict=True)
        )


def closing_sheet(
    parts: Sequence[Part], *, title: str, language: str, who: str = "", case: str = ""
) -> Document:
    """The test as it is handed out, in the language spoken now.

    Parameters
    ----------
    parts : sequence of Part
        As `parts_of_closing` has them.
    title : str
        Of the course.
    language : str
        Its code.
    who, case : str
        Printed on their lines; empty ones are left out, or filled in by hand.
    """
    document = document_of(
        _("Closing test"), [_handed_out(one) for one in parts], parts, title, language, who, case
    )
    total = sum(one.asked.points for one in parts if one.asked is not None)
    points = BLANK_WIDE + _("of {n}").format(n=format_setting(total))
    return replace(document, fields=(*document.fields, (_("Points"), points)))


def closing_solution(
    parts: Sequence[Part], *, title: str, language: str, who: str = "", case: str = ""
) -> Document:
    """The solution of the test with the same parts, as far as marking by hand needs one."""
    named = _("Closing test: {title}").format(title=one_line(title))
    return solution_sheet(parts, title=named, language=language, who=who, case=case, brief=True)


def _told(asked: AskedQuestion, titles: Mapping[str, str], words: Mapping[str, str]) -> str:
    slug = asked.exercise.partition("/")[0]
    said = [_("From the lesson “{title}”").format(title=titles.get(slug, slug))]
    ideas = [_("“{idea}”").format(idea=words[key]) for key in asked.ideas if key in words]
    ideas = list(dict.fromkeys(ideas))
    if ideas:
        drawn = ngettext("Drawn for the idea {ideas}.", "Drawn for the ideas {ideas}.", len(ideas))
        said.append(drawn.format(ideas=", ".join(ideas)))
    return "\n\n".join(said)


def _handed_out(part: Part) -> tuple[Block, ...]:
    assert part.asked is not None
    given = given_of(part.asked)
    drawing, caption = draw_blank(part.scene)
    room = (*answer_room(given, _("My answer")), Writing(label=_("How I got there"), lines=REASON_LINES))
    return (
        Heading(text=part.title, beside=points_of(part)),
        Prose(text=part.told, small=True),
        Prose(text=given.stem),
        Picture(drawing=drawing, caption=caption),
        Together(blocks=room),
    )
