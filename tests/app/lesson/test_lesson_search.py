"""A search as the act of a lesson's step: begun from its text, done at the field desk, told back to it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.field.view import FieldView
from pvsim.app.lesson.view import LessonView
from pvsim.app.roof.view import RoofView
from pvsim.app.session.state import State
from pvsim.course.folder.course_reader import own_course
from pvsim.course.lesson.lesson import Step
from pvsim.course.lesson.step_search import StepSearch
from pvsim.field.search.act import Act
from pvsim.files.demo import read_demo
from tests.app.lesson.test_lesson import part
from tests.app.wishes import press, say

LESSON = next(one for one in own_course().lessons if one.slug == "find-it")
HALVES = next(number for number, step in enumerate(LESSON.steps, start=1) if step.id == "halves")
STEP: Step = LESSON.steps[HALVES - 1]
assert STEP.search is not None
SEARCH: StepSearch = STEP.search


@pytest.fixture
def state() -> State:
    return State(read_demo("workshop"))


@pytest.fixture
def view(state: State) -> LessonView:
    view = LessonView(state)
    press(view, "open", LESSON.slug)
    press(view, "turn", HALVES)
    return view


@pytest.fixture
def desk(state: State) -> Iterator[FieldView]:
    desk = FieldView(state)
    yield desk
    desk.close()


def predicted(view: LessonView) -> dict[str, Any]:
    return press(view, "predict", 0)


def test_the_search_waits_for_the_prediction(view: LessonView, state: State) -> None:
    press(view, "begin_search")
    assert state.field.case is None
    control = part(predicted(view), "act")["control"]
    assert (control["wish"], control["text"]) == ("begin_search", "Begin the search")
    press(view, "begin_search")
    assert state.field_open
    assert state.field.case == SEARCH.case
    assert state.scenario == STEP.start


def test_figures_of_the_array_as_it_should_be_are_called_so_before_the_search_begins(
    view: LessonView, state: State
) -> None:
    roof = RoofView(state)
    predicted(view)
    assert state.field.case is None
    assert str(roof.root.now.values["readout"]).startswith("as it should be: ")
    press(view, "do")
    assert state.scenario == STEP.finish
    assert not str(roof.root.now.values["readout"]).startswith("as it should be")


def test_acts_and_an_answer_at_the_desk_get_the_step_done(view: LessonView, state: State) -> None:
    predicted(view)
    press(view, "begin_search")
    for act in SEARCH.acts:
        state.measure(act)
        assert state.notice == ""
        assert not part(view.root.page, "act")["done"]
    for answer in SEARCH.answers:
        state.answer_search(answer)
    assert state.scenario == STEP.finish
    press(view, "nothing-of-ours")  # draws what the change has made of the page
    page = view.root.page
    assert page["phase"] == "observe"
    assert state.field.debrief is not None
    assert state.field.debrief.solved
    assert [past.level for past in state.pasts] == [SEARCH.case.level]
    state.leave_search()
    assert not state.field_open
    assert state.lesson == f"{LESSON.slug}/{HALVES}"
    assert state.scenario == STEP.finish


def test_a_wrong_answer_opens_the_roof_as_well(view: LessonView, state: State) -> None:
    predicted(view)
    press(view, "begin_search")
    state.answer_search(replace(SEARCH.answers[0], kind="diode-short"))
    assert state.scenario == STEP.finish
    assert state.field.debrief is not None
    assert not state.field.debrief.solved


def test_the_shown_solution_is_told_line_by_line_and_is_nobodys_practice(
    view: LessonView, state: State
) -> None:
    predicted(view)
    page = press(view, "do")
    assert part(page, "act")["done"]
    assert state.field.debrief is not None
    assert state.field.debrief.solved
    assert len(state.field.debrief.lines) == len(SEARCH.acts)
    assert state.pasts == ()
    assert not state.field_open, "the lesson goes on where it is"


def test_a_search_left_for_the_text_goes_on_where_it_was(
    view: LessonView, state: State, desk: FieldView
) -> None:
    predicted(view)
    press(view, "begin_search")
    state.measure(SEARCH.acts[0])
    assert desk.root.now.values["search"]["leave"] == "Back to the lesson"
    say(desk.root, "leave")
    assert not state.field_open
    kept = desk.root.now.values["kept"]
    press(view, "begin_search")
    assert len(state.field.transcript.lines) == 1
    other = State(read_demo("workshop"))
    again = LessonView(other)
    press(again, "open", LESSON.slug)
    press(again, "turn", HALVES)
    predicted(again)
    press(again, "begin_search", kept)
    assert other.field.transcript == state.field.transcript


@pytest.mark.parametrize(
    "kept",
    [
        *("", "{", "[" * 90_000, 7, None),
        '{"case":[1,1,""],"acts":[],"hints":[]}',
        '{"case":[1,6,""],"acts":[' + '["read","1","voltage",0,0],' * 400 + '["stop","","",0,0]],"hints":[]}',
        '{"case":[38,2,""],"acts":[["fly","","",0,0]],"hints":[]}',
    ],
    ids=["none", "torn", "deep", "number", "null", "another", "another-and-long", "spoilt"],
)
def test_what_was_kept_of_another_search_is_left_alone(kept: Any, view: LessonView, state: State) -> None:
    predicted(view)
    press(view, "begin_search", kept)
    assert state.field.case == SEARCH.case
    assert state.field.transcript.lines == ()


def test_another_search_waits_until_the_lesson_is_left(view: LessonView, state: State) -> None:
    predicted(view)
    state.begin_search(1, 1)
    assert "lesson" in state.notice
    assert state.field.case is None
    press(view, "turn", 1)
    press(view, "begin_search")
    assert state.field.case is None, "this step has none"
    press(view, "contents")
    state.begin_search(1, 1)
    assert state.field.case is not None


def test_a_step_begun_again_forgets_its_search(view: LessonView, state: State) -> None:
    predicted(view)
    press(view, "begin_search")
    state.measure(Act(kind="stop"))
    press(view, "restart")
    assert state.field.case is None
    assert not state.field_open
    assert state.locked
    predicted(view)
    press(view, "begin_search")
    assert state.field.transcript.lines == ()


def test_what_was_changed_on_the_bench_is_put_right_as_the_search_begins(
    view: LessonView, state: State
) -> None:
    predicted(view)
    state.break_part(SEARCH.acts[0].place, "connector-resistive")
    assert state.scenario != STEP.start
    press(view, "begin_search")
    assert state.scenario == STEP.start


def test_the_page_says_nothing_of_the_fault_before_the_answer(view: LessonView, desk: FieldView) -> None:
    told = [json.dumps(predicted(view))]
    told.append(json.dumps(press(view, "begin_search")))
    told.append(json.dumps(desk.root.now.values["kept"]))
    scatter = SEARCH.case.sound.scatter
    assert scatter is not None
    for text in told:
        assert str(scatter.seed) not in text
        assert "1/3/26" not in text
