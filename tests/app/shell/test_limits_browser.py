"""Limits and an earth fault on the page, by keyboard alone."""

from __future__ import annotations

from typing import Any

import pytest

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]


def test_strings_are_held_against_limits_and_an_earth_fault_is_found_by_keys_alone(bench: Any) -> None:
    page = bench.open()
    page.get_by_role("button", name="String").first.focus()
    page.keyboard.press("Enter")
    panel = page.locator(".panel--string")
    panel.get_by_label("Coldest bright morning").focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("-20")
    page.keyboard.press("Enter")
    panel.get_by_role("button", name="Hold the strings against them").focus()
    page.keyboard.press("Enter")
    panel.get_by_text("open at −20").wait_for()
    # 270 V in all and 101 V of it below earth: three modules of eight.
    for label, typed in (("Minus pole to earth", "-101"), ("Plus pole to earth", "165")):
        panel.get_by_label(label).focus()
        page.keyboard.type(typed)
        page.keyboard.press("Enter")
    found = panel.get_by_role("status").filter(has_text="Between modules 3 and 4")
    found.wait_for()
    panel.get_by_label("Plus pole to earth").focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("900")
    page.keyboard.press("Enter")
    panel.get_by_role("status").filter(has_text="add up to").wait_for()
    assert panel.get_by_text("licensed person").is_visible()
