"""The lesson region on the state: locks, sets up, watches, and plays every solution."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.lesson.view import LessonView
from pvsim.app.session.sentences import result_sentence
from pvsim.app.session.state import State
from pvsim.array.place import parse_place
from pvsim.course.folder.course_check import given_for
from pvsim.course.folder.course_reader import own_course, read_course
from pvsim.course.lesson.render import render_line
from pvsim.course.number.evaluation import Readings
from pvsim.course.number.solved_scenario import solved
from pvsim.files.demo import read_demo
from tests.app.wishes import press
from tests.course.samples import LESSON, spoilt, write_course

LESSONS = own_course().lessons
BY_SLUG = {lesson.slug: lesson for lesson in LESSONS}
ONE_CELL, HUNGRY_CELL = BY_SLUG["one-cell"], BY_SLUG["hungry-cell"]
STEPS = [
    pytest.param(lesson.slug, number, id=f"{lesson.slug}/{step.id}")
    for lesson in LESSONS
    for number, step in enumerate(lesson.steps, start=1)
]


@pytest.fixture
def state() -> State:
    return State(read_demo("workshop"))


@pytest.fixture
def view(state: State) -> LessonView:
    return LessonView(state)


def test_what_the_lesson_does_is_said_with_what_it_cost(view: LessonView, state: State) -> None:
    press(view, "open", "hungry-cell")
    press(view, "turn", 1)
    step = HUNGRY_CELL.steps[0]
    assert "gives" in state.said  # set up: there is nothing before it
    press(view, "predict", given_for(step.predict, Readings(solved(step.finish), solved(step.start))))
    press(view, "do")
    assert state.scenario == step.finish
    assert state.said == result_sentence(step.title, solved(step.start).solution, state.solution)
    assert "falls from" in state.said


def test_the_lecturers_bench_comes_back_when_the_lesson_is_left(view: LessonView, state: State) -> None:
    state.paint([parse_place("1/3/7")], 0.4)
    state.set_level("module")
    mine = state.scenario
    press(view, "open", "hungry-cell")
    press(view, "turn", 1)
    press(view, "predict", "5")
    press(view, "do")
    assert state.scenario.array != mine.array
    state.undo()
    state.undo()
    assert state.scenario == mine, "undo reaches it"
    assert "Another array" in view.root.page["away"]
    state.redo()
    press(view, "turn", 2)
    press(view, "contents")
    assert (state.scenario, state.level) == (mine, "module")
    state.undo()
    assert state.scenario.light.painted == ()


def part(page: dict[str, Any], name: str) -> dict[str, Any]:
    found: dict[str, Any] = next(one for one in page["parts"] if one["name"] == name)
    return found


def predicted(view: LessonView, slug: str, number: int, given: str) -> dict[str, Any]:
    """How a prediction is held against the solver, once the step's act is done and looked at."""
    press(view, "open", slug)
    press(view, "turn", number)
    press(view, "predict", given)
    page = press(view, "do")
    if page["phase"] == "observe":
        press(view, "observe", 0 if part(page, "observe")["question"]["kind"] == "choice" else "9e9")
        page = press(view, "settle")
    found: dict[str, Any] = part(page, "explain")["prediction"]
    return found


def test_who_writes_a_share_where_per_cent_are_asked_is_told_so(view: LessonView) -> None:
    told = predicted(view, "diode", 1, "0.35")
    assert not told["right"]
    assert "share of one" in told["idea"]
    assert "a hundred times as large" in told["html"]
    assert "much less" in predicted(view, "five-levels", 3, "0.9")["html"]


def test_a_count_is_told_as_a_whole_number(view: LessonView) -> None:
    assert predicted(view, "read-the-label", 4, "20")["found"] == "60"


def test_the_region_begins_with_the_list_of_lessons(view: LessonView, state: State) -> None:
    page = view.root.page
    assert page["kind"] == "contents"
    assert [one["slug"] for one in page["lessons"] if one["slug"]] == [lesson.slug for lesson in LESSONS]
    assert not state.locked
    assert state.scenario == read_demo("workshop")


def test_opening_a_lesson_puts_its_array_on_the_bench_unlocked(view: LessonView, state: State) -> None:
    page = press(view, "open", "one-cell")
    assert page["kind"] == "opening"
    assert state.scenario == ONE_CELL.steps[0].start
    assert not state.locked
    assert state.lesson == "one-cell/0"


def test_a_step_sets_up_its_look_and_locks(view: LessonView, state: State) -> None:
    press(view, "open", "hungry-cell")
    page = press(view, "turn", 1)
    step = HUNGRY_CELL.steps[0]
    assert state.scenario == step.start
    assert state.before_scenario == step.start
    assert (state.level, state.quantity, state.focus) == ("module", "power", parse_place("1/1/14"))
    assert state.condition == "shade:0.2"
    assert state.locked
    assert page["locked"]
    assert part(page, "act")["state"] == "waiting"
    assert "html" not in part(page, "explain"), "the explanation must not be in the page yet"
    state.undo()
    assert state.scenario == step.start, "a prediction comes before undo, too"


def test_nothing_can_be_changed_until_a_prediction_is_stored(view: LessonView, state: State) -> None:
    press(view, "open", "hungry-cell")
    press(view, "turn", 1)
    start = state.scenario
    state.apply_condition(parse_place("1/1/14"))
    state.set_light(irradiance_W_m2=100.0)
    state.undo()
    press(view, "do")
    assert state.scenario == start
    press(view, "predict", "50")
    state.apply_condition(parse_place("1/1/14"))
    assert state.scenario != start


def test_an_answer_that_cannot_be_read_is_said_so_and_stores_nothing(view: LessonView, state: State) -> None:
    press(view, "open", "hungry-cell")
    press(view, "turn", 1)
    page = press(view, "predict", "a lot")
    assert "no number" in part(page, "predict")["wrong"]
    assert state.locked
    assert part(press(view, "predict", "12"), "predict")["wrong"] == ""


def test_the_learners_own_hand_gets_the_act_done(view: LessonView, state: State) -> None:
    press(view, "open", "hungry-cell")
    press(view, "turn", 1)
    page = press(view, "predict", "5,7")
    assert not part(page, "act")["done"]
    state.paint([parse_place("1/1/30")], 0.2)
    page = view.root.page
    assert part(page, "act")["done"]
    assert page["phase"] == "observe"
    assert "Done" in view.root.said


def test_the_explanation_shows_the_idea_behind_a_wrong_prediction(view: LessonView) -> None:
    press(view, "open", "hungry-cell")
    press(view, "turn", 1)
    press(view, "predict", "5,7")
    press(view, "do")
    page = press(view, "observe", "-159")
    reckoning = part(page, "explain")["prediction"]
    assert not reckoning["right"]
    assert reckoning["said"].startswith("5.7")
    assert reckoning["idea"] == "the module loses what the cell no longer gives"
    assert "push" in reckoning["html"]


def plain(text: str) -> str:
    """A choice without numbers in it, as the page shows it."""
    nothing = solved(ONE_CELL.steps[0].start)
    return render_line(text, Readings(nothing, nothing))


def test_a_wrong_observation_offers_to_show_it(view: LessonView) -> None:
    press(view, "open", "one-cell")
    press(view, "turn", 1)
    press(view, "predict", "0.66")
    press(view, "do")
    page = press(view, "observe", 1)
    assert part(page, "observe")["verdict"]["idea"] == "the whole curve shrinks with the light"
    assert part(page, "observe")["may_skip"]
    page = press(view, "settle")
    assert page["phase"] == "explain"
    right = next(one for one in ONE_CELL.steps[0].observe.choices if one.right)
    assert part(page, "observe")["shown"]["html"] == plain(right.text)


def test_show_me_shows_the_value_and_looks_where_it_is_read(view: LessonView, state: State) -> None:
    step = predicted_and_done(view, "hungry-cell", 1)
    press(view, "observe", "3")
    state.set_level("array")
    state.set_quantity("irradiance")
    shown = part(press(view, "settle"), "observe")["shown"]
    truth = state.solution.cells.power_W.min()
    assert shown["html"].startswith(f"−{abs(truth):.0f}")
    assert "cell 14" in shown["where"][0]
    assert "“Power”" in shown["where"][0]
    assert (state.focus, state.level, state.quantity) == (parse_place("1/1/14"), "module", "power")
    press(view, "restart")
    predicted_and_done(view, "hungry-cell", 1)
    read = given_for(step.observe, Readings(solved(step.finish), solved(step.start)))
    assert "shown" not in part(press(view, "observe", read), "observe"), "who has read it needs no help"


def test_after_a_wrong_choice_the_right_one_is_shown(view: LessonView) -> None:
    press(view, "open", "cell-to-array")
    press(view, "turn", 1)
    question = BY_SLUG["cell-to-array"].steps[0].predict
    wrong = next(k for k, one in enumerate(question.choices) if not one.right)
    right = next(one for one in question.choices if one.right)
    press(view, "predict", wrong)
    press(view, "do")
    press(view, "observe", "1")
    reckoning = part(press(view, "settle"), "explain")["prediction"]
    assert not reckoning["right"]
    assert reckoning["said"] == plain(question.choices[wrong].text)
    assert reckoning["found"] == plain(right.text)


def test_not_done_yet_says_why(view: LessonView, state: State) -> None:
    press(view, "open", "hungry-cell")
    press(view, "turn", 1)
    page = press(view, "predict", "5")
    assert part(page, "act")["reason"] == ""
    state.paint([parse_place("1/1/14"), parse_place("1/1/25")], 0.2)
    act = part(view.root.page, "act")
    assert (act["status"], act["reason"]) == ("Not done yet.", "Cell 25 is shaded too.")
    state.paint([parse_place("1/1/25")], 1.0)
    assert part(view.root.page, "act")["reason"] == ""


def test_the_text_keeps_to_the_state_in_which_the_act_was_done(view: LessonView, state: State) -> None:
    press(view, "open", "hungry-cell")
    press(view, "turn", 1)
    press(view, "predict", "5")
    press(view, "do")
    explained = part(press(view, "observe", "-159"), "explain")["html"]
    state.undo()
    page = view.root.page
    assert part(page, "explain")["html"] == explained
    assert "looking further" in page["away"]
    page = press(view, "put_back")
    assert state.scenario == HUNGRY_CELL.steps[0].finish
    assert not page["away"]


def predicted_and_done(view: LessonView, slug: str, number: int) -> Any:
    """A step with its prediction stored and its act done by the solution."""
    step = BY_SLUG[slug].steps[number - 1]
    press(view, "open", slug)
    press(view, "turn", number)
    press(view, "predict", given_for(step.predict, Readings(solved(step.finish), solved(step.start))))
    press(view, "do")
    return step


def test_the_numbers_follow_another_way_of_doing_it(view: LessonView, state: State) -> None:
    predicted_and_done(view, "hungry-cell", 1)
    first = part(press(view, "observe", "-159"), "explain")["html"]
    press(view, "restart")
    predicted_and_done(view, "hungry-cell", 1)
    state.paint([parse_place("1/1/14")], 0.1)
    assert not view.root.page["away"], "the act done once more, not something else"
    press(view, "observe", 0)
    assert part(press(view, "settle"), "explain")["html"] != first


HIDING = [
    pytest.param(lesson.slug, number, id=f"{lesson.slug}/{step.id}")
    for lesson in LESSONS
    for number, step in enumerate(lesson.steps, start=1)
    if step.hides
]


@pytest.mark.parametrize(("slug", "number"), HIDING)
def test_what_answers_the_prediction_is_kept_back_until_it_is_given(
    view: LessonView, state: State, slug: str, number: int
) -> None:
    state.set_view("parts")
    press(view, "open", slug)
    press(view, "turn", number)
    step = BY_SLUG[slug].steps[number - 1]
    assert set(step.hides) <= set(state.kept_back)
    if {"curves", "parts"} & set(step.hides):
        assert state.view == "curves"
        state.set_view("parts")
        assert state.view == "curves"
        assert "would answer your prediction" in state.notice
    press(view, "predict", given_for(step.predict, Readings(solved(step.finish), solved(step.start))))
    assert state.kept_back == ()
    state.set_view("parts")
    assert state.view == "parts"
    press(view, "restart")
    assert set(step.hides) <= set(state.kept_back)
    press(view, "contents")
    assert state.kept_back == ()


def test_the_opening_shows_no_more_than_the_first_step(view: LessonView, state: State) -> None:
    press(view, "open", "read-the-label")
    assert "values" in state.kept_back
    press(view, "turn", 1)
    press(view, "predict", "0.7")
    press(view, "turn", 0)
    assert state.kept_back == (), "what was answered once is no secret"


@pytest.mark.parametrize(("slug", "number"), STEPS)
def test_a_solved_step_is_frozen(view: LessonView, state: State, slug: str, number: int) -> None:
    step = predicted_and_done(view, slug, number)
    if step.observe is not None:
        truth = given_for(step.observe, Readings(solved(step.finish), solved(step.start)))
        press(view, "observe", truth)
    solved_page = view.root.page
    assert solved_page["phase"] == "explain"
    assert solved_page["away"] == ""
    assert not solved_page["parts"][-1]["html"].startswith("<p></p>")
    changes = [
        lambda: state.set_operation("voltage", 0.4 * float(state.solution.strings.voltage_V[0])),
        lambda: state.set_light(irradiance_W_m2=0.7 * state.scenario.light.irradiance_W_m2),
        lambda: state.set_weather(cell_temperature_C=3.0),
        lambda: state.paint([parse_place("1/1/1")], 0.35),
    ]
    for change in changes:
        before = state.scenario
        change()
        if state.scenario == before:
            continue
        page = view.root.page
        assert page["parts"] == solved_page["parts"], "text and figures stay"
        assert "looking further" in page["away"]
    page = press(view, "put_back")
    assert (state.scenario, page["away"]) == (step.finish, "")


def test_the_operating_point_moved_while_looking_does_not_change_what_was_done(
    view: LessonView, state: State
) -> None:
    predicted_and_done(view, "diode", 1)
    told = view.root.page["parts"]
    state.set_operation("voltage", 3.0)
    assert view.root.page["parts"] == told
    assert "looking further" in view.root.page["away"]


def test_a_drag_that_only_passes_by_has_not_done_the_act(view: LessonView, state: State) -> None:
    press(view, "open", "one-cell")
    press(view, "turn", 1)
    press(view, "predict", "0.66")
    state.begin_stroke()
    for irradiance in (800.0, 500.0, 300.0):
        state.set_light(irradiance_W_m2=irradiance)
    assert view.root.page["phase"] == "act"
    state.set_light(irradiance_W_m2=505.0)
    state.end_stroke()
    assert view.root.page["phase"] == "observe"
    assert "505" in str(view._learner.progresses["one-cell"].marks[0].done.light)
    state.set_light(irradiance_W_m2=300.0)
    assert view.root.page["phase"] == "observe", "another change takes nothing back"


def test_another_site_on_the_bench_is_said(view: LessonView, state: State) -> None:
    press(view, "open", "one-cell")
    press(view, "turn", 1)
    press(view, "predict", "0.6")
    assert view.root.page["away"] == ""
    state.choose_demo("railing")
    assert "One cell on the bench" in view.root.page["away"]
    page = press(view, "put_back")
    assert page["away"] == ""
    assert state.scenario == ONE_CELL.steps[0].start


def test_going_back_shows_what_was_done_and_locks_nothing_already_predicted(
    view: LessonView, state: State
) -> None:
    press(view, "open", "hungry-cell")
    press(view, "turn", 1)
    press(view, "predict", "5")
    press(view, "do")
    press(view, "turn", 2)
    assert state.locked
    page = press(view, "turn", 1)
    assert not state.locked
    assert part(page, "act")["done"]
    assert state.scenario == HUNGRY_CELL.steps[0].finish
    assert state.before_scenario == HUNGRY_CELL.steps[0].start


def test_restarting_a_step_locks_it_again(view: LessonView, state: State) -> None:
    press(view, "open", "hungry-cell")
    press(view, "turn", 1)
    press(view, "predict", "5")
    press(view, "do")
    page = press(view, "restart")
    assert page["phase"] == "predict"
    assert state.locked
    assert state.scenario == HUNGRY_CELL.steps[0].start


def test_leaving_a_lesson_unlocks_and_keeps_the_progress(view: LessonView, state: State) -> None:
    press(view, "open", "hungry-cell")
    press(view, "turn", 1)
    press(view, "predict", "5")
    press(view, "turn", 2)
    assert state.locked
    page = press(view, "contents")
    assert page["kind"] == "contents"
    assert not state.locked
    assert state.lesson == ""
    assert page["lessons"][LESSONS.index(HUNGRY_CELL)]["state"]["name"] == "begun"
    assert press(view, "open", "hungry-cell")["key"] == "hungry-cell/2"


def test_the_closing_counts_predictions_and_leads_on(view: LessonView) -> None:
    press(view, "open", LESSONS[-1].slug)
    after = len(LESSONS[-1].steps) + 1
    page = press(view, "turn", after)
    assert page["kind"] == "closing"
    assert {one["mark"]["name"] for one in page["results"]} == {"open"}
    assert page["limits"]
    assert press(view, "turn", after + 1)["kind"] == "closing-test"
    press(view, "open", "one-cell")
    assert press(view, "turn", 6)["key"] == "cell-to-array/0"


def test_the_address_opens_a_lesson_at_its_step(state: State) -> None:
    state.lesson = "diode/2"
    view = LessonView(state)
    assert view.root.page["key"] == "diode/2"
    assert state.locked
    state.lesson = "one-cell/1"
    assert view.root.page["key"] == "one-cell/1"


@pytest.mark.parametrize("address", ["nothing/1", "diode/99", "diode/x", "diode/-1", "/", "diode/²", "diode"])
def test_an_address_that_leads_nowhere_does_no_harm(address: str, state: State) -> None:
    state.lesson = address
    page = LessonView(state).root.page
    assert page["kind"] in ("contents", "opening", "closing")


@pytest.mark.parametrize(
    ("act", "value"),
    [
        ("open", "../../etc"), ("open", None), ("turn", "3"), ("turn", True), ("turn", 10**9), ("turn", -4),
        ("predict", {"a": 1}), ("predict", None), ("observe", "1"), ("do", None),
        ("settle", 5), ("restart", []), ("put_back", ""), ("explode", 1), ("", None),
    ],
)  # fmt: skip
def test_messages_that_make_no_sense_do_no_harm(act: str, value: Any, view: LessonView, state: State) -> None:
    press(view, act, value)
    press(view, "open", "one-cell")
    press(view, "turn", 1)
    page = press(view, act, value)
    assert page["kind"]
    assert state.solution is not None
    view.root._handle_msg("not even a message")


@pytest.mark.parametrize(("slug", "number"), STEPS)
def test_every_solution_is_played_through_the_state(
    slug: str, number: int, view: LessonView, state: State
) -> None:
    step = BY_SLUG[slug].steps[number - 1]
    here = Readings(solved(step.finish), solved(step.start))
    press(view, "open", slug)
    page = press(view, "turn", number)
    assert page["phase"] == "predict"
    page = press(view, "predict", given_for(step.predict, here))
    assert page["phase"] == "act"
    assert not part(page, "act")["done"]
    page = press(view, "do")
    assert part(page, "act")["done"]
    assert state.scenario == step.finish
    if step.observe is not None:
        page = press(view, "observe", given_for(step.observe, here))
    assert page["phase"] == "explain"
    assert part(page, "explain")["prediction"]["right"]
    assert "no value" not in json.dumps(page)
    assert "{{" not in json.dumps(page)
    assert state.notice == ""


def test_a_bad_lesson_is_told_in_the_list_and_the_others_can_be_opened(tmp_path: Path, state: State) -> None:
    course = read_course(write_course(tmp_path, one=spoilt("minutes = 8", "minutes = 0"), two=LESSON))
    view = LessonView(state, course)
    page = view.root.page
    entries = [(one["title"], one["slug"]) for one in page["lessons"]]
    assert entries == [("one", ""), ("One shaded cell", "two")]
    assert page["trouble"][0]["problems"][0]["where"] == "line 5"
    assert press(view, "open", "two")["kind"] == "opening"


def test_two_pages_do_not_share_their_progress() -> None:
    first, second = (LessonView(State(read_demo("workshop"))) for _ in range(2))
    press(first, "open", "one-cell")
    press(first, "turn", 1)
    press(first, "predict", "0.5")
    assert second.root.page["kind"] == "contents"
    assert second.root.page["lessons"][LESSONS.index(ONE_CELL)]["state"]["name"] == "new"


def test_what_was_done_is_kept_as_a_workbook_and_recalled_by_another_session(view: LessonView) -> None:
    slug, step = LESSONS[0].slug, LESSONS[0].steps[0]
    press(view, "open", slug)
    press(view, "turn", 1)
    press(view, "predict", 0 if hasattr(step.predict, "choices") else "7")
    press(view, "do")
    kept = view.root.workbook
    state = State(read_demo("workshop"))
    other = LessonView(state)
    assert press(other, "recall", kept)["go_on"]["title"] == LESSONS[0].title
    assert press(other, "go_on")["key"] == f"{slug}/1"
    assert state.scenario == step.finish
    assert not state.locked
    assert other.root.workbook == kept
    press(other, "contents")
    assert press(other, "forget")["go_on"] is None
    assert json.loads(other.root.workbook)["lessons"] == {}


def test_a_page_opened_by_an_address_shows_the_work_its_browser_had_kept(view: LessonView) -> None:
    slug, step = LESSONS[0].slug, LESSONS[0].steps[0]
    press(view, "open", slug)
    press(view, "turn", 1)
    press(view, "predict", 0 if hasattr(step.predict, "choices") else "7")
    state = State(read_demo("workshop"))
    state.lesson = f"{slug}/1"
    other = LessonView(state)
    assert state.locked
    page = press(other, "recall", view.root.workbook)
    assert (page["phase"], page["key"]) == ("act", f"{slug}/1")
    assert not state.locked
    farther = State(read_demo("workshop"))
    farther.lesson = f"{slug}/2"
    assert press(LessonView(farther), "recall", view.root.workbook)["key"] == f"{slug}/2"


def test_a_file_that_is_no_workbook_is_told_on_the_contents_page_and_nothing_is_lost(
    view: LessonView,
) -> None:
    press(view, "open", LESSONS[0].slug)
    press(view, "contents")
    kept = view.root.workbook
    assert "no workbook of pvsim" in press(view, "take", "no workbook")["wrong"]
    assert view.root.workbook == kept
