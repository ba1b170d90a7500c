"""What goes from a lecture to its class and back: the sheet of a question, answers, the notes' scene."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol

from pvsim.app.door.admission import Crowd
from pvsim.app.lecture.words import moment_name
from pvsim.course.lecture.lecture import Cue, find_lesson, next_cue, step_of_cue
from pvsim.course.lecture.lecture_state import Podium, cue_of
from pvsim.course.lesson.audience import audience_of
from pvsim.course.lesson.lesson import ChoiceQuestion, Course, Step
from pvsim.course.lesson.render import render, render_line
from pvsim.course.number.evaluation import Readings
from pvsim.course.number.solved_scenario import solved

__all__ = ["ClassOf", "phones_of", "scene_of", "sheet_of"]


class ClassOf(Protocol):
    """What a lecture asks of a classroom; see `pvsim.app.room.classroom.Classroom`."""

    trouble: str

    @property
    def is_open(self) -> bool: ...
    @property
    def code(self) -> str: ...
    @property
    def key(self) -> str: ...
    @property
    def network(self) -> bool: ...
    @property
    def join_url(self) -> str: ...
    @property
    def url(self) -> str: ...
    @property
    def notes_path(self) -> str: ...
    @property
    def poll(self) -> int | None: ...
    @property
    def asking(self) -> bool: ...
    @property
    def count(self) -> int: ...
    @property
    def crowd(self) -> Crowd: ...
    def tally(self) -> Any: ...
    def watch(self, watcher: Callable[[], None]) -> Callable[[], None]: ...
    def open(self, title: str) -> None: ...
    def enter(self, code: str, key: str) -> bool: ...
    def close(self) -> None: ...
    def show(self, scene: dict[str, Any]) -> None: ...
    def ask(self, sheet: dict[str, Any]) -> None: ...
    def again(self) -> None: ...
    def go_on(self) -> None: ...
    def stop(self) -> None: ...
    def set_hands(self, counts: Any, round: int | None = None) -> None: ...


def sheet_of(course: Course, cue: Cue, step: Step) -> dict[str, Any]:
    """The question of a step as phones show it: the numbers in it are those before the act."""
    lesson = find_lesson(course, cue.lesson)
    audience = audience_of(course, lesson)
    before = solved(step.start)
    readings = Readings(before, before)
    sheet: dict[str, Any] = {
        "lesson": lesson.title,
        "step": step.title,
        "question": render(step.ask.text, readings, audience),
    }
    if isinstance(step.predict, ChoiceQuestion):
        texts = [render_line(one.text, readings, audience) for one in step.predict.choices]
        return sheet | {"kind": "choice", "choices": texts}
    return sheet | {"kind": "number", "unit": step.predict.unit.name}


def phones_of(tally: Any, first: int, rounds: int) -> list[tuple[float, ...] | None]:
    """The answers of the phones for each round of a step.

    Parameters
    ----------
    tally : Tally
        Of the step's poll.
    first : int
        The round of the step in which the poll was begun, from 0.
    rounds : int
        How many rounds the step has had.
    """
    found: list[tuple[float, ...] | None] = []
    for place in range(rounds):
        one = tally.in_round(place - first + 1) if place >= first else None
        found.append(None if one is None else tuple(map(float, one.counts or one.numbers)))
    return found


def scene_of(podium: Podium, course: Course, *, began: float, is_open: bool, answers: int) -> dict[str, Any]:
    """What is on the screen now and next, for the notes window.

    Parameters
    ----------
    began : float
        When the lecture began, in seconds since 1970.
    is_open : bool
        Whether the class can answer.
    answers : int
        How many have.
    """
    cue = cue_of(podium)
    following = podium.lecture.cues[next_cue(podium.lecture, podium.at)]
    lesson, step = _spoken(course, cue)
    same = (following.part, following.page) == (cue.part, cue.page)  # its notes stand there already
    after = [*_spoken(course, following), moment_name(following.moment)] if following != cue else []
    return {
        "lesson": lesson,
        "step": step,
        "moment": cue.moment,
        "notes": _notes(podium, course, cue),
        "next": " · ".join(filter(None, after)),
        "next_notes": "" if same else _notes(podium, course, following),
        "started": began,
        "planned_minutes": podium.lecture.minutes,
        "open": is_open,
        "answers": answers,
    }


def _spoken(course: Course, cue: Cue) -> tuple[str, str]:
    lesson = find_lesson(course, cue.lesson)
    step = step_of_cue(lesson, cue)
    return lesson.title, "" if step is None else step.title


def _notes(podium: Podium, course: Course, cue: Cue) -> str:
    """Safe HTML: what the part says, then what the step says."""
    lesson = find_lesson(course, cue.lesson)
    step = step_of_cue(lesson, cue)
    start = solved((step or lesson.steps[0]).start)
    texts = [podium.lecture.parts[cue.part].notes, "" if step is None else step.notes.text]
    readings, audience = Readings(start, start), audience_of(course, lesson)
    return "".join(render(text, readings, audience) for text in texts if text.strip())
