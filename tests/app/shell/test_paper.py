"""Paper: the page as a hand-out by the browser's own keys, a table whole, an open dialog alone."""

from __future__ import annotations

import re

import pytest

from pvsim.exercise import ExerciseCase, own_exercises
from pvsim.exercise.paper import parts_of_case, work_sheet, write_html
from pvsim.words import speaking
from tests.app.left_open import LeftOpen

pytestmark = pytest.mark.ui

KEEP_PRINTS = "void Object.assign(window, { printed: 0, print: () => void (window.printed += 1) })"


def print_by_keys(page):
    """Ctrl+P, and the page as it stands when the printer gets it."""
    page.evaluate(KEEP_PRINTS)
    page.keyboard.press("Control+p")
    page.wait_for_function("window.printed === 1")
    page.emulate_media(media="print")


def put_away(page):
    """The paper is out, and the page is on the screen again."""
    page.evaluate("window.dispatchEvent(new Event('afterprint'))")
    page.emulate_media(media="null")


def test_keys_of_the_browser_print_the_hand_out(left_open: LeftOpen) -> None:
    page = left_open.open()
    print_by_keys(page)
    assert page.locator(".bar").first.is_hidden()
    assert page.locator("#lesson").is_hidden()
    put_away(page)
    assert page.locator("#lesson").is_visible()


def test_a_table_is_as_long_on_paper_as_it_is(left_open: LeftOpen) -> None:
    page = left_open.open()
    page.get_by_role("radiogroup", name="What is shown").get_by_text("Table").click()
    last = page.locator("#curves .sheet tbody tr").last
    last.wait_for(state="attached")
    print_by_keys(page)
    sheet = page.locator("#curves .sheet")
    assert sheet.evaluate("node => node.scrollHeight - node.clientHeight") <= 1
    foot = last.evaluate("node => node.getBoundingClientRect().bottom")
    assert foot <= page.locator("#curves").evaluate("node => node.getBoundingClientRect().bottom")
    assert foot <= page.locator("#ladder").evaluate("node => node.getBoundingClientRect().top")
    # On pages its head stands again, and what follows has to move down: a flex box would not let it.
    column = page.locator("#curves .column")
    assert column.evaluate("node => getComputedStyle(node).display") == "block"
    put_away(page)


def test_by_a_menu_the_curves_are_printed_as_they_stand(left_open: LeftOpen) -> None:
    """Then nothing can be drawn anew: their canvases keep the size that what lies over them has."""
    page = left_open.open(color_scheme="dark")
    frames = """() => [...document.querySelectorAll("#curves")].flatMap(region => {
      const found = [], look = node => {
        if (node.shadowRoot) look(node.shadowRoot)
        for (const one of node.children ?? []) {
          if (one.matches("canvas, .overlay, .key")) found.push(one)
          look(one)
        }
      }
      look(region)
      const { left, top } = region.getBoundingClientRect()
      return found.map(one => one.getBoundingClientRect()).map(box =>
        [box.left - left, box.top - top, box.width, box.height].map(Math.round))
    })"""
    before = page.evaluate(frames)
    assert len(before) >= 3
    page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")
    assert page.locator(".bar").first.is_hidden()
    assert page.evaluate(frames) == before
    put_away(page)
    assert page.locator("html").get_attribute("data-printed") is None
    assert page.locator("#curves").get_attribute("style") in (None, "")


@pytest.mark.parametrize(("event", "name"), [("pvsim:sheet", "sheet"), ("pvsim:curve", "traced")])
def test_a_dialog_is_printed_whole_and_alone(left_open: LeftOpen, event: str, name: str) -> None:
    page = left_open.open(color_scheme="dark")
    page.evaluate(f"void document.dispatchEvent(new CustomEvent('{event}'))")
    dialog = page.locator(f"dialog.{name}")
    dialog.wait_for()
    if name == "traced":
        dialog.get_by_role("button", name="Try it with an invented curve").click()
        dialog.get_by_text("What was recognised").wait_for()
    page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")
    assert page.locator(".page").is_hidden()
    assert dialog.is_visible()
    cut = """node => [node, ...node.querySelectorAll("*")].filter(one =>
      getComputedStyle(one).overflowY !== "visible" && one.clientHeight > 0
      && one.scrollHeight > one.clientHeight + 1
    ).map(one => one.className)"""
    assert dialog.evaluate(cut) == []
    assert dialog.evaluate("node => getComputedStyle(node).backgroundColor") == "rgb(255, 255, 255)"
    put_away(page)
    assert page.locator("html").get_attribute("data-theme") == "dark"
    page.keyboard.press("Escape")
    dialog.wait_for(state="hidden")
    assert page.locator("html").get_attribute("data-guest") is None


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_work_sheet_takes_a_page_for_each_question(browser, language: str) -> None:
    with speaking(language):
        parts = parts_of_case(own_exercises("diode", language), ExerciseCase(seed=5))
        text = write_html(work_sheet(parts, title="Diode", language=language, who="Ada", case="5"))
    page = browser.new_page()
    page.set_content(text)
    page.evaluate("document.fonts.ready.then(() => true)")
    printed = page.pdf(prefer_css_page_size=True)
    page.close()
    assert len(re.findall(rb"/Type\s*/Page\b", printed)) == len(parts)


def test_results_of_a_lecture_are_printed_alone_by_a_menu_too(left_open: LeftOpen) -> None:
    page = left_open.open(color_scheme="dark")
    page.locator("#lecture-of").select_option("diode")
    page.get_by_role("button", name="Prepare").click()
    page.get_by_role("button", name="Rehearse").click()
    page.locator(".podium[data-at='0']").wait_for()
    results = page.get_by_role("button", name="Results of the class")
    page.locator(".podium select").select_option(index=page.locator(".podium select option").count() - 1)
    results.click()
    page.get_by_role("region", name="Results of the class").first.wait_for()
    page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")
    assert page.locator("#curves").is_hidden()
    assert page.locator(".outcome").is_visible()
    assert page.get_by_role("button", name="Save as CSV").is_hidden()
    assert page.locator("html").get_attribute("data-theme") == "light"
    put_away(page)
    assert page.locator("html").get_attribute("data-paper") is None
    assert page.locator("html").get_attribute("data-theme") == "dark"
    assert page.locator("#curves").is_visible()
