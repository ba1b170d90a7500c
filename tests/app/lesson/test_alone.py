"""Somebody alone with a lesson: with keys, at 200 % zoom, with a finger on a phone; nothing done is lost."""

from __future__ import annotations

import json
from typing import Any

import pytest

from pvsim.course.folder.course_reader import own_course
from tests.app.conftest import DESK, PHONE
from tests.app.lecture.test_lecture import Keys, Mouse, next_page, part, play, sheet

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]

LESSON = next(lesson for lesson in own_course().lessons if lesson.slug == "hungry-cell")
ZOOMED = {"width": DESK["width"] // 2, "height": DESK["height"] // 2}  # what 200 % leaves of a projector
FINGER = {"size": PHONE, "has_touch": True, "is_mobile": True}

# What has the focus lies under nothing: the point in its middle, or in that of its first line, is its own.
IN_SIGHT = """() => {
    let at = document.activeElement
    while (at && at.shadowRoot && at.shadowRoot.activeElement) at = at.shadowRoot.activeElement
    if (at === document.body) return true
    const box = at.getClientRects()[0] ?? at.getBoundingClientRect()
    const [x, y] = [box.left + box.width / 2, box.top + Math.min(box.height / 2, 14)]
    let top = document.elementFromPoint(x, y)
    while (top && top.shadowRoot && top.shadowRoot.elementFromPoint(x, y)) {
      const inner = top.shadowRoot.elementFromPoint(x, y)
      if (inner === top) break
      top = inner
    }
    if (top && (at === top || at.contains(top) || top.contains(at))) return true
    return `${at.outerHTML.slice(0, 200)} lies under ${top && top.outerHTML.slice(0, 200)}`
}"""

# Text that is wider than its box, or reaches out of the screen.
CUT = """() => {
    const shadows = [...document.querySelectorAll("#lesson *")].map(one => one.shadowRoot).filter(Boolean)
    const texts = shadows.flatMap(root => [...root.querySelectorAll("p, h3, h4, h5, li, button, label, dd")])
    if (texts.length < 10) return ["there is no text"]
    const cut = texts.filter(one => {
      const box = one.getBoundingClientRect()
      const over = one.clientWidth && one.scrollWidth > one.clientWidth + 1
      return box.width > 1 && (box.right > innerWidth + 1 || box.left < -1 || over)
    })
    const wide = document.documentElement.scrollWidth > innerWidth ? ["the page"] : []
    return [...cut.map(one => one.textContent.slice(0, 80)), ...wide]
}"""


class Watched(Keys):
    """Keys alone, and what they are on is in sight each time."""

    def reach(self, locator: Any) -> None:
        super().reach(locator)
        assert self.page.evaluate(IN_SIGHT) is True, self.page.evaluate(IN_SIGHT)


class Finger(Mouse):
    """Does everything by touch; types only numbers and places."""

    def press(self, locator: Any) -> None:
        locator.tap()

    def choose(self, radio: Any) -> None:
        radio.tap()
        assert radio.is_checked()

    def write(self, field: Any, text: str) -> None:
        field.tap()
        field.fill(text)

    def close(self) -> None:
        self.page.touchscreen.tap(200, 200)  # beside the sheet: that closes it, and does no more

    def touch_part(self, place: str) -> None:
        self.write(self.page.locator("#roof input[name=place]"), place)
        self.press(self.page.locator("#roof").get_by_role("button", name="Go"))
        self.press(part(self.page, place))


def region(page: Any) -> Any:
    return page.get_by_role("region", name="Lesson")


def begin(hand: Any, page: Any) -> None:
    hand.press(page.locator(f"#lesson [data-slug={LESSON.slug}]"))
    page.locator("#lesson .sheet[data-kind=opening]").wait_for(state="attached")
    next_page(hand, page)


@pytest.mark.parametrize("size", [pytest.param(DESK, id="desk"), pytest.param(ZOOMED, id="200-percent")])
def test_a_lesson_is_walked_through_with_keys_alone_and_nothing_is_hidden(
    bench, size: dict[str, int]
) -> None:
    page = bench.open(size=size)
    hand = Watched(page)
    begin(hand, page)
    for number, step in enumerate(LESSON.steps):
        play(hand, page, LESSON, step, first=number == 0)
        assert page.evaluate(CUT) == []
        next_page(hand, page)
    page.locator("#lesson .sheet[data-kind=closing]").wait_for(state="attached")
    assert page.evaluate(IN_SIGHT) is True
    assert page.evaluate(CUT) == []


def test_a_lesson_is_played_with_a_finger_left_taken_to_another_phone_and_damaged(bench, tmp_path) -> None:
    page = bench.open(**FINGER)
    hand = Finger(page)
    begin(hand, page)
    for number, step in enumerate(LESSON.steps[:2]):
        play(hand, page, LESSON, step, first=number == 0)
        next_page(hand, page)
    sheet(page, "predict").wait_for(state="attached")
    page.close()  # the phone is put away; the bare address is opened later

    page = page.context.new_page()
    bench.go(page)
    hand = Finger(page)
    go_on = region(page).get_by_role("button", name="Go on where you left")
    assert LESSON.steps[2].title in go_on.inner_text()
    hand.press(go_on)
    for step in LESSON.steps[2:]:
        play(hand, page, LESSON, step, first=False)
        next_page(hand, page)
    page.locator("#lesson .sheet[data-kind=closing]").wait_for(state="attached")
    assert page.locator("#lesson .result").count() == len(LESSON.steps)
    assert page.locator("#lesson .result--wrong").count() == 1
    hand.press(region(page).get_by_role("button", name="Contents").first)
    with page.expect_download() as download:
        hand.press(region(page).get_by_role("button", name="Save it as a file"))
    path = tmp_path / "workbook.json"
    download.value.save_as(path)
    a_damaged_step_costs_that_step_alone(bench, page)

    other = bench.open(**FINGER)
    with other.expect_file_chooser() as chooser:
        region(other).get_by_role("button", name="Take one from a file").tap()
    chooser.value.set_files(path)
    entry = other.locator(f"#lesson [data-slug={LESSON.slug}]")
    entry.locator(".state--done").wait_for()
    entry.tap()
    other.locator("#lesson .sheet[data-kind=closing]").wait_for(state="attached")
    assert other.locator("#lesson .result--wrong").count() == 1


@pytest.mark.parametrize(
    "kept",
    [
        pytest.param('{"at":"one-cell","format":1,"lessons":{"one-cell":{"pa', id="cut-off"),
        pytest.param('{"at":"","format":1,"lessons":[]}', id="of-another-shape"),
        pytest.param('{"at":"","format":2,"lessons":{}}', id="of-a-later-pvsim"),
        pytest.param("\u0000\ufffd", id="no-text"),
    ],
)
def test_a_workbook_that_cannot_be_read_is_set_aside_and_can_be_saved(bench, tmp_path, kept: str) -> None:
    page = bench.open(kept={"workbook": kept})
    region(page).get_by_text("could not be read").wait_for()
    hand = Mouse(page)
    begin(hand, page)
    region(page).get_by_role("textbox").fill("5,7")
    region(page).get_by_role("button", name="Store prediction").click()
    page.wait_for_function("JSON.parse(localStorage.getItem('pvsim.workbook'))?.lessons['hungry-cell']")
    bench.go(page)  # the new work is there, and so is what was set aside
    region(page).get_by_role("button", name="Go on where you left").wait_for()
    with page.expect_download() as download:
        region(page).get_by_role("button", name="Save what was set aside").click()
    path = tmp_path / "aside.json"
    download.value.save_as(path)
    assert path.read_text(encoding="utf-8") == kept
    region(page).get_by_role("button", name="Forget it").click()
    region(page).get_by_role("button", name="Press again").click()
    region(page).get_by_text("could not be read").wait_for(state="detached")
    assert page.evaluate("localStorage.getItem('pvsim.workbook.unread')") is None


def a_damaged_step_costs_that_step_alone(bench: Any, page: Any) -> None:
    whole = json.loads(page.evaluate("localStorage.getItem('pvsim.workbook')"))
    assert set(whole["lessons"][LESSON.slug]["steps"]) == {step.id for step in LESSON.steps}
    whole["lessons"][LESSON.slug]["steps"][LESSON.steps[0].id] = ["damaged"]
    page.goto(bench.served.url + "assets/mark.svg")  # a page of the same origin that keeps nothing itself
    page.evaluate("sessionStorage.clear()")  # as in a tab of its own
    page.evaluate("text => localStorage.setItem('pvsim.workbook', text)", json.dumps(whole))
    bench.go(page, f"?lesson={LESSON.slug}/2")
    sheet(page, "explain").wait_for(state="attached")
    region(page).locator(".dot").nth(1).tap()
    sheet(page, "predict").wait_for(state="attached")


def test_a_link_to_a_lesson_opens_at_its_text_on_a_phone_and_the_bare_address_at_the_top(bench) -> None:
    page = bench.open("?lesson=diode/1", **FINGER)
    heading = region(page).get_by_role("heading", name="Now with diodes")
    heading.wait_for()
    page.wait_for_function("scrollY > 300")
    page.wait_for_timeout(1000)
    assert 330 < heading.bounding_box()["y"] < 480, "right below what stays over the text"
    page.reload()
    heading.wait_for()
    page.wait_for_function("scrollY > 300")
    page.wait_for_timeout(1000)
    assert 330 < heading.bounding_box()["y"] < 480
    bench.go(page)
    page.wait_for_timeout(500)
    assert page.evaluate("scrollY") == 0


def test_no_part_of_the_page_moves_for_somebody_who_asked_for_stillness(bench) -> None:
    page = bench.open("?lesson=diode/1", reduced_motion="reduce")
    region(page).get_by_role("textbox").or_(region(page).get_by_role("radio")).first.wait_for()
    page.evaluate(
        """() => {
          window.moved = []
          const all = [...document.querySelectorAll("*")]
          window.roots = [document, ...all.map(one => one.shadowRoot)].filter(Boolean)
          const hear = event => moved.push(`${event.type} ${event.animationName ?? event.propertyName}`)
          for (const root of roots) {
            for (const name of ["animationstart", "transitionrun"]) root.addEventListener(name, hear)
          }
        }"""
    )
    page.get_by_test_id("tool-theme").hover()
    page.get_by_test_id("tool-theme").click()
    page.locator("#ladder summary").click()
    for place in ("2/3", "1/1/14", "array"):
        address = page.locator("#roof input[name=place]")
        address.fill(place)
        address.press("Enter")
        page.locator("#roof .over:not(.away)").wait_for(state="attached")
    region(page).get_by_role("textbox").or_(region(page).get_by_role("radio")).first.focus()
    assert page.evaluate("roots.flatMap(root => root.getAnimations()).length") == 0
    assert page.evaluate("[roots.length > 5, moved]") == [True, []]
