"""What the lesson region shows of a lesson, as plain values: opening, step or closing."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pvsim.app.words import _
from pvsim.course.lesson.audience import Audience, audience_of, lessons_in_order
from pvsim.course.lesson.cautions import CAUTIONS
from pvsim.course.lesson.lesson import ChoiceQuestion, Course, Lesson, NumberQuestion, Question, Step
from pvsim.course.lesson.render import render, render_line
from pvsim.course.number.evaluation import Readings
from pvsim.course.number.solved_scenario import Situation, solved
from pvsim.course.play.answers import Answer, ChoiceAnswer, NumberAnswer, Verdict, right_answer
from pvsim.course.play.lacking import lacking
from pvsim.course.play.player import (
    PHASES,
    Mark,
    Progress,
    looks_further,
    mark_of,
    phase_of,
    readings_of,
    step_of,
    verdicts,
)
from pvsim.course.play.whereabouts import spots
from pvsim.numbers import MINUS, format_number, short_number

__all__ = ["Page", "lesson_page", "phase_names", "region_words", "step_state"]

Page = dict[str, Any]
# Where the first change of an act is made: a panel of the bar; all others are made in the drawing.
PANELS = {"light": "light", "weather": "weather", "operate": "operation", "lay": "array"}
SHOW_ANSWER_AFTER = 1  # wrong observations before the way on is offered


def region_words() -> dict[str, str]:
    """Texts of the region that never change."""
    return {
        "contents": _("Contents"),
        "unkept_tab": _(
            "This browser has no room to keep your work. This tab keeps it until you close it: save it as a "
            "file under “Contents”."
        ),
        "unkept": _(
            "This browser keeps nothing of your work. Save it as a file under “Contents” before you close "
            "this page."
        ),
        "steps": _("Steps of this lesson"),
        "store": _("Store prediction"),
        "answer": _("Answer"),
        "do": _("Do it for me"),
        "put_back": _("Put it back"),
        "restart": _("Start this step again"),
        "show": _("Show me"),
        "your_answer": _("Your answer"),
        "caution": _("Caution"),
        "idea": _("The idea behind it"),
        "objectives": _("Afterwards you can"),
        "sources": _("Where this comes from"),
        "limits": _("What the model leaves out"),
        "licence": _("Lesson text: CC BY 4.0. Sites and data are invented."),
        "figure": _("Figure"),
        "go_on": _("Go on where you left"),
        "glossary": _("Glossary"),
        "mend": _("To be mended"),
        "see": _("See also"),
        "source": _("Source"),
        "workbook": _("Your workbook"),
        "workbook_note": _("What you do is kept in this browser alone; nobody else sees it."),
        "save": _("Save it as a file"),
        "take": _("Take one from a file…"),
        "aside": _("What this browser had kept could not be read. It is set aside; nothing of it is lost."),
        "save_aside": _("Save what was set aside"),
        "forget": _("Forget it"),
        "forget_sure": _("Press again to forget all your predictions"),
        "too_large": _("This file is too large to be a workbook. Choose the one that pvsim saved."),
        "lecture": _("For lecturers"),
        "lecture_note": _("Hold a lesson in front of a class: large type, keys, the answers of the class."),
        "lecture_of": _("Lecture on"),
        "lecture_prepare": _("Prepare"),
        "lecture_file": _("Open a lecture file…"),
        "lecture_too_large": _("This file is too large to be a lecture. Choose one that pvsim saved."),
        "lecture_this": _("Hold this lesson as a lecture"),
    }


def phase_names() -> dict[str, str]:
    """What the four phases of a step are called."""
    return {
        "predict": _("Predict"),
        "act": _("Act"),
        "observe": _("Observe"),
        "explain": _("Explain"),
    }


def lesson_page(
    course: Course,
    lesson: Lesson,
    progress: Progress,
    live: Situation,
    wrong: Mapping[str, str],
    track: str = "",
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
        page |= _step_page(lesson, progress, step, live, wrong, audience)
    elif progress.page == 0:
        page |= _opening(lesson, audience)
    else:
        page |= _closing(lesson, progress, following, audience)
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


def _closing(lesson: Lesson, progress: Progress, following: Lesson | None, audience: Audience) -> Page:
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


def _step_page(
    lesson: Lesson,
    progress: Progress,
    step: Step,
    live: Situation,
    wrong: Mapping[str, str],
    audience: Audience,
) -> Page:
    mark = mark_of(lesson, progress)
    before = solved(step.start)
    at_start = Readings(before, before)
    phase = phase_of(step, mark)
    number = _("Elsewhere") if step.transfer else _("Step {n}").format(n=progress.page)
    shown = [one for one in PHASES if one != "observe" or step.observe is not None]
    parts = [
        _part(name, order, step, mark, live, shown.index(phase), shown.index(name), wrong, audience)
        for order, name in enumerate(shown, start=1)
    ]
    last = progress.page == len(lesson.steps)
    return {
        "kind": "step",
        "label": number,
        "step_title": step.title,
        "transfer": step.transfer,
        "lead": render(step.lead.text, at_start, audience),
        "parts": parts,
        "phase": phase,
        "locked": mark.prediction is None,
        "restart": mark.prediction is not None,
        "away": _away(step, mark, live),
        "next": _("Finish") if last else _("Next"),
        "next_ready": phase == "explain",
        "back": _("Back"),
    }


def _part(
    name: str,
    order: int,
    step: Step,
    mark: Mark,
    live: Situation,
    reached: int,
    place: int,
    wrong: Mapping[str, str],
    audience: Audience,
) -> Page:
    """One phase of a step: waiting, open or done, with what belongs to it."""
    state = "waiting" if place > reached else "open" if place == reached else "done"
    part: Page = {"name": name, "label": phase_names()[name], "order": order, "state": state}
    if state == "waiting":
        return part | {"hint": _waiting_hint(name)}
    before = solved(step.start)
    first, second = verdicts(step, mark)
    if name == "predict":
        readings = Readings(before, before)
        part |= {"html": render(step.ask.text, readings, audience), "wrong": wrong.get(name, "")}
        part |= {"question": _question(step.predict, mark.prediction, readings, audience)}
        part |= {"lock": _("The array is locked until your prediction is stored.")}
    elif name == "act":
        readings = readings_of(step, mark, live)
        part |= {"html": render(step.act.text, readings, audience), "done": mark.done is not None}
        part |= {"cautions": [_(CAUTIONS[one]) for one in step.cautions]}
        part |= {"status": _("Done.") if mark.done is not None else _("Not done yet.")}
        part |= {"reason": lacking(step, live) if mark.done is None else ""}
        part |= {"control": _control(step)}
    elif name == "observe" and step.observe is not None:
        readings = readings_of(step, mark, live)
        part |= {"html": render(step.notice.text, readings, audience), "wrong": wrong.get(name, "")}
        part |= {"question": _question(step.observe, mark.seen, readings, audience)}
        part |= {"verdict": _verdict(step.observe, second, readings, audience), "settled": mark.settled}
        part |= {"may_skip": mark.tries >= SHOW_ANSWER_AFTER and not mark.settled}
        if mark.settled and not (second and second.right):
            part |= {"shown": _shown(step.observe, readings, audience)}
    elif name == "explain":
        readings = readings_of(step, mark, live)
        part |= {"html": render(step.explain.text, readings, audience)}
        part |= {"prediction": _reckoning(step.predict, mark.prediction, first, readings, audience)}
    return part


def _control(step: Step) -> Page:
    """What the act is done with: a panel of the bar that can be opened, or the drawing."""
    panel = PANELS.get(step.solution[0].kind, "") if step.solution else ""
    texts = {
        "light": _("Open Light"),
        "weather": _("Open Temperature"),
        "operation": _("Open Operation"),
        "array": _("Open Array"),
    }
    return {"panel": panel, "text": texts.get(panel, _("To the drawing"))}


def _waiting_hint(name: str) -> str:
    return {
        "act": _("after your prediction"),
        "observe": _("after the change"),
        "explain": _("after you have looked"),
    }.get(name, "")


def _question(question: Question, answer: Answer | None, readings: Readings, audience: Audience) -> Page:
    if isinstance(question, ChoiceQuestion):
        chosen = answer.choice if isinstance(answer, ChoiceAnswer) else None
        texts = [render_line(choice.text, readings, audience) for choice in question.choices]
        return {"kind": "choice", "choices": texts, "chosen": chosen}
    given = _as_typed(answer.number) if isinstance(answer, NumberAnswer) else ""
    return {"kind": "number", "unit": _(question.unit.symbol), "given": given}


def _as_typed(number: float) -> str:
    """A number as people type it: no zeros at its end, a true minus sign."""
    return short_number(number, minus=MINUS)


def _verdict(
    question: Question, verdict: Verdict | None, readings: Readings, audience: Audience
) -> Page | None:
    if verdict is None:
        return None
    feedback = verdict.feedback
    if not feedback and not verdict.right:
        feedback = _("Read it once more, and mind sign and unit.")
    return {
        "right": verdict.right,
        "mark": _("Right") if verdict.right else _("Not yet"),
        "idea": "" if verdict.right else verdict.idea,
        "html": render(feedback, readings, audience) if feedback else "",
    }


def _shown(question: Question, readings: Readings, audience: Audience) -> Page:
    """The right answer, for who asks to be shown it, and where it is read."""
    where = [one.words for one in spots(question, readings)]
    return {
        "label": _("The answer"),
        "html": _right_in_words(question, readings, audience),
        "where_label": _("Read it here"),
        "where": where,
    }


def _right_in_words(question: Question, readings: Readings, audience: Audience) -> str:
    """The right answer as it is shown; safe HTML."""
    right = right_answer(question, readings)
    if isinstance(question, ChoiceQuestion) and isinstance(right, ChoiceAnswer):
        return render_line(question.choices[right.choice].text, readings, audience)
    assert isinstance(question, NumberQuestion)
    assert isinstance(right, NumberAnswer)
    return _found(question, right.number)


def _found(question: NumberQuestion, number: float) -> str:
    unit = _(question.unit.symbol)
    return format_number(number, unit, digits=3) if unit else _as_typed(float(f"{number:.3g}"))


def _reckoning(
    question: Question,
    answer: Answer | None,
    verdict: Verdict | None,
    readings: Readings,
    audience: Audience,
) -> Page | None:
    """The prediction held against what the solver found."""
    if verdict is None or answer is None:
        return None
    said, found = "", ""
    if isinstance(question, NumberQuestion) and isinstance(answer, NumberAnswer):
        unit = _(question.unit.symbol)
        said = f"{_as_typed(answer.number)}\u202f{unit}" if unit else _as_typed(answer.number)
        found = _found(question, verdict.truth or 0.0)
    elif isinstance(question, ChoiceQuestion) and isinstance(answer, ChoiceAnswer):
        said = render_line(question.choices[answer.choice].text, readings, audience)
        found = "" if verdict.right else _right_in_words(question, readings, audience)
    html = render(verdict.feedback, readings, audience) if verdict.feedback else ""
    if not html:
        html = _nearness(question, answer, verdict)
    return {
        "right": verdict.right,
        "mark": _("You foresaw it") if verdict.right else _("It came out differently"),
        "said_label": _("You wrote"),
        "said": said,
        "found_label": _("Solver"),
        "found": found,
        "idea": "" if verdict.right else verdict.idea,
        "html": html,
    }


def _nearness(question: Question, answer: Answer, verdict: Verdict) -> str:
    """How a number missed, in words, when no known idea explains it."""
    if verdict.right or not isinstance(answer, NumberAnswer) or not verdict.truth:
        return ""
    share = answer.number / verdict.truth
    if share < 0:
        text = _("The sign is the other way round.")
    elif share < 0.5:
        text = _("You expected much less than there is.")
    elif share < 1:
        text = _("You expected somewhat less than there is.")
    elif share < 2:
        text = _("You expected somewhat more than there is.")
    else:
        text = _("You expected much more than there is.")
    return f"<p>{text}</p>"


def _away(step: Step, mark: Mark, live: Situation) -> str:
    """What to say where the page shows an array that the text does not speak of; empty where it does."""
    if live.scenario.array != step.start.array:
        return _("Another array is on the bench. This step speaks of “{title}”.").format(
            title=step.start.title
        )
    if looks_further(mark, live.scenario):
        return _("You are looking further. The text stays with the array as the act had made it.")
    return ""


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
