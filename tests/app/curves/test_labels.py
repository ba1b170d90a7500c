"""What is written in the drawing and on the curves: nothing lies on anything else, nothing is cut."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from pvsim.app.session.state import State
from pvsim.array.place import SHOWN_LEVELS, Place
from pvsim.array.scenario import Scenario
from pvsim.files.demo import read_demo
from pvsim.files.link import pack
from pvsim.files.scenario_file import write_scenario
from tests.app.curves.boxes import collisions, letters, shared
from tests.app.curves.test_curves_page import FRAMES, board
from tests.looks import looks

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]

DESK, HALL, PHONE = (1280, 720), (1920, 1080), (390, 844)
LOOKS = looks(
    [
        pytest.param(HALL, "true", id="hall-large"),
        pytest.param(PHONE, "false", id="phone"),
        pytest.param(DESK, "false", id="desk"),
    ],
    [
        pytest.param(DESK, "true", id="desk-large"),
        pytest.param(HALL, "false", id="hall"),
        pytest.param(PHONE, "true", id="phone-large"),
    ],
)
PAINTED = "() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"
# The drawing takes its place's new size at one go: its box, what lies in it and the path above it.
FITS = """stage => [0, 0, stage.clientWidth, stage.clientHeight].join(" ") ===
  stage.querySelector(":scope > svg").getAttribute("viewBox")"""
OPERATED = ".operate .entry input"
POINTS = """root => [...root.querySelectorAll(".overlay circle.grip, .overlay circle.point")].map(one => {
  const box = one.getBoundingClientRect()
  return { words: one.getAttribute("class"), x: box.x, y: box.y, width: box.width, height: box.height }
})"""


def shaded() -> State:
    """Two cells of a module in shade, in two of its substrings: two diodes conduct."""
    state = State(read_demo("workshop"))
    state.paint([Place(1, 4, cell=14)], 0.2)
    state.paint([Place(1, 4, cell=34)], 0.5)
    return state


def held_apart() -> State:
    """The same, held far from the maximum."""
    state = shaded()
    state.set_operation("voltage", 230.0)
    return state


def column() -> State:
    """A cell of one substring and half of the next in shade: held point, maximum and Voc crowd together."""
    state = State(read_demo("workshop"))
    state.paint([Place(1, 4, cell=25)], 0.2)
    state.paint([Place(1, 4, cell=cell) for cell in range(41, 51)], 0.2)
    return state


def cut() -> State:
    """A string whose cable is open: its parts stand at no current."""
    state = State(read_demo("workshop"))
    state.break_part(Place(1), "cable-open")
    return state


def trackers() -> State:
    """A tracker for each string, whose points lie close together."""
    state = shaded()
    state.set_array(tracking="per-string")
    return state


STATES = {"shaded": shaded, "held-apart": held_apart, "column": column, "cut": cut, "trackers": trackers}


def as_shown(name: str) -> Scenario:
    state = STATES[name]()
    state.set_focus(Place(1, 4, cell=14), "module")
    return replace(state.scenario_as_shown(), title=name)


def query(name: str) -> str:
    return "?s=" + pack(as_shown(name))


def open_file(page: Any, name: str) -> None:
    """Open a state as a file, and wait until the page is of it: what it draws from now on is, too."""
    text = write_scenario(as_shown(name))
    file = {"name": f"{name}.toml", "mimeType": "text/plain", "buffer": text.encode()}
    page.locator("#field-open").set_input_files(file)
    page.get_by_test_id("said").filter(has_text=name).wait_for()
    page.wait_for_function("name => document.title.includes(name)", arg=name)


def resize(page: Any, size: tuple[int, int]) -> None:
    """Give the page another size, and wait until the roof is drawn for it."""
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.evaluate(PAINTED)
    page.wait_for_function(FITS, arg=page.locator(".roof .stage").element_handle())
    page.locator(".roof .over:not(.away)").wait_for(state="attached")


def struck(page: Any, texts: list[dict[str, Any]]) -> list[str]:
    """Labels that a zero line goes through."""
    origin = board(page).bounding_box()
    found = []
    for frame in board(page).evaluate(FRAMES).values():
        low, high = frame["Y"]
        zero = origin["y"] + frame["y"] + frame["height"] * high / (high - low)
        left, right = origin["x"] + frame["x"], origin["x"] + frame["x"] + frame["width"]
        for one in texts:
            within = left - 2 < one["x"] and one["x"] + one["width"] < right + 2
            if within and one["y"] + 1 < zero < one["y"] + one["height"] - 1:
                found.append(one["words"])
    return found


@pytest.mark.parametrize(("size", "large"), LOOKS)
def test_nothing_written_lies_on_anything_else(bench, size, large: str) -> None:
    first, *others = STATES
    page = bench.open(query(first), size={"width": size[0], "height": size[1]}, kept={"large": large})
    for name in (first, *others):
        if name in others:
            open_file(page, name)
        page.evaluate("document.fonts.ready")
        for at, level in enumerate(SHOWN_LEVELS):
            page.locator(".levels button").nth(at).click()
            page.locator(f".board .overlay[data-drawn^='{level} ']").wait_for(state="attached")
            page.locator(f".roof[data-level={level}] .over:not(.away)").wait_for(state="attached")
            page.evaluate(PAINTED)
            where = f"{name}, {level}"
            told = letters(page, "#curves", ".overlay text")
            assert len(told) >= 4, where
            assert collisions(told) == [], where
            assert collisions(letters(page, "#roof", ".stage text")) == [], where
            assert struck(page, told) == [], where
            points = board(page).evaluate(POINTS)
            pairs = [(text, one) for text in told for one in points if min(shared(text, one)) > 2]
            on = [(text["words"], one["words"]) for text, one in pairs]
            if size[0] > 390 or large == "false":  # a phone in large type has no room left
                assert on == [], where


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_a_reading_is_one_sentence_and_a_point_beyond_the_axes_is_told_of_at_the_edge_and_covers_nothing(
    bench, size
) -> None:
    page = bench.open(query("shaded"), size={"width": size[0], "height": size[1]})
    page.locator(".levels button").nth(2).click()
    page.locator(".board .overlay[data-drawn^='module ']").wait_for(state="attached")
    told = page.locator(".board .read").evaluate("one => one.textContent").replace("\u00a0", " ")
    # One sentence of parts set off.
    assert re.fullmatch(r"held at .* W \(.*\); array at .* V: .* W; 2 bypass diodes conduct: .*", told), told

    open_file(page, "held-apart")
    page.locator(".levels button").nth(4).click()
    page.locator(".board .overlay[data-drawn^='cell ']").wait_for(state="attached")
    page.get_by_role("button", name="V < 0").click()  # the cell is held far below 0 V
    page.locator(".board .overlay path.beyond").first.wait_for(state="attached")
    page.evaluate("document.fonts.ready")
    page.evaluate(PAINTED)
    labels = letters(page, "#curves", ".overlay text")
    assert any(re.match(r"held\s.*−", one["words"]) for one in labels)
    assert collisions(labels) == []
    arrows = board(page).evaluate(POINTS.replace("circle.grip", "path.beyond"))
    assert not [(a["words"], b["words"]) for a in labels for b in arrows if min(shared(a, b)) > 2]


def test_in_a_lecture_in_large_type_neither_path_nor_list_of_cues_is_cut(bench) -> None:
    page = bench.open("", size={"width": HALL[0], "height": HALL[1]}, kept={"large": "true"})
    page.locator("#lecture-of").select_option("five-levels")
    page.locator("#lecture-of ~ button").click()
    page.locator("[data-act=begin]").first.click()
    page.locator("#cues").select_option("2")
    page.locator(".crumbs [data-level=cell]").wait_for()
    page.wait_for_function("document.documentElement.dataset.lecture === 'bench'")
    page.locator(".roof .over:not(.away)").wait_for(state="attached")
    for size in (HALL, DESK):
        resize(page, size)
        path = page.locator(".crumbs")
        last, room = path.locator("button").last.bounding_box(), path.bounding_box()
        assert last["x"] + last["width"] <= room["x"] + room["width"] - 20, size  # there it fades
        assert path.get_by_role("button").last.get_attribute("aria-label").startswith("Cell ")
        box = page.locator(".jump-box")
        assert box.inner_text().startswith("3 / ")
        assert box.evaluate("one => one.scrollWidth <= one.clientWidth + 1"), size


@pytest.mark.parametrize("language", ["en", "de"])
def test_all_six_tools_are_in_sight_on_a_phone_in_large_type(bench, language: str) -> None:
    phone = {"size": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}
    page = bench.open(f"?lang={language}", kept={"large": "true"}, **phone)
    page.evaluate("document.fonts.ready")
    page.evaluate(PAINTED)
    page.wait_for_function(
        "one => one.scrollWidth <= one.clientWidth", arg=page.locator(".roof .hand").element_handle()
    )
    for tool in page.locator(".tray-button").all():
        box = tool.bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= 390
        assert box["height"] >= 36


def test_a_stage_of_no_height_to_speak_of_draws_nothing_impossible(left_open) -> None:
    page = left_open.open()
    stage = page.locator(".roof .stage")
    usual = stage.locator(":scope > svg").get_attribute("viewBox")
    for height in (60, 10):
        stage.evaluate(f"one => {{ one.style.cssText = 'flex: none; min-height: 0; height: {height}px' }}")
        page.locator(f".roof .stage > svg[viewBox$=' {height}']").wait_for(state="attached")
        page.evaluate(PAINTED)
    stage.evaluate("one => one.removeAttribute('style')")
    page.locator(f".roof .stage > svg[viewBox='{usual}']").wait_for(state="attached")
    # the browser complains of what is less than nothing wide, and that is heard


def test_all_that_can_break_in_a_string_is_in_sight_beside_its_size(left_open) -> None:
    page = left_open.open()
    page.locator(".tray-button[data-tray=break]").click()
    page.locator("[data-name=scope-string]").click()
    for kind in ("modules-too-few", "modules-too-many", "induced-shunting", "soiling"):
        page.locator(f".chip[data-name={kind}]").click()
        page.locator("[data-name=size]").wait_for()
        page.evaluate(PAINTED)
        assert page.locator(".options").evaluate("one => one.scrollWidth - one.clientWidth") <= 0, kind


def test_the_field_beside_the_slider_holds_four_digits(left_open) -> None:
    page = left_open.open()
    text = write_scenario(State(read_demo("single-cell")).scenario_as_shown())
    file = {"name": "one.toml", "mimeType": "text/plain", "buffer": text.encode()}
    page.locator("#field-open").set_input_files(file)
    page.get_by_test_id("said").filter(has_text="opened").wait_for()
    page.wait_for_function("one => one.value === '0.5680'", arg=page.locator(OPERATED).element_handle())
    page.evaluate("document.fonts.ready")
    field = page.locator(OPERATED)
    for large in ("false", "true"):
        if large == "true":
            page.get_by_test_id("tool-large").click()
        page.wait_for_function(f"document.documentElement.dataset.large === '{large}'")
        page.evaluate(PAINTED)
        assert len(field.input_value()) == len("0.5680")
        page.wait_for_function("one => one.clientWidth > 0", arg=field.element_handle())
        assert field.evaluate("one => one.scrollWidth - one.clientWidth") <= 0, large


def test_a_reading_of_two_lines_leaves_the_last_row_of_cells_in_sight(bench) -> None:
    page = bench.open(query("shaded") + "&lang=de")
    page.locator(".levels button").nth(2).click()
    page.locator(".roof[data-level=module] .over:not(.away)").wait_for(state="attached")
    reading = page.locator(".readout > span")
    reading.filter(has_text="vorgegeben").wait_for()
    for size in (DESK, PHONE):
        resize(page, size)
        last = page.get_by_role("gridcell", name="Zelle 30,").first.bounding_box()
        assert last["y"] + last["height"] + 2 <= reading.bounding_box()["y"], size
