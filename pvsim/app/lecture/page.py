"""The sheet of a cue, as plain values: what stands round its moment, and how it stands with the time."""

from __future__ import annotations

from pvsim.app.lecture.buttons import buttons_of
from pvsim.app.lecture.hall import Hall, Page
from pvsim.app.lecture.moments import MOMENTS
from pvsim.app.lecture.words import moment_name
from pvsim.app.words import _
from pvsim.course.lecture.lecture import Cue, Lecture, due_s, find_lesson, step_of_cue
from pvsim.course.lecture.lecture_state import Podium, cue_of, lesson_of, standing_of, step_of
from pvsim.course.lesson.audience import Audience
from pvsim.course.lesson.lesson import Course, Lesson, Step
from pvsim.course.lesson.render import render
from pvsim.course.number.evaluation import Readings
from pvsim.course.number.solved_scenario import solved

__all__ = ["cue_page"]

TEXT_MOMENTS = ("opening", "ask", "explain", "closing")  # the words have most of the screen


def cue_page(podium: Podium, course: Course, hall: Hall) -> Page:
    """The sheet of the cue that is shown."""
    lesson, cue, step = lesson_of(podium, course), cue_of(podium), step_of(podium, course)
    page: Page = {
        "kind": "cue",
        "key": str(podium.at),
        "layout": "text" if cue.moment in TEXT_MOMENTS else "bench",
        "moment": cue.moment,
        "label": moment_name(cue.moment),
        "lesson": lesson.title,
        "step_title": "" if step is None else step.title,
        "number": _number(cue, step),
        "mode": hall.mode,
        "entry": hall.entry,
        "at": podium.at,
        "cues": len(podium.lecture.cues),
        "place": _("{n} of {m}").format(n=podium.at + 1, m=len(podium.lecture.cues)),
        "planned_s": 60.0 * podium.lecture.minutes,
        "from_s": due_s(podium.lecture, podium.at - 1),
        "due_s": due_s(podium.lecture, podium.at),
        "names": cue_names(podium.lecture, course),
        "room": hall.room,
        "hint": hall.hint,
        "away": _away(podium, step, hall),
        "buttons": buttons_of(podium, course, hall),
    }
    audience = Audience(language=lesson.language)  # on a wall there is nothing to press, and no track
    if step is None:
        return page | _end(cue, lesson, audience)
    return page | MOMENTS[cue.moment](podium, course, step, hall, audience)


def cue_names(lecture: Lecture, course: Course) -> list[str]:
    """Every cue of a lecture by name, to jump to."""
    names = []
    for cue in lecture.cues:
        lesson = find_lesson(course, cue.lesson)
        step = step_of_cue(lesson, cue)
        names.append(f"{lesson.title if step is None else step.title}: {moment_name(cue.moment)}")
    return names


def _away(podium: Podium, step: Step | None, hall: Hall) -> str:
    """What to say where the bench shows another array than the text speaks of."""
    done = standing_of(podium).done
    if step is None or done is None or hall.live.scenario == done or cue_of(podium).moment == "ask":
        return ""
    return _("looking further; the text stays")


def _number(cue: Cue, step: Step | None) -> str:
    if step is None:
        return ""
    return _("Elsewhere") if step.transfer else _("Step {n}").format(n=cue.page)


def _end(cue: Cue, lesson: Lesson, audience: Audience) -> Page:
    here = solved(lesson.steps[0].start)
    section = lesson.opening if cue.moment == "opening" else lesson.closing
    opening = cue.moment == "opening"
    return {
        "question": lesson.question if opening else "",
        "html": render(section.text, Readings(here, here), audience),
        "list": [] if opening else list(lesson.limits),
        "list_title": "" if opening else _("What the model leaves out"),
    }
