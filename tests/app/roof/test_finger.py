"""The page under a finger on a phone: it scrolls, it moves what it takes hold of, and nothing jumps."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from tests.app.conftest import PHONE

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]

FINGER = {"size": PHONE, "has_touch": True, "is_mobile": True}
FRAMES = "new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"


class Touch:
    """One finger, as the screen reports it."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self.line = page.context.new_cdp_session(page)

    def _send(self, kind: str, *points: tuple[float, float]) -> None:
        touched = [{"x": x, "y": y} for x, y in points]
        self.line.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": touched})
        self.page.evaluate(FRAMES)

    @contextmanager
    def down(self, x: float, y: float) -> Iterator[Touch]:
        self._send("touchStart", (x, y))
        yield self
        self._send("touchEnd")

    def to(self, x: float, y: float) -> None:
        self._send("touchMove", (x, y))


def middle(locator: Any) -> tuple[float, float]:
    box = locator.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def said(page: Any) -> str:
    text: str = page.get_by_test_id("said").inner_text()
    return text


def read(page: Any) -> str:
    text: str = page.locator("#curves .read").inner_text()
    return text


def test_a_swipe_that_begins_on_the_plot_scrolls_the_page_and_moves_no_point(left_open: Any) -> None:
    page = left_open.open(**FINGER)
    page.locator("#curves .handle").first.wait_for(state="attached")
    before, text = read(page), said(page)
    x, y = middle(page.locator("#curves .hit").first)
    with Touch(page).down(x - 90, y + 40) as finger:
        for step in range(1, 13):
            finger.to(x - 90, y + 40 - 14 * step)
    # What lies under the curves comes first, then the page.
    page.wait_for_function("scrollY + document.getElementById('curves').scrollTop > 30")
    assert (read(page), said(page)) == (before, text)


def test_the_handle_is_dragged_as_far_as_the_finger_goes(left_open: Any) -> None:
    page = left_open.open(**FINGER)
    handle = page.locator("#curves .handle").first
    handle.wait_for(state="attached")
    x, y = middle(handle)
    left = page.locator("#curves .hit").first.bounding_box()["x"]
    moved = []
    with Touch(page).down(x, y) as finger:
        for step in range(1, 21):
            finger.to(x + (left + 40 - x) * step / 20, y + 3 * step)
            moved.append(handle.evaluate("one => one.getBoundingClientRect().x"))
    assert page.evaluate("scrollY + document.getElementById('curves').scrollTop") == 0
    assert moved[-1] < moved[4] - 60, "it goes on after the first 17 px"
    held = page.locator("#curves .read b")
    held.filter(has_text="V").wait_for()
    volts = float(held.inner_text().split("V")[0].replace("\u2212", "-").strip(" \u202f\u00a0"))
    assert volts < 100, "the array was held at its maximum, and is at the left end of its curve now"


@pytest.mark.parametrize("menu", ["light", "weather", "operation", "array"])
def test_a_panel_is_a_sheet_from_below_that_leaves_the_curves_in_sight(left_open: Any, menu: str) -> None:
    page = left_open.open(**FINGER)
    page.get_by_test_id(f"menu-{menu}").tap()
    panel = page.locator(f".panel--{menu}")
    panel.wait_for()
    sheet, curves = panel.bounding_box(), page.locator("#curves").bounding_box()
    assert sheet["y"] >= curves["y"] + curves["height"]
    assert sheet["y"] + sheet["height"] == pytest.approx(PHONE["height"], abs=1)
    assert sheet["width"] == PHONE["width"]


def test_a_tap_beside_a_sheet_closes_it_and_does_nothing_else(left_open: Any) -> None:
    page = left_open.open(**FINGER)
    page.evaluate("document.getElementById('roof').scrollIntoView()")
    page.get_by_test_id("menu-weather").dispatch_event("click")
    page.locator(".panel--weather").wait_for()
    text = said(page)
    x, y = middle(page.locator("#roof [role=gridcell]").first)
    page.touchscreen.tap(x, y)
    page.locator(".panel--weather").wait_for(state="hidden")
    page.evaluate(FRAMES)
    assert said(page) == text


def predicted(page: Any, lesson: str, answer: str) -> Any:
    """A lesson's step, opened by its link, with a number stored as the prediction."""
    region = page.get_by_role("region", name="Lesson")
    region.locator("[data-phase=predict] input").fill(answer)
    region.get_by_role("button", name="Store prediction").tap()
    region.locator("[data-phase=act] [data-act=reach]").wait_for()
    return region


def test_an_act_brings_the_panel_it_is_done_with(bench: Any) -> None:
    page = bench.open("?lesson=one-cell/1", **FINGER)
    region = predicted(page, "one-cell", "0.34")
    region.locator("[data-act=reach]").tap()
    page.get_by_role("textbox", name="In-plane irradiance", exact=True).wait_for()


def test_an_act_brings_its_drawing_and_the_text_stays_where_it_is_while_the_lesson_is_drawn_anew(
    bench: Any,
) -> None:
    page = bench.open("?lesson=hungry-cell/1", **FINGER)
    region = predicted(page, "hungry-cell", "6")
    region.locator("[data-act=reach]").tap()
    page.wait_for_function(
        "() => { const top = document.getElementById('roof').getBoundingClientRect().top;"
        " return top > 250 && top < 420 }"
    )

    # The act is done elsewhere on the page: the text that is being read must not go from under the eyes.
    page.evaluate("document.querySelector('#lesson').scrollIntoView(); scrollBy(0, 120)")
    page.evaluate(FRAMES)
    place = region.locator("[data-phase=predict] .phase__title")
    before = place.bounding_box()["y"]
    address = page.locator("#roof input[name=place]")
    address.evaluate("one => { one.value = '1/1/14'; one.form?.requestSubmit() }")
    page.locator("#roof").get_by_role("gridcell", name="Cell 14").first.dispatch_event("focus")
    page.keyboard.press("Control+z")
    page.evaluate(FRAMES)
    assert abs(place.bounding_box()["y"] - before) < 2, "the text went from under the eyes"


def test_a_caution_does_not_hide_the_cell_it_is_about(left_open: Any) -> None:
    page = left_open.open(**FINGER)
    cell = page.locator("#roof").get_by_role("gridcell", name="cell 27,").first
    cell.scroll_into_view_if_needed()
    page.touchscreen.tap(*middle(cell))
    page.locator(".crumbs").get_by_text("27").wait_for()
    # A path with bare numbers in it, to save room, is wide enough for a finger nevertheless.
    widths = page.locator(".crumb").evaluate_all("all => all.map(one => one.getBoundingClientRect().width)")
    assert len(widths) == 5
    assert min(widths) >= 24
    page.locator(".tray-button[data-tray=break]").dispatch_event("click")
    # The cell stands just above what is said at the screen's foot.
    box = cell.bounding_box()
    page.evaluate(
        "low => scrollBy(0, low - document.querySelector('.status').getBoundingClientRect().top)",
        box["y"] + box["height"] + 4,
    )
    page.evaluate(FRAMES)
    page.locator(".chip[data-name=cell-short]").dispatch_event("click")
    page.locator(".word.said .caution:not(.ghost)").wait_for()
    page.evaluate(FRAMES)
    seen, word = cell.bounding_box(), page.locator(".word.said").bounding_box()
    above = page.locator(".jump").bounding_box()
    assert seen["y"] + seen["height"] <= word["y"]
    assert seen["y"] >= above["y"] + above["height"]
