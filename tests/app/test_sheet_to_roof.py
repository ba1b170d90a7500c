"""From the data sheet to the roof with keys alone: a module of one's own, mounted, wired, shaded, broken."""

from __future__ import annotations

from typing import Any

import pytest

from tests.app.conftest import Bench
from tests.app.tabbing import AT, tab_to

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]


def said(page: Any, text: str) -> None:
    page.get_by_test_id("said").filter(has_text=text).wait_for()


def press(page: Any, *keys: str) -> None:
    for key in keys:
        page.keyboard.press(key)


def to_roof(page: Any, *names: str) -> None:
    """F6 to the next region, or on and back, until a part of the roof so called has the keys."""
    for key in ("F6", "Shift+F6"):
        page.keyboard.press(key)
        if page.evaluate(AT)["name"].startswith(names):
            return
    raise AssertionError(f"F6 leads to none of {names}")


def test_a_class_is_taken_from_the_data_sheet_to_the_roof(bench: Bench) -> None:
    page = bench.open()
    page.get_by_test_id("menu-array").focus()
    page.keyboard.press("Enter")
    tab_to(page, "Enter a data sheet…", within=False)
    page.keyboard.press("Enter")
    page.get_by_role("dialog", name="Data sheet").wait_for()
    tab_to(page, "Boathouse 265, whole cells (invented)")
    page.keyboard.press("Enter")
    tab_to(page, "Work it out")
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="How many volts").wait_for()
    tab_to(page, "Show all")
    page.keyboard.press("Enter")
    tab_to(page, "Use this module")
    page.keyboard.press("Enter")
    said(page, "Boathouse 265")

    # Mounted freely, and string 1 drawn anew: there along the upper row, back along the lower.
    to_roof(page, "module", "string", "cell", "minus")
    tab_to(page, "Wire", within=False, back=True)
    page.keyboard.press("Enter")
    tab_to(page, "Mount freely", within=False)
    page.keyboard.press("Enter")
    said(page, "modules on a surface")
    to_roof(page, "place ")
    press(page, "Home", "ArrowUp", "Home")
    assert page.evaluate(AT)["name"].startswith("place A/1/1")
    for step in ("", "ArrowRight", "ArrowRight", "ArrowDown", "ArrowLeft", "ArrowLeft"):
        if step:
            page.keyboard.press(step)
        before = page.get_by_test_id("said").inner_text()
        page.keyboard.press("Space")
        page.wait_for_function(
            "before => [...document.querySelectorAll('*')].some(one => one.shadowRoot"
            "?.querySelector('[data-testid=said]')?.innerText.trim() !== before.trim()"
            " && one.shadowRoot?.querySelector('[data-testid=said]'))",
            arg=before,
        )
    said(page, "string 1 drawn through six modules")

    # Shade falls on a module of it, and its cable breaks; all of it can be undone.
    tab_to(page, "Shade", within=False, back=True)
    page.keyboard.press("Enter")
    to_roof(page, "module", "string")
    page.keyboard.press("Space")
    said(page, "shaded to 20")
    tab_to(page, "Break", within=False, back=True)
    page.keyboard.press("Enter")
    tab_to(page, "String", within=False)
    page.keyboard.press("Enter")
    to_roof(page, "module", "string")
    page.keyboard.press("Space")
    said(page, "cable open")
    page.keyboard.press("Control+z")
    said(page, "undone")
