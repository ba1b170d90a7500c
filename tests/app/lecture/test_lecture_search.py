"""A lesson's search in a lecture: its fault stays hidden on the wall until it is answered or shown."""

from __future__ import annotations

from dataclasses import replace

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.field.view import FieldView
from pvsim.app.lecture.view import LectureView
from pvsim.app.roof.view import RoofView
from pvsim.app.session.state import State
from pvsim.array.fault import Fault
from pvsim.array.place import Place
from pvsim.course.folder.course_reader import own_course
from pvsim.course.lecture.lecture import Part, compose
from pvsim.course.lesson.lesson import Step
from pvsim.course.lesson.step_search import StepSearch
from pvsim.field.search.case import SearchCase
from pvsim.files.demo import read_demo
from tests.app.lecture.test_lecture_view import press
from tests.app.told import told
from tests.app.wishes import say

COURSE = own_course()
LESSON = next(one for one in COURSE.lessons if one.slug == "find-it")
STEPS = {step.id: step for step in LESSON.steps}
STEP: Step = STEPS["halves"]
assert STEP.search is not None
SEARCH: StepSearch = STEP.search


@pytest.fixture
def state() -> State:
    return State(read_demo("workshop"))


def held(state: State, *steps: str) -> LectureView:
    """At the act of the first of these steps."""
    view = LectureView(state, clock=lambda: 1_000_000.0)
    state.lecture = compose("Tuesday", [Part(lesson="find-it", steps=steps, minutes=20.0)], COURSE)
    press(view, "begin", "live")
    at = next(n for n, cue in enumerate(state.lecture.cues) if cue.moment == "act")
    press(view, "go", at - 1)
    press(view, "hands", "3 1 0 0")
    page = press(view, "next")
    assert page["moment"] == "act"
    return view


@pytest.fixture
def view(state: State) -> LectureView:
    return held(state, "halves", "cloth")


def is_hidden(state: State) -> bool:
    seen = state.scenario
    return seen == STEP.start and not seen.faults and seen.scatter is None


def test_beginning_the_search_shows_nothing_of_its_fault(state: State, view: LectureView) -> None:
    page = view.root.page
    assert (page["may_do"], page["seek"]) == (True, True)
    assert is_hidden(state)
    press(view, "seek")
    assert (state.field_open, state.field.case) == (True, SEARCH.case)
    assert is_hidden(state)
    for act in SEARCH.acts:
        state.measure(act)
        assert is_hidden(state)
    press(view, "next")  # the words come back first
    assert not state.field_open
    page = press(view, "next")
    assert "still hidden" in page["hint"]
    assert page["moment"] == "act"
    assert is_hidden(state)
    press(view, "right")  # everything as this cue wants it
    assert is_hidden(state)
    press(view, "seek")
    assert len(state.field.transcript.lines) == len(SEARCH.acts), "it goes on where it was"


def told_when_begun(case: SearchCase) -> str:
    """All that goes to the browser of a lecture in which a search has begun."""
    state = State(read_demo("workshop"))
    view = held(state, "halves")
    state.lesson_search = case
    press(view, "seek")
    assert state.field.case is case
    return told(view, RoofView(state), FieldView(state))


def test_what_the_wall_shows_does_not_depend_on_the_fault() -> None:
    other = replace(SEARCH.case, faults=(Fault("module-reversed", Place(1, 5)),))
    assert other.faults != SEARCH.case.faults
    told_when_begun(SEARCH.case)  # tables that a process makes once move a last digit
    assert told_when_begun(SEARCH.case) == told_when_begun(other)


def test_an_answer_shows_the_fault_and_the_lecture_goes_on(state: State, view: LectureView) -> None:
    press(view, "seek")
    for act in SEARCH.acts:
        state.measure(act)
    for answer in SEARCH.answers:
        state.answer_search(answer)
    assert state.scenario == STEP.finish
    assert state.field.debrief is not None
    assert state.field_open, "the debrief stands there"
    page = press(view, "next")
    assert not state.field_open
    assert page["done"]
    page = press(view, "next")
    assert page["moment"] == "look"
    assert state.scenario == STEP.finish


def test_the_lecturer_shows_it_by_a_press_that_says_so(state: State, view: LectureView) -> None:
    press(view, "seek")
    state.measure(SEARCH.acts[0])
    page = press(view, "do")
    assert page["done"]
    assert state.scenario == STEP.finish
    assert state.field.debrief is not None
    assert state.pasts == ()  # nobody's practice


def test_the_lecturer_shows_it_by_going_on_twice(state: State, view: LectureView) -> None:
    assert press(view, "next")["moment"] == "act"
    assert is_hidden(state)
    assert press(view, "next")["moment"] == "look"
    assert state.scenario == STEP.finish


def test_leaving_the_desk_leads_back_to_the_sheet_and_to_no_other_bench(
    state: State, view: LectureView
) -> None:
    desk = FieldView(state)
    press(view, "seek")
    assert desk.root.now.values["search"]["leave"] == "Back to the lesson"
    say(desk.root, "leave")
    assert not state.field_open
    assert is_hidden(state)
    desk.close()


def test_the_next_step_and_the_end_of_the_lecture_let_go_of_it(state: State, view: LectureView) -> None:
    mine = read_demo("workshop")
    press(view, "seek")
    at = next(
        n for n, cue in enumerate(state.lecture.cues) if cue.page != state.lecture.cues[1].page and n > 3
    )
    state.open_field(False)
    press(view, "go", at)
    assert state.field.case is None
    press(view, "back")
    press(view, "leave")
    assert (state.lesson_search, state.field.case, state.field_open) == (None, None, False)
    assert state.scenario == mine


def test_a_class_that_has_not_answered_gets_no_search(state: State) -> None:
    view = LectureView(state)
    state.lecture = compose("Tuesday", [Part(lesson="find-it", steps=("halves",), minutes=20.0)], COURSE)
    press(view, "begin", "live")
    at = next(n for n, cue in enumerate(state.lecture.cues) if cue.moment == "act")
    press(view, "go", at)
    assert view.root.page["locked"]
    press(view, "seek")
    press(view, "do")
    assert state.field.case is None
    assert is_hidden(state)


def test_closing_words_keep_a_fault_that_nobody_looked_for(state: State) -> None:
    last = LESSON.steps[-1]
    assert last.search is not None
    view = held(state, *STEPS)
    closing = next(n for n, cue in enumerate(state.lecture.cues) if cue.moment == "closing")
    press(view, "go", closing)
    assert state.scenario == last.start
    assert state.scenario.faults == ()
