"""What a learner does in a step: predict, act, observe, be shown, begin again."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from pvsim.app.lesson.bench import LessonBench
from pvsim.app.lesson.learner import Learner
from pvsim.app.words import _
from pvsim.course.lesson.lesson import Look
from pvsim.course.lesson.step_search import played
from pvsim.course.play import player
from pvsim.course.play.closing_work import judged_anew
from pvsim.course.play.whereabouts import spots

__all__ = ["ACTS"]


def _predict(learner: Learner, bench: LessonBench, given: Any) -> str:
    if learner.lesson is None:
        return ""
    learner.set(player.predict(learner.lesson, learner.progress, given))
    bench.lock()
    return _("Prediction stored. The array is unlocked.")


def _observe(learner: Learner, _bench: LessonBench, given: Any) -> str:
    if learner.lesson is None:
        return ""
    learner.set(player.observe(learner.lesson, learner.progress, given))
    right = None if learner.step is None else player.verdicts(learner.step, learner.mark)[1]
    return _("Right.") if right is not None and right.right else _("Not yet.")


def _do(learner: Learner, bench: LessonBench, _value: Any) -> str:
    """The step's own solution."""
    step = learner.step
    if step is None or learner.mark.prediction is None:
        return ""
    if step.search is not None:
        bench.state.solve_lesson_search(played(step.search), step.search.answers)
    else:
        bench.state.replace(step.finish, step.title)
    return ""


def _begin_search(_learner: Learner, bench: LessonBench, kept: Any) -> str:
    """Begin the search that is the act, or go on with it; the browser's tab may have kept it."""
    bench.state.begin_lesson_search(kept if isinstance(kept, str) else "")
    return ""


def _put_back(learner: Learner, bench: LessonBench, _value: Any) -> str:
    if learner.step is not None:
        bench.show(learner.step, learner.mark)
    return ""


def _settle(learner: Learner, bench: LessonBench, _value: Any) -> str:
    """Show the answer to the observation, and look where it is read."""
    if learner.lesson is None:
        return ""
    learner.set(player.settle(learner.lesson, learner.progress))
    step, mark = learner.step, learner.mark
    if step is not None and step.observe is not None and mark.done is not None:
        for spot in spots(step.observe, player.readings_of(step, mark))[:1]:
            bench.look(Look(focus=spot.place, level=spot.level, quantity=spot.quantity))
    return ""


def _restart(learner: Learner, bench: LessonBench, _value: Any) -> str:
    if learner.lesson is not None:
        bench.state.drop_lesson_search()
        if learner.step is not None:
            learner.set_closing(judged_anew(learner.closing, f"{learner.lesson.slug}/{learner.step.id}"))
        learner.set(player.restart_step(learner.lesson, learner.progress))
        bench.set_up()
    return ""


# What a press does in a step; its value is as it came from the browser. Each gives back what is said of it.
ACTS: Mapping[str, Callable[[Learner, LessonBench, Any], str]] = {
    "predict": _predict,
    "observe": _observe,
    "do": _do,
    "begin_search": _begin_search,
    "put_back": _put_back,
    "settle": _settle,
    "restart": _restart,
}
