"""The page in its languages: which one it speaks, that sessions do not mix, and that every text has room."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from pvsim.app.session.address import address_of
from pvsim.app.session.state import State
from pvsim.array.place import Place
from pvsim.files.demo import read_demo
from tests.app.left_open import left_open, left_open_pages
from tests.app.rest import Rest
from tests.looks import looks

__all__ = ["left_open", "left_open_pages"]

pytestmark = pytest.mark.usefixtures("kept_pages")

# Every text that a person sees, with what cuts it off: an edge beyond which nothing can be scrolled into
# view, or its own button or cell. Left alone: what only ears get, the drawing, and what the top bar's
# menus read, which stands whole in their tooltips and in their panels.
CUT_TEXTS = """() => {
  const cut = []
  const up = node => node.assignedSlot || node.parentElement || node.getRootNode().host || null
  const boxes = new Map(), styles = new Map() // nothing changes while this looks, and parents are asked often
  const kept = (map, node, find) => map.get(node) ?? map.set(node, find(node)).get(node)
  const box_of = node => kept(boxes, node, () => node.getBoundingClientRect())
  const style_of = node => kept(styles, node, () => {
    const { position, overflowX, overflowY } = getComputedStyle(node)
    return { position, overflowX, overflowY }
  })
  const unseen = node => {
    if (node.closest(".unseen, .hidden")) return true
    for (let at = node; at; at = up(at)) {
      const box = box_of(at)
      if (box.width < 3 && box.height < 3 && style_of(at).position === "absolute") return true
    }
    return false
  }
  const look = node => {
    const words = node.textContent.trim(), own = node.parentElement
    if (!words || !own || own instanceof SVGElement || own.closest("script, style, option, .read")) return
    if (!own.checkVisibility({ visibilityProperty: true, opacityProperty: true }) || unseen(own)) return
    const range = document.createRange()
    range.selectNodeContents(node)
    const box = range.getBoundingClientRect()
    if (!box.width || !box.height) return
    const tell = why => cut.push(`${words.slice(0, 50)}: ${why}`)
    const control = own.closest("button, td, th, label, summary, kbd")
    if (control && (box.right > box_of(control).right + 1.5 || box.left < box_of(control).left - 1.5)) {
      tell("wider than its " + control.tagName)
    }
    let across = true, down = true
    for (let at = own; at && (across || down); at = up(at)) {
      const style = style_of(at), frame = box_of(at)
      const hides = way => ["hidden", "clip"].includes(style["overflow" + way])
      const wide = box.right > frame.right + 1.5 || box.left < frame.left - 1.5
      const high = box.bottom > frame.bottom + 2.5 || box.top < frame.top - 2.5
      if ((across && hides("X") && wide) || (down && hides("Y") && high)) tell("cut by " + at.className)
      if (["auto", "scroll"].includes(style.overflowX)) across = false
      if (["auto", "scroll"].includes(style.overflowY)) down = false
    }
    const width = document.documentElement.clientWidth
    if (across && (box.right > width + 1 || box.left < -1)) tell("outside the page")
  }
  const walk = root => {
    const nodes = document.createTreeWalker(root, NodeFilter.SHOW_ELEMENT | NodeFilter.SHOW_TEXT)
    for (let node = nodes.nextNode(); node; node = nodes.nextNode()) {
      if (node.nodeType === Node.TEXT_NODE) look(node)
      else if (node.shadowRoot) walk(node.shadowRoot)
    }
  }
  const together = root => {
    for (const card of root.querySelectorAll(".circuit")) {
      const texts = [...card.querySelectorAll("text")].filter(text => text.textContent)
      texts.forEach((one, k) => texts.slice(k + 1).forEach(other => {
        const a = box_of(one), b = box_of(other)
        const over = Math.min(a.right, b.right) - Math.max(a.left, b.left) > 0
          && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 3
        if (over) cut.push(`${one.textContent} over ${other.textContent}`)
      }))
    }
    for (const node of root.querySelectorAll("*")) if (node.shadowRoot) together(node.shadowRoot)
  }
  walk(document.body)
  together(document)
  return cut
}"""

# Every text of the page, seen or spoken, but for the lesson's own.
ALL_TEXTS = """() => {
  const found = []
  const walk = root => {
    const nodes = document.createTreeWalker(root, NodeFilter.SHOW_ELEMENT | NodeFilter.SHOW_TEXT)
    for (let node = nodes.nextNode(); node; node = nodes.nextNode()) {
      if (node.nodeType === Node.TEXT_NODE) {
        if (!node.parentElement?.closest("script, style, [lang]:not(html)")) found.push(node.textContent)
        continue
      }
      for (const name of ["aria-label", "aria-description", "title", "placeholder", "alt"]) {
        if (node.hasAttribute(name)) found.push(node.getAttribute(name))
      }
      if (node.shadowRoot && !node.closest("#lesson")) walk(node.shadowRoot)
    }
  }
  walk(document.body)
  return found
}"""
NOT_TRANSLATED = {"pvsim", "TOML"}
STEP = "Half the light"  # of the lesson in English, told in the status line


def eventful() -> str:
    """An address of an array on which much is to be told."""
    state = State(read_demo("workshop"))
    state.paint([Place(1, 4, cell=cell) for cell in (14, 15)], 0.2)
    state.break_part(Place(1, 4, diode=2), "diode-open")
    state.break_part(Place(2, 3, cell=5), "cell-cracked")
    state.add_shadow("leaf")
    return address_of(state)


def said(page: Any) -> str:
    """The line that says the result."""
    return str(page.get_by_test_id("said").inner_text())


@pytest.mark.ui
@pytest.mark.parametrize(
    ("query", "options", "language"),
    [
        pytest.param("", {}, "en", id="nothing said"),
        pytest.param("", {"locale": "de-AT"}, "de", id="what the browser likes"),
        pytest.param("", {"locale": "fr-FR"}, "en", id="what nobody translated"),
        pytest.param("?lang=de", {}, "de", id="address"),
        pytest.param("?lang=en", {"locale": "de-DE"}, "en", id="address first"),
        pytest.param("?lang=tlh", {"locale": "de-DE"}, "de", id="an address that cannot be"),
    ],
)
def test_the_page_speaks_as_it_is_asked_to(left_open, query: str, options: Any, language: str) -> None:
    page = left_open.open(query, **options)
    assert page.get_attribute("html", "lang") == language
    assert ("Generator" in said(page)) == (language == "de")


@pytest.mark.ui
def test_the_language_is_changed_on_the_page_and_everything_else_stays(bench) -> None:
    page = bench.open("?" + eventful())
    english = said(page)
    figures = re.findall(r"\d+", english)
    page.get_by_test_id("menu-language").click()
    page.get_by_role("button", name="Deutsch").click()
    page.wait_for_selector("html[lang=de][data-ready=true]", state="attached")
    page.get_by_test_id("said").filter(has_text="Generator").wait_for()
    assert re.findall(r"\d+", said(page)) == figures
    assert "lang=de" in page.url
    bench.go(page)  # an address without a language: this browser keeps the choice
    assert page.get_attribute("html", "lang") == "de"
    page.get_by_test_id("menu-language").click()
    page.get_by_role("button", name="English").click()
    page.wait_for_selector("html[lang=en][data-ready=true]", state="attached")


@pytest.mark.ui
def test_the_address_keeps_a_language_that_it_asked_for_and_a_link_for_others_has_none(bench) -> None:
    page = bench.open("?lang=de")
    page.get_by_test_id("menu-light").click()
    page.get_by_role("button", name="Dunst").click()
    page.wait_for_function("location.search.includes('s=') && location.search.includes('lang=de')")
    page.reload()
    bench.wait_ready(page)
    assert page.get_attribute("html", "lang") == "de"
    page.get_by_test_id("menu-files").click()
    page.get_by_role("button", name="Link kopieren").click()
    field = page.get_by_role("textbox", name="Link zu genau diesem Zustand")
    page.wait_for_function("field => field.value.includes('s=')", arg=field.element_handle())
    assert "lang=" not in field.input_value()


@pytest.mark.ui
def test_two_people_at_once_are_each_answered_in_their_own_language(left_open) -> None:
    english, german = left_open.open(), left_open.open("?lang=de")
    for _turn in range(3):
        for page, haze, sun in ((english, "Haze", "Full sun"), (german, "Dunst", "Volle Sonne")):
            if not page.get_by_role("button", name=haze).is_visible():
                page.get_by_test_id("menu-light").click()
            page.get_by_role("button", name=haze).click()
            page.get_by_role("button", name=sun).click()
        english.get_by_test_id("said").filter(has_text="the array rises").wait_for()
        german.get_by_test_id("said").filter(has_text="der Generator steigt").wait_for()


@pytest.mark.ui
def test_in_german_numbers_are_written_with_a_comma_and_read_with_either_mark(left_open) -> None:
    page = left_open.open("?lang=de")
    show_level(4)(page)
    page.locator(".board .overlay[data-drawn^='cell ']").wait_for(state="attached")
    page.get_by_test_id("menu-light").click()
    field = page.get_by_role("textbox", name="Bestrahlungsstärke in Modulebene")
    for typed, shown in (("812,5", "812,5"), ("612.5", "612,5"), ("1,125", "1,125")):
        field.fill(typed)
        field.press("Enter")
        page.get_by_test_id("said").filter(has_text=shown).wait_for()
    field.fill("1.125")
    field.press("Enter")
    page.get_by_role("alert").filter(has_text="auf zwei Arten").wait_for()
    field.fill("10,5")
    field.press("Enter")
    field.press("ArrowUp")
    page.get_by_test_id("said").filter(has_text="20,5").wait_for()
    assert field.input_value() == "20,5"
    page.keyboard.press("Escape")
    points = re.compile(r"\d\.\d(?!.*[“”])")
    seen = [text for text in page.evaluate(ALL_TEXTS) if points.search(text) and "pvsim" not in text]
    assert seen == []
    ticks = page.evaluate(
        """() => [...Bokeh.documents[0]._all_models.values()]
          .filter(model => model.type === "LinearAxis")
          .flatMap(axis => axis.ticker.ticks.map(one => axis.major_label_overrides.get(one)))"""
    )
    assert "0,2" in ticks
    assert not any("." in text for text in ticks)


def open_tray(name: str) -> Callable[[Any], None]:
    return lambda page: page.locator(f".tray-button[data-tray={name}]").click()


def open_fault(scope: str) -> Callable[[Any], None]:
    def act(page: Any) -> None:
        page.locator(".tray-button[data-tray=break]").click()
        page.locator(f"[data-name=scope-{scope}]").click()

    return act


def open_menu(name: str) -> Callable[[Any], None]:
    return lambda page: page.get_by_test_id(f"menu-{name}").click()


def show_level(place: int) -> Callable[[Any], None]:
    return lambda page: page.locator(".levels button").nth(place).click()


def show_view(place: int) -> Callable[[Any], None]:
    return lambda page: page.locator(".views button").nth(place).click()


def walk(page: Any) -> Iterator[str]:
    """Bring the bench and a lesson through all that opens, one thing after the other."""
    menus = ("scenario", "compare", "light", "weather", "array", "string", "operation", "files", "language")
    yield "bench"
    for name in menus:
        open_menu(name)(page)
        yield name
    page.keyboard.press("Escape")
    page.get_by_test_id("tool-help").click()
    yield "help"
    page.keyboard.press("Escape")
    for name in ("look", "shade", "mend", "shadow"):
        open_tray(name)(page)
        yield name
    page.locator("[data-name=shadow-0]").click()
    yield "a shadow"
    for scope in ("cell", "diode", "module", "string"):
        open_fault(scope)(page)
        yield f"faults of a {scope}"
    for place, level in ((0, "array"), (1, "string"), (3, "substring"), (4, "cell"), (2, "module")):
        show_level(place)(page)
        yield level
    for place, view in ((1, "change"), (2, "parts"), (3, "table"), (0, "curves")):
        show_view(place)(page)
        yield view
    page.locator(".five summary").click()
    yield "five levels"
    page.locator("[data-slug=one-cell]").click()
    page.locator("[data-act=next]").wait_for()
    yield "opening of a lesson"
    page.locator("[data-act=next]").click()
    page.locator("[data-act=predict]").click()
    page.locator("#predict-number-wrong").wait_for()
    yield "a refused prediction"
    page.locator("#predict-number").fill("0.5")
    page.locator("[data-act=predict]").click()
    page.locator("[data-act=do]").wait_for()
    yield "a prediction"
    page.locator("[data-act=do]").click()
    page.locator("[data-phase=act] .tick--done").wait_for()
    yield "an act"


@pytest.mark.ui
@pytest.mark.parametrize(
    ("language", "size"),
    looks(
        [
            pytest.param("qps", (1280, 720), id="longer, projector"),
            pytest.param("qps", (390, 844), id="longer, phone"),
            pytest.param("de", (390, 844), id="German, phone"),
        ],
        [
            pytest.param("qps", (1920, 1080), id="longer, desk"),
            pytest.param("de", (1280, 720), id="German, projector"),
        ],
    ),
)
def test_no_text_is_cut_off_in_a_longer_language_and_each_is_sent_through_the_catalogues(
    bench, language: str, size: tuple[int, int]
) -> None:
    """In the pseudo-language, the longer one, each word has accents; a plain one was not sent through."""
    width, height = size
    rest = Rest()
    page = bench.open(
        f"?lang={language}&{eventful()}",
        size={"width": width, "height": height},
        alone=True,
        first=rest.hear,
    )
    cut, plain = {}, set()
    for name in walk(page):
        rest.wait(page)
        found = page.evaluate(CUT_TEXTS)
        if found:
            cut[name] = found
        assert page.evaluate("document.documentElement.scrollWidth") <= width, name
        for text in page.evaluate(ALL_TEXTS) if language == "qps" else ():
            plain |= set(re.findall(r"[A-Za-z']{4,}", text.replace(STEP, ""))) - NOT_TRANSLATED
    assert cut == {}
    assert plain == set()


@pytest.mark.ui
@pytest.mark.parametrize(
    ("language", "size"),
    looks(
        [
            pytest.param("qps", (1280, 720), id="longer, projector"),
            pytest.param("de", (1280, 720), id="German, projector"),
        ],
        [pytest.param("qps", (1920, 1080), id="longer, large projector")],
    ),
)
def test_no_text_of_a_lecture_is_cut_off_in_a_longer_language(
    bench, language: str, size: tuple[int, int]
) -> None:
    width, height = size
    page = bench.open(f"?lang={language}", size={"width": width, "height": height})
    page.locator("#lecture-of").select_option("diode")
    page.locator("[data-act=lecture]").first.click()
    rehearse = page.locator(".podium [data-act=begin]").nth(1)
    rehearse.wait_for()
    cut = {}
    for moment in ("prepare", "opening", "ask", "answered", "act", "look"):
        page.wait_for_timeout(400)  # the sheet fits itself to the screen
        found = page.evaluate(CUT_TEXTS)
        if found:
            cut[moment] = found
        if moment == "prepare":
            rehearse.click()
            page.locator(".podium[data-at='0']").wait_for()
        else:
            page.keyboard.press("ArrowRight")
    assert cut == {}
