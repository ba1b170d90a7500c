"""Without a mouse and without a screen: regions by keys, one sentence when things are still, true names."""

from __future__ import annotations

from typing import Any

import pytest

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]

FOCUSED = """() => {
    let at = document.activeElement
    const region = at.closest("section, header")
    while (at && at.shadowRoot && at.shadowRoot.activeElement) at = at.shadowRoot.activeElement
    return [region?.id || region?.className || "", at.getAttribute("role") || at.tagName.toLowerCase()]
}"""


def focused(page: Any) -> list[str]:
    found: list[str] = page.evaluate(FOCUSED)
    return found


def test_the_page_has_landmarks_one_title_and_a_skip_link_that_ends_at_the_cells(bench: Any) -> None:
    page = bench.open()
    assert page.get_by_role("banner").count() == 1
    assert page.get_by_role("main").count() == 1
    assert page.get_by_role("contentinfo").count() == 1
    assert page.get_by_role("heading", level=1).count() == 1
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert focused(page) == ["roof", "gridcell"]
    page.keyboard.press("ArrowRight")
    assert focused(page) == ["roof", "gridcell"]


def test_one_key_goes_from_region_to_region_and_back(left_open: Any) -> None:
    page = left_open.open()
    page.get_by_role("region", name="Lesson").wait_for()
    seen = []
    for _ in range(3):
        page.keyboard.press("F6")
        seen.append(focused(page)[0])
    assert seen == ["roof", "curves", "lesson"]
    back = []
    for _ in range(3):
        page.keyboard.press("Shift+F6")
        back.append(focused(page)[0])
    assert back == ["curves", "roof", "bar"]
    page.locator("#roof input[name=place]").focus()  # also while something is being typed
    page.keyboard.press("F6")
    assert focused(page)[0] == "curves"


def test_many_arrow_presses_are_one_sentence_to_hear(bench: Any) -> None:
    page = bench.open(alone=True)
    slider = page.locator("#curves input[type=range]")
    slider.focus()
    page.evaluate(
        """() => {
          window.heard = []
          const hosts = [...document.querySelectorAll("*")].filter(one => one.shadowRoot)
          const roots = [document, ...hosts.map(one => one.shadowRoot)]
          const live = roots.flatMap(root => [...root.querySelectorAll("[role=status], [aria-live]")])
          for (const one of live) {
            new MutationObserver(() => one.textContent && heard.push(one.textContent))
              .observe(one, { childList: true, characterData: true, subtree: true })
          }
        }"""
    )
    before = page.get_by_test_id("said").inner_text()
    page.clock.install()
    for _ in range(15):
        page.keyboard.press("ArrowLeft")
    page.wait_for_function("text => window.heard.length > 0", arg=before)
    page.clock.resume()  # time goes on, and the last of the answers may still be on its way
    said = page.get_by_test_id("said").element_handle()
    page.wait_for_function("said => window.heard.at(-1) === said.innerText", arg=said)
    heard = page.evaluate("heard")
    assert len(heard) <= 3, heard


def test_the_slider_says_of_whom_it_speaks(left_open: Any) -> None:
    page = left_open.open()
    page.keyboard.press("3")  # the module, of which the axis is
    slider = page.locator("#curves input[type=range]")
    page.locator("#curves .levels [aria-checked=true]").filter(has_text="Module").wait_for()
    spoken = slider.get_attribute("aria-valuetext")
    module = page.locator("#curves .levels [aria-checked=true]").inner_text()
    assert spoken.startswith("array at ")
    assert f"{module}: " in spoken


def test_the_next_module_is_said(bench: Any) -> None:
    page = bench.open()
    page.keyboard.press("3")
    page.locator("#roof .crumbs").get_by_role("button", name="Module 4").wait_for()
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.keyboard.press("PageDown")
    heard = page.locator("#roof .unseen[role=status]")
    heard.filter(has_text="String 1, Module 5").wait_for(state="attached")


@pytest.mark.parametrize(
    ("step", "field"),
    [pytest.param(1, "input[type=text]", id="number"), pytest.param(2, "fieldset", id="choice")],
)
def test_an_answer_is_tied_to_its_question(bench: Any, step: int, field: str) -> None:
    page = bench.open(f"?lesson=four-deaths/{step}")
    field = page.locator(f"#lesson [data-phase=predict] {field}")
    described = field.evaluate(
        "one => one.getAttribute('aria-describedby').split(' ')"
        ".map(id => one.getRootNode().getElementById(id)?.textContent ?? '').join(' ')"
    )
    assert "?" in described


def test_the_title_says_what_is_read_and_on_which_array(bench: Any) -> None:
    page = bench.open()
    array = page.title()
    assert array.endswith("pvsim")
    assert array != "pvsim"
    page.locator("#lesson [data-slug=one-cell]").click()
    page.wait_for_function("document.title.startsWith('One cell')")
    page.locator("#lesson [data-act=next]").click()
    page.wait_for_function("document.title.startsWith('Half the light')")
