"""Measuring on the bench in the browser: the safe way to a string by itself, its curve, and a cloth."""

from __future__ import annotations

import re
from typing import Any

import pytest

from pvsim.array.change import add_fault
from pvsim.array.fault import Fault
from pvsim.array.place import Place
from pvsim.files import pack, read_demo
from tests.app.axe import broken_rules
from tests.app.conftest import PHONE
from tests.app.tabbing import AT
from tests.looks import looks

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]

HURT = Place(2, 5, diode=2)


def link() -> str:
    """The workshop's roof with a diode that bridges its substring for good."""
    return "?s=" + pack(add_fault(read_demo("workshop"), Fault("diode-short", HURT)))


def desk(page: Any) -> Any:
    return page.get_by_role("region", name="Measuring on the roof")


def go(page: Any, text: str) -> None:
    box = page.get_by_role("textbox", name="Go to a place")
    box.fill(text)
    box.press("Enter")


def last_line(page: Any, has: str) -> str:
    """The sentence of the newest line, when it says so."""
    line = desk(page).locator(".latest").filter(has_text=has)
    line.wait_for()
    return str(line.inner_text())


def number_of(text: str) -> float:
    """The voltage that a line tells."""
    found = re.search(r"(\u2212?\d+\.\d+)\s*V", text)
    assert found is not None, text
    return float(found[1].replace("\u2212", "-"))


def press(page: Any, name: str) -> None:
    desk(page).get_by_role("button", name=re.compile(name)).click()


def test_a_string_is_separated_in_the_safe_order_and_traced(bench: Any) -> None:
    page = bench.open(link())
    page.locator("button[data-tray=measure]").click()
    go(page, "2")
    desk(page).get_by_text("Put at: string 2").wait_for()
    # The tool of the drawing opened it: keys and eyes stay there.
    assert page.evaluate("document.activeElement.closest('#field')") is None

    press(page, "^I-V tracer")
    assert "hands and meter" in last_line(page, "Not done: I-V curve of string 2")
    for act, done in (("^Stop: Inverter", "Inverter stopped"), ("^Open: DC switch", "DC switch opened")):
        press(page, act)
        last_line(page, done)
    desk(page).get_by_text("Drawing and curves go on showing the array at work").wait_for()
    press(page, "^Separate: String 2")
    last_line(page, "Nobody has shown")
    press(page, "^Prove: Zero current")
    assert last_line(page, "Zero current looked for").count("A ±") == 2
    press(page, "^Separate: String 2")
    last_line(page, "String separated")
    press(page, "^by itself, open")
    # Eight modules of three substrings, one of which gives nothing: 23/24 of the open voltage at hand.
    assert number_of(last_line(page, "by itself, open")) == pytest.approx(328.8 * 23.0 / 24.0, rel=0.02)
    press(page, "^I-V tracer")
    last_line(page, "short-circuit current")
    figure = desk(page).get_by_role("img", name=re.compile("greatest power"))
    figure.wait_for()
    assert figure.locator("circle").count() > 20
    assert broken_rules(page, ("#field",)) == []

    # One press lays it over the model; its own way back.
    desk(page).get_by_role("button", name="Compare with the model").click()
    dialog = page.get_by_role("dialog", name="Measured curve")
    dialog.get_by_text("from 100 rows").wait_for()
    dialog.get_by_text(re.compile(r"^[\d\s]{3,5}\sW/m²")).first.wait_for()  # found above the table
    dialog.get_by_role("button", name="Close").click()

    for act, done in (
        ("^Join again: String 2", "String joined"),
        ("^Close: DC switch", "DC switch closed"),
        ("^Start: Inverter", "Inverter started"),
    ):
        press(page, act)
        last_line(page, done)
    desk(page).get_by_text("Drawing and curves go on showing the array at work").wait_for(state="hidden")


def test_a_cloth_on_the_bridged_substring_changes_nothing_and_so_finds_it(bench: Any) -> None:
    page = bench.open(link())
    page.locator("button[data-tray=measure]").click()
    go(page, "2/5")
    press(page, "^as it stands")
    before = number_of(last_line(page, "Voltmeter, as it stands, string 2, module 5"))
    fell = {}
    for part in (1, 2, 3):
        go(page, f"2/5/s{part}")
        desk(page).get_by_text(f"Put at: string 2, module 5, substring {part}").wait_for()
        desk(page).get_by_text("While the cloth slides").wait_for()  # said before the act
        press(page, "^opaque")
        last_line(page, f"Cloth laid, string 2, module 5, substring {part}")
        press(page, "^as it stands")
        fell[part] = before - number_of(last_line(page, "Voltmeter, as it stands"))
        press(page, "^take it off")
        last_line(page, "Cloth taken off")
    assert min(fell, key=lambda part: fell[part]) == HURT.diode
    assert abs(fell[2]) < 0.3
    assert min(fell[1], fell[3]) > 8.0  # a substring of twenty cells and its diode: from 11 V to -0.5 V
    rows = desk(page).get_by_role("table", name="Log").get_by_role("row").count()
    assert rows == 1 + 1 + 3 * 3


@pytest.mark.parametrize("lang", looks(["de"], ["en", "qps"]))
def test_a_finger_measures_on_a_phone_with_the_drawing_in_sight(bench: Any, lang: str) -> None:
    page = bench.open(f"?lang={lang}", size=PHONE, has_touch=True, is_mobile=True)
    trays = page.locator("button[data-tray]")
    boxes = [one.bounding_box() for one in trays.all()]
    assert len(boxes) == 7
    for box in boxes:
        assert 0.0 <= box["x"]
        assert box["x"] + box["width"] <= PHONE["width"]
        assert min(box["width"], box["height"]) >= 24.0
    page.locator("button[data-tray=measure]").tap()
    page.locator("html[data-field]").wait_for(state="attached")
    measured = page.locator("#roof .latest")
    measured.wait_for()
    page.get_by_role("gridcell").nth(3).tap()
    measured.filter(has_text="±").wait_for()
    assert measured.bounding_box()["y"] < PHONE["height"]  # and the page did not go elsewhere
    select = page.locator("#roof select[data-name=probe]").bounding_box()
    assert select["width"] > 120.0
    page.locator(".jump .to-desk").tap()
    page.locator("#field .latest").filter(has_text="±").wait_for()
    wide = page.evaluate(
        "document.querySelector('#lesson').scrollWidth - document.querySelector('#lesson').clientWidth"
    )
    assert wide <= 0


def test_two_pages_measure_side_by_side_and_go_on_after_a_lost_connection(bench: Any, served: Any) -> None:
    pages = [bench.open(alone=True) for _number in range(2)]
    for number, page in enumerate(pages, 1):
        page.locator("button[data-tray=measure]").click()
        for _press in range(number):
            press(page, "^irradiance")
        desk(page).get_by_role("table", name="Log").get_by_role("row").nth(number).wait_for()
        # The page says so for a moment alone, which may be over when it is this page's turn.
        page.evaluate("document.addEventListener('pvsim:connected', () => { window.connectedAgain = true })")
    served.drop_connections()
    for number, page in enumerate(pages, 1):
        page.wait_for_function("window.connectedAgain")
        rows = desk(page).get_by_role("table", name="Log").get_by_role("row")
        rows.nth(number).wait_for()  # what was read is there still
        assert rows.count() == 1 + number  # and only what was read on this page
        press(page, "^irradiance")
        rows.nth(number + 1).wait_for()
    closed = re.compile("already in CLOSING")  # what was on its way when the connection went
    bench.complaints[:] = [text for text in bench.complaints if not closed.search(text)]


def test_the_voltmeters_range_is_set_by_mouse_and_by_keys(bench: Any) -> None:
    page = bench.open(link())
    page.locator("button[data-tray=measure]").click()
    go(page, "2/5")
    desk(page).get_by_text("Put at: string 2, module 5").wait_for()
    chosen = desk(page).get_by_role("combobox", name="Range of the voltmeter")
    assert chosen.input_value() == "0"
    chosen.select_option("6")
    press(page, "^as it stands")
    said = last_line(page, "OL beyond 6")
    assert "range 6\N{NO-BREAK SPACE}V, set" in said
    chosen.focus()
    page.keyboard.press("ArrowDown")  # 60 V
    page.wait_for_function("document.activeElement?.closest('#field') !== null")
    press(page, "^as it stands")
    narrow = last_line(page, "range 60")
    chosen.focus()
    page.keyboard.press("End")  # 1500 V
    desk(page).locator("select[data-act='range:voltmeter']").filter(has_text="automatic").wait_for()
    press(page, "^as it stands")
    wide = last_line(page, "range 1")
    doubts = [float(re.search(r"±(\d+(?:\.\d+)?)", text)[1]) for text in (narrow, wide)]  # type: ignore[index]
    assert doubts[1] > 2 * doubts[0]
    assert desk(page).locator(".log__range").count() == 3
    assert broken_rules(page, ("#field",)) == []


@pytest.mark.parametrize(
    "options", [{}, {"size": PHONE, "has_touch": True, "is_mobile": True}], ids=["desk", "phone"]
)
def test_the_first_reading_does_not_move_the_instrument_that_was_pressed(
    bench: Any, options: dict[str, Any]
) -> None:
    page = bench.open(link(), **options)
    page.locator("button[data-tray=measure]").click()
    if options:
        page.locator(".jump .to-desk").tap()
    desk(page).get_by_text("Nothing measured yet.", exact=True).wait_for()
    light = desk(page).get_by_role("button", name=re.compile("^irradiance"))
    light.scroll_into_view_if_needed()
    screen = light.bounding_box()
    light.click()
    last_line(page, "Irradiance")
    assert light.bounding_box() == pytest.approx(screen, abs=1.0)


def test_a_new_log_takes_the_cloth_away_and_the_keys_stay(bench: Any) -> None:
    page = bench.open(link())
    page.locator("button[data-tray=measure]").click()
    go(page, "2/5")
    desk(page).get_by_text("Put at: string 2, module 5").wait_for()
    press(page, "^opaque")
    last_line(page, "Cloth laid")
    desk(page).get_by_role("button", name="New log").last.focus()
    page.keyboard.press("Enter")
    desk(page).get_by_role("button", name=re.compile("^opaque")).wait_for()
    assert page.evaluate(AT)["name"] == "New log", "a second press lays no cloth"


def test_the_log_says_where_the_bench_was_changed(bench: Any) -> None:
    page = bench.open(link())
    page.locator("button[data-tray=measure]").click()
    go(page, "2/5")
    press(page, "^as it stands")
    last_line(page, "Voltmeter, as it stands, string 2, module 5")
    page.get_by_test_id("menu-light").click()
    page.get_by_role("button", name="Haze").click()
    page.get_by_test_id("said").filter(has_text="falls").wait_for()
    page.keyboard.press("Escape")
    press(page, "^as it stands")
    between = desk(page).locator("table.log tbody tr").nth(1)  # the newest line stands first
    between.filter(has_text="Changed:").wait_for()
    assert re.search(r"light: 600\sW/m², before 1000\sW/m²", between.inner_text())
    assert broken_rules(page, ("#field",)) == []
