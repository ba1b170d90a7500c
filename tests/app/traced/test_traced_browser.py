"""A measured curve by keyboard, by mouse and dropped on the page, until its fault lies on the bench."""

from __future__ import annotations

from typing import Any

import pytest

from pvsim.files import read_demo
from pvsim.files.scenario_file import write_scenario
from pvsim.traced.own import invented_bytes
from tests.app.axe import broken_rules
from tests.app.conftest import PHONE, Bench
from tests.app.tabbing import AT, tab_to

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]

DROP = """([name, bytes, where]) => {
  const find = root => root.querySelector(where)
    ?? [...root.querySelectorAll("*")].map(one => one.shadowRoot && find(one.shadowRoot)).find(Boolean)
  const dataTransfer = new DataTransfer()
  dataTransfer.items.add(new File([new Uint8Array(bytes)], name))
  const drop = kind => find(document).dispatchEvent(
    new DragEvent(kind, { dataTransfer, bubbles: true, cancelable: true, composed: true }))
  return [drop("dragover"), drop("drop")]
}"""


def drop(page: Any, name: str, data: bytes, where: str = "#roof") -> None:
    """Drop a file; the browser is not left to show it."""
    assert page.evaluate(DROP, [name, list(data), where]) == [False, False]


def test_a_curve_is_mapped_laid_over_and_its_fault_put_on_the_bench_with_keys_alone(bench: Bench) -> None:
    page = bench.open()
    button = page.get_by_test_id("menu-files")
    button.focus()
    page.keyboard.press("Enter")
    tab_to(page, "Open a measured curve…", within=False)
    page.keyboard.press("Enter")
    dialog = page.get_by_role("dialog", name="Measured curve")
    dialog.get_by_text("gone when the page is loaded again").wait_for()
    tab_to(page, "Try it with an invented curve")
    page.keyboard.press("Enter")
    dialog.get_by_role("heading", name="What was recognised").wait_for()
    assert dialog.get_by_text("from open circuit to short circuit").is_visible()

    # A unit that is wrong, told and mended.
    unit = dialog.get_by_role("combobox", name="Unit of Current (mA)")
    tab_to(page, "Unit of Current (mA)")
    page.keyboard.press("ArrowUp")
    dialog.get_by_text("chosen", exact=True).wait_for()
    assert unit.input_value() == "A"
    assert page.evaluate(AT)["name"] == "Unit of Current (mA)"  # an answer leaves the keys where they are
    page.keyboard.press("ArrowDown")
    dialog.get_by_text("chosen", exact=True).wait_for(state="hidden")
    tab_to(page, "Confirm the columns")
    page.keyboard.press("Enter")
    dialog.get_by_text("88 points, Isc 8.912").wait_for()
    assert page.evaluate(AT)["name"] == "Lay it over the model"  # light and temperature are the file's
    part = dialog.get_by_role("combobox", name="Part that was measured")
    part.focus()
    page.keyboard.press("End")
    assert part.input_value() == "1/4"
    light = dialog.get_by_role("textbox", name="Irradiance when measured, W/m²")
    light.focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("bright")
    page.keyboard.press("Enter")
    dialog.get_by_text("“bright” is not a number").wait_for()
    assert light.get_attribute("aria-invalid") == "true"
    page.keyboard.press("Control+A")
    page.keyboard.type("812,0")  # either decimal mark
    page.keyboard.press("Enter")
    figure = dialog.get_by_role("img", name="Current against voltage. Measured")
    figure.wait_for()
    dialog.get_by_text("Likeliest: shaded or cracked cells").wait_for()
    assert dialog.get_by_role("cell", name="named", exact=True).count() == 1
    tab_to(page, "The points as a table")
    page.keyboard.press("Enter")
    assert dialog.get_by_role("columnheader", name="Difference, A").is_visible()
    assert broken_rules(page) == []

    tab_to(page, "Put on the bench: shaded or cracked cells")
    page.keyboard.press("Enter")
    dialog.wait_for(state="hidden")
    page.get_by_test_id("said").filter(has_text="shaded or cracked cells").wait_for()
    assert page.evaluate(AT)["name"].startswith("Files")  # the keys are where they were
    page.keyboard.press("Control+z")
    page.get_by_test_id("said").filter(has_text="undone").wait_for()


def test_files_dropped_on_the_page_go_where_they_belong(bench: Bench) -> None:
    page = bench.open(size=PHONE, has_touch=True, is_mobile=True)
    drop(page, "hut.toml", write_scenario(read_demo("mountain-hut")).encode())
    page.wait_for_function(f"() => document.title.includes({read_demo('mountain-hut').title!r})")
    dialog = page.get_by_role("dialog", name="Measured curve")
    assert dialog.count() == 0
    drop(page, "letter.csv", b"Dear all,\nno curve today\n")
    dialog.get_by_role("alert").filter(has_text="letter.csv holds no table of numbers").wait_for()
    drop(page, "roof.csv", invented_bytes(), where="dialog.traced")
    dialog.get_by_role("heading", name="What was recognised").wait_for()
    dialog.get_by_role("button", name="Confirm the columns").tap()
    dialog.get_by_role("button", name="Lay it over the model").tap()
    # It is of another module than those of the hut.
    dialog.get_by_text("hardly the same part").wait_for()
    dialog.get_by_text("The curve does not belong to this part").wait_for()
    assert dialog.evaluate("node => node.scrollWidth <= node.clientWidth")
    assert broken_rules(page) == []
    dialog.get_by_role("button", name="Close").tap()
    dialog.wait_for(state="hidden")
