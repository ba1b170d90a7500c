"""The lecture on the state: what a cue wants, what is kept back, what a slip cannot spoil."""

from __future__ import annotations

import json
import time
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.lecture.view import LectureView
from pvsim.app.lecture.words import lecture_keys
from pvsim.app.lesson.view import LessonView
from pvsim.app.open_course import OpenCourse
from pvsim.app.session.state import State
from pvsim.array.place import parse_place
from pvsim.course.folder.course_reader import own_course
from pvsim.course.lecture.lecture import Part, compose, lecture_of
from pvsim.course.lecture.lecture_file import read_lecture
from pvsim.course.lesson.lesson import NumberQuestion
from pvsim.files.demo import read_demo
from pvsim.words import speaking
from tests.app.wishes import say
from tests.course.samples import LESSON, write_course

COURSE = own_course()
FIVE = next(one for one in COURSE.lessons if one.slug == "five-levels")
STEP = FIVE.steps[1]  # asks for a choice


class Clock:
    """A clock that goes on only when told."""

    now = 1_000_000.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def state() -> State:
    return State(read_demo("workshop"))


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def view(state: State, clock: Clock) -> LectureView:
    view = LectureView(state, clock=clock)
    part = Part(lesson="five-levels", steps=(STEP.id,), minutes=10.0)
    state.lecture = compose("Tuesday", [part], COURSE)
    return view


def press(view: LectureView, act: str, value: Any = None) -> dict[str, Any]:
    """What the page sends when something is pressed; the sheet shown afterwards."""
    say(view.root, act, value)
    page: dict[str, Any] = view.root.page
    json.dumps(page)  # it goes to the browser
    return page


def begun(view: LectureView, mode: str = "live") -> dict[str, Any]:
    press(view, "begin", mode)
    return press(view, "next")


def test_there_is_no_sheet_without_a_lecture(state: State) -> None:
    assert LectureView(state).root.page == {}


def test_before_it_begins_plan_and_keys_are_shown_and_type_is_large(view: LectureView, state: State) -> None:
    page = view.root.page
    assert page["kind"] == "ready"
    assert page["parts"] == [{"title": FIVE.title, "steps": [STEP.title], "minutes": "10 min"}]
    assert ["V"] in [marks for marks, _meaning in page["keys_list"]]
    assert state.large


def test_the_looks_of_before_come_back_with_the_end(view: LectureView, state: State) -> None:
    begun(view)
    press(view, "leave")
    assert state.lecture is None
    assert not state.large
    assert not state.locked
    assert view.root.page == {}


def test_asking_locks_and_gives_nothing_away(view: LectureView, state: State) -> None:
    page = begun(view)
    assert page["moment"] == "ask"
    assert state.locked
    assert state.scenario == STEP.start
    state.paint([parse_place("1/4/14")], 0.2)
    assert state.scenario == STEP.start
    assert page["chart"] is None
    assert not any(one["right"] for one in page["choices"])
    assert [one["letter"] for one in page["choices"]] == ["A", "B", "C", "D"]
    shown = json.dumps(page)
    assert "missing" not in shown, "feedback belongs to the explanation"


def test_without_answers_only_a_second_press_goes_on(view: LectureView, state: State) -> None:
    begun(view)
    page = press(view, "next")
    assert page["moment"] == "ask"
    assert "Nobody has answered yet" in page["hint"]
    page = press(view, "next")
    assert page["moment"] == "act"
    assert not state.locked


def test_jumping_into_the_act_leaves_the_array_locked(view: LectureView, state: State) -> None:
    begun(view)
    page = press(view, "go", 2)
    assert page["moment"] == "act"
    assert state.locked
    assert page["locked"]
    press(view, "do")
    assert state.scenario == STEP.start


def test_counted_hands_open_the_way_and_are_shown_only_when_revealed(view: LectureView, state: State) -> None:
    begun(view)
    page = press(view, "hands", "3 12 5 1")
    assert page["chart"] is None
    assert page["counted"] == "21 answers"
    page = press(view, "reveal")
    assert page["chart"]["rounds"][0]["counts"] == [3, 12, 5, 1]
    assert not any(one["right"] for one in page["choices"]), "the bars do not say what is right"
    page = press(view, "next")
    assert page["moment"] == "act"
    assert not state.locked


def test_single_hands_are_added_and_taken_away(view: LectureView) -> None:
    begun(view)
    press(view, "count", {"choice": 1, "by": 1})
    press(view, "count", {"choice": 1, "by": 1})
    page = press(view, "count", {"choice": 0, "by": -1})
    assert page["hands"]["counts"] == [0, 2, 0, 0]
    page = press(view, "count", {"choice": 9, "by": 1})
    assert page["hands"]["counts"] == [0, 2, 0, 0]


def test_hands_that_cannot_be_read_are_told_at_their_field_and_nothing_is_lost(view: LectureView) -> None:
    begun(view)
    press(view, "hands", "1 2 3 4")
    page = press(view, "hands", "1 2 3 4 5")
    assert "no count" in page["hands"]["wrong"]
    assert page["hands"]["counts"] == [1, 2, 3, 4]


def test_two_rounds_stand_side_by_side_once_both_are_revealed(view: LectureView) -> None:
    begun(view)
    press(view, "hands", "3 12 5 1")
    press(view, "reveal")
    page = press(view, "again")
    assert page["chart"] is None
    assert page["hands"]["counts"] == [0, 0, 0, 0]
    press(view, "hands", "1 18 2 0")
    page = press(view, "reveal")
    assert [one["counts"] for one in page["chart"]["rounds"]] == [[3, 12, 5, 1], [1, 18, 2, 0]]
    assert len({one["name"] for one in page["chart"]["rounds"]}) == 2
    assert page["chart"]["table"]["rows"][1] == ["B", "12", "18"]


def through_the_act(view: LectureView, state: State) -> dict[str, Any]:
    begun(view)
    press(view, "hands", "3 12 5 1")
    press(view, "next")
    state.paint([parse_place("1/4/20")], 0.2)
    return view.root.page


def test_the_act_done_by_hand_is_seen_and_kept(view: LectureView, state: State) -> None:
    page = through_the_act(view, state)
    assert page["done"]
    mine = state.scenario
    page = press(view, "next")
    assert page["moment"] == "look"
    assert state.scenario == mine
    assert state.before_scenario == STEP.start


def test_the_observation_is_answered_only_when_revealed(view: LectureView, state: State) -> None:
    through_the_act(view, state)
    page = press(view, "next")
    assert "answer" not in page
    assert "Solver" in press(view, "reveal")["answer"]
    assert "answer" not in press(view, "reveal")


def test_the_explanation_holds_the_class_against_the_solver(view: LectureView, state: State) -> None:
    through_the_act(view, state)
    press(view, "next")
    page = press(view, "next")
    assert page["moment"] == "explain"
    assert page["foreseen"] == "12 of 21 foresaw it"
    assert [one["right"] for one in page["choices"]] == [False, True, False, False]
    assert (page["idea_of"], page["idea"]) == ("C", STEP.predict.choices[2].idea)


def test_put_right_undoes_every_slip(view: LectureView, state: State) -> None:
    through_the_act(view, state)
    press(view, "next")
    wanted = shown(state)
    state.mend_all()
    state.paint([parse_place(f"1/{k}/3") for k in range(1, 5)], 0.0)
    state.set_light(irradiance_W_m2=120.0)
    state.set_weather(cell_temperature_C=70.0)
    state.set_array(wiring="cross-tied")
    state.set_operation("voltage", 100.0)
    state.set_focus("2/1/5", "cell")
    state.set_quantity("temperature")
    state.set_view("table")
    state.unfold()
    state.set_condition("diode-open")
    state.compare_nothing()
    state.choose_demo("railing")
    assert shown(state) != wanted
    press(view, "right")
    assert shown(state) == wanted


def shown(state: State) -> list[Any]:
    names = (
        "scenario", "before_scenario", "focus", "level", "quantity", "view", "unfolded", "condition",
        "comparison", "locked", "notice",
    )  # fmt: skip
    return [getattr(state, name) for name in names]


def test_a_slip_that_leaves_the_cue_is_mended_by_going_back(view: LectureView, state: State) -> None:
    page = through_the_act(view, state)
    mine = state.scenario
    press(view, "next")
    press(view, "next")
    press(view, "back")
    page = press(view, "back")
    assert page["moment"] == "act"
    assert page["done"]
    assert state.scenario == mine


def test_what_answers_the_class_is_kept_back_until_it_has_answered(state: State) -> None:
    view = LectureView(state)
    part = Part(lesson="one-cell", steps=("find-the-top",), minutes=5.0)
    state.lecture = compose("Tuesday", [part], COURSE)
    begun(view)
    assert state.kept_back == ("curves", "parts")
    press(view, "hands", "1 2 3")
    assert "curves" in state.kept_back, "others still think"
    press(view, "next")
    assert state.kept_back == ()
    press(view, "back")
    assert "curves" in state.kept_back
    press(view, "leave")
    assert state.kept_back == ()


def test_looking_further_changes_no_text_and_is_said(view: LectureView, state: State) -> None:
    through_the_act(view, state)
    press(view, "next")
    page = press(view, "next")
    assert (page["moment"], page["away"]) == ("explain", "")
    state.set_operation("voltage", 100.0)
    later = view.root.page
    assert later["html"] == page["html"]
    assert "looking further" in later["away"]
    assert press(view, "right")["away"] == ""


def test_the_lecturers_bench_comes_back_with_the_end(view: LectureView, state: State) -> None:
    state.paint([parse_place("1/3/7")], 0.4)
    state.set_quantity("voltage")
    mine = state.scenario
    through_the_act(view, state)
    press(view, "leave")
    assert (state.scenario, state.quantity) == (mine, "voltage")
    state.undo()
    assert state.scenario.light.painted == ()


def test_a_rehearsal_invents_a_class_and_says_so(view: LectureView, state: State) -> None:
    page = begun(view, "rehearsal")
    assert page["mode"] == "rehearsal"
    assert page["counted"] == "30 answers"
    page = press(view, "again")
    assert page["counted"] == "30 answers"
    page = press(view, "reveal")
    first, second = (one["counts"] for one in page["chart"]["rounds"])
    assert sum(first) == sum(second) == 30
    assert second[1] > first[1], "talking helps"


def test_numbers_are_drawn_with_the_solvers_band_only_behind_the_act(state: State) -> None:
    view = LectureView(state)
    state.lecture = compose("N", [Part(lesson="hungry-cell", minutes=10.0)], COURSE)
    page = begun(view)
    press(view, "hands", "4 5 5 6x3 60")
    page = press(view, "reveal")
    assert page["chart"]["kind"] == "number"
    assert page["chart"]["band"] is None
    assert "Solver" not in json.dumps(page)
    press(view, "next")
    press(view, "do")
    press(view, "next")
    assert press(view, "back")["moment"] == "act"
    assert press(view, "back")["chart"]["band"] is None, "the outcome waits for the explanation"
    press(view, "next")
    press(view, "next")
    page = press(view, "next")
    band = page["chart"]["band"]
    assert band["from"] < band["truth"] < band["to"]
    assert page["chart"]["edges"][0] <= band["from"]


def test_time_is_held_against_the_plan(view: LectureView, clock: Clock) -> None:
    press(view, "begin", "live")
    assert view.root.began_s == 0
    clock.now += 90
    page = press(view, "next")
    assert view.root.began_s == 90
    assert page["planned_s"] == 600
    assert 0 < page["from_s"] < page["due_s"] < 600


def test_the_record_is_saved_and_replayed(view: LectureView, state: State, clock: Clock) -> None:
    begun(view)
    clock.now += 60
    press(view, "hands", "3 12 5 1")
    clock.now += 60
    press(view, "reveal")
    clock.now += 60
    press(view, "next")
    clock.now += 60
    state.paint([parse_place("1/4/20")], 0.2)
    mine = state.scenario
    clock.now += 60
    press(view, "next")
    saved = say(view.root, "save")
    text = saved["text"]
    assert saved["file"] == "tuesday.toml"
    press(view, "leave")

    state.lecture = read_lecture(text, "tuesday.toml", COURSE)
    assert view.root.page["played"]
    page = press(view, "begin", "replay")
    assert page["moment"] in ("opening", "ask")
    seen = []
    for _ in range(12):
        seen.append((page["moment"], page["entry"], state.scenario == mine, bool(page.get("chart"))))
        page = press(view, "next")
    assert any(moment == "ask" and chart for moment, _entry, _mine, chart in seen)
    assert seen[-1][0] == "look"
    assert seen[-1][2]
    assert "after 5:00" in seen[-1][1]
    assert press(view, "right")["moment"] == "look"


def test_answers_revealed_in_a_replay_lock_nothing(view: LectureView, state: State, clock: Clock) -> None:
    begun(view)
    clock.now += 60
    press(view, "hands", "3 12 5 1")
    held = state.lecture
    press(view, "leave")
    state.lecture = held
    press(view, "begin", "replay")
    page = press(view, "next")
    while not page.get("counted"):
        page = press(view, "next")
    assert press(view, "reveal")["chart"]
    assert not state.locked
    assert state.kept_back == ()


def test_a_reload_goes_on_where_the_lecture_was(view: LectureView, state: State, clock: Clock) -> None:
    through_the_act(view, state)
    clock.now += 30
    press(view, "next")
    press(view, "reveal")
    kept, mine = view.root.kept, state.scenario

    other = State(read_demo("workshop"))
    again = LectureView(other, clock=clock)
    page = press(again, "resume", kept)
    assert page["moment"] == "look"
    assert page["seen"]
    assert other.scenario == mine
    assert other.large
    assert again.root.began_s == 30


@pytest.mark.parametrize("kept", ["", "{}", "[1]", '{"file": "format = 2"}', "x" * 2_000_000, "[" * 9000])
def test_what_a_tab_kept_and_somebody_spoilt_is_passed_over(state: State, kept: str) -> None:
    view = LectureView(state)
    assert press(view, "resume", kept) == {}
    assert state.lecture is None


def test_letters_that_are_switched_off_are_not_listed(view: LectureView, state: State) -> None:
    page = begun(view)
    assert "V" in str(page["buttons"])
    state.show(keys=False)
    marks = [mark for one in view.root.page["buttons"] for mark in one["keys"]]
    assert "V" not in marks
    assert {"←", "→", "PgDn"} <= set(marks)
    assert not view.root.letters


def test_the_guide_names_every_key() -> None:
    guide = (Path(__file__).parents[3] / "lessons" / "guide" / "lecture.md").read_text(encoding="utf-8")
    table = guide.split("## Keys")[1].split("##")[0]
    rows = [line.split("|")[1] for line in table.splitlines() if line.startswith("|")]
    with speaking("de"):  # as they stand on the keys there
        assert lecture_keys()[1][1] == ["→", "Bild ab", "Leertaste"]
    for _act, marks, _name, _meaning in lecture_keys():
        assert any(all(mark in row for mark in marks) for row in rows), marks


def test_what_the_page_never_sends_changes_nothing(view: LectureView, state: State) -> None:
    begun(view)
    for act, value in (("go", "2"), ("go", True), ("count", "x"), ("begin", "never"), ("hands", None)):
        press(view, act, value)
    press(view, "fly")
    assert "does not know" in state.notice
    assert view.root.page["moment"] == "ask"


def test_the_last_cue_says_that_it_is_the_last(state: State) -> None:
    view = LectureView(state)
    state.lecture = lecture_of(COURSE, "five-levels")
    press(view, "begin", "rehearsal")
    press(view, "go", 999)
    page = press(view, "next")
    assert page["moment"] == "closing"
    assert "last cue" in page["hint"]


@pytest.mark.parametrize("lesson", COURSE.lessons, ids=lambda one: one.slug)
def test_every_lesson_can_be_held_from_end_to_end(state: State, lesson) -> None:
    view = LectureView(state)
    state.lecture = lecture_of(COURSE, lesson.slug)
    page = press(view, "begin", "rehearsal")
    for _ in range(len(state.lecture.cues) - 1):
        if page["moment"] == "ask":
            assert press(view, "reveal")["chart"]
        if page["moment"] == "act":
            assert not page["locked"]
            assert press(view, "do")["done"]
        if page["moment"] == "look":
            page = press(view, "reveal")
            assert page.get("answer") or any(one["right"] for one in page["choices"])
        if page["moment"] == "explain":
            assert page["foreseen"]
        page = press(view, "next")
    assert page["moment"] == "closing"
    numbers = [step for step in lesson.steps if isinstance(step.predict, NumberQuestion)]
    bands = [one for one in state.lecture.played if one.cue.moment == "explain"]
    assert len(bands) == len(lesson.steps) >= len(numbers)


def test_the_contents_page_prepares_a_lecture_from_a_lesson_or_a_file(state: State) -> None:
    lessons = LessonView(state)
    view = LectureView(state)
    say(lessons.root, "lecture", {"lesson": "diode"})
    assert view.root.page["title"] == state.lecture.title
    press(view, "leave")
    text = 'format = 1\ntitle = "Mine"\n[[part]]\nlesson = "diode"\nminutes = 5\n'
    say(lessons.root, "lecture", {"text": text, "name": "m.toml"})
    assert view.root.page["title"] == "Mine"


def test_a_lecture_file_that_is_not_in_order_is_told_on_the_contents_page(state: State) -> None:
    lessons = LessonView(state)
    text = 'format = 1\ntitle = "Mine"\n[[part]]\nlesson = "diod"\n'
    say(lessons.root, "lecture", {"text": text, "name": "m.toml"})
    assert state.lecture is None
    wrong = lessons.root.page["lecture"]["wrong"]
    assert wrong.startswith("m.toml, line 4: there is no lesson 'diod'")
    assert "Did you mean 'diode'" in wrong


def test_a_lecture_puts_an_open_lesson_away(state: State) -> None:
    lessons = LessonView(state)
    LectureView(state)
    say(lessons.root, "open", "diode")
    say(lessons.root, "lecture", {"lesson": "diode"})
    assert state.lesson == ""
    assert lessons.root.page["kind"] == "contents"


def test_a_lecture_is_held_on_somebodys_own_course(state: State, tmp_path: Path) -> None:
    own = OpenCourse(write_course(tmp_path, mine=LESSON), live=True)
    lessons, view = LessonView(state, own), LectureView(state, own)
    say(lessons.root, "lecture", {"lesson": "mine"})
    assert view.root.page["parts"][0]["steps"] == ["Shade one", "Elsewhere"]
    page = begun(view, "rehearsal")
    assert page["step_title"] == "Shade one"
    press(view, "leave")
    path = tmp_path / "mine.md"
    path.write_text(LESSON.replace('title = "Shade one"', 'title = "Cover one"'), encoding="utf-8")
    while not own.look():
        time.sleep(0.05)
    state.lecture = lecture_of(own.course("en"), "mine")
    assert view.root.page["parts"][0]["steps"] == ["Cover one", "Elsewhere"]


def test_the_results_of_the_class_are_a_table_and_a_csv(view: LectureView) -> None:
    begun(view)
    press(view, "hands", "7 3")
    press(view, "again")
    press(view, "hands", "2 8")
    results = say(view.root, "results")["results"]
    json.dumps(results)
    [row] = results["rows"]
    assert [one["of"].split()[2] for one in row["rounds"]] == ["10", "10"]
    assert row["gain"]
    assert not results["invented"]
    saved = say(view.root, "results-csv")
    assert saved["file"] == "tuesday-results.csv"
    assert "A:7 B:3" in saved["text"]


def test_the_results_of_a_rehearsal_say_that_its_class_is_invented(view: LectureView) -> None:
    begun(view, "rehearsal")
    results = say(view.root, "results")["results"]
    assert results["invented"]
    assert len(results["rows"]) == 1
    saved = say(view.root, "results-csv")
    assert saved["file"] == "tuesday-rehearsal.csv"
    assert saved["text"].splitlines()[0] == "# Rehearsal: this class is invented"


def test_the_record_of_a_lecture_shows_its_results_before_it_is_replayed(view: LectureView) -> None:
    begun(view)
    press(view, "hands", "7 3")
    held = view._state.lecture
    press(view, "leave")
    view._state.lecture = held
    assert len(say(view.root, "results")["results"]["rows"]) == 1


def test_a_search_at_the_end_of_a_lecture_is_laid_aside_before_the_cue_is_turned(view: LectureView) -> None:
    begun(view)
    press(view, "hands", "7 3")
    state = view._state
    press(view, "go", len(state.lecture.cues) - 1)
    press(view, "search")
    state.begin_search(1, 1)
    assert state.field_open
    at = press(view, "back")["at"]
    assert not state.field_open
    assert at == len(state.lecture.cues) - 1, "a slip takes no vote from the class"
    assert press(view, "back")["at"] == at - 1
    assert state.field.case is not None, "the search is kept"
