"""A lesson that is being written: a save shows at the same step, a mistake beside the last good text."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.lesson.view import LessonView
from pvsim.app.open_course import OpenCourse
from pvsim.app.session.state import State
from pvsim.course.folder.course_reader import read_course
from pvsim.course.play.player import same_page
from pvsim.files.demo import read_demo
from tests.course.samples import LESSON, lesson, line_of, spoilt, write_course

from tests.app.conftest import Bench, Served  # isort: skip
from tests.app.wishes import press

ASKED = "One cell gets 20 % of its light. What is lost?"


@pytest.fixture
def state() -> State:
    return State(read_demo("workshop"))


@pytest.fixture
def view(state: State, tmp_path: Path) -> LessonView:
    view = LessonView(state, read_course(write_course(tmp_path, one=LESSON)))
    press(view, "open", "one")
    press(view, "turn", 1)
    return view


def saved(view: LessonView, folder: Path, text: str) -> dict[str, Any]:
    """The page after the course was read again with this lesson."""
    view.renew(read_course(write_course(folder, one=text)))
    page: dict[str, Any] = view.root.page
    return page


def test_a_changed_text_shows_at_the_same_step_and_leaves_the_bench_alone(
    view: LessonView, state: State, tmp_path: Path
) -> None:
    press(view, "predict", "100")
    state.set_light(irradiance_W_m2=500.0)
    bench = state.scenario
    page = saved(view, tmp_path, LESSON.replace(ASKED, "A leaf lets 20 % through. What does it cost?"))
    assert page["key"] == "one/1"
    assert page["phase"] == "act", "the prediction is kept"
    assert "A leaf lets" in page["parts"][0]["html"]
    assert state.scenario == bench
    assert not state.locked


def test_a_changed_beginning_is_put_on_the_bench(view: LessonView, state: State, tmp_path: Path) -> None:
    text = spoilt('id = "shade-one"\n', 'id = "shade-one"\nstart = [{ light = { irradiance_W_m2 = 700 } }]\n')
    saved(view, tmp_path, text)
    assert state.scenario.light.irradiance_W_m2 == 700.0
    assert state.locked


def test_a_step_put_in_before_keeps_the_author_where_they_are(view: LessonView, tmp_path: Path) -> None:
    press(view, "turn", 2)
    new = lesson(LESSON.replace('id = "shade-one"', 'id = "first"').replace("## shade-one", "## first"))
    old = lesson()
    assert [same_page(old, page, new) for page in range(5)] == [0, 1, 2, 3, 3]
    head, step, rest = LESSON.partition("[[step]]\n")
    again, _next, _more = rest.partition("[[step]]\n")
    front, ask, body = rest.partition("## shade-one")
    text = head + step + again.replace("shade-one", "before") + step + front + ask + body
    for part in ("", "predict", "act", "observe", "explain"):
        text += f"\n### {part}\n\nNow {{{{ now[1/1].power_W | W 0 }}}}.\n" if part else "\n## before\n"
    page = saved(view, tmp_path, text)
    assert page["key"] == "one/3"
    assert page["step_title"] == "Elsewhere"


def test_a_lesson_that_is_gone_leads_to_the_contents(view: LessonView, state: State, tmp_path: Path) -> None:
    view.renew(read_course(write_course(tmp_path, other=LESSON)))
    assert view.root.page["kind"] == "contents"
    assert not state.locked


def test_a_refused_lesson_has_its_place_in_the_contents_with_what_to_mend(tmp_path: Path) -> None:
    course = OpenCourse(write_course(tmp_path, one=spoilt("minutes = 8", "minutes = 0"), two=LESSON))
    page = LessonView(State(read_demo("workshop")), course).root.page
    assert [(one["title"], one.get("refused", False)) for one in page["lessons"]] == [
        ("one", True),
        ("One shaded cell", False),
    ]
    (file,) = page["trouble"]
    assert file["file"] == "one.md"
    (problem,) = file["problems"]
    assert problem["where"] == "line 5"
    assert "minutes" in problem["wrong"]
    assert problem["mend"]


def test_learners_are_not_told_on_a_lessons_pages_what_its_author_has_to_mend(tmp_path: Path) -> None:
    course = OpenCourse(write_course(tmp_path, one=LESSON, two=spoilt("minutes = 8", "minutes = 0")))
    view = LessonView(State(read_demo("workshop")), course)
    assert not press(view, "open", "one").get("trouble")


# In the browser


@pytest.fixture
def writing(browser: Any, tmp_path: Path) -> Any:
    """A lesson in a folder, and its page."""
    path = tmp_path / "leaf.md"
    path.write_text(LESSON, encoding="utf-8")
    served = Served(course=OpenCourse(path, live=True))
    bench = Bench(browser, served)
    yield path, bench.open("?lesson=leaf/1")
    bench.close()
    served.stop()
    assert bench.outside == []
    assert bench.complaints == []


@pytest.mark.ui
def test_a_save_shows_a_mistake_shows_and_its_mending_shows(writing: Any) -> None:
    path, page = writing
    region = page.get_by_role("region", name="Lesson")
    region.get_by_text(ASKED).wait_for()
    field = region.get_by_role("textbox")
    field.fill("12,5")
    path.write_text(LESSON.replace(ASKED, "A leaf lets 20 % through. What is lost?"), encoding="utf-8")
    region.get_by_text("A leaf lets 20 % through. What is lost?").wait_for()
    assert field.input_value() == "12,5", "what was typed is still there"

    text = LESSON.replace("delta[1/1].power_W | W 1", "delta[1/1].powr_W | W 1")
    path.write_text(text, encoding="utf-8")
    trouble = region.get_by_role("region", name="To be mended")
    trouble.get_by_text("leaf.md is not in order").wait_for()
    assert trouble.get_by_text(f"line {line_of(text, 'powr_W')}", exact=True).is_visible()
    assert trouble.get_by_text("Did you mean 'power_W'?").is_visible()
    assert region.get_by_text("A leaf lets 20 % through. What is lost?").is_visible(), "the last good text"
    page.get_by_test_id("menu-light").click()  # and the bench goes on
    page.get_by_role("dialog").wait_for()
    page.keyboard.press("Escape")

    path.write_text(LESSON, encoding="utf-8")
    trouble.wait_for(state="detached")
    region.get_by_text(ASKED).wait_for()
    region.get_by_role("status").filter(has_text="all is in order").wait_for(state="attached")


@pytest.mark.ui
def test_a_lesson_that_was_never_in_order_opens_when_it_is(browser: Any, tmp_path: Path) -> None:
    path = tmp_path / "leaf.md"
    path.write_text("+++\nformat = 1\n", encoding="utf-8")
    served = Served(course=OpenCourse(path, live=True))
    bench = Bench(browser, served)
    try:
        page = bench.open("?lesson=leaf/0")
        region = page.get_by_role("region", name="Lesson")
        region.get_by_text("leaf.md is not in order").wait_for()
        path.write_text(LESSON, encoding="utf-8")
        region.get_by_role("button", name="Begin").wait_for()
        assert region.get_by_role("region", name="To be mended").count() == 0
    finally:
        bench.close()
        served.stop()
