"""What the lesson region shows of a step, as plain values: its phases, each waiting, open or done."""

from __future__ import annotations

from collections.abc import Mapping

from pvsim.app.lesson.question import Page, question_of, reckoning_of, shown_answer, verdict_on
from pvsim.app.lesson.words import phase_names
from pvsim.app.words import _
from pvsim.course.lesson.audience import Audience
from pvsim.course.lesson.cautions import CAUTIONS
from pvsim.course.lesson.lesson import Lesson, Step
from pvsim.course.lesson.render import render
from pvsim.course.number.evaluation import Readings
from pvsim.course.number.solved_scenario import Situation, solved
from pvsim.course.play.lacking import another_array, lacking
from pvsim.course.play.player import (
    PHASES,
    Mark,
    Progress,
    looks_further,
    mark_of,
    phase_of,
    readings_of,
    verdicts,
)

__all__ = ["step_page"]

# Where the first change of an act is made: a panel of the bar; all others are made in the drawing.
PANELS = {"light": "light", "weather": "weather", "operate": "operation", "lay": "array"}
OF_A_DAY = ("stands", "dated")  # checks of what is set up where the panel of light leads to
SHOW_ANSWER_AFTER = 1  # wrong observations before the way on is offered


def step_page(
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
        part |= {"question": question_of(step.predict, mark.prediction, readings, audience)}
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
        part |= {"question": question_of(step.observe, mark.seen, readings, audience)}
        part |= {"verdict": verdict_on(step.observe, second, readings, audience), "settled": mark.settled}
        part |= {"may_skip": mark.tries >= SHOW_ANSWER_AFTER and not mark.settled}
        if mark.settled and not (second and second.right):
            part |= {"shown": shown_answer(step.observe, readings, audience)}
    elif name == "explain":
        readings = readings_of(step, mark, live)
        part |= {"html": render(step.explain.text, readings, audience)}
        part |= {"prediction": reckoning_of(step.predict, mark.prediction, first, readings, audience)}
    return part


def _control(step: Step) -> Page:
    """What the act is done with: a search, a panel of the bar that can be opened, or the drawing."""
    if step.search is not None:
        return {"panel": "", "wish": "begin_search", "text": _("Begin the search")}
    panel = PANELS.get(step.solution[0].kind, "") if step.solution else ""
    if any(check.kind in OF_A_DAY for check in step.done_when):
        panel = "light"
    texts = {
        "light": _("Open Light"),
        "weather": _("Open Temperature"),
        "operation": _("Open Operation"),
        "array": _("Open Array"),
    }
    return {"panel": panel, "wish": "", "text": texts.get(panel, _("To the drawing"))}


def _waiting_hint(name: str) -> str:
    return {
        "act": _("after your prediction"),
        "observe": _("after the change"),
        "explain": _("after you have looked"),
    }.get(name, "")


def _away(step: Step, mark: Mark, live: Situation) -> str:
    """What to say where the page shows an array that the text does not speak of; empty where it does."""
    if another_array(step, live.scenario):
        return _("Another array is on the bench. This step speaks of “{title}”.").format(
            title=step.start.title
        )
    if looks_further(mark, live.scenario):
        return _("You are looking further. The text stays with the array as the act had made it.")
    return ""
