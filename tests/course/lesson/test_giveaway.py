"""What on the page would answer a prediction is kept back until the prediction is given."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pvsim.course.folder.course_check import played_problems
from pvsim.course.folder.course_reader import own_course
from pvsim.course.lesson.giveaway import HIDES, covered, giveaways
from pvsim.course.lesson.lesson import NumberQuestion, Step
from pvsim.course.number.evaluation import Readings
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play.answers import right_answer
from tests.course.samples import LESSON, problems

STEPS = {f"{lesson.slug}/{step.id}": step for lesson in own_course().lessons for step in lesson.steps}

# Every step of the course was gone through by hand for what on the page answers its prediction.
ANSWERED = {
    # the voltage in the covered cell, and of the cell and of the substring on their own, is what is lost
    "read-the-label/cardboard": {"curves", "values"},
    "read-the-label/cells-per-diode": {"curves", "values"},
    # the voltage of the module over that in each cell is the count
    "read-the-label/roof-tiles": {"curves", "values"},
    # the maximum is marked on the curve
    "one-cell/find-the-top": {"curves"},
    # the part that fails is what is lost, and its power stands in it, on its curve and at its level
    "four-deaths/shorted": {"curves", "levels", "values"},
    # the array is only held elsewhere, and the construction shows every part there
    "hungry-cell/the-worst-load": {"parts"},
    "two-tops/the-lower-top": {"parts"},
    "diode/own-heat": {"parts"},
    "strong-feed-weak/switched-off": {"parts"},
}


def readings_of(step: Step) -> Readings:
    return Readings(solved(step.finish), solved(step.start))


@pytest.mark.parametrize("name", STEPS)
def test_nothing_in_sight_answers_the_prediction(name: str) -> None:
    step = STEPS[name]
    assert giveaways(step, readings_of(step)) <= set(covered(step))


def test_what_was_found_by_hand_is_kept_back_and_nothing_without_need() -> None:
    assert {name: set(STEPS[name].hides) for name in ANSWERED} == ANSWERED
    for name, step in STEPS.items():
        if step.hides and name not in ANSWERED:
            assert set(step.hides) <= giveaways(step, readings_of(step)), name


def test_a_lesson_that_shows_the_answer_is_told_so() -> None:
    lesson = next(one for one in own_course().lessons if one.slug == "one-cell")
    shown = replace(lesson, steps=tuple(replace(step, hides=()) for step in lesson.steps))
    (problem,) = [one for one in played_problems(shown) if "answered by" in one.wrong]
    assert HIDES["curves"] in problem.wrong
    assert 'hides = ["curves"]' in problem.mend


def test_what_cannot_be_kept_back_is_refused_by_name() -> None:
    found = problems(LESSON.replace('id = "', 'hides = ["answer"]\nid = "', 1))
    assert any("nothing called 'answer'" in one.wrong for one in found)


def test_a_figure_that_is_the_answer_is_found_in_whatever_region_shows_it() -> None:
    step = STEPS["four-deaths/shorted"]
    assert isinstance(step.predict, NumberQuestion)
    lost_W = right_answer(step.predict, readings_of(step)).number
    before = solved(step.start).solution
    assert before.cells.power_W[before.cell_index(step.look.focus)] == pytest.approx(lost_W, rel=0.01)
    assert giveaways(step, readings_of(step)) == {"curves", "levels", "values"}
