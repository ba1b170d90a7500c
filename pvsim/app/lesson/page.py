"""What the lesson region shows of a lesson, as plain values: opening, step or closing."""

from __future__ import annotations

from collections.abc import Mapping

from pvsim.app.lesson.question import Page
from pvsim.app.lesson.step_page import step_page
from pvsim.app.words import _
from pvsim.course.lesson.audience import Audience, audience_of, lessons_in_order
from pvsim.course.lesson.lesson import Course, Lesson, Step
from pvsim.course.lesson.render import render
from pvsim.course.number.evaluation import Readings
from pvsim.course.number.solved_scenario import Situation, solved
from pvsim.course.play.player import Mark, Progress, phase_of, step_of, verdicts

__all__ = ["Page", "lesson_page", "step_state"]


def lesson_page(
    course: Course,
    lesson: Lesson,
    progress: Progress,
    live: Situation,
    wrong: Mapping[str, str],
    track: str = "",
    *,
    closing: bool = False,
) -> Page:
    """The page of a lesson on which somebody is.

    Parameters
    ----------
    live : Situation
        The array as it stands on the page.
    wrong : mapping of str to str
        By "predict" or "observe", why what was typed cannot be taken.
    track : str
        Id of the one that the learner has chosen.
    closing : bool
        Whether a closing test follows on the last lesson.
    """
    audience = audience_of(course, lesson, track)
    lessons = lessons_in_order(course, track)
    place = lessons.index(lesson) + 1
    following = lessons[place] if place < len(lessons) else None
    page: Page = {
        "title": lesson.title,
        "slug": lesson.slug,
        "language": "" if lesson.language == course.language else lesson.language,
        "track": audience.track,
        "count": _("Lesson {n} of {m}").format(n=place, m=len(lessons)),
        "dots": _dots(lesson, progress),
        "key": f"{lesson.slug}/{progress.page}",
    }
    step = step_of(lesson, progress)
    if step is not None:
        page |= step_page(lesson, progress, step, live, wrong, audience)
    elif progress.page == 0:
        page |= _opening(lesson, audience)
    else:
        page |= _closing(lesson, progress, following, audience)
        if following is None and closing:
            page["next"] = _("Closing test")
    return page


def _opening(lesson: Lesson, audience: Audience) -> Page:
    here = solved(lesson.steps[0].start)
    return {
        "kind": "opening",
        "question": lesson.question,
        "minutes": _("about {n} minutes").format(n=lesson.minutes),
        "html": render(lesson.opening.text, Readings(here, here), audience),
        "objectives": list(lesson.objectives),
        "next": _("Begin"),
        "back": "",
    }


def _closing(
    lesson: Lesson, progress: Progress, following: Lesson | None, audience: Audience
) -> Page:
    here = solved(lesson.steps[0].start)
    results = [
        {"title": step.title, "mark": _result(step, mark)}
        for step, mark in zip(lesson.steps, progress.marks, strict=True)
    ]
    return {
        "kind": "closing",
        "html": render(lesson.closing.text, Readings(here, here), audience),
        "objectives": list(lesson.objectives),
        "results_title": _("Your predictions"),
        "results": results,
        "results_note": _("A wrong prediction that you looked into is worth more than a right one."),
        "sources": list(lesson.sources),
        "limits": list(lesson.limits),
        "following": {"slug": following.slug, "title": following.title} if following else None,
        "next": _("Next lesson") if following else _("Contents"),
        "back": _("Back"),
    }


def _dots(lesson: Lesson, progress: Progress) -> list[Page]:
    """One mark for each page: opening, steps, closing."""
    dots: list[Page] = [{"page": 0, "text": "", "title": _("Opening"), "state": "done"}]
    for page, (step, mark) in enumerate(zip(lesson.steps, progress.marks, strict=True), start=1):
        title = _("Elsewhere: {title}") if step.transfer else _("Step {n}: {title}")
        dots.append(
            {
                "page": page,
                "text": "↗" if step.transfer else str(page),
                "title": title.format(n=page, title=step.title),
                "state": step_state(step, mark),
            }
        )
    dots.append({"page": len(lesson.steps) + 1, "text": "", "title": _("Closing"), "state": "new"})
    for dot in dots:
        dot["here"] = dot["page"] == progress.page
    return dots


def step_state(step: Step, mark: Mark) -> str:
    if mark.prediction is None:
        return "new"
    return "done" if phase_of(step, mark) == "explain" else "begun"


def _result(step: Step, mark: Mark) -> Page:
    first, _second = verdicts(step, mark)
    if first is None or phase_of(step, mark) != "explain":
        return {"name": "open", "text": _("left open")}
    if first.right:
        return {"name": "right", "text": _("foreseen")}
    return {"name": "wrong", "text": _("came out differently")}
