"""A lecture: parts of lessons in an order, cut into cues, and how far it should be at what time.

A cue is what the class sees at one moment. Each step is asked, acted, looked at and explained;
the class's answers stand for the prediction that a learner alone would store.

Why predict first: demonstrations teach little unless the class has predicted their outcome, C. H.
Crouch et al., Am. J. Phys. 72 (2004) 835; students even remember outcomes wrongly that they did
not predict, K. Miller et al., Phys. Rev. ST Phys. Educ. Res. 9 (2013) 020113.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from pvsim.course.lecture.class_answers import Round
from pvsim.course.lesson.lesson import Course, Lesson, Step
from pvsim.errors import LessonError, nearest
from pvsim.prompt import summary

Moment = Literal["opening", "ask", "act", "look", "explain", "closing"]
MOMENTS: tuple[Moment, ...] = get_args(Moment)
MOST_PARTS = 40

# What each moment takes of a part's minutes, as shares; chosen here, no source.
_WEIGHTS: dict[Moment, float] = {
    "opening": 1.0, "ask": 3.0, "act": 1.5, "look": 2.0, "explain": 2.5, "closing": 1.0,
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A lesson, or some of its steps, within a lecture.

    Parameters
    ----------
    lesson : str
        Its slug.
    steps : tuple of str
        Ids of the steps that are shown, in the lesson's order; empty for all.
    minutes : float
        Planned for this part.
    notes : str
        For the lecturer alone; Markdown.
    poll : bool
        Whether the class is asked for its answers.
    """

    lesson: str
    steps: tuple[str, ...] = ()
    minutes: float
    notes: str = ""
    poll: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Cue:
    """What the class sees at one moment.

    Parameters
    ----------
    part : int
        Place of the part in the lecture, from 0.
    lesson : str
        Slug of its lesson.
    page : int
        As the player counts: 0 the opening, then the steps, then the closing.
    moment : str
        One of MOMENTS.
    """

    part: int
    lesson: str
    page: int
    moment: Moment


@dataclass(frozen=True, slots=True, kw_only=True)
class Played:
    """One moment of a lecture that was held.

    Parameters
    ----------
    seconds : float
        Since its beginning.
    cue : Cue
        What was shown.
    scenario : str
        What was on the bench, packed as a link; empty when it did not fit into one.
    rounds : tuple of Round
        The answers of the step up to then.
    shown, seen, waived : bool
        Whether the bars were on the screen, the answer to the observation was, and the lecturer had gone
        on without answers.
    """

    seconds: float
    cue: Cue
    scenario: str = ""
    rounds: tuple[Round, ...] = (Round(),)
    shown: bool = False
    seen: bool = False
    waived: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Lecture:
    """A planned lecture, and how it was played if it was.

    Parameters
    ----------
    title : str
    minutes : float
        Planned for the whole.
    parts : tuple of Part
    cues : tuple of Cue
        In the order they are shown.
    played : tuple of Played
        What happened, in the order of time; empty before it was held.
    """

    title: str
    minutes: float
    parts: tuple[Part, ...]
    cues: tuple[Cue, ...]
    played: tuple[Played, ...] = ()

    __repr__ = summary


def compose(title: str, parts: Sequence[Part], course: Course) -> Lecture:
    """A lecture of these parts.

    Raises
    ------
    LessonError
        If there is no part, or one names a lesson or a step that the course does not have.
    """
    if not 1 <= len(parts) <= MOST_PARTS:
        raise LessonError(
            f"the lecture has {len(parts)} parts",
            expected=f"1 to {MOST_PARTS}",
            mend="Name at least one lesson" if not parts else "Make two lectures of it",
        )
    cues: list[Cue] = []
    for number, part in enumerate(parts):
        cues += _cues(number, part, find_lesson(course, part.lesson))
    minutes = sum(part.minutes for part in parts)
    return Lecture(title=title, minutes=minutes, parts=tuple(parts), cues=tuple(cues))


def lecture_of(course: Course, slug: str = "") -> Lecture:
    """The lecture that one lesson makes, or the whole course.

    Raises
    ------
    LessonError
        If the course has no such lesson.
    """
    lessons = (find_lesson(course, slug),) if slug else course.lessons
    parts = [Part(lesson=lesson.slug, minutes=float(lesson.minutes)) for lesson in lessons]
    return compose(lessons[0].title if slug else course.title, parts, course)


def find_lesson(course: Course, slug: str) -> Lesson:
    """The lesson of a slug.

    Raises
    ------
    LessonError
        If there is none.
    """
    for lesson in course.lessons:
        if lesson.slug == slug:
            return lesson
    raise LessonError(
        f"there is no lesson '{slug[:60]}'",
        expected="the name of a lesson of this course",
        mend=nearest(slug[:60], [lesson.slug for lesson in course.lessons]),
    )


def usual_minutes(lesson: Lesson, steps: Sequence[str]) -> float:
    """What a part takes when nobody has planned it: its share of the lesson's minutes."""
    if not steps:
        return float(lesson.minutes)
    return max(1.0, round(lesson.minutes * len(steps) / len(lesson.steps)))


def step_of_cue(lesson: Lesson, cue: Cue) -> Step | None:
    """The step a cue belongs to; None at the opening and the closing."""
    return lesson.steps[cue.page - 1] if 1 <= cue.page <= len(lesson.steps) else None


def next_cue(lecture: Lecture, at: int) -> int:
    """The place of the cue after this one; the last stays."""
    return min(max(at, 0) + 1, len(lecture.cues) - 1)


def back_cue(lecture: Lecture, at: int) -> int:
    """The place of the cue before this one; the first stays."""
    return max(min(at, len(lecture.cues) - 1) - 1, 0)


def due_s(lecture: Lecture, at: int) -> float:
    """Seconds after the beginning by which a cue should be over."""
    total = 0.0
    for number, part in enumerate(lecture.parts):
        weights = [
            (place, _WEIGHTS[cue.moment]) for place, cue in enumerate(lecture.cues) if cue.part == number
        ]
        passed = sum(weight for place, weight in weights if place <= at)
        total += 60.0 * part.minutes * passed / sum(weight for _place, weight in weights)
    return total


def _cues(number: int, part: Part, lesson: Lesson) -> list[Cue]:
    """Opening, the four moments of each step that is shown, and the closing behind the last step."""

    def cue(page: int, moment: Moment) -> Cue:
        return Cue(part=number, lesson=lesson.slug, page=page, moment=moment)

    known = [step.id for step in lesson.steps]
    for name in part.steps:
        if name not in known:
            raise LessonError(
                f"the lesson '{lesson.slug}' has no step '{name[:60]}'",
                expected="ids of its steps",
                mend=nearest(name[:60], known),
            )
    cues = [cue(0, "opening")]
    for page, step in enumerate(lesson.steps, start=1):
        if part.steps and step.id not in part.steps:
            continue
        cues += [cue(page, "ask"), cue(page, "act")]
        cues += [cue(page, "look")] if step.observe is not None else []
        cues += [cue(page, "explain")]
    if not part.steps or known[-1] in part.steps:
        cues.append(cue(len(lesson.steps) + 1, "closing"))
    return cues
