"""Two phones vote in a real browser on what is read next in a search, and see it carried out."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from pvsim.app.room.hub import Hub
from tests.app.axe import broken_rules
from tests.app.conftest import Bench, Served

pytestmark = pytest.mark.ui
PHONE = {"width": 390, "height": 844}


@pytest.fixture
def lectured(browser: Any, tmp_path: Path) -> Iterator[Bench]:
    """The page of a server that has classes."""
    served = Served(hub=Hub(f"sqlite:///{tmp_path / 'classes.sqlite'}"))
    bench = Bench(browser, served)
    yield bench
    for context in bench._contexts:
        context.close()
    served.call(served.settings["hub"].close)
    served.stop()
    assert bench.complaints == []


def test_two_phones_vote_on_a_reading_and_it_is_carried_out(browser: Any, lectured: Bench) -> None:
    page = lectured.open(alone=True)
    page.get_by_role("button", name="Search for a hidden fault").click()
    desk = page.get_by_role("region", name="Measuring on the roof")
    desk.get_by_label("Level").select_option("1")
    desk.get_by_label("Kinds of fault").select_option("")
    desk.get_by_label("Your number").fill("7")
    desk.get_by_role("button", name="Begin the search").click()
    room = desk.get_by_role("region", name="With a class")
    room.get_by_role("button", name="Open a class for phones").click()
    code = room.locator(".join__code").inner_text()
    phones = []
    for _number in range(2):
        phones.append(browser.new_context(viewport=PHONE, locale="en-GB").new_page())
        phones[-1].goto(f"{lectured.served.url}join/{code}")
        phones[-1].get_by_role("heading", name="You are in").wait_for()

    room.get_by_role("button", name="Ask the class").click()
    room.get_by_role("heading", name="What do we read next?").wait_for()
    offered = room.get_by_role("listitem")
    texts = [one.locator(".wish__text").inner_text() for one in offered.all()]
    assert room.locator(".votes").count() == 0, "nobody sees what others want before the vote is over"
    place = next(k for k, text in enumerate(texts) if text.startswith("voltage") and "at work" in text)
    for phone in phones:
        phone.get_by_text("Your vote").wait_for()
        assert phone.get_by_role("radio").count() == len(texts)
        phone.get_by_role("radio").nth(place).check()
        phone.get_by_text("Your answer is kept").wait_for()
    room.get_by_text("2 phones answered").wait_for()
    room.get_by_role("button", name="End the vote").click()
    room.get_by_text("100").wait_for()
    assert broken_rules(page, ("#field",)) == []
    for phone in phones:
        phone.get_by_text("The round is closed").wait_for()

    room.get_by_role("button", name="Do what most want").click()
    room.get_by_text("2 of 2 wanted this").wait_for()
    assert re.search(r"\d\sV", room.locator(".done__found b").first.inner_text()), "the reading stands large"
    assert desk.get_by_role("table", name="Log").get_by_role("row").count() >= 2
    room.get_by_role("button", name="Ask the class").click()
    phones[0].get_by_text("The round is closed").wait_for(state="hidden")
    assert phones[0].get_by_role("radio", checked=True).count() == 0, "the next vote is another one"
    room.get_by_role("button", name="Drop this question").click()
    room.get_by_role("button", name="Close the class").click()
    for phone in phones:
        phone.get_by_text("This class is over").wait_for()
        phone.context.close()
