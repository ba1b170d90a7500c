"""Paper: the page as a hand-out by the browser's own keys, a table whole, an open dialog alone."""

from __future__ import annotations

import pytest

from tests.app.conftest import Bench

pytestmark = pytest.mark.ui

KEEP_PRINTS = "void Object.assign(window, { printed: 0, print: () => void (window.printed += 1) })"


def print_by_keys(page):
    """Ctrl+P, and the page as it stands when the printer gets it."""
    page.evaluate(KEEP_PRINTS)
    page.keyboard.press("Control+p")
    page.wait_for_function("window.printed === 1")
    page.emulate_media(media="print")


def test_keys_of_the_browser_print_the_hand_out(bench: Bench) -> None:
    page = bench.open()
    print_by_keys(page)
    assert page.locator(".bar").first.is_hidden()
    assert page.locator("#lesson").is_hidden()
    page.evaluate("window.dispatchEvent(new Event('afterprint'))")
    page.emulate_media(media="screen")
    assert page.locator("#lesson").is_visible()


def test_a_table_is_as_long_on_paper_as_it_is(bench: Bench) -> None:
    page = bench.open()
    page.get_by_role("radiogroup", name="What is shown").get_by_text("Table").click()
    last = page.locator("#curves .sheet tbody tr").last
    last.wait_for(state="attached")
    print_by_keys(page)
    sheet = page.locator("#curves .sheet")
    assert sheet.evaluate("node => node.scrollHeight - node.clientHeight") <= 1
    foot = last.evaluate("node => node.getBoundingClientRect().bottom")
    assert foot <= page.locator("#curves").evaluate("node => node.getBoundingClientRect().bottom")
    assert foot <= page.locator("#ladder").evaluate("node => node.getBoundingClientRect().top")


@pytest.mark.parametrize(("event", "name"), [("pvsim:curve", "traced"), ("pvsim:sheet", "sheet")])
def test_a_dialog_is_printed_whole_and_alone(bench: Bench, event: str, name: str) -> None:
    page = bench.open(color_scheme="dark")
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
    page.evaluate("window.dispatchEvent(new Event('afterprint'))")
    page.emulate_media(media="screen")
    assert page.locator("html").get_attribute("data-theme") == "dark"
    page.keyboard.press("Escape")
    dialog.wait_for(state="hidden")
    assert page.locator("html").get_attribute("data-guest") is None
