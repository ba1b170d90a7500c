"""What phones and the lecturer's notes window show, held to the rules of axe-core."""

from __future__ import annotations

from typing import Any

import pytest

from tests.app.axe import broken_rules
from tests.app.room.test_class_browser import devices, kept, phone
from tests.app.room.test_notes import SCENE
from tests.store.conftest import CHOICE, NUMBER

__all__ = ["devices"]

pytestmark = pytest.mark.ui


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_phone_shows_nothing_that_breaks_a_rule(devices: Any, taught: Any, scheme: str) -> None:
    entry = devices.open("join", color_scheme=scheme)
    broken = {"entry": broken_rules(entry)}
    entry.get_by_label("Code of the class").fill("?????")
    entry.get_by_role("button", name="Join").click()
    entry.locator(".wrong").filter(has_text="code").wait_for()
    broken["code refused"] = broken_rules(entry)
    page = phone(devices, taught, color_scheme=scheme)
    broken["waiting"] = broken_rules(page)
    taught.do("ask", CHOICE)
    page.get_by_role("radio").first.wait_for(state="attached")
    broken["choice"] = broken_rules(page)
    page.get_by_role("radio").first.check()
    kept(page)
    broken["kept"] = broken_rules(page)
    taught.do("stop")
    page.get_by_text("The round is closed").wait_for()
    broken["closed"] = broken_rules(page)
    taught.do("ask", NUMBER)
    field = page.get_by_label("Your number")
    field.fill("many")
    field.press("Enter")
    page.get_by_text("is no number").wait_for()
    broken["number refused"] = broken_rules(page)
    assert not any(broken.values()), broken


def test_the_notes_window_shows_nothing_that_breaks_a_rule(devices: Any, taught: Any) -> None:
    taught.do("show", SCENE)
    taught.do("ask", CHOICE)
    page = devices.open(f"notes/{taught.get('code')}#{taught.get('key')}")
    page.get_by_text("vote").wait_for()
    broken = broken_rules(page)
    other = devices.open(f"notes/{taught.get('code')}#wrong")
    other.wait_for_timeout(500)
    broken += broken_rules(other)
    assert not broken, "\n".join(broken)
