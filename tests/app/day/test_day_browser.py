"""A day on the roof in the browser: one walk on one page, mostly by keys."""

from __future__ import annotations

from typing import Any

import pytest

from tests.app.axe import broken_rules

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]


def strip(page: Any) -> Any:
    return page.get_by_role("region", name="A day on the roof")


def test_a_day_is_set_up_played_scrubbed_and_left_as_it_was_found(bench: Any) -> None:
    page = bench.open()
    assert page.locator("#day *").count() == 0, "a page that looks at no day has nothing of it"
    said = page.get_by_test_id("said")
    sound = said.inner_text()

    # Set up: a pole, first with a height that cannot be.
    page.get_by_test_id("menu-light").focus()
    page.keyboard.press("Enter")
    page.get_by_role("button", name="A day on the roof").press("Enter")
    day = strip(page)
    day.get_by_role("tab", name="Set up").wait_for()
    assert page.evaluate("document.activeElement.closest('#day') !== null"), "the keys are in the strip"
    day.get_by_role("button", name="Add", exact=True).press("Enter")
    height = day.get_by_role("group", name="pole").get_by_role("textbox", name="height")
    height.fill("-3")
    height.press("Enter")
    wrong = day.get_by_role("alert").filter(has_text="Height cannot be")
    wrong.wait_for()
    assert height.get_attribute("aria-invalid") == "true"
    assert broken_rules(page, ("#day",)) == []
    height.fill("7.5")
    height.press("Enter")
    wrong.wait_for(state="hidden")

    # Play it: the table fills, the film runs and is paused.
    day.get_by_role("button", name="Play the day").press("Enter")
    table = day.get_by_role("table", name="Energy of the day")
    table.get_by_role("cell", name="%").first.wait_for()
    day.get_by_text("The shadow costs").wait_for()
    day.get_by_role("button", name="Play", exact=True).press("Enter")
    slider = day.get_by_role("slider", name="Time of the day")
    page.wait_for_function(
        """() => {
          const scrub = document.querySelector("#day > *").shadowRoot.querySelector(".scrub")
          return Number(scrub.value) > 3
        }"""
    )
    day.get_by_role("button", name="Pause", exact=True).press("Enter")
    day.get_by_role("button", name="Play", exact=True).wait_for()

    # Scrub by keys: the roof and the curves are those of that time.
    slider.focus()
    page.keyboard.press("End")
    for key, least in (("PageDown", "17:00"), ("ArrowLeft", "15:05")):
        while slider.get_attribute("aria-valuetext") >= least:
            before = slider.get_attribute("aria-valuetext")
            page.keyboard.press(key)
            assert slider.get_attribute("aria-valuetext") < before
    text = slider.get_attribute("aria-valuetext")
    clock, power, sun = text.split(" · ")
    assert clock == "15:00"
    assert "from north" in sun
    page.get_by_role("radio", name="Array", exact=True).click()
    page.locator("#roof text").filter(has_text=power.removesuffix(" W")).first.wait_for()
    assert page.locator("#roof path.day-shadows").get_attribute("d"), "its shadow lies on the roof"
    assert page.get_by_test_id("menu-light").inner_text().endswith("film of a day")
    assert broken_rules(page, ("#day", "#roof", "#curves")) == []
    slider.focus()
    page.keyboard.press("Space")
    day.get_by_role("button", name="Pause", exact=True).wait_for()
    page.keyboard.press("Space")

    # End the film, change something, undo it, close the strip.
    day.get_by_role("button", name="End the film").press("Enter")
    page.get_by_test_id("menu-light").filter(has_text="1000").wait_for()
    assert not page.locator("#roof path.day-shadows").get_attribute("d")
    page.get_by_test_id("tool-theme").focus()
    page.keyboard.press("F6")
    page.keyboard.press("F6")
    page.keyboard.press("F6")
    assert page.evaluate("document.activeElement.closest('#day') !== null"), "F6 goes there as well"
    day.get_by_role("tab", name="Set up").press("Enter")
    day.get_by_role("button", name="Take away: pole 1").press("Enter")
    day.get_by_text("Something has changed since").wait_for()
    for _step in range(3):
        page.keyboard.press("Control+z")
    page.locator("[data-testid=tool-undo][aria-disabled=true]").wait_for()
    page.keyboard.press("Escape")
    day.wait_for(state="hidden")
    page.get_by_test_id("said").filter(has_text="W").wait_for()
    assert sound.split(" W")[0].split()[-1] in said.inner_text(), "the array is what it was"
