"""What came of a lecture's questions: right answers before and after the class had talked, as a table."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from html import unescape
from io import StringIO
from typing import Any

from pvsim.course.lecture.class_answers import LETTERS, Round, numbers, right_count, size, tally
from pvsim.course.lecture.lecture import find_lesson
from pvsim.course.lecture.lecture_state import MOST_ROUNDS, Podium
from pvsim.course.lesson.audience import Audience
from pvsim.course.lesson.lesson import ChoiceQuestion, Course, Step
from pvsim.course.lesson.render import render, render_line
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play.answers import ChoiceAnswer, right_answer
from pvsim.files.provenance import one_line, provenance
from pvsim.prompt import summary
from pvsim.words import _, mark

__all__ = ["COLUMNS", "INVENTED", "Count", "Result", "results_csv", "results_of"]

INVENTED = mark("Rehearsal: this class is invented")
COLUMNS = (
    "part", "lesson", "step", "question", "right_answer", "answered_first", "right_first", "answered_after",
    "right_after", "gain_points", "normalised_gain", "answers_first", "answers_after",
)  # fmt: skip

_FIGURE = re.compile(r"<(svg|figure|style)\b.*?</\1>", re.DOTALL)
_END = re.compile(r"</(?:p|li|h\d|div|td|th)>|<br\b[^>]*>")
_TAG = re.compile(r"<[^>]+>")


@dataclass(frozen=True, slots=True, kw_only=True)
class Count:
    """The answers of one round.

    Parameters
    ----------
    answered, right : int
    answers : tuple of (str, int)
        Each answer that was given, by its letter or as a number in the question's unit, and how often.
    """

    answered: int
    right: int
    answers: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """One question of a lecture.

    Parameters
    ----------
    part : int
        Of the lecture, from 1.
    lesson, step : str
        Titles.
    question : str
        As plain text.
    letter, right : str
        Letter of the right choice, "" where a number was asked for; the right answer as plain text.
    truth : float or None
        The right number, in the question's unit.
    unit : str
        Its symbol.
    rounds : tuple of Count
        Before the class talked, and after it where it was asked again.
    """

    part: int
    lesson: str
    step: str
    question: str
    letter: str = ""
    right: str = ""
    truth: float | None = None
    unit: str = ""
    rounds: tuple[Count, ...]

    __repr__ = summary

    @property
    def shares(self) -> tuple[float, ...]:
        """How much of each round was right, 0 to 1; nan of a round that nobody answered."""
        return tuple(one.right / one.answered if one.answered else float("nan") for one in self.rounds)

    @property
    def gain(self) -> float | None:
        """By how much the share of right answers rose; None without answers in both rounds."""
        if len(self.rounds) < MOST_ROUNDS or not all(one.answered for one in self.rounds):
            return None
        first, after = self.shares
        return after - first

    @property
    def normalised_gain(self) -> float | None:
        """The gain as a share of what there was to gain; None where everybody was right at first.

        R. R. Hake, Am. J. Phys. 66 (1998) 64; from memory.
        """
        gain = self.gain
        return None if gain is None or self.shares[0] == 1.0 else gain / (1.0 - self.shares[0])


def results_of(podium: Podium, course: Course) -> tuple[Result, ...]:
    """Every question of a lecture that somebody has answered, in the order of the lecture.

    Right is what the solver finds for the act as it was done, or as the lesson would have it done.
    """
    found = []
    for (part, page), standing in sorted(podium.standings.items()):
        lesson = find_lesson(course, podium.lecture.parts[part].lesson)
        if not 1 <= page <= len(lesson.steps):
            continue
        step = lesson.steps[page - 1]
        if not any(size(step.predict, one) for one in standing.rounds):
            continue
        readings = Readings(solved(standing.done or step.finish), solved(step.start))
        audience = Audience(language=lesson.language)
        found.append(
            Result(
                part=part + 1,
                lesson=lesson.title,
                step=step.title,
                question=_plain(render(step.ask.text, Readings(readings.before, readings.before), audience)),
                rounds=tuple(_count(step, one, readings) for one in standing.rounds),
                **_right(step, readings, audience),
            )
        )
    return tuple(found)


def results_csv(title: str, results: Sequence[Result], *, invented: bool = False) -> str:
    """The results as CSV: a row for each question, lines that begin with # before the heading.

    Shares and gains are numbers with a decimal point; `gain_points` is in percentage points.

    Parameters
    ----------
    title : str
        Of the lecture.
    invented : bool
        Whether the class of a rehearsal answered, which is said first.
    """
    version, _scenario, *limits = provenance("")
    lecture = _("Lecture: {title}").format(title=one_line(title))
    out = StringIO()
    if invented:
        out.write(f"# {_(INVENTED)}\n")
    out.writelines(f"# {about}\n" for about in (version, lecture, *limits))
    table = csv.writer(out, lineterminator="\n")
    table.writerow(COLUMNS)
    for one in results:
        first = one.rounds[0]
        after = one.rounds[1] if len(one.rounds) == MOST_ROUNDS else None
        right = one.right if one.truth is None else f"{one.truth:.6g} {one.unit}".strip()
        gain, normalised = one.gain, one.normalised_gain
        table.writerow(
            [
                one.part, one.lesson, one.step, one.question, f"{one.letter} {right}".strip(),
                first.answered, first.right,
                "" if after is None else after.answered, "" if after is None else after.right,
                "" if gain is None else f"{100.0 * gain:.1f}",
                "" if normalised is None else f"{normalised:.3f}",
                _answers(first), "" if after is None else _answers(after),
            ]
        )  # fmt: skip
    return out.getvalue()


def _answers(count: Count) -> str:
    return " ".join(f"{answer}:{times}" for answer, times in count.answers)


def _count(step: Step, answers: Round, readings: Readings) -> Count:
    question = step.predict
    if isinstance(question, ChoiceQuestion):
        given = tuple((LETTERS[place], times) for place, times in enumerate(tally(question, answers)))
    else:
        given = tuple((f"{value:g}", times) for value, times in sorted(Counter(numbers(answers)).items()))
    return Count(
        answered=size(question, answers), right=right_count(question, answers, readings), answers=given
    )


def _right(step: Step, readings: Readings, audience: Audience) -> dict[str, Any]:
    question = step.predict
    if isinstance(question, ChoiceQuestion):
        answer = right_answer(question, readings)
        assert isinstance(answer, ChoiceAnswer)
        text = render_line(question.choices[answer.choice].text, readings, audience)
        return {"letter": LETTERS[answer.choice], "right": _plain(text)}
    return {"truth": value_of(question.answer, readings) / question.unit.size, "unit": question.unit.symbol}


def _plain(html: str) -> str:
    """The words of lesson text, in one line."""
    return " ".join(unescape(_TAG.sub("", _END.sub(" ", _FIGURE.sub(" ", html)))).split())
