"""A hidden fault is found in the browser by instruments alone: once by mouse, once by keys."""

from __future__ import annotations

import re
from typing import Any

import pytest

from pvsim.array.place import Place
from pvsim.field.search.case import SearchCase, search_case
from tests.app.axe import broken_rules
from tests.app.tabbing import AT

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]


def case_of(kind: str) -> SearchCase:
    """The first search of level 1 that hides such a fault."""
    cases = (search_case(seed, 1) for seed in range(1, 500))
    return next(case for case in cases if [fault.kind for fault in case.faults] == [kind])


def desk(page: Any) -> Any:
    return page.get_by_role("region", name="Measuring on the roof")


def voltages(page: Any) -> list[float]:
    """What the log says of modules by themselves, the last one first."""
    shown = desk(page).get_by_role("table", name="Log").inner_text()
    return [float(one.replace("\u2212", "-")) for one in re.findall(r"([-\u2212]?\d+\.\d+)\s*V", shown)]


def wait_lines(page: Any, count: int) -> None:
    page.wait_for_function(
        """count => {
          const desk = document.querySelector("#field > *").shadowRoot
          return desk.querySelectorAll(".log tbody tr").length >= count
        }""",
        arg=count,
    )


def press_module(page: Any, number: int) -> None:
    """With the mouse, in the middle of the module."""
    box = page.get_by_role("gridcell", name=re.compile(rf"module {number}\b")).first.bounding_box()
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)


def test_a_reversed_module_is_found_by_mouse(bench: Any) -> None:
    case = case_of("module-reversed")
    page = bench.open()
    page.get_by_role("button", name="Search for a hidden fault").click()
    side = desk(page)
    side.get_by_role("button", name="Begin the search").wait_for()
    assert broken_rules(page, ("#field",)) == []
    side.get_by_label("Kinds of fault").select_option("")
    side.get_by_label("Your number").fill("no number")
    side.get_by_role("button", name="Begin the search").click()
    side.get_by_role("alert").filter(has_text="Your number").wait_for()
    side.get_by_label("Your number").fill(str(case.seed))
    side.get_by_role("button", name="Begin the search").click()
    side.get_by_role("heading", name=f"Search {case.seed}, level 1").wait_for()
    assert broken_rules(page, ("#field",)) == []

    # Each module by itself, with the instrument put on it in the drawing.
    page.locator("[data-tray=measure]").click()
    page.get_by_label("Instrument", exact=True).select_option("read-run")
    count = len(case.sound.array.strings[0].modules)
    for number in range(1, count + 1):
        press_module(page, number)
        wait_lines(page, number)
    read = voltages(page)[::-1]
    assert len(read) == count
    worst = min(range(count), key=lambda k: read[k]) + 1
    assert read[worst - 1] < 0.0, "from lead to lead of its string it stands against the others"
    page.locator(".reading").nth(count - 1).wait_for()

    # What is unsafe is refused with its reason, and costs no time.
    side.get_by_role("button", name=re.compile("^Open: DC switch")).click()
    side.get_by_role("status").filter(has_text="arc").wait_for()

    page.locator("[data-tray=look]").click()
    press_module(page, worst)
    side.get_by_label("What it is").select_option("module-reversed")
    side.get_by_text(f"string 1, module {worst}").last.wait_for()
    side.get_by_role("button", name="Answer", exact=True).click()
    side.get_by_role("heading", name="Found.", exact=True).wait_for()
    assert worst == case.faults[0].place.module
    side.get_by_role("button", name="Show the fault on the bench").click()
    side.get_by_role("button", name="Leave the search").click()
    side.get_by_role("tab", name="Search").wait_for()


def test_a_shorted_diode_is_found_by_keys(bench: Any) -> None:
    case = case_of("diode-short")
    page = bench.open()
    page.get_by_role("button", name="Search for a hidden fault").focus()
    page.keyboard.press("Enter")
    side = desk(page)
    side.get_by_label("Kinds of fault").focus()
    page.keyboard.press("Home")  # all of them
    number = side.get_by_label("Your number")
    number.focus()
    page.keyboard.press("Control+a")
    page.keyboard.type(str(case.seed))
    page.keyboard.press("Enter")
    side.get_by_role("heading", name=f"Search {case.seed}, level 1").wait_for()

    def go(text: str, place: str) -> None:
        box = page.get_by_role("textbox", name="Go to a place")
        box.focus()
        page.keyboard.press("Control+a")
        page.keyboard.type(text)
        page.keyboard.press("Enter")
        side.get_by_text(f"Put at: {place}", exact=True).wait_for()

    def press(name: str) -> None:
        side.get_by_role("button", name=re.compile(name)).focus()
        page.keyboard.press("Enter")

    count = len(case.sound.array.strings[0].modules)
    for number_of in range(1, count + 1):
        go(f"1/{number_of}", f"string 1, module {number_of}")
        press("^as it stands")
        wait_lines(page, number_of)
    read = voltages(page)[::-1]
    worst = min(range(count), key=lambda k: read[k]) + 1
    assert read[worst - 1] < 0.7 * sorted(read)[1], "one of its two substrings gives nothing"

    # Which one: a cloth on the one that is bridged anyhow changes nothing.
    fell = {}
    lines = count
    for part in (1, 2):
        go(f"1/{worst}/s{part}", f"string 1, module {worst}, substring {part}")
        for name in ("^opaque", "^as it stands", "^take it off"):
            press(name)
            lines += 1
            wait_lines(page, lines)
        fell[part] = read[worst - 1] - voltages(page)[0]
    dead = min(fell, key=lambda part: fell[part])
    go(f"1/{worst}/s{dead}", f"string 1, module {worst}, substring {dead}")
    kind = side.get_by_label("What it is")
    kind.focus()
    kind.select_option("diode-short")
    side.get_by_text(f"string 1, module {worst}, substring {dead}").last.wait_for()
    side.get_by_role("button", name="Answer", exact=True).focus()
    page.keyboard.press("Enter")
    side.get_by_role("heading", name="Found.", exact=True).wait_for()
    assert case.faults[0].place == Place(1, worst, diode=dead)
    side.get_by_role("button", name="Leave the search").focus()
    page.keyboard.press("Enter")
    side.get_by_role("tab", name="Search").wait_for()
    wait_keys(page, "On the roof")


def wait_keys(page: Any, name: str) -> None:
    """Wait until what is so called has the keys."""
    page.wait_for_function(f"name => ({AT})().name === name", arg=name)


def test_keys_stay_at_the_desk_when_what_was_pressed_has_gone(bench: Any) -> None:
    page = bench.open()
    page.get_by_role("button", name="Search for a hidden fault").click()
    side = desk(page)
    side.get_by_label("Level", exact=True).select_option("6")
    side.get_by_label("Kinds of fault").select_option("")
    side.get_by_label("Your number").fill("42")
    side.get_by_role("button", name="Begin the search").click()
    wait_keys(page, "Search 42, level 6")
    side.get_by_role("button", name="opaque").click()
    wait_lines(page, 1)

    # Another array comes on the bench, and goes: nobody who pressed twice takes the cloth off.
    page.get_by_role("button", name="Undo").click()
    again = side.get_by_role("button", name="Put its array on the bench")
    again.focus()
    page.keyboard.press("Enter")
    again.wait_for(state="hidden")
    wait_keys(page, "Search 42, level 6")

    # The first of two answers: its button waits for the next.
    side.get_by_label("What it is").select_option("connector-resistive")
    page.get_by_role("textbox", name="Go to a place").fill("1/2")
    page.keyboard.press("Enter")
    side.get_by_text("Put at: string 1, module 2", exact=True).wait_for()
    side.get_by_role("button", name="Answer", exact=True).focus()
    page.keyboard.press("Enter")
    side.get_by_role("status").filter(has_text="Noted").wait_for()
    wait_keys(page, "What it is")
