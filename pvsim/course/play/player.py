"""Plays a lesson: pure functions from one progress to the next.

Pages count from 0: 0 is the opening, 1 to n the steps, n + 1 the closing. A step goes
through its phases in order; what may be changed on the page waits for the prediction.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Literal, get_args

from pvsim.array.light import Light
from pvsim.array.scenario import Scenario
from pvsim.course.lesson.lesson import Lesson, Step
from pvsim.course.number.checks import all_hold
from pvsim.course.number.evaluation import Readings
from pvsim.course.number.solved_scenario import Situation, solved
from pvsim.course.play.answers import Answer, Verdict, judge, read_answer
from pvsim.errors import LessonError, PvsimError
from pvsim.words import _

Phase = Literal["predict", "act", "observe", "explain"]
PHASES: tuple[Phase, ...] = get_args(Phase)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """What has happened in one step.

    Parameters
    ----------
    prediction : Answer or None
        Stored once, then not changed.
    done : Scenario or None
        The scenario in which the act was done; all numbers behind the act are read from it, so that
        the text stays true while the learner looks further.
    seen : Answer or None
        The last answer to the observation.
    tries : int
        How often the observation was answered.
    settled : bool
        Whether the explanation is open.
    """

    prediction: Answer | None = None
    done: Scenario | None = None
    seen: Answer | None = None
    tries: int = 0
    settled: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """Where a learner is in a lesson.

    Parameters
    ----------
    lesson : str
        Its slug.
    page : int
        0 the opening, then the steps, then the closing.
    marks : tuple of Mark
        One for each step.
    """

    lesson: str
    page: int
    marks: tuple[Mark, ...]


def begin(lesson: Lesson) -> Progress:
    """The progress of somebody who opens the lesson."""
    return Progress(lesson=lesson.slug, page=0, marks=(Mark(),) * len(lesson.steps))


def step_of(lesson: Lesson, progress: Progress) -> Step | None:
    """The step of the page; None at the opening and the closing."""
    return lesson.steps[progress.page - 1] if 1 <= progress.page <= len(lesson.steps) else None


def mark_of(lesson: Lesson, progress: Progress) -> Mark:
    """What has happened in the step of the page."""
    return progress.marks[progress.page - 1] if step_of(lesson, progress) else Mark()


def phase_of(step: Step, mark: Mark) -> Phase:
    """The phase a step is in."""
    if mark.prediction is None:
        return "predict"
    if mark.done is None:
        return "act"
    if step.observe is not None and not mark.settled:
        return "observe"
    return "explain"


def locked(lesson: Lesson, progress: Progress) -> bool:
    """Whether changes wait: in a step without a stored prediction."""
    return step_of(lesson, progress) is not None and mark_of(lesson, progress).prediction is None


def go_to(lesson: Lesson, progress: Progress, page: int) -> Progress:
    """Turn to a page; beyond the ends, to the nearest."""
    return replace(progress, page=min(max(page, 0), len(lesson.steps) + 1))


def same_page(old: Lesson, page: int, new: Lesson) -> int:
    """The page of an edited lesson that takes the place of one: its step by id, opening, closing."""
    if page > len(old.steps):
        return len(new.steps) + 1
    ids = [step.id for step in new.steps]
    if page == 0 or old.steps[page - 1].id not in ids:
        return min(page, len(new.steps))
    return ids.index(old.steps[page - 1].id) + 1


def predict(lesson: Lesson, progress: Progress, given: object) -> Progress:
    """Store a prediction; one that is stored stays.

    Parameters
    ----------
    given : str or int
        As `read_answer` takes it.

    Raises
    ------
    LessonError
        If it is no answer to the step's question.
    """
    step = _step(lesson, progress)
    mark = mark_of(lesson, progress)
    if mark.prediction is not None:
        return progress
    return _with(lesson, progress, replace(mark, prediction=read_answer(step.predict, given)))


def watch(
    lesson: Lesson, progress: Progress, situation: Situation, *, going_on: bool = False
) -> Progress:
    """Look at the learner's array: note that the act is done, and in which scenario.

    The array counts only after the prediction is stored. Until the observation is answered the act
    may be done once more, and better; from then on the step is solved and stays as it is.

    Parameters
    ----------
    going_on : bool
        Whether the change goes on with the one that did the act, as a drag does; it may pass by.
    """
    step, mark = step_of(lesson, progress), mark_of(lesson, progress)
    if step is None or mark.prediction is None or situation.scenario == mark.done:
        return progress
    if mark.done is not None and not _open_still(step, mark, situation.scenario, going_on):
        return progress
    if act_done(step, situation):
        return _with(lesson, progress, replace(mark, done=situation.scenario))
    return _with(lesson, progress, replace(mark, done=None)) if going_on and mark.done else progress


def looks_further(mark: Mark, scenario: Scenario) -> bool:
    """Whether the array on the page is another than the one in which the act was done."""
    return mark.done is not None and scenario != mark.done


def _open_still(step: Step, mark: Mark, scenario: Scenario, going_on: bool) -> bool:
    if mark.done is None or mark.settled or mark.seen is not None:
        return False
    return going_on or (step.observe is not None and within_act(step, mark.done, scenario))


def within_act(step: Step, one: Scenario, other: Scenario) -> bool:
    """Whether two arrays differ only in what the step's solution changes."""
    return _beside_the_act(step, one) == _beside_the_act(step, other)


def _beside_the_act(step: Step, scenario: Scenario) -> list[object]:
    """What the step's solution leaves alone, as it is in a scenario."""
    start, finish = step.start, step.finish
    names = [one.name for one in fields(Scenario) if one.name != "light"]
    lights = [one.name for one in fields(Light)]
    return [getattr(scenario, one) for one in names if getattr(start, one) == getattr(finish, one)] + [
        getattr(scenario.light, one)
        for one in lights
        if getattr(start.light, one) == getattr(finish.light, one)
    ]


def act_done(step: Step, situation: Situation) -> bool:
    """Whether an array is as the step's act makes it."""
    try:
        return all_hold(step.done_when, situation)
    except PvsimError:  # another array altogether, without the places the step speaks of
        return False


def observe(lesson: Lesson, progress: Progress, given: object) -> Progress:
    """Answer what was seen; the right answer opens the explanation.

    Raises
    ------
    LessonError
        If there is nothing to answer yet, or it is no answer to the question.
    """
    step, mark = _step(lesson, progress), mark_of(lesson, progress)
    if step.observe is None or mark.done is None:
        raise LessonError(
            _("there is nothing to observe yet"),
            expected=_("the step's change first"),
            mend=_("Store a prediction and make the change"),
        )
    answer = read_answer(step.observe, given)
    right = judge(step.observe, answer, readings_of(step, mark)).right
    return _with(
        lesson, progress, replace(mark, seen=answer, tries=mark.tries + 1, settled=mark.settled or right)
    )


def settle(lesson: Lesson, progress: Progress) -> Progress:
    """Open the explanation without the right answer, once the act is done."""
    mark = mark_of(lesson, progress)
    return progress if mark.done is None else _with(lesson, progress, replace(mark, settled=True))


def restart_step(lesson: Lesson, progress: Progress) -> Progress:
    """Forget what happened in the step of the page."""
    return _with(lesson, progress, Mark()) if step_of(lesson, progress) else progress


def verdicts(step: Step, mark: Mark) -> tuple[Verdict | None, Verdict | None]:
    """What prediction and observation were worth; None where there is none yet."""
    if mark.done is None:
        return None, None
    readings = readings_of(step, mark)
    first = judge(step.predict, mark.prediction, readings) if mark.prediction is not None else None
    second = None
    if step.observe is not None and mark.seen is not None:
        second = judge(step.observe, mark.seen, readings)
    return first, second


def readings_of(step: Step, mark: Mark, live: Situation | None = None) -> Readings:
    """Where the step's numbers are read from.

    Parameters
    ----------
    live : Situation, optional
        The learner's array, read while the act is not done yet.
    """
    before = solved(step.start)
    if mark.done is not None:
        return Readings(solved(mark.done), before)
    return Readings(live or before, before)


def _step(lesson: Lesson, progress: Progress) -> Step:
    step = step_of(lesson, progress)
    if step is None:
        raise LessonError(
            _("this page asks nothing"),
            expected=_("a step of the lesson"),
            mend=_("Turn to the next page"),
        )
    return step


def _with(lesson: Lesson, progress: Progress, mark: Mark) -> Progress:
    at = progress.page - 1
    return replace(progress, marks=(*progress.marks[:at], mark, *progress.marks[at + 1 :]))
