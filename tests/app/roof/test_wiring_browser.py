"""A roof mounted and wired in the page, by mouse, by keys and by finger."""

from __future__ import annotations

import re
from typing import Any

import pytest

from tests.app.axe import broken_rules
from tests.app.conftest import PHONE, WAIT_ms

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]

NAMED = re.compile(r"place (\S+), string (\d+), module (\d+)")


def middle(page: Any, spot: str) -> tuple[float, float]:
    box = page.locator(f'[data-key="@{spot}"]').bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def wiring(page: Any) -> list[list[str]]:
    """The spots of each string, as a screen reader hears them."""
    places = page.locator('[data-key^="@"]')
    labels = places.evaluate_all("all => all.map(one => one.getAttribute('aria-label'))")
    strings: dict[int, dict[int, str]] = {}
    for spot, string, module in (found.groups() for one in labels if (found := NAMED.match(one))):
        strings.setdefault(int(string), {})[int(module)] = spot
    return [[strings[string][module] for module in sorted(strings[string])] for string in sorted(strings)]


def cables(page: Any) -> str:
    text: str = page.locator(".roof .readout").inner_text()
    return text


def said(page: Any, text: str) -> None:
    page.get_by_test_id("said").filter(has_text=text).wait_for()


def test_strings_are_drawn_by_mouse_and_by_keys(bench: Any) -> None:
    page = bench.open()
    page.locator("[data-tray=wire]").click()
    page.locator("[data-name=free]").click()
    page.locator('[data-key="@A/1/1"]').wait_for(state="attached")

    # By the mouse: string 1 through the left half of both rows, in one stroke.
    page.mouse.move(*middle(page, "A/1/1"))
    page.mouse.down()
    for spot in ("A/1/4", "A/2/4", "A/2/1"):
        page.mouse.move(*middle(page, spot), steps=8)
    page.mouse.up()
    said(page, "string 1 drawn through eight modules")
    left = ["A/1/1", "A/1/2", "A/1/3", "A/1/4", "A/2/4", "A/2/3", "A/2/2", "A/2/1"]

    # By keys alone: string 2 through the right half.
    page.locator("[data-name=string-2]").focus()
    page.keyboard.press("Enter")
    page.locator('[data-key="@A/1/5"]').focus()
    steps = ["ArrowRight"] * 3 + ["ArrowDown"] + ["ArrowLeft"] * 3
    page.keyboard.press("Space")
    for count, step in enumerate(steps, start=2):
        page.keyboard.press(step)
        page.keyboard.press("Space")
        said(page, {2: "two", 3: "three", 4: "four", 5: "five", 6: "six", 7: "seven", 8: "eight"}[count])
    right = ["A/1/5", "A/1/6", "A/1/7", "A/1/8", "A/2/8", "A/2/7", "A/2/6", "A/2/5"]
    assert wiring(page) == [left, right]
    assert broken_rules(page, ("#roof",)) == []

    # All at once, back by undo, and the shortest.
    page.locator("[data-name=order]").select_option("row by row")
    page.locator("[data-name=wire-so]").click()
    said(page, "ired row by row")
    page.keyboard.press("Control+z")
    said(page, "ndone")
    assert wiring(page) == [left, right]
    page.locator("[data-name=order]").select_option("shortest")
    page.locator("[data-name=wire-so]").click()
    said(page, "proved")
    assert "before" in cables(page)

    # Turned, taken away, put down again.
    page.locator("[data-name=tool-turn]").click()
    page.locator("[data-name=scope-row]").click()
    page.mouse.click(*middle(page, "A/2/3"))
    said(page, "eight modules turned by 180°")
    page.locator("[data-name=tool-take]").click()
    page.locator("[data-name=scope-one]").click()
    page.mouse.click(*middle(page, "A/1/6"))
    said(page, "A/1/6 taken away")
    page.locator("[data-name=tool-put]").click()
    page.mouse.click(*middle(page, "A/1/6"))
    said(page, "in no string yet")
    page.mouse.click(*middle(page, "A/1/6"))
    page.get_by_text("A module lies here already.").wait_for()

    # The box by its handle, by keys and by number; a number that is none is told and changes nothing.
    box = page.locator("[data-handle=meeting]").bounding_box()
    page.mouse.move(box["x"] + 13, box["y"] + 11)
    page.mouse.down()
    page.mouse.move(box["x"] + 13, box["y"] + 60, steps=5)
    page.mouse.up()
    said(page, "meeting box moved")
    page.locator("[data-name=box]").focus()
    page.keyboard.press("ArrowRight")
    page.locator("[data-name=wire-x]").fill("1.5")
    page.locator("[data-name=wire-x]").press("Enter")
    page.locator("[data-name=wire-y]").fill("high")
    page.locator("[data-name=wire-y]").press("Tab")
    page.get_by_role("alert").filter(has_text="cannot be used here").wait_for()
    # The answer to the arrow's step may come in between.
    expect = pytest.importorskip("playwright.sync_api").expect
    expect(page.locator("[data-name=wire-x]")).to_have_value("1.5", timeout=WAIT_ms)

    # What was wired is shaded as ever, with its cables in view.
    page.locator("[data-tray=shade]").click()
    page.locator('[data-key="1/2"]').wait_for(state="attached")
    box = page.locator('[data-key="1/2"]').bounding_box()
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    said(page, "shaded to 20")

    # On paper: the drawing and the curves, and nothing to press; then all is as before.
    page.evaluate("void (window.print = () => { window.printed = true })")
    page.get_by_role("button", name="Files").click()
    page.get_by_role("button", name="Print as a hand-out").click()
    page.wait_for_function("window.printed")
    assert not page.locator(".tools").first.is_visible()
    assert not page.get_by_role("button", name="Files").is_visible()
    assert page.locator(".roof .image").bounding_box()["height"] > 250
    page.evaluate("window.dispatchEvent(new Event('afterprint'))")
    page.get_by_role("button", name="Files").wait_for()


def test_a_finger_draws_a_string_on_a_phone(bench: Any) -> None:
    page = bench.open(size=PHONE, has_touch=True, is_mobile=True, color_scheme="dark")
    page.locator("[data-tray=wire]").tap()
    page.locator("[data-name=free]").tap()
    page.locator('[data-key="@A/1/1"]').wait_for(state="attached")
    page.locator(".roof .stage").scroll_into_view_if_needed()
    for spot, through in (("A/2/2", "one module"), ("A/2/1", "two modules"), ("A/1/1", "three modules")):
        page.touchscreen.tap(*middle(page, spot))
        said(page, f"string 1 drawn through {through}")
    page.touchscreen.tap(*middle(page, "A/2/1"))
    said(page, "string 1 drawn through one module")
    page.locator("[data-name=order]").select_option("leapfrog")
    page.locator("[data-name=wire-so]").tap()
    said(page, "every other one and back")
    assert broken_rules(page, ("#roof",)) == []
