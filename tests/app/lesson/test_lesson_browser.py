"""A lesson in a real browser: by keyboard, by mouse, on a phone, and in large type."""

from __future__ import annotations

from typing import Any

import pytest

from pvsim.course.folder.course_reader import own_course
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.expression import parse_expression
from pvsim.course.number.solved_scenario import solved

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]

PHONE = {"width": 390, "height": 844}


def region(page: Any) -> Any:
    return page.get_by_role("region", name="Lesson")


def begin(page: Any, title: str) -> None:
    """Open a lesson and turn to its first step."""
    region(page).get_by_role("button", name=title).click()
    region(page).get_by_role("button", name="Begin").click()
    region(page).get_by_role("button", name="Store prediction").wait_for()


def focused_text(page: Any) -> str:
    """The text of the element that has the focus, through shadow roots."""
    return page.evaluate(
        """() => {
          let at = document.activeElement
          while (at && at.shadowRoot && at.shadowRoot.activeElement) at = at.shadowRoot.activeElement
          return at ? at.textContent.trim() : ""
        }"""
    )


def test_a_step_is_played_by_keyboard_alone_the_next_on_the_drawing_and_nothing_is_cut(bench) -> None:
    page = bench.open()
    a_step_is_played_by_keyboard_alone(page)
    region(page).get_by_role("button", name="Contents").click()
    a_click_on_the_drawing_gets_the_act_done_and_what_is_typed_then_survives_another(page)
    region(page).get_by_role("button", name="Contents").click()
    nothing_is_cut_and_every_control_can_be_hit(page)


def a_step_is_played_by_keyboard_alone(page: Any) -> None:
    region(page).get_by_role("button", name="One cell's curve").focus()
    page.keyboard.press("Enter")
    begin_button = region(page).get_by_role("button", name="Begin")
    begin_button.wait_for()
    begin_button.focus()
    page.keyboard.press("Enter")
    region(page).get_by_role("button", name="Store prediction").wait_for()
    assert "Half the light" in focused_text(page)
    page.keyboard.press("Tab")
    page.keyboard.type("0,34")
    page.keyboard.press("Enter")
    region(page).get_by_role("button", name="Do it for me").wait_for()
    assert "Act" in focused_text(page)
    page.keyboard.press("Tab")
    assert focused_text(page) == "irradiance", "a term in the text is a stop of its own"
    page.keyboard.press("Tab")
    assert focused_text(page) == "Do it for me"
    page.keyboard.press("Enter")
    region(page).get_by_role("radio").first.wait_for()
    assert "Observe" in focused_text(page)
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    region(page).get_by_text("It came out differently").wait_for()
    assert "Explain" in focused_text(page)
    assert region(page).get_by_text("voltage follows the light").is_visible()


def a_click_on_the_drawing_gets_the_act_done_and_what_is_typed_then_survives_another(page: Any) -> None:
    begin(page, "The cell that eats power")
    cell = page.get_by_role("gridcell", name="Cell 14").first
    cell.click()
    assert region(page).get_by_text("after your prediction").is_visible()
    region(page).get_by_role("textbox").fill("5.7")
    region(page).get_by_role("button", name="Store prediction").click()
    region(page).get_by_text("Not done yet.").wait_for()
    page.get_by_role("gridcell", name="Cell 14").first.click()
    region(page).get_by_text("Done.", exact=True).wait_for()
    field = region(page).get_by_role("textbox")
    field.wait_for()
    field.fill("\u2212159")
    page.get_by_role("gridcell", name="Cell 30").first.click()  # a second cell: the array moved on
    region(page).get_by_role("button", name="Put it back").wait_for()
    assert field.input_value() == "\u2212159"


def test_a_lesson_comes_with_its_address_and_what_answers_its_prediction_is_out_of_sight(bench) -> None:
    first = next(one for one in own_course().lessons if one.slug == "four-deaths").steps[0]
    here = Readings(solved(first.start), solved(first.start))
    power = f"{value_of(parse_expression('now[1/1/14].p_mp_W'), here):.2f}"  # of the cell that will fail
    page = bench.open("?lesson=four-deaths/1")
    page.locator("#lesson").get_by_text(first.title).first.wait_for()
    page.locator("#lesson").get_by_role("button", name="Store prediction").wait_for()
    cell = page.get_by_role("gridcell", name="Cell 14").first
    cell.filter(visible=True).wait_for()
    page.locator("#curves > .cover").wait_for()
    cell.focus()
    for passed in ("curves", "lesson"):  # by keys beyond what is covered
        page.keyboard.press("F6")
        assert page.evaluate("document.activeElement.closest('section').id") == passed
    for region in ("curves", "ladder"):
        seen = page.locator(f"#{region}").inner_text()
        assert "once" in seen, "why nothing stands there"
        assert " W" not in seen
    roof = page.locator("#roof")
    assert roof.get_by_role("button", name="Power").is_disabled()
    cell.hover()
    assert power not in roof.inner_text()
    assert power not in roof.aria_snapshot()
    page.keyboard.press("5")  # nearer: at a single cell its power would stand in the circuit
    roof.get_by_role("button", name="Power", disabled=True).wait_for()
    assert power not in page.locator("main").inner_text()
    region_ = page.locator("#lesson")
    region_.get_by_role("textbox").fill("6")
    region_.get_by_role("button", name="Store prediction").click()
    page.locator("#curves > .cover").wait_for(state="hidden")
    page.locator("#curves").get_by_text(power).first.wait_for()


def test_the_columns_of_a_table_stand_apart_on_a_phone(bench) -> None:
    """Figures that touched read as one: 70 K145 degrees C."""
    page = bench.open("?lesson=diode/3", size=PHONE)
    region(page).get_by_role("textbox").fill("3")
    region(page).get_by_role("button", name="Store prediction").click()
    opener = region(page).get_by_role("button", name="Open Operation")
    opener.click()
    page.get_by_role("radio", name="voltage", exact=True).wait_for()
    read = page.evaluate("scrollY")
    assert read > 300
    page.mouse.click(200, 60)  # beside the sheet
    page.get_by_role("radio", name="voltage", exact=True).wait_for(state="hidden")
    assert focused_text(page) == "Open Operation"
    assert page.evaluate("scrollY") == read, "the text stays where it was read"
    region(page).get_by_role("button", name="Do it for me").click()
    region(page).get_by_role("button", name="Do it for me").wait_for(state="hidden")
    field = region(page).get_by_role("textbox")
    field.fill("1")
    field.press("Enter")
    region(page).get_by_text("Not yet", exact=True).wait_for()
    told = field.and_(page.locator("[aria-describedby='observe-verdict observe-question']:focus"))
    told.wait_for()  # the keys stay where another answer is typed
    field.fill("7.7")
    field.press("Enter")
    table = region(page).get_by_role("table").filter(has_text="hanging on its leads")
    table.wait_for()
    gaps = table.evaluate(
        """table => [...table.rows].flatMap(row => {
          const inked = [...row.cells].map(cell => {
            const range = document.createRange()
            range.selectNodeContents(cell)
            return range.getBoundingClientRect()
          })
          return inked.slice(1).map((box, at) => box.left - inked[at].right)
        })"""
    )
    assert len(gaps) == 6
    assert min(gaps) >= 6


def predict(page: Any) -> None:
    """Store some prediction, right or wrong, on the step that is open."""
    region(page).get_by_role("textbox").or_(region(page).get_by_role("radio")).first.wait_for()
    if region(page).get_by_role("radio").count():
        region(page).get_by_role("radio").first.check()
    else:
        region(page).get_by_role("textbox").fill("0,6")
    region(page).get_by_role("button", name="Store prediction").click()
    region(page).get_by_role("button", name="Do it for me").wait_for()


def nothing_is_cut_and_every_control_can_be_hit(page: Any) -> None:
    begin(page, "Big here, small there")
    held_to_its_room(page)
    page.set_viewport_size(PHONE)
    page.wait_for_function("innerWidth === 390")
    held_to_its_room(page)


def test_nothing_is_cut_in_large_type_that_the_browser_has_kept(bench) -> None:
    page = bench.open(kept={"large": "true"})
    begin(page, "Big here, small there")
    held_to_its_room(page)


def held_to_its_room(page: Any) -> None:
    """Nothing of the lesson is wider than its room, or too small to be hit."""
    measured = region(page).evaluate(
        """region => {
          const root = [...region.querySelectorAll("*")].map(one => one.shadowRoot).filter(Boolean)
            .map(one => one.querySelector(".sheet")).find(Boolean)
          const small = [...root.querySelectorAll("button, input:not([type=radio]), label.option")]
            .map(one => [one.textContent || one.id, one.getBoundingClientRect()])
            .filter(([, box]) => box.width && (box.width < 24 || box.height < 24)).map(([text]) => text)
          const cut = [...root.querySelectorAll("p, h3, h4, h5, button")]
            .filter(one => one.clientWidth && one.scrollWidth > one.clientWidth + 1)
            .map(one => one.textContent)
          return {small, cut, over: root.scrollWidth - root.clientWidth}
        }"""
    )
    assert measured == {"small": [], "cut": [], "over": 0}
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_work_is_kept_in_the_browser_and_goes_to_another_one_as_a_file(bench, tmp_path) -> None:
    page = bench.open()
    begin(page, "One cell's curve")
    predict(page)
    bench.go(page)  # the bare address: nothing but the browser's own store knows of it
    go_on = region(page).get_by_role("button", name="Go on where you left")
    assert "One cell's curve" in go_on.inner_text()
    with page.expect_download() as download:
        region(page).get_by_role("button", name="Save it as a file").click()
    path = tmp_path / "workbook.json"
    download.value.save_as(path)
    go_on.click()
    region(page).get_by_role("button", name="Do it for me").wait_for()

    other = bench.open()
    assert region(other).get_by_role("button", name="Go on where you left").count() == 0
    region(other).locator("input[data-act=take]").set_input_files(path)
    region(other).get_by_role("button", name="Go on where you left").click()
    region(other).get_by_role("button", name="Do it for me").wait_for()
    region(other).get_by_role("button", name="Contents").click()
    forget = region(other).get_by_role("button", name="Forget it")
    forget.click()
    region(other).get_by_role("button", name="Press again").click()
    region(other).get_by_role("button", name="Go on where you left").wait_for(state="detached")
    bench.go(other)
    assert region(other).get_by_role("button", name="Go on where you left").count() == 0


def test_an_answer_that_cannot_be_read_is_told_and_work_kept_earlier_is_taken_in_first(bench) -> None:
    kept = (
        '{"at":"","format":1,"lessons":{"another-course":{"page":3,"steps":{"a":{"tries":2}}}},"pvsim":"0"}'
    )
    page = bench.open(kept={"workbook": kept})
    begin(page, "One cell's curve")
    page.wait_for_function(
        """() => {
          const {at, lessons} = JSON.parse(localStorage.getItem("pvsim.workbook"))
          return at === "one-cell" && lessons["another-course"].steps.a.tries === 2
        }"""
    )
    field = region(page).get_by_role("textbox")
    field.fill("half")
    field.press("Enter")
    region(page).get_by_role("alert").filter(has_text="no number").wait_for()
    assert field.get_attribute("aria-invalid") == "true"
    region(page).get_by_role("button", name="Store prediction").click()
    region(page).get_by_role("alert").filter(has_text="no number").wait_for()
    assert field.input_value() == "half", "what was typed stays to be mended"


def test_work_kept_earlier_is_taken_in_before_the_page_is_drawn_and_stays_if_it_is_not_taken_in(
    bench,
) -> None:
    page = bench.open(alone=True)
    begin(page, "One cell's curve")
    predict(page)
    a_page_that_took_nothing_in_leaves_what_is_kept_as_it_is(bench, page)
    work_is_taken_in_before_the_page_is_drawn_to_the_end(bench, page)


def a_page_that_took_nothing_in_leaves_what_is_kept_as_it_is(bench: Any, page: Any) -> None:
    kept = page.evaluate("localStorage.getItem('pvsim.workbook')")
    # A server that answers, and does nothing of what it was asked until its page has another name.
    page.add_init_script("""
      const send = WebSocket.prototype.send
      if (window.name !== "heard") WebSocket.prototype.send = function (text) {
        return send.call(this, String(text).replace('["do","recall"]', '["do","shrug"]'))
      }
    """)
    bench.go(page)
    page.get_by_test_id("said").or_(page.get_by_role("alert")).filter(has_text="Reload the page").wait_for()
    bench.go(page)
    assert page.evaluate("localStorage.getItem('pvsim.workbook')") == kept
    page.evaluate("window.name = 'heard'")


def work_is_taken_in_before_the_page_is_drawn_to_the_end(bench: Any, page: Any) -> None:
    """The page says that it is drawn long after its parts begin to speak; what they say counts at once."""
    late = []

    def hold_back(socket) -> None:
        server = socket.connect_to_server()
        header = []

        def pass_on(message: str) -> None:
            header.append(message)
            if len(header) % 3 == 0:  # a header, what it is about, and the message itself
                whole, header[:] = list(header), []
                for part in whole:
                    (late.append if "document_ready" in message else server.send)(part)

        socket.on_message(pass_on)

    page.route_web_socket("**/ws*", hold_back)
    page.goto(bench.served.url)
    region(page).get_by_role("button", name="Go on where you left").click()
    region(page).get_by_role("button", name="Do it for me").wait_for()
    assert late, "the page never said that it was drawn"


def test_two_tabs_take_in_each_others_work_and_come_to_rest(bench) -> None:
    page = bench.open(alone=True)
    begin(page, "One cell's curve")
    other = page.context.new_page()
    bench.go(other)
    begin(other, "Big here, small there")
    for tab in (page, other):
        tab.evaluate("addEventListener('storage', () => { window.heard = (window.heard || 0) + 1 })")
    for tab in (page, other):
        predict(tab)
    page.wait_for_function(
        """() => {
          const {lessons} = JSON.parse(localStorage.getItem("pvsim.workbook"))
          return ["one-cell", "five-levels"].every(one => Object.keys(lessons[one]?.steps ?? {}).length)
        }"""
    )
    page.wait_for_timeout(1500)
    heard = [tab.evaluate("window.heard || 0") for tab in (page, other)]
    page.wait_for_timeout(1000)
    assert [tab.evaluate("window.heard || 0") for tab in (page, other)] == heard
    assert max(heard) < 6
