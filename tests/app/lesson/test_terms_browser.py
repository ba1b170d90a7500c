"""Terms, asides, tracks and the glossary in a real browser: by mouse, by keyboard and by touch."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from pvsim.course.folder.course_reader import read_course
from tests.app.lesson.test_lesson_browser import PHONE, focused_text, region
from tests.course.samples import write_whole_course

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]


@pytest.fixture(autouse=True)
def small_course(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every page opened here has a course with tracks, terms and a translation."""
    pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")
    from pvsim.app import open_course

    folder: Path = write_whole_course(tmp_path_factory.mktemp("course"))
    monkeypatch.setattr(open_course, "own_course", lambda language="en": read_course(folder, language))


def observe(page: Any) -> None:
    """Play the first step up to its question about what was seen, in which a term stands."""
    region(page).get_by_role("textbox").fill("100")
    region(page).get_by_role("button", name="Store prediction").click()
    region(page).get_by_role("button", name="Do it for me").click()
    region(page).get_by_role("button", name="bypass diodes").wait_for()


def meaning(page: Any) -> Any:
    return page.get_by_role("tooltip")


def test_a_term_shows_its_meaning_to_keys_and_mouse_and_an_aside_stays_open(bench) -> None:
    page = bench.open("?lesson=sample/1")
    observe(page)
    a_term_shows_its_meaning_to_the_keyboard_and_goes_by_escape(page)
    a_term_shows_its_meaning_to_the_mouse_and_lets_it_in(page)
    an_aside_stays_open_while_the_array_is_changed(page)


def a_term_shows_its_meaning_to_the_keyboard_and_goes_by_escape(page: Any) -> None:
    page.keyboard.press("Tab")  # from the heading of the phase that has just opened
    assert focused_text(page) == "bypass diodes"
    meaning(page).get_by_text("lets current pass it by").wait_for()
    term = region(page).get_by_role("button", name="bypass diodes")
    assert term.get_attribute("aria-expanded") == "true"
    described = term.get_attribute("aria-describedby")
    assert meaning(page).get_attribute("id") == described
    page.keyboard.press("Escape")
    meaning(page).wait_for(state="hidden")
    assert focused_text(page) == "bypass diodes"
    assert term.get_attribute("aria-expanded") == "false"
    page.keyboard.press("Enter")
    meaning(page).wait_for()
    page.keyboard.press("Space")
    meaning(page).wait_for(state="hidden")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    meaning(page).wait_for(state="hidden")


def a_term_shows_its_meaning_to_the_mouse_and_lets_it_in(page: Any) -> None:
    term = region(page).get_by_role("button", name="bypass diodes")
    term.hover()
    meaning(page).get_by_text("lets current pass it by").wait_for()
    box = meaning(page).bounding_box()
    page.mouse.move(box["x"] + 20, box["y"] + box["height"] / 2, steps=8)
    page.wait_for_timeout(500)
    assert meaning(page).is_visible(), "the pointer can rest on the meaning"
    page.mouse.move(5, 300)
    meaning(page).wait_for(state="hidden")
    term.click()
    page.mouse.move(5, 300)
    page.wait_for_timeout(500)
    assert meaning(page).is_visible(), "a press keeps it there"
    term.click()
    meaning(page).wait_for(state="hidden")
    term.click()
    meaning(page).wait_for()
    page.mouse.click(300, 60)
    meaning(page).wait_for(state="hidden")


def an_aside_stays_open_while_the_array_is_changed(page: Any) -> None:
    region(page).get_by_role("radio").first.check()
    region(page).get_by_role("button", name="Answer").click()
    title = region(page).get_by_text("With paper and pencil")
    title.click()
    inside = region(page).get_by_text("is passed by")
    inside.wait_for()
    page.get_by_role("gridcell", name="Cell 30").first.click()
    region(page).get_by_role("button", name="Put it back").wait_for()
    assert inside.is_visible()
    title.focus()
    page.keyboard.press("Enter")
    inside.wait_for(state="hidden")


def test_the_glossary_is_read_and_the_track_is_chosen_by_keys_and_pressed_and_the_lesson_follows(
    bench,
) -> None:
    page = bench.open()
    the_glossary_is_read_by_keyboard_and_leads_from_term_to_term(page)
    the_track_is_chosen_by_keyboard_and_comes_back_with_the_browser(bench, page)
    region(page).get_by_text("Installer", exact=True).click()
    installer_is_kept(page)
    bench.go(page, "?lesson=sample/1")
    observe(page)
    what_is_for_installers_is_there_alone(page)


def the_glossary_is_read_by_keyboard_and_leads_from_term_to_term(page: Any) -> None:
    region(page).get_by_role("button", name="Glossary").focus()
    page.keyboard.press("Enter")
    region(page).get_by_role("button", name="Contents").wait_for()
    assert focused_text(page) == "Glossary"
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert focused_text(page) == "substring"
    region(page).get_by_role("button", name="Contents").click()
    region(page).get_by_role("button", name="Glossary").wait_for()


def the_track_is_chosen_by_keyboard_and_comes_back_with_the_browser(bench: Any, page: Any) -> None:
    region(page).get_by_role("radio", name="Both").focus()
    page.keyboard.press("ArrowUp")
    installer_is_kept(page)
    page.keyboard.press("ArrowUp")  # the focus is still there
    page.wait_for_function("JSON.parse(localStorage.getItem('pvsim.workbook')).track === 'student'")
    bench.go(page)
    region(page).get_by_text("You want to know why.").wait_for()
    assert region(page).get_by_role("radio", name="Student").is_checked()


def installer_is_kept(page: Any) -> None:
    """The choice is seen at once, and in the browser's store when the page has heard of it."""
    region(page).get_by_text("You stand on the roof.").wait_for()
    page.wait_for_function("JSON.parse(localStorage.getItem('pvsim.workbook'))?.track === 'installer'")


def what_is_for_installers_is_there_alone(page: Any) -> None:
    region(page).get_by_role("radio").first.check()
    region(page).get_by_role("button", name="Answer").click()
    region(page).get_by_text("Measure it.").wait_for()
    assert region(page).get_by_text("With paper and pencil").count() == 0


def test_on_a_phone_track_and_term_are_tapped_and_the_meaning_stays_within_the_screen(bench) -> None:
    page = bench.open(size=PHONE, has_touch=True, is_mobile=True)
    region(page).get_by_text("Installer", exact=True).tap()
    installer_is_kept(page)
    bench.go(page, "?lesson=sample/1")
    observe(page)
    a_term_is_tapped_and_its_meaning_stays_within_the_screen(page)
    what_is_for_installers_is_there_alone(page)


def a_term_is_tapped_and_its_meaning_stays_within_the_screen(page: Any) -> None:
    term = region(page).get_by_role("button", name="bypass diodes")
    term.tap()
    meaning(page).get_by_text("lets current pass it by").wait_for()
    box = meaning(page).bounding_box()
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= PHONE["width"]
    assert box["y"] + box["height"] <= PHONE["height"]
    assert term.bounding_box()["height"] >= 24
    term.tap()
    meaning(page).wait_for(state="hidden")
    term.tap()
    meaning(page).wait_for()
    region(page).get_by_text("What do the").tap(position={"x": 4, "y": 4})
    meaning(page).wait_for(state="hidden")
