"""What a lecture shows, as plain values: before it begins, at each cue, and how it stands with the time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pvsim.app.lecture.chart import chart_of, people, right_place
from pvsim.app.lecture.words import lecture_keys, moment_name
from pvsim.app.words import _, ngettext
from pvsim.course.lecture.class_answers import LETTERS, right_count, size, tally
from pvsim.course.lecture.lecture import Cue, Lecture, due_s, find_lesson, step_of_cue
from pvsim.course.lecture.lecture_state import (
    Podium,
    answered,
    cue_of,
    lesson_of,
    locked,
    mark_of,
    standing_of,
    step_of,
)
from pvsim.course.lesson.audience import Audience
from pvsim.course.lesson.cautions import CAUTIONS
from pvsim.course.lesson.lesson import ChoiceQuestion, Course, Lesson, NumberQuestion, Question, Step
from pvsim.course.lesson.render import render, render_line
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.solved_scenario import Situation, solved
from pvsim.course.play import player
from pvsim.course.play.answers import ChoiceAnswer, NumberAnswer, judge
from pvsim.course.play.lacking import lacking
from pvsim.numbers import format_number, format_setting

__all__ = ["Hall", "cue_page", "ready_page"]

Page = dict[str, Any]
TEXT_MOMENTS = ("opening", "ask", "explain", "closing")  # the words have most of the screen


@dataclass(frozen=True, slots=True, kw_only=True)
class Hall:
    """What a sheet needs to know besides where the lecture stands.

    Parameters
    ----------
    mode : str
        "live", "rehearsal" or "replay".
    live : Situation
        The array as it stands.
    keys : bool
        Whether single letters are keys.
    room : dict
        The class as it is shown; empty while none is open.
    wrong : str
        Why the hands typed last cannot be counted.
    hint : str
        What the last press needs.
    entry : str
        In a replay, when this moment was.
    """

    mode: str
    live: Situation
    keys: bool
    room: Page
    wrong: str = ""
    hint: str = ""
    entry: str = ""


def ready_page(lecture: Lecture, course: Course, *, keys: bool, network: bool) -> Page:
    """The sheet before a lecture begins.

    Parameters
    ----------
    network : bool
        Whether phones could reach this page.
    """
    parts = []
    for part in lecture.parts:
        lesson = find_lesson(course, part.lesson)
        titles = [step.title for step in lesson.steps if not part.steps or step.id in part.steps]
        minutes = _("{n} min").format(n=format_setting(part.minutes))
        parts.append({"title": lesson.title, "steps": titles, "minutes": minutes})
    return {
        "kind": "ready",
        "layout": "text",
        "key": "ready",
        "title": lecture.title,
        "minutes": ngettext("{n} minute planned", "{n} minutes planned", round(lecture.minutes)).format(
            n=format_setting(lecture.minutes)
        ),
        "parts": parts,
        "keys_list": [[marks, meaning] for _act, marks, _name, meaning in lecture_keys()],
        "letters": keys,
        "played": bool(lecture.played),
        "phones": _("Phones of the class can join: press O once the lecture has begun.")
        if network
        else _("For answers from phones start pvsim with --network. Counting hands needs nothing."),
    }


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
        "buttons": _buttons(podium, course, hall),
    }
    audience = Audience(language=lesson.language)  # on a wall there is nothing to press, and no track
    if step is None:
        return page | _end(cue, lesson, audience)
    parts = {"ask": _ask, "act": _act, "look": _look, "explain": _explain}
    return page | parts[cue.moment](podium, course, step, hall, audience)


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
    if polled and hall.mode != "replay":
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
        "may_do": not shut and standing.done is None and hall.mode != "replay",
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


def _buttons(podium: Podium, course: Course, hall: Hall) -> list[Page]:
    """The foot: what can be pressed now, each with its key."""
    step, standing, moment = step_of(podium, course), standing_of(podium), cue_of(podium).moment
    counted = step is not None and any(size(step.predict, one) for one in standing.rounds)
    polled = podium.lecture.parts[cue_of(podium).part].poll
    replay = hall.mode == "replay"
    able = {
        "back": podium.at > 0 or replay,
        "next": True,
        "reveal": (moment == "ask" and counted) or (moment == "look" and standing.done is not None),
        "again": moment == "ask" and counted and len(standing.rounds) == 1 and standing.done is None,
        "hands": moment == "ask" and polled,
        "class": True,
        "notes": True,
        "right": True,
        "blank": True,
    }
    here = ["back", "next"]
    here += ["reveal"] if moment in ("ask", "look") else []
    here += ["again", "hands"] if moment == "ask" and polled and not replay else []
    here += ["right", "blank"] + ([] if replay else ["class", "notes"])
    pressed = standing.seen if moment == "look" else standing.shown
    return [
        {
            "act": act,
            "keys": [mark for mark in marks if hall.keys or len(mark) > 1 or mark in "←→"],
            "label": name,
            "title": meaning,
            "able": able[act],
            "pressed": {"reveal": pressed, "class": bool(hall.room)}.get(act),
        }
        for act, marks, name, meaning in lecture_keys()
        if act in here
    ]
