"""The course in a real browser: every lesson by hand, one with the mouse, the next with keys alone.

Every act is done by hand on the bench, as a lecturer does it; nothing is done by the lesson itself.
PVSIM_HANDS=all walks each lesson both ways.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from typing import Any

import pytest

from pvsim.course.folder.course_check import given_for
from pvsim.course.folder.course_reader import own_course
from pvsim.course.lesson.lesson import ChoiceQuestion, Lesson, Question, Step
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play.answers import judge, read_answer
from tests.app.conftest import Bench

pytestmark = [pytest.mark.ui, pytest.mark.slow]

LESSONS = own_course().lessons
MOST_TABS = 200
MOST_REGIONS = 6

# What is done on the bench in each step: (hand's method, its arguments).
ACTS: dict[str, tuple[str, Any]] = {
    "read-the-label/cardboard": ("touch_part", "1/1/14"),
    "read-the-label/twice-as-many": ("touch_part", "2/1/14"),
    "read-the-label/cells-per-diode": ("touch_part", "2/1/d1"),
    "read-the-label/roof-tiles": ("touch_part", "1/1/14"),
    "one-cell/half-the-light": ("set_field", ("light", "In-plane irradiance", "500")),
    "one-cell/find-the-top": ("set_field", ("operation", "Voltage", "0,568")),
    "one-cell/hot-cell": ("set_field", ("weather", "Every cell", "65")),
    "one-cell/cold-morning": ("set_field", ("weather", "Every cell", "-10")),
    "cell-to-array/cut-a-cable": ("touch_modules", ["2/3"]),
    "cell-to-array/one-string-dim": ("touch_modules", [f"1/{m}" for m in range(1, 9)]),
    "cell-to-array/same-shade-across": ("touch_modules", [f"{s}/{m}" for s in (1, 2) for m in range(1, 5)]),
    "cell-to-array/trackers-apart": ("touch_modules", [f"1/{m}" for m in range(1, 6)]),
    "hungry-cell/one-in-sixty": ("touch_part", "1/1/14"),
    "hungry-cell/the-worst-load": ("hold_at", ("voltage", "Voltage", "0")),
    "hungry-cell/soft-breakdown": ("touch_part", "1/1/14"),
    "diode/with-diodes": ("touch_part", "1/1/14"),
    "diode/second-leaf": ("touch_part", "1/1/9"),
    "diode/own-heat": ("hold_at", ("voltage", "Voltage", "0")),
    "diode/open-diode": ("touch_part", "1/1/d1"),
    "diode/half-cells": ("touch_part", "1/3/14"),
    "five-levels/five-levels": ("touch_part", "1/4/14"),
    "five-levels/which-reading": ("touch_part", "1/4/14"),
    "five-levels/warm-wind": ("set_field", ("weather", "Every cell", "31")),
    "five-levels/unlike": ("touch_part", "1/4/14"),
    "five-levels/small-roof": ("touch_part", "1/1/14"),
    "darkest-hottest/three-shades": ("touch_part", "1/4/14"),
    "darkest-hottest/the-worst-shade": ("shade_to", ("86", "1/4/14")),
    "darkest-hottest/the-leak": ("touch_part", "1/4/14"),
    "darkest-hottest/half-the-row": ("touch_part", "1/3/14"),
    "four-deaths/shorted": ("touch_part", "1/1/14"),
    "four-deaths/open": ("touch_part", "1/1/14"),
    "four-deaths/dark": ("touch_part", "1/1/14"),
    "four-deaths/cracked": ("touch_part", "1/1/14"),
    "four-deaths/half-gone": ("touch_part", "1/3/14"),
    "absent-diode/two-failures": ("touch_part", "2/4/d1"),
    "absent-diode/two-leaves": ("touch_part", "1/4/14"),
    "absent-diode/the-cloth": ("touch_modules", ["1/4"]),
    "absent-diode/at-night": ("touch_part", "1/3/d2"),
    "unseen-wire/one-ribbon": ("touch_part", "1/4/14"),
    "unseen-wire/bad-contact": ("touch_modules", ["1/4"]),
    "unseen-wire/grey-morning": ("set_field", ("light", "In-plane irradiance", "250")),
    "unseen-wire/on-a-battery": ("touch_modules", ["1/1"]),
    "strong-feed-weak/an-open-cell": ("touch_part", "1/4/14"),
    "strong-feed-weak/a-shorted-diode": ("touch_part", "1/4/d1"),
    "strong-feed-weak/switched-off": ("hold_at", ("current", "Current", "0")),
    "strong-feed-weak/a-blown-fuse": ("touch_modules", ["3/4"]),
    "snow-edge/upright": ("set_shadow", ("snow edge", "high, m", "0,2")),
    "snow-edge/on-its-side": ("set_shadow", ("snow edge", "high, m", "0,2")),
    "snow-edge/two-halves": ("set_shadow", ("snow edge", "high, m", "0,2")),
    "snow-edge/knee-deep": ("set_shadow", ("snow edge", "high, m", "0,55")),
    "two-tops/light-shade": ("touch_part", "1/1/14"),
    "two-tops/the-jump": ("touch_part", "1/1/14"),
    "two-tops/the-lower-top": ("hold_at", ("voltage", "Voltage", "38,6")),
    "two-tops/a-longer-chain": ("touch_part", "1/4/14"),
    "back-side/a-white-wall": ("set_field", ("light", "Rear irradiance, for bifacial modules", "260")),
    "back-side/a-handrail": ("set_shadow", ("beam", "y, m", "0,9")),
    "back-side/three-heights": ("set_field", ("light", "Rear irradiance, for bifacial modules", "260")),
    "back-side/a-sticker": ("set_field", ("light", "Rear irradiance, for bifacial modules", "260")),
    "roof-wiring/every-other": ("wire", [("order", "leapfrog")]),
    "roof-wiring/turned-rows": ("wire", [("row", "A/1/1"), ("row", "A/2/1")]),
    "roof-wiring/loop": ("wire", [("row", "A/1/1"), ("row", "A/3/1")]),
    "roof-wiring/another-roof": ("wire", [("row", "A/1/1"), ("order", "blocks 2 4")]),
    "long-shadow/a-mast": ("set_day", ("remove", "")),
    "long-shadow/half-as-high": ("set_day", ("#day-thing-0-height_m", "4")),
    "long-shadow/long-shadows": ("set_day", ("#day-date", "2026-12-21")),
    "long-shadow/on-its-side": ("set_day", ("remove", "")),
    "find-it/alike": ("touch_part", "2/4/d1"),
    "find-it/halves": ("search", ("1/3/s2", "cell-open")),
    "find-it/cloth": ("stroke", ["2/6/21", "2/6/30", "2/6/31", "2/6/40"]),
    "find-it/two-strings": ("search", ("2/4/s2", "diode-short")),
    "back-side/white-gravel": ("set_field", ("light", "Rear irradiance, for bifacial modules", "150")),
}

IS_FOCUSED = """node => {
    let at = document.activeElement
    while (at && at.shadowRoot && at.shadowRoot.activeElement) at = at.shadowRoot.activeElement
    return node.isConnected ? at === node : null
}"""
IS_IN_REGION = """node => {
    const top = one => one.getRootNode().host ? top(one.getRootNode().host) : one
    const region = top(node).closest('.bar, #roof, #curves, #day, #lesson')
    return !region || region.contains(document.activeElement)
}"""
STANDS_BEFORE = """node => {
    let at = document.activeElement
    while (at && at.shadowRoot && at.shadowRoot.activeElement) at = at.shadowRoot.activeElement
    return at.getRootNode() === node.getRootNode() && Boolean(at.compareDocumentPosition(node) & 2)
}"""
FOCUSED_KEY = """() => {
    let at = document.activeElement
    while (at && at.shadowRoot && at.shadowRoot.activeElement) at = at.shadowRoot.activeElement
    return at.dataset.key ?? ''
}"""


class Mouse:
    """Does everything by pointing; types only numbers and places."""

    def __init__(self, page: Any) -> None:
        self.page = page

    def press(self, locator: Any) -> None:
        locator.click()

    def choose(self, radio: Any) -> None:
        radio.check()

    def write(self, field: Any, text: str) -> None:
        field.click()
        field.fill(text)

    def write_date(self, field: Any, iso: str) -> None:
        field.fill(iso)
        field.dispatch_event("change")

    def pick(self, choice: Any, value: str) -> None:
        choice.select_option(value)

    def touch_spot(self, spot: str) -> None:
        """A click on a place of a mounted roof."""
        box = self.page.locator(f"#roof [data-key='@{spot}']").bounding_box()
        self.page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)

    def close(self) -> None:
        self.page.mouse.click(640, 24 + 48 * 14)  # the status line: nothing there to hit

    def touch_part(self, place: str) -> None:
        """To the place by the address box, then a click on it."""
        self.go(place)
        part(self.page, place).click()

    def go(self, place: str) -> None:
        self.write(self.page.locator("#roof input[name=place]"), place)
        self.page.locator("#roof").get_by_role("button", name="Go").click()

    def touch_modules(self, places: list[str]) -> None:
        """One stroke over the modules of each string, taken whole from afar; a click where one is enough."""
        show_array(self, self.page)
        for string in dict.fromkeys(place.split("/")[0] for place in places):
            row = [place for place in places if place.startswith(string + "/")]
            first, last = (part(self.page, place).bounding_box() for place in (row[0], row[-1]))
            y = first["y"] + 0.04 * first["height"]
            self.page.mouse.move(first["x"] + 0.07 * first["width"], y)  # well inside the first cell
            self.page.mouse.down()
            if len(row) > 1:
                self.page.mouse.move(last["x"] + 0.95 * last["width"], y, steps=len(row))
            self.page.mouse.up()

    def stroke(self, corners: list[str]) -> None:
        """To the first by the address box, then one stroke from corner to corner of a module's loop."""
        self.go(corners[0])
        boxes = [part(self.page, place).bounding_box() for place in corners]
        middles = [(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2) for box in boxes]
        self.page.mouse.move(*middles[0])
        self.page.mouse.down()
        for middle in middles[1:]:
            self.page.mouse.move(*middle, steps=4)
        self.page.mouse.up()


class Keys:
    """Does everything by keys; what cannot be reached with F6 and Tab is not there."""

    def __init__(self, page: Any) -> None:
        self.page = page

    def reach(self, locator: Any) -> None:
        """F6 to the region, then Tab until the element has the focus: back to what stands before."""
        goal = locator.element_handle()
        for _ in range(MOST_REGIONS):
            if goal.evaluate(IS_IN_REGION):
                break
            self.page.keyboard.press("F6")
        key = "Shift+Tab" if goal.evaluate(STANDS_BEFORE) else "Tab"
        for _ in range(MOST_TABS):
            is_here = goal.evaluate(IS_FOCUSED)
            if is_here is None:  # drawn anew meanwhile
                goal = locator.element_handle()
                is_here = goal.evaluate(IS_FOCUSED)
            if is_here:
                return
            self.page.keyboard.press(key)
        pytest.fail(f"{MOST_TABS} presses of {key} do not reach {locator}")

    def press(self, locator: Any) -> None:
        self.reach(locator)
        self.page.keyboard.press("Enter")

    def choose(self, radio: Any) -> None:
        """Radio buttons are one stop: to the group with Tab, on with arrows."""
        group = radio.locator("xpath=ancestor::fieldset").locator("input")
        chosen = group.and_(self.page.locator(":checked"))
        self.reach(chosen if chosen.count() else group.first)
        self.page.keyboard.press("Space")
        for _ in range(group.count()):
            if radio.is_checked():
                break
            self.page.keyboard.press("ArrowDown")
        assert radio.is_checked()

    def write(self, field: Any, text: str) -> None:
        self.reach(field)
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(text)

    def write_date(self, field: Any, iso: str) -> None:
        """Month, day and year, as an American browser asks for them."""
        year, month, day = iso.split("-")
        self.reach(field)
        self.page.keyboard.type(month + day + year)

    def pick(self, choice: Any, value: str) -> None:
        """From entry to entry with arrows; nothing is done before the button beside it is pressed."""
        self.reach(choice)
        entries = choice.evaluate("one => [...one.options].map(entry => entry.value)")
        self.page.keyboard.press("Home")
        for _ in range(entries.index(value)):
            self.page.keyboard.press("ArrowDown")
        assert choice.evaluate("one => one.value") == value

    def touch_spot(self, spot: str) -> None:
        """From place to place with arrows, Space on it."""
        _surface, row, place = spot.split("/")
        self.reach(self.page.locator("#roof [role=gridcell][tabindex='0']"))
        self.page.keyboard.press("Control+Home")
        for key, count in (("ArrowDown", int(row) - 1), ("ArrowRight", int(place) - 1)):
            for _ in range(count):
                self.page.keyboard.press(key)
        assert self.page.evaluate(FOCUSED_KEY) == f"@{spot}"
        self.page.keyboard.press("Space")

    def close(self) -> None:
        self.page.keyboard.press("Escape")

    def touch_part(self, place: str) -> None:
        """To the place by the address box, then Space on it."""
        address = self.page.locator("#roof input[name=place]")
        self.write(address, place)
        self.page.keyboard.press("Enter")
        target = part(self.page, place)
        target.and_(self.page.locator("[tabindex='0']")).wait_for(state="attached")
        self.reach(target)
        self.page.keyboard.press("Space")

    def stroke(self, corners: list[str]) -> None:
        """From cell to cell, Space on each, from the first of the corners to the last."""
        module, _, first = corners[0].rpartition("/")
        for cell in range(int(first), int(corners[-1].rpartition("/")[2]) + 1):
            self.touch_part(f"{module}/{cell}")

    def touch_modules(self, places: list[str]) -> None:
        """From module to module with arrows, Space on each."""
        show_array(self, self.page)
        self.reach(self.page.locator("#roof [role=gridcell][tabindex='0']"))
        for place in places:
            string, module = map(int, place.split("/"))
            self.page.keyboard.press("Control+Home")
            for _ in range(string - 1):
                self.page.keyboard.press("ArrowDown")
            self.page.keyboard.press("Home")
            for _ in range(module):
                self.page.keyboard.press("ArrowRight")
            assert self.page.evaluate(FOCUSED_KEY) == place
            self.page.keyboard.press("Space")


Hand = Mouse | Keys


def part(page: Any, place: str) -> Any:
    """A cell, diode or module of the drawing."""
    string_module_part = place.split("/")
    if len(string_module_part) == 2:
        return page.locator(f"#roof [data-key='{place}']")
    last = string_module_part[2]
    name = f"bypass diode {last[1:]}" if last.startswith("d") else f"cell {last}"
    return page.get_by_role("gridcell", name=re.compile(rf"^{name}\b"))


def show_array(hand: Hand, page: Any) -> None:
    """Bring the whole array into the drawing."""
    hand.press(page.locator("#roof nav").get_by_role("button", name="Array"))
    page.locator("#roof [data-key='1/1']").wait_for(state="attached")


def set_field(hand: Hand, page: Any, menu: str, name: str, value: str) -> None:
    """Set a number in a panel of the bar."""
    hand.press(page.get_by_test_id(f"menu-{menu}"))
    field = page.get_by_role("textbox", name=name, exact=True)
    hand.write(field, value)
    page.keyboard.press("Enter")
    hand.close()


def hold_at(hand: Hand, page: Any, kind: str, name: str, value: str) -> None:
    """Hold the array at a voltage, current or load."""
    hand.press(page.get_by_test_id("menu-operation"))
    ways = page.get_by_role("dialog", name="Operation").get_by_role("radio")
    if isinstance(hand, Keys):
        hand.reach(ways.filter(has_text="MPP"))
        kinds = ways.all_text_contents()
        for k in range(kinds.index("MPP") + 1, kinds.index(kind) + 1):
            page.keyboard.press("ArrowRight")
            ways.nth(k).and_(page.locator("[aria-checked='true']")).wait_for()
    else:
        hand.press(ways.filter(has_text=kind))
    field = page.get_by_role("textbox", name=name, exact=True)
    field.wait_for()
    hand.write(field, value)
    page.keyboard.press("Enter")
    hand.close()


def shade_to(hand: Hand, page: Any, percent: str, place: str) -> None:
    """Shade a cell to a share that is not among those offered."""
    hand.write(page.get_by_role("textbox", name="Another share of light let through"), percent)
    page.keyboard.press("Enter")
    hand.touch_part(place)


def set_shadow(hand: Hand, page: Any, kind: str, field: str, value: str) -> None:
    """Change a shadow that is on the roof, by its field above the drawing."""
    roof = page.locator("#roof")
    hand.press(roof.get_by_role("button", name="Shadows", exact=True))
    hand.press(roof.get_by_role("group", name="On the roof").get_by_role("button", name=kind))
    hand.write(roof.get_by_role("textbox", name=field, exact=True), value)
    page.keyboard.press("Enter")


def wire(hand: Hand, page: Any, acts: list[tuple[str, str]]) -> None:
    """Turn rows of modules round, and take another order of all strings."""
    roof = page.locator("#roof")
    hand.press(roof.locator("button[data-tray=wire]"))
    for what, value in acts:
        if what == "order":
            hand.pick(roof.locator("[data-name=order]"), value)
            hand.press(roof.locator("[data-name=wire-so]"))
            continue
        hand.press(roof.locator("[data-name=tool-turn]"))
        hand.press(roof.locator("[data-name=scope-row]"))
        hand.touch_spot(value)
        page.get_by_test_id("said").filter(has_text="turned by 180°").wait_for()


def set_day(hand: Hand, page: Any, field: str, value: str) -> None:
    """Set the day up: a thing taken away, a number, the date."""
    hand.press(page.get_by_test_id("menu-light"))
    hand.press(page.get_by_role("button", name="A day on the roof"))
    page.locator("#day [data-tab=setup], #day [role=tab]").first.wait_for()
    hand.press(page.locator("#day [role=tab]").first)
    if field == "remove":
        hand.press(page.locator("#day .thing button").first)
    elif field == "#day-date":
        hand.write_date(page.locator(field), value)
    else:
        hand.write(page.locator(field), value)
        page.keyboard.press("Enter")


def search(hand: Hand, page: Any, place: str, kind: str) -> None:
    """Begin a step's search, name the fault at once, and come back to the lesson."""
    hand.press(page.locator("#lesson").get_by_role("button", name="Begin the search"))
    desk = page.get_by_role("region", name="Measuring on the roof")
    desk.get_by_label("What it is").wait_for()
    hand.write(page.locator("#roof input[name=place]"), place)
    page.keyboard.press("Enter")
    hand.pick(desk.get_by_label("What it is"), kind)
    hand.press(desk.get_by_role("button", name="Answer", exact=True))
    desk.get_by_role("heading", name="Found.", exact=True).wait_for()
    hand.press(desk.get_by_role("button", name="Back to the lesson"))


def act(hand: Hand, page: Any, key: str) -> None:
    """Do on the bench what a step asks for."""
    verb, what = ACTS[key]
    if verb == "set_field":
        set_field(hand, page, *what)
    elif verb == "hold_at":
        hold_at(hand, page, *what)
    elif verb == "shade_to":
        shade_to(hand, page, *what)
    elif verb == "set_shadow":
        set_shadow(hand, page, *what)
    elif verb == "wire":
        wire(hand, page, what)
    elif verb == "set_day":
        set_day(hand, page, *what)
    elif verb == "search":
        search(hand, page, *what)
    else:
        getattr(hand, verb)(what)


def sheet(page: Any, phase: str) -> Any:
    """The lesson's sheet, once it is in this phase."""
    return page.locator(f"#lesson .sheet[data-phase={phase}]")


def answer(hand: Hand, page: Any, name: str, question: Question, given: int | str) -> None:
    """Answer the prediction or the observation."""
    form = page.locator(f"#lesson section[data-phase={name}]")
    if isinstance(question, ChoiceQuestion):
        hand.choose(form.locator(f"input[type=radio][value='{given}']"))
    else:
        hand.write(form.locator("input[type=text]"), str(given))
    hand.press(form.locator(f"[data-act={name}]"))


def wrong_answer(question: Question, here: Readings) -> int | str:
    """An answer that somebody in every class gives, with an idea of its own."""
    if isinstance(question, ChoiceQuestion):
        choices = range(len(question.choices))
        return next(n for n in choices if not judge(question, read_answer(question, n), here).right)
    return f"{value_of(question.mistakes[0].value, here) / question.unit.size:.2f}".replace(".", ",")


def play(hand: Hand, page: Any, lesson: Lesson, step: Step, *, first: bool) -> None:
    """One round of predict, act, observe, explain."""
    here = Readings(solved(step.finish), solved(step.start))
    sheet(page, "predict").wait_for(state="attached")
    given = wrong_answer(step.predict, here) if first else given_for(step.predict, here)
    answer(hand, page, "predict", step.predict, given)
    sheet(page, "act").wait_for(state="attached")
    act(hand, page, f"{lesson.slug}/{step.id}")
    if step.observe is not None:
        sheet(page, "observe").wait_for(state="attached")
        if first:
            answer(hand, page, "observe", step.observe, wrong_answer(step.observe, here))
            page.locator("#lesson .verdict--wrong").first.wait_for()
        answer(hand, page, "observe", step.observe, given_for(step.observe, here))
    sheet(page, "explain").wait_for(state="attached")
    verdict = page.locator("#lesson section[data-phase=explain] .verdict").first
    assert ("verdict--wrong" in verdict.get_attribute("class")) is first
    if first:
        assert verdict.locator(".idea").count() == 1


def locked_until_predicted(hand: Hand, page: Any) -> None:
    """What is done before a prediction is stored is refused with its reason, and changes nothing."""
    said = page.get_by_test_id("said").inner_text()
    hand.press(page.get_by_test_id("menu-light"))
    hand.press(page.get_by_role("button", name="Overcast"))
    page.get_by_role("alert").filter(has_text="write down what you expect").wait_for()
    hand.close()
    assert page.get_by_test_id("said").inner_text() == said


def next_page(hand: Hand, page: Any) -> None:
    hand.press(page.locator("#lesson [data-act=next]"))


def test_every_step_of_the_course_is_rehearsed() -> None:
    assert set(ACTS) == {f"{lesson.slug}/{step.id}" for lesson in LESSONS for step in lesson.steps}


HANDS = (Mouse, Keys)
HELD = [
    pytest.param(lesson, hands, id=f"{lesson.slug}-{hands.__name__.lower()}")
    for number, lesson in enumerate(LESSONS)
    for hands in (HANDS if os.environ.get("PVSIM_HANDS") == "all" else HANDS[number % 2 :][:1])
]


class Lectern:
    """Lessons are held one after the other, on a page of the mouse's and one of the keys'."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self._left: dict[type[Hand], Hand] = {}

    def take(self, hands: type[Hand]) -> Hand:
        """A hand at the contents of the course, in large type."""
        hand = self._left.pop(hands, None)
        if hand is None:
            hand = hands(self.bench.open())
            large_type(hand, hand.page)
        else:
            hand.press(hand.page.locator("#lesson [data-act=contents]").first)
        return hand

    def leave(self, hand: Hand) -> None:
        """For the next lesson; a page on which one went wrong is not left."""
        self._left[type(hand)] = hand


@pytest.fixture(scope="module")
def lecterns(browser: Any, served: Any, kept_pages: Any) -> Iterator[Lectern]:
    bench = Bench(browser, served, kept_pages)
    yield Lectern(bench)
    bench.close()


@pytest.fixture
def lectern(lecterns: Lectern) -> Iterator[Lectern]:
    """Pages that must stay on this machine and must not complain."""
    yield lecterns
    outside, complaints = list(lecterns.bench.outside), list(lecterns.bench.complaints)
    lecterns.bench.outside.clear()
    lecterns.bench.complaints.clear()
    assert outside == [], "the page asked for something outside this machine"
    assert complaints == [], "the page complained in the browser's console"


def large_type(hand: Hand, page: Any) -> None:
    if isinstance(hand, Keys):
        page.keyboard.press("l")
    else:
        hand.press(page.get_by_role("button", name="Large type"))
    page.wait_for_function("document.documentElement.dataset.large === 'true'")


@pytest.mark.parametrize(("lesson", "hands"), HELD)
def test_a_lesson_is_held(lectern: Lectern, lesson: Lesson, hands: type[Mouse] | type[Keys]) -> None:
    hand = lectern.take(hands)
    page = hand.page
    hand.press(page.locator(f"#lesson [data-slug={lesson.slug}]"))
    page.locator("#lesson .sheet[data-kind=opening]").wait_for(state="attached")
    next_page(hand, page)
    sheet(page, "predict").wait_for(state="attached")
    locked_until_predicted(hand, page)
    for number, step in enumerate(lesson.steps):
        play(hand, page, lesson, step, first=number == 0)
        next_page(hand, page)
    page.locator("#lesson .sheet[data-kind=closing]").wait_for(state="attached")
    marks = page.locator("#lesson .result")
    assert marks.count() == len(lesson.steps)
    assert page.locator("#lesson .result--wrong").count() == 1  # the first prediction, on purpose
    page.wait_for_function(f"location.search.includes('lesson={lesson.slug}')")
    lectern.leave(hand)
