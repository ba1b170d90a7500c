"""The drawing on the real page: over the web socket, beside the curves, on a phone."""

from __future__ import annotations

import re
from collections import defaultdict
from itertools import pairwise
from typing import Any

import pytest

from tests.looks import looks

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]


CONTROLS = """all => all.map(one => {
  const { width, height } = one.getBoundingClientRect()
  const name = one.ariaLabel || one.textContent || one.closest("label")?.textContent
  return [name, width, height, one.outerHTML]
})"""


def cell(page: Any, number: int) -> Any:
    """A cell of the module seen from near."""
    return page.get_by_role("gridcell", name=f"cell {number},")


def centre(page: Any, number: int) -> tuple[float, float]:
    box = cell(page, number).bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_control_of_the_drawing_has_a_name_and_room_for_a_finger(left_open, scheme: str) -> None:
    page = left_open.open(color_scheme=scheme)
    for tray in ("Look", "Break", "Mend", "Shadows", "Shade"):  # the last is in hand when the page opens
        button = page.get_by_role("button", name=tray, exact=True)
        button.click()
        button.and_(page.locator("[aria-pressed=true]")).wait_for()
        controls = page.get_by_test_id("roof").locator("button:visible, input:visible").evaluate_all(CONTROLS)
        assert controls
        for name, width, height, text in controls:
            assert name, text
            assert height >= 24, name
            assert width >= 24, name


def test_the_theme_reaches_the_colours_of_the_cells(left_open) -> None:
    light, dark = left_open.open(color_scheme="light"), left_open.open(color_scheme="dark")
    fill = "one => one.style.fill"
    pale = cell(light, 5).evaluate(fill)
    # The server learns from the page which theme its browser likes; the cells follow its answer.
    ask = f"([one, pale]) => ({fill})(one) !== pale"
    dark.wait_for_function(ask, arg=[cell(dark, 5).element_handle(), pale])
    assert cell(light, 5).evaluate(fill) == pale


def test_a_click_on_a_cell_is_said_and_changes_the_curves_and_no_other_session_feels_it(left_open) -> None:
    page, other = left_open.open(color_scheme="light"), left_open.open(color_scheme="dark")
    page.mouse.click(*centre(page, 14))
    said = page.get_by_test_id("said").filter(has_text="cell 14 shaded to 20")
    said.wait_for()
    cell(page, 14).and_(page.locator("[aria-label*='eats power']")).wait_for()
    assert "1000 W/m²" in cell(other, 14).get_attribute("aria-label")
    page.mouse.click(*centre(page, 14))
    page.get_by_test_id("said").filter(has_text="cell 14 in full light").wait_for()
    cell(page, 14).and_(page.locator("[aria-label*='1000 W/m²']")).wait_for()


def test_the_whole_lecture_move_works_by_keys_alone(left_open) -> None:
    page = left_open.open()
    cell(page, 1).focus()
    for key in ("ArrowDown", "ArrowDown", "Space"):
        page.keyboard.press(key)
    page.get_by_test_id("said").filter(has_text="cell 3 shaded to 20").wait_for()
    for level in ("substring", "cell"):
        page.keyboard.press("Enter")
        page.get_by_test_id("roof").and_(page.locator(f"[data-level={level}]")).wait_for()
    page.get_by_role("img", name=re.compile("Circuit of string 1, module 4, cell 3.*eats")).wait_for()
    for level in ("substring", "module", "string", "array"):
        page.keyboard.press("Escape")
        page.get_by_test_id("roof").and_(page.locator(f"[data-level={level}]")).wait_for()
    page.get_by_role("gridcell", name=re.compile("module 4.*one diode conducts")).wait_for()


def test_on_the_wire_no_message_goes_out_before_the_last_one_is_answered(bench) -> None:
    talks: dict[str, list[str]] = defaultdict(list)  # by part of the page

    def listen(socket: Any) -> None:
        socket.on("framesent", lambda frame: note(frame, "number"))
        socket.on("framereceived", lambda frame: note(frame, "answered"))

    def note(frame: Any, what: str) -> None:
        data = rf'"model",{{"id":"(\w+)"}}\],\["data",{{"type":"map","entries":\[\["{what}",\d'
        for part in re.findall(data, frame if isinstance(frame, str) else ""):
            talks[part].append(what)

    page = bench.open(alone=True, first=lambda page: page.on("websocket", listen))
    start, end = centre(page, 1), centre(page, 60)
    page.mouse.move(*start)
    page.mouse.down()
    page.mouse.move(*end, steps=60)
    page.mouse.up()
    page.get_by_test_id("said").filter(has_text="shaded to 20").wait_for()
    cell(page, 60).and_(page.locator("[aria-label*='less light']")).wait_for()
    assert max(map(len, talks.values())) > 4  # the drawing's
    for talk in talks.values():
        assert talk[0] == "number"
        assert ("number", "number") not in set(pairwise(talk))
        assert talk.count("number") < 60


def test_on_a_phone_every_cell_is_large_enough_to_touch(left_open) -> None:
    page = left_open.open(size={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    box = cell(page, 33).bounding_box()
    assert box["width"] >= 24  # CSS px: WCAG 2.5.8
    assert box["height"] >= 24
    look = page.get_by_role("button", name="Look", exact=True)
    assert look.get_attribute("aria-pressed") == "true"  # a finger that scrolls must not shade
    page.get_by_role("button", name="Shade", exact=True).tap()
    cell(page, 33).scroll_into_view_if_needed()
    page.evaluate("window.scrollBy(0, 200)")  # out from under the curves, which stay at the top
    page.touchscreen.tap(*centre(page, 33))
    page.get_by_test_id("said").filter(has_text="cell 33 shaded to 20").wait_for()


SPOT = """roof => {
  const cell = roof.querySelectorAll(".module.active .cell")[20].getBoundingClientRect()
  return [cell.left, cell.top + scrollY].map(px => Math.round(px * 10) / 10)
}"""


@pytest.mark.parametrize(
    ("size", "language", "large"),
    looks(
        [
            pytest.param((1280, 720), "en", "false", id="desk-usual"),
            pytest.param((1920, 1080), "de", "true", id="hall-long"),
            pytest.param((390, 844), "de", "true", id="phone-long"),
        ],
        [
            pytest.param((1280, 720), "de", "true", id="desk-long"),
            pytest.param((1920, 1080), "en", "false", id="hall-usual"),
            pytest.param((390, 844), "en", "false", id="phone-usual"),
        ],
    ),
)
def test_no_tool_hint_caution_or_refusal_moves_a_cell(bench, size, language: str, large: str) -> None:
    room = {"width": size[0], "height": size[1]}
    page = bench.open(f"?lang={language}", size=room, kept={"large": large})
    page.wait_for_function(f"document.documentElement.dataset.large === '{large}'")
    roof = page.get_by_test_id("roof")
    roof.locator(".over:not(.away) .diode-label").first.wait_for()
    page.evaluate("document.fonts.ready")
    place = roof.evaluate(SPOT)
    seen = []

    def press(name: str) -> None:
        roof.locator(f"[data-name='{name}']").first.click()
        assert roof.evaluate(SPOT) == place, name
        seen.append(name)

    for tray in ("look", "shade", "mend", "break"):
        roof.locator(f"[data-tray={tray}]").click()
        assert roof.evaluate(SPOT) == place, tray
        assert roof.locator(".hand").evaluate("one => one.scrollWidth <= one.clientWidth"), "a tool is cut"
    for scope in ("cell", "diode", "module", "string"):
        press(f"scope-{scope}")
        for name in roof.locator(".set .chip").evaluate_all("all => all.map(one => one.dataset.name)"):
            press(name)
    count = roof.locator("[data-name=size]")
    press("modules-too-few")
    count.fill("2.5")  # a string has no half modules
    count.press("Enter")
    roof.get_by_role("alert").filter(has_text="2.5").wait_for()
    assert roof.evaluate(SPOT) == place, "a number that cannot be used"
    count.fill("9")  # more than there are
    count.press("Enter")
    roof.locator(".word [role=alert]").wait_for(state="detached")
    roof.locator("[data-key$='#minus'], .rail-item").first.click()
    page.locator(".notice [role=alert]:not(:empty)").wait_for()
    assert roof.evaluate(SPOT) == place, "a refusal"
    roof.locator("[data-tray=shadow]").click()
    press("add-leaf")
    roof.locator("[data-name=remove]").wait_for()
    assert roof.evaluate(SPOT) == place, "a shadow and its fields"
    assert len(seen) > 20


def test_numbers_of_the_tools_are_understood_with_a_comma_or_explained(left_open) -> None:
    page = left_open.open()
    page.get_by_role("button", name="Shade", exact=True).click()
    share = page.get_by_role("textbox", name="Another share of light")
    for typed in ("150", "abc", "-5", "1e99"):
        share.fill(typed)
        share.press("Enter")
        why = f"“{typed}” cannot be used here: type a number from 0 to 100."
        page.get_by_role("alert").filter(has_text=why).wait_for()
        assert share.get_attribute("aria-invalid") == "true"
        assert share.input_value() == typed
    share.fill("12,5")
    share.press("Enter")
    page.locator(".word [role=alert]").wait_for(state="detached")
    cell(page, 3).click()
    page.get_by_test_id("said").filter(has_text="cell 3 shaded to 12.5").wait_for()
    page.get_by_role("button", name="Break", exact=True).click()
    page.get_by_role("button", name="String", exact=True).click()
    page.get_by_role("button", name="too few modules").click()
    count = page.get_by_role("textbox", name="modules missing")
    count.fill("2,5")
    count.press("Enter")
    page.get_by_role("alert").filter(has_text="type a whole number from 1 to 199").wait_for()


def test_in_large_type_only_figures_that_tell_something_are_written_and_large(bench) -> None:
    page = bench.open()
    cell(page, 14).click()
    page.get_by_test_id("said").filter(has_text="cell 14 shaded to 20").wait_for()
    page.get_by_test_id("tool-large").click()
    page.wait_for_function("document.documentElement.dataset.large === 'true'")
    shown = page.locator(".roof .value:visible")
    page.wait_for_function(
        """() => {
          const roots = [...document.querySelectorAll('*')].map((one) => one.shadowRoot).filter(Boolean)
          const all = roots.flatMap((root) => [...root.querySelectorAll('.value')])
          return all.filter((one) => one.style.display !== 'none').length === 1
        }"""
    )
    assert shown.all_text_contents() == ["200"]
    assert float(shown.first.get_attribute("font-size")) >= 15
    line = page.get_by_text("Five levels").locator("..")
    assert line.locator(".line").bounding_box()["height"] < 24, "the five levels take two lines"
