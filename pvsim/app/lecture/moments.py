"""What the moments of a step show, as plain values: the class is asked, acts, looks, and is told why."""

from __future__ import annotations

from collections.abc import Callable

from pvsim.app.lecture.chart import chart_of, people, right_place
from pvsim.app.lecture.hall import Hall, Page
from pvsim.app.words import _
from pvsim.course.lecture.class_answers import LETTERS, right_count, size, tally
from pvsim.course.lecture.lecture_state import (
    Podium,
    answered,
    cue_of,
    locked,
    mark_of,
    standing_of,
)
from pvsim.course.lesson.audience import Audience
from pvsim.course.lesson.cautions import CAUTIONS
from pvsim.course.lesson.lesson import ChoiceQuestion, Course, NumberQuestion, Question, Step
from pvsim.course.lesson.render import render, render_line
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play import player
from pvsim.course.play.answers import ChoiceAnswer, NumberAnswer, judge
from pvsim.course.play.lacking import lacking
from pvsim.numbers import format_number, format_setting

__all__ = ["MOMENTS"]


def _ask(podium: Podium, course: Course, step: Step, hall: Hall, audience: Audience) -> Page:
    before = solved(step.start)
    readings = Readings(before, before)
    standing = standing_of(podium)
    polled = podium.lecture.parts[cue_of(podium).part].poll
    total = size(step.predict, standing.rounds[-1])
    page: Page = {
        "lead": render(step.lead.text, readings, audience),
        "html": render(step.ask.text, readings, audience),
        "choices": _choices(step.predict, readings, audience),
        "chart": chart_of(step.predict, standing.rounds, _outcome(podium, course, step))
        if standing.shown
        else None,
        "round": len(standing.rounds),
        "lock": _("The array is locked until the class has answered.") if locked(podium, course) else "",
    }
    if polled and hall.held:
        page["hands"] = _hands(step.predict, podium, hall)
        page["counted"] = people(total) if total else ""
    elif not standing.shown and total:
        page["counted"] = people(total)
    return page


def _hands(question: Question, podium: Podium, hall: Hall) -> Page:
    """The field for raised hands: one text, and for choices a count for each letter too."""
    hands = standing_of(podium).rounds[-1].hands
    if isinstance(question, ChoiceQuestion):
        counts = [int(hands[k]) if k < len(hands) else 0 for k in range(len(question.choices))]
        letters = list(LETTERS[: len(counts)])
        hint = _("in the order of the letters, such as {example}").format(
            example=" ".join(str(9 - 2 * k % 8) for k in range(len(counts)))
        )
        return {
            "kind": "choice", "counts": counts, "letters": letters, "hint": hint, "wrong": hall.wrong,
            "text": " ".join(map(str, counts)) if any(counts) else "",
        }  # fmt: skip
    return {
        "kind": "number",
        "unit": question.unit.symbol,
        "text": " ".join(format_setting(one) for one in hands),
        "hint": _("such as 4 5x12: once 4, twelve times 5"),
        "wrong": hall.wrong,
    }


def _act(podium: Podium, course: Course, step: Step, hall: Hall, audience: Audience) -> Page:
    standing = standing_of(podium)
    shut = locked(podium, course)
    if standing.done is not None:
        status = _("Done.")
    elif shut:
        status = _("Locked: the class has not answered yet. Back with ←, or → once more to go on without.")
    else:
        status = " ".join(filter(None, (_("Not done yet."), lacking(step, hall.live))))
    return {
        "html": render(step.act.text, _readings(podium, course, step, hall), audience),
        "cautions": [_(CAUTIONS[one]) for one in step.cautions],
        "done": standing.done is not None,
        "status": status,
        "locked": shut,
        "may_do": not shut and standing.done is None and hall.held,
        "seek": step.search is not None,
    }


def _look(podium: Podium, course: Course, step: Step, hall: Hall, audience: Audience) -> Page:
    standing = standing_of(podium)
    readings = _readings(podium, course, step, hall)
    question = step.observe
    assert question is not None  # such a step has no cue to look
    page: Page = {"html": render(step.notice.text, readings, audience), "seen": standing.seen}
    seen = readings if standing.seen else None
    page["choices"] = _choices(question, readings, audience, right_place(question, seen))
    if seen is not None:
        page |= _seen(question, seen, audience)
    return page


def _seen(question: Question, readings: Readings, audience: Audience) -> Page:
    """The answer to an observation."""
    if isinstance(question, NumberQuestion):
        truth = value_of(question.answer, readings) / question.unit.size
        value = format_number(truth, question.unit.symbol, digits=3)
        return {"answer": _("Solver: {value}").format(value=value)}
    place = right_place(question, readings)
    feedback = "" if place is None else question.choices[place].feedback
    return {"feedback": render(feedback, readings, audience) if feedback else ""}


def _explain(podium: Podium, course: Course, step: Step, hall: Hall, audience: Audience) -> Page:
    standing = standing_of(podium)
    readings = _readings(podium, course, step, hall)
    page: Page = {"html": render(step.explain.text, readings, audience)}
    outcome = _outcome(podium, course, step)
    if outcome is None:
        return page
    rounds = [one for one in standing.rounds if size(step.predict, one)]
    if rounds:
        page["chart"] = chart_of(step.predict, rounds, outcome)
        page["small"] = True
        page["choices"] = _choices(step.predict, outcome, audience, right_place(step.predict, outcome))
        last = rounds[-1]
        right, total = right_count(step.predict, last, outcome), size(step.predict, last)
        page["foreseen"] = _("{right} of {total} foresaw it").format(right=right, total=total)
        page |= _mistake(step.predict, podium, course, outcome, audience)
    return page


def _mistake(
    question: Question, podium: Podium, course: Course, readings: Readings, audience: Audience
) -> Page:
    """The idea behind the wrong answer that most gave, with its feedback."""
    rounds = standing_of(podium).rounds
    last = next(one for one in reversed(rounds) if size(question, one))
    if isinstance(question, ChoiceQuestion):
        counts = tally(question, last)
        found = [
            (count, place, judge(question, ChoiceAnswer(place), readings))
            for place, count in enumerate(counts)
            if count
        ]
        wrong = [one for one in found if not one[2].right]
        if not wrong:
            return {}
        _count, place, verdict = max(wrong, key=lambda one: one[0])
        return {"idea": verdict.idea, "idea_of": LETTERS[place],
                "idea_html": render(verdict.feedback, readings, audience)}  # fmt: skip
    ideas: dict[str, tuple[int, str]] = {}
    for number in (*last.hands, *last.phones):
        verdict = judge(question, NumberAnswer(number), readings)
        if not verdict.right and verdict.idea:
            count, _text = ideas.get(verdict.idea, (0, ""))
            ideas[verdict.idea] = (count + 1, verdict.feedback)
    if not ideas:
        return {}
    idea, (_count, feedback) = max(ideas.items(), key=lambda one: one[1][0])
    return {"idea": idea, "idea_of": "", "idea_html": render(feedback, readings, audience)}


def _choices(
    question: Question, readings: Readings, audience: Audience, right: int | None = None
) -> list[Page]:
    if not isinstance(question, ChoiceQuestion):
        return []
    return [
        {"letter": LETTERS[k], "html": render_line(one.text, readings, audience), "right": k == right}
        for k, one in enumerate(question.choices)
    ]


def _readings(podium: Podium, course: Course, step: Step, hall: Hall) -> Readings:
    return player.readings_of(step, mark_of(podium, course), hall.live)


def _outcome(podium: Podium, course: Course, step: Step) -> Readings | None:
    """The step done, once everybody has seen it: at its explanation, and whenever one comes back later."""
    done = standing_of(podium).done
    if done is None or not answered(podium, course):
        return None
    if cue_of(podium).moment != "explain" and not standing_of(podium).seen:
        return None
    return Readings(solved(done), solved(step.start))


MOMENTS: dict[str, Callable[[Podium, Course, Step, Hall, Audience], Page]] = {
    "ask": _ask,
    "act": _act,
    "look": _look,
    "explain": _explain,
}
