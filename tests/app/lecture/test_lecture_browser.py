"""A lecture in a real browser: rehearsed by keys alone and by mouse, spoilt by mis-clicks and put right."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest

from pvsim.course.folder.course_reader import own_course
from pvsim.course.lecture.lecture import lecture_of
from tests.looks import looks

sync_api = pytest.importorskip("playwright.sync_api", reason="browser tests need playwright")

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]

SIZES = [{"width": 1280, "height": 720}, {"width": 1920, "height": 1080}]
AT = [pytest.param(size, id="{width}x{height}".format(**size)) for size in SIZES]
AT_LARGEST, AT_SMALLEST = looks(AT[1:], AT[:1]), looks(AT[:1], AT[1:])
# The smaller in English is looked at on the way to counting hands.
IN_OTHERS = looks(
    [pytest.param("de", SIZES[0], id="de-1280x720")],
    [pytest.param(language, SIZES[1], id=f"{language}-1920x1080") for language in ("en", "de")],
)
SLUG = "diode"
CUES = lecture_of(own_course(), SLUG).cues
SMALLEST = 1 / 40  # of the screen's height: body text on the wall; keys and clock are for the lecturer


def podium(page: Any, moment: str = "") -> Any:
    return page.locator(f".podium[data-moment={moment}]" if moment else ".podium")


def prepare(page: Any, slug: str = SLUG) -> None:
    """From the contents page to the sheet before the beginning."""
    page.locator("#lecture-of").select_option(slug)
    page.get_by_role("button", name="Prepare").click()
    page.get_by_role("button", name="Rehearse").wait_for()


def at(page: Any, place: int) -> None:
    """Wait until a cue is shown."""
    page.locator(f".podium[data-at='{place}']").wait_for()


def open_class(page: Any) -> str:
    """Open the class for its phones; the code with which they join."""
    page.keyboard.press("o")
    page.locator(".join__code").wait_for()
    return str(page.locator(".join__code").inner_text())


def onward(page: Any, place: int, press: Callable[[], None]) -> None:
    """On to the next cue; what does not fit on the screen is read on first."""
    stands = "[podium.dataset.at, podium.querySelector('.body').scrollTop]"
    for _ in range(12):
        before = page.locator(".podium").evaluate(f"podium => {stands}")
        press()
        page.locator(".podium").evaluate(
            f"""(podium, before) => new Promise(done => {{
              const same = () => String({stands}) === String(before)
              const look = () => same() ? setTimeout(look, 20) : setTimeout(done, 250)
              look()
            }})""",
            before,
        )
        if page.locator(f".podium[data-at='{place}']").count() == 0:
            return
    pytest.fail(f"cue {place} does not end")


def to_ask(page: Any) -> None:
    """A lecture on, at its first question."""
    prepare(page)
    page.get_by_role("button", name="Begin", exact=True).click()
    at(page, 0)
    page.keyboard.press("PageDown")
    podium(page, "ask").wait_for()


def to_seven_answers(page: Any) -> None:
    """A lecture on, at its first question, with numbers called out."""
    to_ask(page)
    page.keyboard.press("h")
    page.keyboard.type("30 30x5 20")
    page.keyboard.press("Enter")
    page.get_by_text("7 answers").wait_for()


def leave(page: Any) -> None:
    """End the lecture; the contents page is back."""
    page.locator("[data-act=leave]").click()
    page.get_by_role("button", name="Press again to end").click()
    page.get_by_role("button", name="Prepare").wait_for()


def cut(page: Any) -> list[str]:
    """Texts of the sheet that do not fit, are too small for the last row, or lie outside the screen."""
    return page.locator(".podium").evaluate(
        """(podium, smallest) => {
          const body = podium.querySelector(".body")
          const found = []
          if (body.scrollWidth > body.clientWidth + 1) found.push("the sheet scrolls sideways")
          const asked = ["ask", "look"].includes(podium.dataset.moment)
          if (asked && body.scrollHeight > body.clientHeight + 1) found.push("a question is not seen whole")
          const head = podium.querySelector(".head")
          if (head.scrollWidth > head.clientWidth + 1) found.push("head")
          for (const one of podium.querySelectorAll(".question, .choice-text > span, .title, .prose")) {
            const px = parseFloat(getComputedStyle(one).fontSize)
            if (px < smallest * innerHeight * 0.8) found.push(`${px} px: ${one.textContent.slice(0, 40)}`)
          }
          for (const one of podium.querySelectorAll("button, .title, .choice-row")) {
            const wide = one.scrollWidth > one.clientWidth + 2
            if (wide && getComputedStyle(one).overflow !== "visible") found.push(one.textContent)
            const box = one.getBoundingClientRect()
            if (box.right > innerWidth + 1) found.push(`outside: ${one.textContent}`)
          }
          return found
        }""",
        SMALLEST,
    )


@pytest.mark.parametrize("size", AT_SMALLEST)
def test_a_whole_lesson_is_rehearsed_by_keys_alone(bench, size: dict[str, int]) -> None:
    page = bench.open(size=size)
    page.locator("#lecture-of").focus()
    page.keyboard.type("The diode")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Rehearse").wait_for()
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    problems = []
    for place, cue in enumerate(CUES):
        at(page, place)
        problems += [(place, cue.moment, one) for one in cut(page)]
        if cue.moment == "ask":
            page.keyboard.press("v")
            page.locator(".answers").wait_for()
            page.keyboard.press("a")
            page.locator(".answers").wait_for(state="detached")
            page.keyboard.press("v")
            page.locator(".legend__one").nth(1).wait_for()
            problems += [(place, "bars", one) for one in cut(page)]
        elif cue.moment == "act":
            do = page.get_by_role("button", name="Do it for me")
            for _ in range(8):
                page.keyboard.press("Tab")
                if do.evaluate("one => one.getRootNode().activeElement === one"):
                    break
            page.keyboard.press("Enter")
            page.locator(".status--done").wait_for()
        elif cue.moment == "look":
            page.keyboard.press("v")
            page.locator(".choice-row--right, .answer").first.wait_for()
            problems += [(place, "seen", one) for one in cut(page)]
        elif cue.moment == "explain":
            page.locator(".foreseen").wait_for()
        if place < len(CUES) - 1:
            onward(page, place, lambda: page.keyboard.press("PageDown"))
    page.get_by_role("heading", name="What the model leaves out").wait_for()
    assert problems == []


@pytest.mark.parametrize("size", AT_LARGEST)
def test_a_lesson_is_rehearsed_by_mouse(bench, size: dict[str, int]) -> None:
    page = bench.open(size=size)
    prepare(page)
    page.get_by_role("button", name="Rehearse").click()
    button = podium(page).locator("[data-act=next]")
    first = [cue for cue in CUES if cue.page <= 1]
    for place, cue in enumerate(first):
        at(page, place)
        assert page.locator(".badge").get_by_text("Rehearsal").is_visible()
        if cue.moment == "ask":
            podium(page).locator("[data-act=reveal]").click()
            page.get_by_text("Rehearsal: this class is invented").wait_for()
        if cue.moment == "act":
            cell = page.get_by_role("gridcell", name="Cell 14").first
            cell.click()
            page.locator(".status--done").wait_for()
        onward(page, place, button.click)
    at(page, len(first))


def test_while_the_class_acts_the_bench_is_seen_whole_and_hands_are_counted_in_one_field_or_one_by_one(
    bench,
) -> None:
    page = bench.open()
    prepare(page, "five-levels")
    page.get_by_role("button", name="Begin", exact=True).click()
    at(page, 0)
    bench_is_seen_whole_with_its_key(page)
    hands_are_counted(page)


@pytest.mark.parametrize(("language", "size"), IN_OTHERS)
def test_while_the_class_acts_the_bench_is_seen_whole_in_the_other_language(bench, language, size) -> None:
    page = bench.open(f"?lang={language}", size=size)
    page.locator("#lecture-of").select_option("five-levels")
    page.locator("#lecture-of ~ button").click()
    page.locator("[data-act=begin]").first.click()
    at(page, 0)
    bench_is_seen_whole_with_its_key(page)


def bench_is_seen_whole_with_its_key(page: Any) -> None:
    page.locator("#cues").select_option("2")
    podium(page, "act").wait_for()
    page.wait_for_timeout(500)
    whole = page.locator(".region.roof").evaluate("one => one.scrollHeight <= one.clientHeight + 1")
    assert whole, "the drawing, what is read off and the key of colours"
    assert page.locator("#roof .legend").bounding_box()["height"] > 0
    field = page.locator("#roof .address .input")
    assert field.evaluate("one => { one.value = one.placeholder; return one.scrollWidth <= one.clientWidth }")
    assert page.locator("#roof .options").evaluate(
        "all => new Set([...all.children].filter(one => one.checkVisibility() && one.offsetHeight > 20)"
        ".map(one => Math.round(one.offsetTop))).size === 1"
    ), "light in one row"


def hands_are_counted(page: Any) -> None:
    page.locator("#cues").select_option("5")  # the question that offers choices
    at(page, 5)
    podium(page).locator(".title").focus()
    page.keyboard.press("h")
    page.keyboard.type("3 12 5 1")
    page.keyboard.press("Enter")
    page.get_by_text("21 answers").wait_for()
    page.get_by_role("button", name="One hand more for B").click()
    page.get_by_text("22 answers").wait_for()
    page.get_by_role("button", name="One hand more for B").click()  # it is still there, under the pointer
    page.get_by_text("23 answers").wait_for()
    page.get_by_role("button", name="One hand fewer for A").click()
    page.get_by_text("22 answers").wait_for()
    assert page.locator("#hands").input_value() == "2 14 5 1"
    page.locator("#hands").fill("1 2 3 4 5 6")
    page.keyboard.press("Enter")
    page.get_by_role("alert").filter(has_text="no count for one of the answers").wait_for()
    page.keyboard.press("v")
    bars = page.get_by_role("table", name="Answers of the class")
    bars.get_by_role("row", name="B 14").wait_for(state="attached")


def test_at_a_question_keys_do_what_they_say_and_nothing_is_given_away_and_letters_can_be_switched_off(
    bench,
) -> None:
    page = bench.open()
    to_ask(page)
    goes_dark_and_comes_back(page)
    arrows_move_in_the_roof_and_page_keys_turn_the_cue(page)
    page.keyboard.press("PageDown")
    podium(page, "ask").wait_for()
    nothing_is_given_away_before_the_class_has_answered(page)
    leave(page)
    what_says_that_there_is_more_text_lies_on_its_end_down_to_the_foot(page)
    leave(page)
    letters_that_are_switched_off_do_nothing_and_are_not_shown(page)


def goes_dark_and_comes_back(page: Any) -> None:
    page.keyboard.press("b")
    dark = page.locator(".blank")
    dark.wait_for()
    box = dark.bounding_box()
    assert (box["width"], box["height"]) == (1280, 720)
    page.keyboard.press("PageDown")  # lifts it, and does no more
    dark.wait_for(state="detached")
    page.wait_for_timeout(300)
    assert podium(page, "ask").count() == 1
    page.keyboard.press(".")
    dark.wait_for()
    dark.click()
    dark.wait_for(state="detached")


def arrows_move_in_the_roof_and_page_keys_turn_the_cue(page: Any) -> None:
    page.get_by_role("gridcell", name="Cell 14").first.focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(300)
    assert podium(page, "ask").count() == 1
    page.keyboard.press("PageUp")
    podium(page, "opening").wait_for()


def nothing_is_given_away_before_the_class_has_answered(page: Any) -> None:
    said = page.get_by_test_id("said").inner_text()
    page.get_by_role("gridcell", name="Cell 14").first.click()
    page.get_by_role("alert").filter(has_text="locked until").wait_for()
    podium(page).locator(".title").focus()
    page.keyboard.press("PageDown")
    page.get_by_text("Nobody has answered yet").wait_for()
    assert page.get_by_test_id("said").inner_text() == said
    assert podium(page, "ask").count() == 1
    page.keyboard.press("PageDown")
    podium(page, "act").wait_for()
    page.get_by_test_id("said").filter(has_text="Now with diodes").wait_for()


def what_says_that_there_is_more_text_lies_on_its_end_down_to_the_foot(page: Any) -> None:
    prepare(page, "hungry-cell")
    page.locator("[data-act=begin]").first.click()
    for size in SIZES:
        at(page, 0)
        page.set_viewport_size(size)
        page.locator("#cues").select_option("4")
        page.locator(".podium .more:visible").wait_for()
        more, foot = (page.locator(f".podium .{one}").bounding_box() for one in ("more", "foot"))
        assert abs(more["y"] + more["height"] - foot["y"]) <= 1, "half a line of text looks out between them"
        assert more["height"] < foot["height"] * 1.5
        page.locator("#cues").select_option("0")
    page.set_viewport_size(SIZES[0])
    at(page, 0)  # a sheet that is drawn anew takes back the first press of two that end the lecture


def letters_that_are_switched_off_do_nothing_and_are_not_shown(page: Any) -> None:
    prepare(page)
    page.get_by_role("checkbox", name="Single letters").uncheck()
    page.get_by_role("button", name="Begin", exact=True).click()
    at(page, 0)
    assert page.locator(".foot kbd").get_by_text("B", exact=True).count() == 0
    page.keyboard.press("b")
    page.keyboard.press("ArrowRight")
    podium(page, "ask").wait_for()
    assert page.locator(".blank").count() == 0


def test_a_lecture_goes_on_after_a_reload_is_saved_leaves_the_page_as_it_was_and_is_replayed(
    bench, tmp_path: Path
) -> None:
    page = bench.open()
    a_file_is_told_its_wrong_line(page, tmp_path)
    to_seven_answers(page)
    page.keyboard.press("v")
    page.locator(".legend__one").wait_for()
    assert page.locator(".legend__one").inner_text().strip() == "7 answers", "one round is not named twice"
    assert page.evaluate("document.documentElement.dataset.large") == "true"
    kept = "JSON.parse(sessionStorage.getItem('pvsim.lecture')).file"
    page.wait_for_function(f"{kept}.includes('shown = true')")
    page.reload()
    bench.wait_ready(page)
    podium(page, "ask").wait_for()
    page.locator(".answers").wait_for()
    page.locator("#cues").select_option(str(len(CUES) - 1))
    podium(page, "closing").wait_for()
    with page.expect_download() as download:
        page.get_by_role("button", name="Save the lecture file").click()
    path = tmp_path / "held.toml"
    download.value.save_as(path)
    leave(page)
    type_and_lesson_are_as_before(page)
    page.reload()
    bench.wait_ready(page)
    assert podium(page).locator(".title").count() == 0, "a lecture that was ended does not come back"
    a_saved_one_is_replayed(page, path)


def a_file_is_told_its_wrong_line(page: Any, folder: Path) -> None:
    wrong = folder / "mine.toml"
    wrong.write_text('format = 1\ntitle = "Mine"\n\n[[part]]\nlesson = "diod"\n', encoding="utf-8")
    # One button, once: the browser's own field behind it is not heard beside it, and Tab passes it by.
    assert page.get_by_role("button", name="Open a lecture file…").count() == 1
    assert not page.locator("[data-act=lecture-file]").is_visible()
    page.locator("[data-act=lecture-file]").set_input_files(wrong)
    page.get_by_role("alert").filter(has_text="mine.toml, line 5").wait_for()


def type_and_lesson_are_as_before(page: Any) -> None:
    page.wait_for_function("document.documentElement.dataset.large === 'false'")
    assert page.evaluate("document.documentElement.dataset.lecture") is None
    page.get_by_test_id("menu-light").click()
    page.get_by_role("button", name="Overcast").click()
    page.get_by_test_id("said").filter(has_text="irradiance 200").wait_for()  # unlocked again


def a_saved_one_is_replayed(page: Any, path: Path) -> None:
    page.locator("[data-act=lecture-file]").set_input_files(path)
    page.get_by_role("button", name="Replay it").click()
    page.locator(".badge").get_by_text("Replay").wait_for()
    for _ in range(8):
        if page.locator(".answers").count():
            break
        page.keyboard.press("PageDown")
        page.wait_for_timeout(300)
    assert page.get_by_text("7 answers").count() >= 1


def hit(one: Any) -> None:
    """Click on something if it is to be seen; what the last click has put away meanwhile is not hit."""
    try:
        if one.is_visible():
            one.click(force=True, timeout=3000)
    except sync_api.Error as error:
        if "not visible" not in error.message:
            raise


def storm(page: Any, dice: random.Random) -> None:
    """What a nervous hand may hit: menus, trays, tools, levels, cells, keys; never the lecture's own keys."""
    buttons = page.locator(
        "[data-testid^=menu-], .tray-button, .levels button, .legend button, .crumb, .tools .tool,"
        ".bar .choices button, summary"
    )
    for _ in range(12):
        hit(buttons.nth(dice.randrange(buttons.count())))
    cells = page.locator("#roof [role=gridcell]")
    for _ in range(4):
        hit(cells.nth(dice.randrange(cells.count())))
    page.get_by_test_id("menu-light").click()
    page.get_by_role("button", name="Overcast").click()
    for key in ("3", "5", "k", "2"):
        page.keyboard.press(key)
    page.get_by_test_id("menu-array").click()


SEEN = """() => {
  const roots = [...document.querySelectorAll('*')].map(one => one.shadowRoot).filter(Boolean)
  const all = selector => roots.flatMap(root => [...root.querySelectorAll(selector)])
  const seen = one => one.checkVisibility()
  const texts = found => found.filter(seen).map(one => one.textContent).join()
  const on = (place, state) => texts(all(`${place} [aria-${state}=true]`))
  return {
    panels: all('.panel:not([hidden])').length,
    dialogs: all('dialog[open]').length,
    tray: all('.tray-button[aria-pressed=true]').map(one => one.dataset.tray).join(),
    quantity: on('.legend', 'pressed') + on('.legend', 'checked'),
    level: on('.levels', 'checked'),
    views: on('.bar .choices', 'checked') + on('.bar .choices', 'selected'),
    tools: all('.bar .tool[aria-pressed=true]').length,
    folded: all('details').filter(one => one.closest('.five')).map(one => one.open).join(),
    address: all('.address input').map(one => one.value).join(),
    reads: all('.menu .read').map(one => one.textContent).join(),
    place: all('#cues').map(one => one.value).join(),
  }
}"""


@pytest.mark.parametrize("seed", looks([1], [2, 3]))
def test_a_storm_of_wrong_clicks_is_mended_by_one_key(bench, seed: int) -> None:
    page = bench.open()
    to_seven_answers(page)
    page.keyboard.press("PageDown")
    podium(page, "act").wait_for()
    page.get_by_test_id("said").filter(has_text="Now with diodes").wait_for()
    page.wait_for_timeout(700)
    calm = page.evaluate(SEEN)
    storm(page, random.Random(seed))
    page.wait_for_timeout(400)
    assert page.evaluate(SEEN) != calm
    if podium(page, "act").count() == 0:
        pytest.fail("the storm left the cue")
    page.locator("body").evaluate("() => document.activeElement?.blur()")
    page.keyboard.press("r")
    with suppress(sync_api.TimeoutError):
        page.wait_for_function(
            f"calm => JSON.stringify(({SEEN})()) === JSON.stringify(calm)", arg=calm, timeout=20_000
        )
    assert page.evaluate(SEEN) == calm


def served_class(tmp_path: Path, port: int = 0) -> Any:
    """A server whose classes lie in a store of their own."""
    from pvsim.app.room.hub import Hub
    from tests.app.conftest import Served

    return Served(hub=Hub(f"sqlite:///{tmp_path / 'classes.sqlite'}"), port=port)


def end_class(served: Any) -> None:
    served.call(served.settings["hub"].close)
    served.stop()


@pytest.fixture
def hall(browser: Any, tmp_path: Path) -> Iterator[Any]:
    """A bench on a server whose classes lie in a store of their own."""
    pytest.importorskip("sqlalchemy", reason="a class needs the extra pvsim[class]")
    from tests.app.conftest import Bench

    bench = Bench(browser, served_class(tmp_path))
    yield bench
    bench.close()
    end_class(bench.served)
    assert bench.complaints == []


def test_after_a_rehearsal_with_notes_a_class_answers_on_its_phones_twice_and_the_act_closes_them(
    hall,
) -> None:
    page = hall.open()
    prepare(page)
    the_notes_window_opens_by_a_key_also_in_a_rehearsal(page)
    leave(page)
    prepare(page, "five-levels")
    page.get_by_role("button", name="Begin", exact=True).click()
    at(page, 0)
    code = open_class(page)
    assert page.locator(".join .square").bounding_box()["width"] > 300
    first, late = (
        page.context.browser.new_context(viewport={"width": 390, "height": 844}).new_page() for _ in range(2)
    )
    first.goto(f"{hall.served.url}join/{code}")
    the_arrow_key_puts_the_address_away_and_the_clock_goes_on(page)
    late.goto(f"{hall.served.url}join/{code}")
    page.locator("#cues").select_option("5")
    at(page, 5)
    page.locator("[data-act=leave]").click()
    first.get_by_role("radio", name="The open-circuit voltage").check()
    page.get_by_text("1 answer").wait_for()
    half_a_press_outlasts_a_sheet_drawn_anew_and_is_taken_back_by_going_elsewhere(page)
    the_act_closes_the_phones_and_a_slip_opens_them_again(page, first, late)
    both_rounds_are_seen_on_the_wall(page, first, code)
    for place in (6, 7, 8):
        onward(page, place - 1, lambda: page.keyboard.press("ArrowRight"))
    at(page, 8)
    late.get_by_text("The round is closed; look to the front.").wait_for()
    page.get_by_text("of 1 foresaw it").wait_for()
    for phone in (first, late):
        phone.context.close()


def the_notes_window_opens_by_a_key_also_in_a_rehearsal(page: Any) -> None:
    page.get_by_role("button", name="Rehearse").click()
    at(page, 0)
    with page.expect_popup() as popup:
        page.keyboard.press("n")
    notes = popup.value
    notes.wait_for_url("**/notes/**")
    notes.locator("#moment", has_text="Opening").wait_for()
    page.keyboard.press("PageDown")
    notes.locator("#moment", has_text="Ask").wait_for()
    assert page.locator(".room, .join").count() == 0, "nobody can join an imaginary class"
    notes.close()


def the_arrow_key_puts_the_address_away_and_the_clock_goes_on(page: Any) -> None:
    page.locator(".clock__now", has_text=re.compile(r"^0:(0[5-9]|[1-5]\d)")).wait_for()
    page.keyboard.press("ArrowRight")  # the address goes, the cue stays
    page.locator(".join__code").wait_for(state="detached")
    minutes, seconds = page.locator(".clock__now").inner_text().split(" ")[0].split(":")
    assert (minutes, int(seconds) >= 5) == ("0", True)


def half_a_press_outlasts_a_sheet_drawn_anew_and_is_taken_back_by_going_elsewhere(page: Any) -> None:
    meant = page.get_by_role("button", name="Press again to end")
    assert meant.evaluate("one => one === one.getRootNode().activeElement")
    podium(page).locator(".title").focus()
    meant.wait_for(state="detached")


def the_act_closes_the_phones_and_a_slip_opens_them_again(page: Any, first: Any, late: Any) -> None:
    late.get_by_role("radio", name="The open-circuit voltage").wait_for()
    podium(page).locator(".title").focus()
    page.keyboard.press("ArrowRight")
    podium(page, "act").wait_for()
    for phone in (first, late):
        phone.get_by_text("The round is closed; look to the front.").wait_for()
        assert phone.get_by_role("radio", disabled=False).count() == 0
    page.keyboard.press("ArrowLeft")  # it was a slip
    late.get_by_role("radio", name="The open-circuit voltage", disabled=False).wait_for()
    assert first.get_by_role("radio", name="The open-circuit voltage").is_checked(), "what was answered stays"


def both_rounds_are_seen_on_the_wall(page: Any, phone: Any, code: str) -> None:
    podium(page).locator(".title").focus()
    page.keyboard.press("v")
    row = page.get_by_role("table", name="Answers of the class").get_by_role("row", name="C 1")
    row.wait_for(state="attached")
    page.keyboard.press("a")
    page.locator(".answers").wait_for(state="detached")
    phone.locator("input:checked").wait_for(state="detached")  # the second round has reached it
    phone.get_by_role("radio", name="The voltage of the array").check()
    page.get_by_text("1 answer").wait_for()
    page.keyboard.press("v")
    table = page.get_by_role("table", name="Answers of the class")
    table.get_by_role("row", name="B 0 1").wait_for(state="attached")
    assert table.get_by_role("row", name="C 1 0").count() == 1
    assert page.locator(".room--aside").get_by_text(code).is_visible()
    assert cut(page) == [], "the bars of both rounds and the code are seen at once"


def sheets(page: Any) -> Iterator[str]:
    """A rehearsal, moment by moment, with its bars."""
    prepare(page, "five-levels")
    yield "before it begins"
    page.get_by_role("button", name="Rehearse").click()
    page.locator(".podium[data-moment=opening]").wait_for()
    yield "the question"
    page.keyboard.press("PageDown")
    page.locator(".podium[data-moment=ask]").wait_for()
    yield "a number is asked for"
    page.keyboard.press("v")
    page.locator(".answers .columns").wait_for()
    yield "histogram"
    page.locator("#cues").select_option("5")
    page.locator(".podium[data-at='5'] .stepper").first.wait_for()
    yield "a choice is asked for"
    page.keyboard.press("Tab")
    page.locator(".podium [data-act=reveal]").click()
    page.locator(".bars").first.wait_for()
    yield "bars"
    page.locator("#cues").select_option("6")
    page.get_by_role("button", name="Do it for me").click()
    page.locator(".status--done").wait_for()
    yield "done"
    for at, view in ((7, "look"), (8, "explain"), (16, "closing")):
        page.locator("#cues").select_option(str(at))
        page.locator(f".podium[data-at='{at}']").wait_for()
        yield view
    page.locator(".podium [data-act=blank]").click()
    page.locator(".blank").wait_for()
    yield "blank"


@pytest.mark.parametrize("scheme", looks(["dark"], ["light"]))
def test_no_sheet_breaks_a_rule_of_access(bench, scheme: str) -> None:
    access = pytest.importorskip("tests.app.axe", reason="needs axe-playwright-python")
    page = bench.open(color_scheme=scheme)
    broken = {view: access.broken_rules(page, ("#lesson",)) for view in sheets(page)}
    broken["at the end"] = access.broken_rules(page)
    assert not any(broken.values()), broken


def test_a_server_that_was_killed_and_started_again_finds_the_lecture_where_it_was(hall, tmp_path) -> None:
    page = hall.open()
    to_ask(page)
    code = open_class(page)
    kept = "JSON.parse(sessionStorage.getItem('pvsim.lecture'))"
    page.wait_for_function(f"code => {kept}?.room?.[0] === code && {kept}.polls.length", arg=code)
    port = hall.served.server.port
    page.clock.install()  # from here on minutes pass at a word
    page.evaluate("window.before = true")
    hall.served.drop_connections()
    end_class(hall.served)
    for _ in range(6):  # it is tried again every few seconds, however long the server is away
        with page.expect_event("websocket"):
            page.clock.run_for(7_000)
    page.clock.fast_forward("30:00")
    hall.served = served_class(tmp_path, port)
    for _ in range(20):
        with suppress(sync_api.Error):  # amid loading
            if not page.evaluate("window.before === true"):  # loaded anew by itself
                break
            page.clock.run_for(3_000)
    hall.wait_ready(page)
    podium(page, "ask").wait_for()
    page.locator(".room__code").filter(has_text=code).wait_for()
    assert page.evaluate("window.before") is None
    hall.complaints.clear()  # the browser's own, about a server that was away


def drawn(page: Any) -> list[str]:
    """What the drawing says of each part."""
    named = "all => all.map(one => one.getAttribute('aria-label') ?? one.textContent)"
    parts: list[str] = page.locator("#roof [role=gridcell]").evaluate_all(named)
    assert parts
    return parts


def test_a_lessons_search_begins_on_the_wall_with_its_fault_hidden(bench: Any) -> None:
    lecture = lecture_of(own_course(), "find-it")
    act = next(n for n, cue in enumerate(lecture.cues) if (cue.page, cue.moment) == (2, "act"))
    page = bench.open(size=SIZES[0])
    prepare(page, "find-it")
    page.get_by_role("button", name="Rehearse").click()  # a class that answers
    at(page, 0)
    page.get_by_label("Cues").select_option(str(act - 1))
    onward(page, act - 1, lambda: page.keyboard.press("PageDown"))
    at(page, act)
    before = drawn(page)
    podium(page, "act").get_by_role("button", name="Show the fault").wait_for()
    assert cut(page) == []
    page.get_by_role("button", name="Begin the search").click()
    desk = page.get_by_role("region", name="Measuring on the roof")
    desk.get_by_label("What it is").wait_for()
    assert drawn(page) == before
    desk.get_by_role("button", name="Back to the lesson").click()
    podium(page, "act").wait_for()
    to_the_end = "body => { body.scrollTop = body.scrollHeight }"
    podium(page).locator(".body").evaluate(to_the_end)  # as PageDown does first
    page.keyboard.press("PageDown")
    page.get_by_text("The fault is still hidden").wait_for()
    at(page, act)
    assert drawn(page) == before
    podium(page).locator(".body").evaluate(to_the_end)
    page.keyboard.press("PageDown")
    podium(page, "look").wait_for()
    assert drawn(page) != before  # the lecturer has gone on: the array lies open
