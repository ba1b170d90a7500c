"""Every view held to the rules of axe-core: names, roles, contrast, order, sizes. None may be broken."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from tests.app.axe import broken_rules
from tests.app.conftest import DESK, PHONE
from tests.looks import looks

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]

LOOKS = {
    "desk-light": {"size": DESK, "color_scheme": "light"},
    "desk-dark": {"size": DESK, "color_scheme": "dark"},
    "phone-light": {"size": PHONE, "color_scheme": "light", "has_touch": True, "is_mobile": True},
    "phone-dark": {"size": PHONE, "color_scheme": "dark", "has_touch": True, "is_mobile": True},
}


# Each walk yields where the page is looked at, and ends in a view of its own.


def lesson(page: Any) -> Any:
    return page.get_by_role("region", name="Lesson")


def menus(page: Any) -> Iterator[str]:
    """Open every panel of the bar."""
    buttons = page.locator("[data-testid^=menu-]")
    for k in range(buttons.count()):
        buttons.nth(k).click()
        yield f"panel {buttons.nth(k).get_attribute('data-testid')}"
        page.keyboard.press("Escape")


def refusals(page: Any) -> Iterator[str]:
    """What cannot be, told beside its field and in the notice."""
    page.get_by_test_id("menu-light").click()
    field = page.get_by_role("textbox", name="In-plane irradiance")
    field.fill("bright")
    field.press("Enter")
    page.get_by_role("alert").filter(has_text="is not a number").wait_for()
    yield "number refused"
    page.keyboard.press("Escape")
    file = {"name": "roof.toml", "mimeType": "text/plain", "buffer": b"format = 1\ntitel = 'x'\n"}
    page.get_by_test_id("menu-files").click()
    page.locator("#field-open").set_input_files(file)
    page.get_by_role("alert").filter(has_text="titel").wait_for()
    yield "file refused"
    page.get_by_role("button", name="Close this message").click()
    page.get_by_test_id("menu-files").click()
    page.get_by_role("button", name="Copy link").click()
    page.locator("#field-link").wait_for()
    yield "link"
    page.keyboard.press("Escape")
    page.get_by_test_id("tool-help").click()
    page.get_by_role("dialog", name="Help").wait_for()
    yield "help"
    page.keyboard.press("Escape")


def drawing(page: Any) -> Iterator[str]:
    """Every tray and every level of the drawing, with faults and a shadow in it."""
    roof = page.locator("#roof")
    for tray in ("shade", "break", "mend", "shadow", "look"):
        roof.locator(f"button[data-tray={tray}]").click()
        roof.locator(f"button[data-tray={tray}][aria-pressed=true]").wait_for()
        if tray == "break":
            for button in roof.locator("[data-name^=scope-]").all():
                button.click()
        if tray == "shadow":
            roof.locator("[data-name^=add-]").first.click()
            roof.locator("[data-name=remove]").wait_for()
        yield f"tray {tray}"
    for place in ("2", "1/4", "1/4/s1", "1/4/14", "1/4/d1"):
        address = roof.locator("input[name=place]")
        address.fill(place)
        address.press("Enter")
        arrived = roof.locator(".over:not(.away)")
        arrived.wait_for(state="attached")
        yield f"place {place}"
    address.fill("9/9/9")
    address.press("Enter")


def curves(page: Any) -> Iterator[str]:
    """Every view of the curves, the five levels unfolded."""
    region = page.get_by_role("region", name="Characteristics")
    choices = region.locator(".views [role=radio]")
    for k in range(choices.count()):
        choice = choices.nth(k)
        choice.click()
        choice.and_(page.locator("[aria-checked=true]")).wait_for()
        yield f"curves {choice.inner_text()}"
    page.locator("#ladder summary").click()


def lessons(page: Any) -> Iterator[str]:
    """One lesson from its contents to its end, wrong at first."""
    region = lesson(page)
    region.locator("[data-slug=one-cell]").click()
    region.get_by_role("button", name="Begin").wait_for()
    yield "opening"
    region.get_by_role("button", name="Begin").click()
    region.get_by_role("textbox").fill("half")
    region.get_by_role("button", name="Store prediction").click()
    region.get_by_role("alert").filter(has_text="no number").wait_for()
    yield "prediction refused"
    region.get_by_role("textbox").fill("0.34")
    region.get_by_role("button", name="Store prediction").click()
    region.get_by_role("button", name="Do it for me").wait_for()
    yield "act"
    region.get_by_role("button", name="Do it for me").click()
    region.get_by_role("radio").first.wait_for()
    yield "observe"
    region.get_by_role("radio").nth(1).check()
    region.get_by_role("button", name="Answer", exact=True).click()
    region.get_by_role("button", name="Show me").wait_for()
    yield "observed wrongly"
    region.get_by_role("button", name="Show me").click()
    region.locator("[data-phase=explain] .prose").first.wait_for()
    yield "explained"
    region.locator(".aside summary").first.click()
    region.locator(".aside p").first.wait_for()
    yield "aside opened"
    region.locator(".dot").last.click()
    region.locator(".results").wait_for()
    yield "closing"
    region.get_by_role("button", name="Contents").first.click()
    region.get_by_role("button", name="Go on where you left").wait_for()
    region.locator("[data-act=take]").set_input_files(
        {"name": "x.json", "mimeType": "application/json", "buffer": b"{}"}
    )
    region.get_by_role("alert").filter(has_text=re.compile("no workbook")).wait_for()


def terms(page: Any) -> Iterator[str]:
    """The choice of a track, the glossary, the meaning of a term."""
    region = lesson(page)
    region.get_by_text("Installer", exact=True).click()
    region.get_by_role("radio", name="Installer").and_(page.locator(":checked")).wait_for()
    yield "track chosen"
    region.get_by_role("button", name="Glossary").click()
    region.locator(".glossary").wait_for()
    yield "glossary"
    region.get_by_role("button", name="Contents").click()
    region.locator("[data-slug=one-cell]").click()
    region.locator(".term").first.click()
    page.get_by_role("tooltip").wait_for()


def closing_test(page: Any) -> Iterator[str]:
    """The closing test: its opening, a question refused and answered, its result."""
    region = lesson(page)
    region.locator("[data-act=closing]").click()
    region.get_by_role("button", name="Begin").wait_for()
    yield "opening of the test"
    region.get_by_role("button", name="Begin").click()
    region.get_by_role("button", name="Answer", exact=True).click()
    region.get_by_role("alert").filter(has_text="empty").or_(
        region.get_by_role("alert").filter(has_text="no answer")
    ).wait_for()
    yield "answer refused"
    field = region.locator(".form input")
    if field.first.get_attribute("type") == "radio":
        field.first.check()
    else:
        field.fill("1")
    region.get_by_role("button", name="Answer", exact=True).click()
    region.locator(".verdict").wait_for()
    yield "question answered"
    region.locator(".dot").last.click()
    region.locator(".results").wait_for()


# Each walk, and the parts of the page that change on it: at its end the whole page is looked at.
WALKS: dict[str, tuple[Callable[[Any], Iterator[str]], tuple[str, ...]]] = {
    "panels": (menus, (".bar",)),
    "refusals": (refusals, (".bar", ".status")),
    "drawing": (drawing, ("#roof", ".status")),
    "curves": (curves, ("#curves", "#ladder")),
    "lesson": (lessons, ("#lesson",)),
    "terms": (terms, ("#lesson",)),
    "closing test": (closing_test, ("#lesson",)),
}

# Between them both sizes and both colours. The walks of a look follow one another on one page, where none
# disturbs the next: rules are held against a page far faster once they have been held against it.
USUAL = {
    "desk-light": ("panels", "drawing", "lesson", "closing test"),
    "phone-dark": ("refusals", "curves", "terms"),
}
SELDOM = {look: tuple(walk for walk in WALKS if walk not in USUAL.get(look, ())) for look in LOOKS}


@pytest.mark.parametrize(
    ("look", "walks"),
    looks(
        [pytest.param(look, walks, id=look) for look, walks in USUAL.items()],
        [pytest.param(look, walks, id=f"{look}, the others") for look, walks in SELDOM.items()],
    ),
)
def test_neither_the_page_as_it_opens_nor_any_view_breaks_a_rule(
    bench: Any, look: str, walks: tuple[str, ...]
) -> None:
    page = bench.open(**LOOKS[look])
    broken = {"as it opens": broken_rules(page)}
    for walk in walks:
        walked, changed = WALKS[walk]
        found = {view: broken_rules(page, changed) for view in walked(page)}
        assert len(found) > 1, walk
        found["at the end"] = broken_rules(page)
        broken |= {f"{walk}, {view}": rules for view, rules in found.items()}
    assert not any(broken.values()), "\n".join(
        f"{view}: {rule}" for view, rules in broken.items() for rule in rules
    )


def test_the_page_in_another_language_breaks_no_rule(bench: Any) -> None:
    page = bench.open("?lang=de&lesson=hungry-cell/1")
    broken = broken_rules(page)
    page.locator("#lesson [data-act=contents]").click()
    page.locator("#lesson .contents").wait_for()
    broken += broken_rules(page)
    assert not broken, "\n".join(broken)
