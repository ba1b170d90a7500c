"""A data sheet typed by keyboard alone, with a slip on the way, until its module lies on the roof."""

from __future__ import annotations

import pytest

from tests.app.axe import broken_rules
from tests.app.conftest import Bench
from tests.app.tabbing import AT, MOST_TABS, tab_to

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]

PAPER = {
    "Title": "Mooring 330",
    "Isc, A": "10,3",
    "Voc, V": "40.9",
    "Imp, A": "9.8",
    "Vmp, V": "43.8",  # a slip: above Voc
    "α of Isc": "0.05",
    "β of Voc": "-116 mV/°C",
    "γ of the power": "-0.36",
    "Cells": "60",
    "Rows": "10",
    "Columns": "6",
    "Bypass diodes": "3",
}
FIND_ISC = """() => {
  const within = root => root.querySelector("#sheet-isc_A")
    ?? [...root.querySelectorAll("*")].map(one => one.shadowRoot && within(one.shadowRoot)).find(Boolean)
  return within(document).value
}"""


def test_a_sheet_is_typed_worked_out_and_used_with_keys_alone(bench: Bench) -> None:
    page = bench.open()
    button = page.get_by_test_id("menu-array")
    button.focus()
    page.keyboard.press("Enter")
    tab_to(page, "Enter a data sheet…", within=False)
    page.keyboard.press("Enter")
    dialog = page.get_by_role("dialog", name="Data sheet")
    dialog.wait_for()

    for name, text in PAPER.items():
        tab_to(page, name)
        page.keyboard.type(text)
    page.keyboard.press("Enter")
    slip = dialog.get_by_role("textbox", name="Vmp, V")
    page.wait_for_function(f"() => ({AT})().name === 'Vmp, V'")
    assert slip.get_attribute("aria-invalid") == "true"
    assert "which is Voc" in dialog.locator("#sheet-vmp_V-wrong").inner_text()
    assert (
        dialog.get_by_role("textbox", name="Voc, V").get_attribute("aria-describedby").endswith("vmp_V-wrong")
    )
    assert dialog.get_by_role("textbox", name="Isc, A").input_value() == "10,3"  # nothing typed is lost
    assert broken_rules(page) == []

    page.keyboard.press("Control+A")
    page.keyboard.type("33.8")
    page.keyboard.press("Enter")
    dialog.get_by_role("heading", name="How many volts").wait_for()
    assert slip.get_attribute("aria-invalid") is None
    assert dialog.get_by_text("0.682 V", exact=True).first.is_visible()
    assert dialog.get_by_text("all 60 can be in series").count() == 1
    assert not dialog.get_by_text("all 60 can be in series").is_visible()  # asked before it is shown
    tab_to(page, "Next step")
    page.keyboard.press("Enter")
    dialog.get_by_text("all 60 can be in series").wait_for()
    assert not dialog.get_by_role("img").is_visible()
    tab_to(page, "Show all")
    page.keyboard.press("Enter")
    picture = dialog.get_by_role("img")
    picture.wait_for()
    assert "diodes reach the box" in picture.get_attribute("aria-label")
    for _step in range(MOST_TABS):  # back, to the ways of joining
        page.keyboard.press("Shift+Tab")
        if page.evaluate(AT)["name"].startswith("Down one column"):
            break
    page.keyboard.press("ArrowUp")  # round to the last
    assert "Row by row" in picture.get_attribute("aria-label")
    assert "do not reach" in picture.get_attribute("aria-label")
    assert broken_rules(page) == []

    tab_to(page, "Save the sheet as a file")
    with page.expect_download() as saved:
        page.keyboard.press("Enter")
    isc = dialog.get_by_role("textbox", name="Isc, A")
    isc.fill("99")
    dialog.locator("input[type=file]").set_input_files(saved.value.path())
    page.wait_for_function(f"() => ({FIND_ISC})() === '10.3'")
    first = page.evaluate("location.search")
    tab_to(page, "Use this module")
    page.keyboard.press("Enter")
    dialog.wait_for(state="hidden")
    page.get_by_test_id("said").filter(has_text="Mooring 330").wait_for()
    assert page.evaluate(AT)["name"].startswith("Array")  # the keys are where they were
    page.wait_for_function("first => location.search !== first", arg=first)
    used = page.evaluate("location.search")
    page.keyboard.press("Control+z")
    page.get_by_test_id("said").filter(has_text="undone").wait_for()
    page.wait_for_function("used => location.search !== used", arg=used)
    page.keyboard.press("Control+y")
    page.wait_for_function("used => location.search === used", arg=used)

    # What was typed is still there in a page that loads again, and its address has the module.
    page.reload()
    bench.wait_ready(page)
    page.evaluate("document.dispatchEvent(new CustomEvent('pvsim:sheet'))")
    dialog.wait_for()
    assert dialog.get_by_role("textbox", name="Isc, A").input_value() == "10.3"
    page.keyboard.press("Escape")
    dialog.wait_for(state="hidden")
    button.click()
    chosen = page.get_by_role("combobox", name="Module type (data invented)")
    assert chosen.locator("option:checked").inner_text().startswith("Mooring 330")
