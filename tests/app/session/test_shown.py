"""What is shown is a step of the browser's history; what is done to the array is not."""

from __future__ import annotations

from typing import Any

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.lecture.view import LectureView
from pvsim.app.lesson.view import LessonView
from pvsim.app.session.shown import show_again, shown_of
from pvsim.app.session.state import State
from pvsim.array.place import Place
from pvsim.course.folder.course_reader import own_course
from pvsim.course.lecture.lecture import lecture_of
from pvsim.files.demo import read_demo
from tests.app.wishes import say


@pytest.fixture
def state() -> State:
    return State(read_demo("workshop"))


def test_changes_and_steps_from_cell_to_cell_are_no_steps_of_what_is_shown(state: State) -> None:
    state.set_focus("1/4/14", level="module")
    before = shown_of(state)
    state.paint([Place(1, 4, cell=14)], 0.2)
    state.set_focus("1/4/15")
    state.set_operation("voltage", 200.0)
    assert shown_of(state) == before
    for change in (
        lambda: state.set_focus("1/5/15"),
        lambda: state.set_level("string"),
        lambda: state.set_view("table"),
        lambda: setattr(state, "lesson", "one-cell/2"),
    ):
        earlier = shown_of(state)
        change()
        assert shown_of(state) != earlier


def test_what_was_shown_is_shown_again_and_the_array_stays(state: State) -> None:
    state.set_focus("2/5/14", level="module")
    state.set_view("table")
    entry = shown_of(state)
    state.set_focus("1", level="string")
    state.set_view("curves")
    state.paint([Place(1, 4, cell=14)], 0.2)
    kept = state.scenario
    show_again(state, entry)
    assert shown_of(state) == entry
    assert state.scenario is kept
    assert state.can_undo


def test_a_lesson_is_gone_back_to_step_by_step_and_left_at_last(state: State) -> None:
    view = LessonView(state)
    mine = state.scenario
    entries = [shown_of(state)]
    for slug in ("one-cell/0", "one-cell/1", "one-cell/2"):
        state.lesson = slug
        entries.append(shown_of(state))
    for entry in reversed(entries[:-1]):
        show_again(state, entry)
        assert shown_of(state) == entry
    assert view.root.page["kind"] == "contents"
    assert state.scenario == mine
    assert not state.locked
    show_again(state, entries[2])
    assert view.root.page["kind"] == "step"
    assert state.locked


def test_the_glossary_is_a_step_too(state: State) -> None:
    view = LessonView(state)
    contents = shown_of(state)
    say(view.root, "glossary")
    glossary = shown_of(state)
    assert glossary != contents
    show_again(state, contents)
    assert view.root.page["kind"] == "contents"
    show_again(state, glossary)
    assert view.root.page["kind"] == "glossary"


def test_in_a_lecture_one_goes_back_by_cues_and_never_out_of_it(state: State) -> None:
    view = LectureView(state)
    outside = shown_of(state)
    state.lecture = lecture_of(own_course(), "one-cell")
    for act in ("begin", "next", "next"):
        say(view.root, act, "live")
    assert shown_of(state) == {"cue": state.cue}
    assert state.cue == 1
    show_again(state, {"cue": 0})
    assert view.root.page["moment"] == "opening"
    show_again(state, outside)
    assert (state.cue, state.lecture is not None) == (0, True)
    show_again(state, {"cue": 10**9})
    assert state.cue == len(state.lecture.cues) - 1
    say(view.root, "leave")
    assert shown_of(state) == outside
    show_again(state, {"cue": 0})
    assert state.lecture is None


@pytest.mark.parametrize(
    "wanted",
    [
        None, [], "x", {"lesson": 3}, {"lesson": "no-such/1"}, {"level": "roof", "place": "1"}, {"place": 7},
        {"level": "cell", "place": "99/99/99"}, {"view": "x"}, {"cue": True}, {"cue": -5}, {"cue": "1"},
        {"lesson": "one-cell/99"}, {"lesson": "x" * 5000},
    ],
)  # fmt: skip
def test_what_no_page_of_ours_wrote_breaks_nothing(state: State, wanted: Any) -> None:
    LessonView(state)
    state.set_focus("1/4/14", level="module")
    show_again(state, wanted)
    assert state.scenario is not None
    assert len(state.lesson) <= 80


@pytest.mark.ui
@pytest.mark.usefixtures("kept_pages")
def test_back_goes_one_step_back_in_what_is_shown_and_undo_stays_undo(bench: Any) -> None:
    page = bench.open()
    lesson, roof, curves = (page.locator(f"#{name}") for name in ("lesson", "roof", "curves"))
    page.evaluate("window.sameDocument = true")
    lesson.get_by_role("button", name="One cell's curve").click()
    lesson.get_by_role("button", name="Begin").click()
    lesson.get_by_role("heading", name="Half the light").wait_for()
    lesson.get_by_role("button", name="Contents").click()
    page.get_by_role("heading", name="From one cell to the roof").wait_for()
    page.go_back()
    lesson.get_by_role("heading", name="Half the light").wait_for()
    page.wait_for_url("**lesson=one-cell%2F1**")
    page.go_back()
    lesson.get_by_role("button", name="Begin").wait_for()
    page.go_back()
    page.get_by_role("heading", name="From one cell to the roof").wait_for()
    page.go_forward()
    lesson.get_by_role("button", name="Begin").wait_for()
    page.go_back()
    page.get_by_role("heading", name="From one cell to the roof").wait_for()
    # the bench: levels and views are steps, changes are not
    before = page.get_by_test_id("said").inner_text()
    curves.get_by_role("tab", name="Cell").or_(curves.get_by_role("radio", name="Cell")).first.click()
    curves.get_by_text("0.6").first.wait_for()
    depth = page.evaluate("history.length")
    curves.get_by_role("tab", name="Module").or_(curves.get_by_role("radio", name="Module")).first.click()
    page.wait_for_function("before => history.length > before", arg=depth)
    depth = page.evaluate("history.length")
    roof.get_by_role("button", name="Shade").click()
    page.get_by_role("gridcell", name="Cell 14").first.click()
    page.get_by_test_id("said").filter(has_not_text=before).wait_for()
    page.wait_for_url("**level=module**")
    assert page.evaluate("history.length") == depth, "a change makes no step of the browser's history"
    shaded = page.get_by_test_id("said").inner_text()
    page.go_back()
    page.wait_for_url("**level=cell**")
    assert page.get_by_test_id("said").inner_text() == shaded, "back undoes nothing"
    page.keyboard.press("Control+z")
    page.get_by_test_id("said").filter(has_text="undone").wait_for()
    assert page.evaluate("window.sameDocument"), "the page was never left"
