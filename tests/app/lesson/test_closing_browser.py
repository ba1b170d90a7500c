"""The closing test in a real browser: one question answered wrongly and one rightly; kept over a reload."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from pvsim.course.folder.course_reader import own_course
from pvsim.course.play.closing_work import AskedQuestion, ClosingWork
from pvsim.course.play.workbook import Workbook, write_workbook

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]

# Both have one right answer in every case that can be drawn: whoever does not see the key can give it.
ASKED = ("unseen-wire/fresh/what-a-voltmeter-misses", "two-tops/fresh/how-many-tops")
WRONG, RIGHT = "The voltage of a module less", "Two: both substrings"
IDEA = "a bad contact cuts its module off"
PHONE = {"width": 390, "height": 844}


def region(page: Any) -> Any:
    return page.get_by_role("region", name="Lesson")


def begin(bench: Any, **how: Any) -> Any:
    """A page whose browser has kept a test of these two questions, at the first of them."""
    asked = tuple(AskedQuestion(exercise=name) for name in ASKED)
    work = Workbook(closing=ClosingWork(number=2, seed=4, asked=asked))
    page = bench.open(alone=True, kept={"workbook": write_workbook(work, own_course())}, **how)
    region(page).get_by_role("button", name="Closing test").click()
    region(page).get_by_text("2 questions with new numbers.").wait_for()
    return page


def kept(page: Any) -> dict[str, Any]:
    return json.loads(page.evaluate("localStorage.getItem('pvsim.workbook')"))["closing"]


def test_one_wrong_and_one_right_answer_by_keyboard_and_the_result_is_kept(bench) -> None:
    page = begin(bench)
    assert page.evaluate(FOCUSED) == "Closing test", "the keys wait where the test is made"
    region(page).get_by_role("button", name="Begin").focus()
    page.keyboard.press("Enter")
    region(page).get_by_text("Question 1 of 2").wait_for()
    region(page).get_by_role("button", name="Answer", exact=True).focus()
    page.keyboard.press("Enter")
    region(page).get_by_role("alert").get_by_text("There is no answer.").wait_for()
    assert IDEA not in region(page).inner_text()
    region(page).get_by_role("radio", name=WRONG).focus()
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    region(page).get_by_text("Not right", exact=True).wait_for()
    assert region(page).get_by_text(IDEA).is_visible()
    assert page.evaluate(FOCUSED) == "What it comes to", "the keys go on where the answer is told"
    region(page).get_by_role("button", name="Next").click()
    region(page).get_by_text("Question 2 of 2").wait_for()
    region(page).get_by_role("radio", name=RIGHT).check()
    region(page).get_by_role("button", name="Answer", exact=True).click()
    region(page).get_by_text("Right", exact=True).wait_for()
    region(page).get_by_role("button", name="Result ›").click()
    region(page).get_by_text("1 of 2 right").wait_for()
    assert region(page).get_by_text(IDEA).is_visible(), "it is to be revisited now"
    page.wait_for_function("localStorage.getItem('pvsim.workbook').includes('\"share\":1')")
    found = kept(page)
    assert [one["share"] for one in found["asked"]] == [0.0, 1.0]
    assert found["met"] == [f"{ASKED[0]}#1"]
    page.reload()
    region(page).get_by_text("1 of 2 right").first.wait_for()


FOCUSED = """() => {
  let at = document.activeElement
  while (at && at.shadowRoot && at.shadowRoot.activeElement) at = at.shadowRoot.activeElement
  const caps = at && at.querySelector(".caps")
  return caps ? caps.textContent : at && at.matches(".title") ? at.textContent : ""
}"""


def test_on_a_phone_nothing_is_wider_than_the_screen_and_the_files_lead_to_it_on_paper(bench) -> None:
    page = begin(bench, size=PHONE)
    page.get_by_test_id("menu-files").click()
    page.get_by_role("button", name="Closing test on paper…").click()
    with page.expect_download() as saved:
        region(page).get_by_role("button", name="Closing test as PDF").click()
    assert re.fullmatch(r"closing-test-\d+\.pdf", saved.value.suggested_filename)
    assert Path(saved.value.path()).read_bytes().startswith(b"%PDF")
    for press in ("Begin ›", "Next ›", "Result ›"):
        region(page).get_by_role("button", name=press).click()
        region(page).get_by_role("button", name="Back").wait_for()
        wide = page.evaluate("document.scrollingElement.scrollWidth")
        assert wide <= PHONE["width"], press
