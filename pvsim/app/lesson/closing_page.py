"""What the lesson region shows of a closing test, as plain values: its opening, a question, its result."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pvsim.app.lesson.question import Page
from pvsim.app.words import _, ngettext
from pvsim.course.lesson.lesson import Course
from pvsim.course.lesson.render import render_text, render_words
from pvsim.course.play.closing_work import AskedQuestion, ClosingWork
from pvsim.course.play.revisit import Idea
from pvsim.exercise import ChoiceItem, GivenItem, Item, ItemMark, given_of
from pvsim.exercise.given import LETTERS
from pvsim.numbers import format_fixed, format_percent

__all__ = ["Answered", "closing_entry", "making_page", "opening_page", "question_page", "result_page"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """What was answered, as it was typed, and its mark."""

    text: str
    mark: ItemMark


def closing_entry(work: ClosingWork) -> Page:
    """What the contents say of the test."""
    text = _("A handful of questions with new numbers; first on what came out differently for you.")
    if not work.answers:
        return {"text": text, "state": {"name": "new", "text": ""}}
    if work.finished:
        return {"text": text, "state": {"name": "done", "text": _total(work)}}
    begun = _("{n} of {m} questions").format(n=work.answers, m=len(work.asked))
    return {"text": text, "state": {"name": "begun", "text": begun}}


def making_page() -> Page:
    """As long as the test is being made."""
    return {
        "kind": "closing-making",
        "key": "closing-test/making",
        "title": _("Closing test"),
        "lead": _("The test is being made …"),
    }


def opening_page(course: Course, work: ClosingWork, revisit: Sequence[Idea]) -> Page:
    """What the test draws on, and that it draws on the whole course where nothing is to be revisited."""
    count = len(work.asked)
    lead = ngettext("{n} question with new numbers.", "{n} questions with new numbers.", count)
    return _leaf(work, 0) | {
        "stage": "opening",
        "count": "",
        "lead": lead.format(n=count),
        "lists": _lists(course, revisit),
        "note": _(
            "Questions come first from what came out differently for you. An idea leaves the list once its "
            "question is answered rightly."
        )
        if revisit
        else _("Your workbook lists no idea to revisit: the questions come from the whole course."),
        "aid": _("You may use the bench, pen and paper."),
        "paper": {
            "title": _("On paper"),
            "note": _(
                "A test of its own, with room for the answers. Its number stands on it; the solution is that "
                "of the test printed last."
            ),
            "test": _("Closing test as PDF"),
            "solution": _("Its solution as PDF"),
        },
        "next": _("Go on") if work.answers else _("Begin"),
        "back": "",
        "next_ready": True,
    }


def question_page(
    course: Course, work: ClosingWork, at: int, item: Item | None, told: Answered | None, wrong: str
) -> Page:
    """A question as it is given, and once it is answered what it was worth, why, and the way to it.

    Parameters
    ----------
    at : int
        Which question, from 1.
    item : Item or None
        None where it was answered on a page that is gone, or can no longer be asked.
    told : Answered or None
        Only then anything of the key is on the page.
    wrong : str
        Why what was typed cannot be taken.
    """
    asked, last = work.asked[at - 1], at == len(work.asked)
    titles = {lesson.slug: lesson.title for lesson in course.lessons}
    page = _leaf(work, at) | {
        "stage": "question",
        "count": _("Question {n} of {m}").format(n=at, m=len(work.asked)),
        "from": _("From the lesson “{title}”").format(title=titles.get(asked.exercise.partition("/")[0], "")),
        "part": None,
        "verdict": None,
        "verdict_label": _("What it comes to"),
        "solution": "",
        "gone": "",
        "next": _("Result") if last else _("Next"),
        "back": _("Back"),
        "next_ready": asked.share is not None,
    }
    if item is None:
        page["gone"] = _gone(asked)
        return page
    given = given_of(item)
    page["language"] = "" if item.language == course.language else item.language
    page["part"] = {
        "name": "closing",
        "label": _("Question"),
        "order": 1,
        "state": "open" if told is None else "done",
        "html": render_text(given.stem),
        "wrong": wrong,
        "question": _question(given, told),
    }
    if told is not None:
        page["verdict"] = _verdict(item, told)
        page["solution"] = render_text(item.solution) if item.solution else ""
    return page


def result_page(course: Course, work: ClosingWork, revisit: Sequence[Idea]) -> Page:
    """What came of the questions, and what is still to be revisited."""
    titles = {lesson.slug: lesson.title for lesson in course.lessons}
    learned = sum(len(one.ideas) > 0 and (one.share or 0.0) >= 1.0 for one in work.asked)
    left = ngettext(
        "The ideas of {n} question have left your list.",
        "The ideas of {n} questions have left your list.",
        learned,
    )
    return _leaf(work, len(work.asked) + 1) | {
        "stage": "result",
        "count": "",
        "total": _total(work),
        "results_title": _("Your answers"),
        "results": [
            {"title": titles.get(one.exercise.partition("/")[0], ""), "mark": _result(one)}
            for one in work.asked
        ],
        "note": left.format(n=learned) if learned else "",
        "lists": _lists(course, revisit),
        "empty": "" if revisit else _("Nothing is left to revisit."),
        "anew": _("Another test, with other numbers") if work.finished else "",
        "next": _("Contents"),
        "back": _("Back"),
        "next_ready": work.finished,
    }


def _leaf(work: ClosingWork, here: int) -> Page:
    """What all pages of the test have."""
    states = [_state(one) for one in work.asked]
    dots: list[Page] = [{"page": 0, "text": "", "title": _("Opening"), "state": "done"}]
    for at, state in enumerate(states, start=1):
        title = _("Question {n}").format(n=at)
        dots.append({"page": at, "text": str(at), "title": title, "state": state})
    dots.append({"page": len(states) + 1, "text": "", "title": _("Result"), "state": "new"})
    for dot in dots:
        dot["here"] = dot["page"] == here
    return {
        "kind": "closing-test",
        "key": f"closing-test/{work.seed}/{here}",
        "title": _("Closing test"),
        "slug": "",
        "language": "",
        "track": "",
        "dots": dots,
    }


def _total(work: ClosingWork) -> str:
    shares = [one.share or 0.0 for one in work.asked]
    right, part = sum(one >= 1.0 for one in shares), sum(0.0 < one < 1.0 for one in shares)
    total = _("{n} of {m} right").format(n=right, m=len(shares))
    return _("{total}, {k} in part").format(total=total, k=part) if part else total


def _state(asked: AskedQuestion) -> str:
    return "new" if asked.share is None else "done"


def _lists(course: Course, revisit: Sequence[Idea]) -> list[Page]:
    """The ideas to revisit by lesson, each once."""
    found: dict[str, list[str]] = {}
    for one in revisit:
        found.setdefault(one.lesson, [])
        if one.text not in found[one.lesson]:
            found[one.lesson].append(one.text)
    return [
        {"slug": lesson.slug, "title": lesson.title, "ideas": found[lesson.slug]}
        for lesson in course.lessons
        if lesson.slug in found
    ]


def _question(given: GivenItem, told: Answered | None) -> Page:
    if given.choices:
        chosen = LETTERS.index(told.text) if told is not None else None
        return {
            "kind": "choice",
            "choices": [render_words(one) for one in given.choices],
            "chosen": chosen,
        }
    return {"kind": "number", "unit": given.unit, "given": "" if told is None else told.text}


def _verdict(item: Item, told: Answered) -> Page:
    """The answer held against the key."""
    mark = told.mark
    words = {
        "right": _("Right"),
        "part": _("Right in part: {share} of the points").format(
            share=format_percent(mark.share, decimals=0)
        ),
    }
    said = render_words(told.text)
    if isinstance(item, ChoiceItem):
        said = render_words(item.choices[LETTERS.index(told.text)].text)
        right = next(one for one in item.choices if one.share == 1.0)
        found = "" if mark.verdict == "right" else render_words(right.text)
    else:
        unit = _(item.unit.symbol) if item.unit.symbol else ""
        found = format_fixed(item.value, unit, decimals=item.decimals)
    return {
        "right": mark.verdict == "right",
        "mark": words.get(mark.verdict, _("Not right")),
        "said_label": _("You wrote"),
        "said": said,
        "found_label": _("Solver"),
        "found": found,
        "idea": "" if mark.verdict == "right" else mark.idea,
        "html": "".join(render_text(one) for one in mark.feedback),
    }


def _gone(asked: AskedQuestion) -> str:
    if asked.share is None:
        return _("This question can no longer be asked: its exercise is not in order.")
    return _(
        "Answered before this page was loaded: {mark}. The result is kept, the question's numbers are not."
    ).format(mark=_result(asked)["text"])


def _result(asked: AskedQuestion) -> Page:
    if asked.share is None:
        return {"name": "open", "text": _("left open")}
    if asked.share >= 1.0:
        return {"name": "right", "text": _("right")}
    if asked.share > 0.0:
        return {"name": "wrong", "text": _("right in part")}
    return {"name": "wrong", "text": _("not right")}
