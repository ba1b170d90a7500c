"""A page that the tests of one file leave to one another open, where each leaves it as it found it.

Opening a page is most of what a small test of it costs. A test that asks nothing but what the page shows
asks `left_open` for its page instead of `bench`. After it a dialog left open is closed; where a step could be
undone the array is opened again as a file; level, view and tool are chosen as before. If then anything that a
test could notice is not as it was when the page opened, the next test gets a page opened anew. What a test
may leave is, in the line that says the result, that an array was opened: a test of this line opens its own.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any
from urllib.parse import parse_qs

import pytest

from pvsim.files.demo import FIRST_DEMO, read_demo
from pvsim.files.link import unpack
from pvsim.files.scenario_file import write_scenario
from tests.app.conftest import Bench, Served
from tests.app.kept_pages import KeptPages

# What stands on the page, for short: what is chosen and open, what is typed and told, what the browser keeps.
# Its address says in full what it left out at first, and is not asked: no step is there to undo.
# The first are what is put back, in this order.
AS_IT_IS = """() => {
  const all = []
  const walk = root => {
    for (const one of root.querySelectorAll("*")) {
      all.push(one)
      if (one.shadowRoot) walk(one.shadowRoot)
    }
  }
  walk(document)
  const chosen = ["aria-pressed", "aria-checked", "aria-expanded", "aria-selected", "open"]
  const seen = all.filter(one => chosen.some(name => one.hasAttribute(name)) && one.checkVisibility())
  const wrong = all.filter(one => one.getAttribute("aria-invalid") === "true")
  const fields = all.filter(one => one.matches("input, select, textarea"))
  const { lang, dataset } = document.documentElement
  const row = (choices, state) => all.filter(one => one.matches(choices))
    .findIndex(one => one.getAttribute(state) === "true")
  const words = choices => all.filter(one => one.matches(choices)).map(one => one.textContent)
  const overlay = all.find(one => one.matches(".board .overlay"))
  return [
    all.find(one => one.matches("[data-testid=tool-undo]")).getAttribute("aria-disabled"),
    words("[data-testid=said]").join(), row(".board .levels [role=radio]", "aria-checked"),
    row(".board .views [role=radio]", "aria-checked"), row(".tray-button", "aria-pressed"),
    overlay?.dataset.drawn, all.filter(one => one.matches(".roof [aria-label]")).map(one => one.ariaLabel),
    document.title, lang, { ...dataset }, innerWidth, innerHeight, { ...localStorage }, { ...sessionStorage },
    seen.map(one => chosen.map(name => one.getAttribute(name))), wrong.length,
    fields.map(one => [one.value, one.checked]),
    words("[role=alert]"),
  ]
}"""
SOON_ms = 5000  # longer than a page is waited for, opening another costs less
UNDONE, SAID, DRAWN, LABELS = 0, 1, 5, 6
ROWS = {  # by their place in it, with what tells that one of them is chosen
    2: (".board .levels [role=radio]", "aria-checked"),
    3: (".board .views [role=radio]", "aria-checked"),
    4: (".tray-button", "aria-pressed"),
}
LABELLED = """labels => {
  const own = one => one.matches(".roof [aria-label]") ? [one.ariaLabel] : []
  const within = root => [...root.querySelectorAll("*")].flatMap(one =>
    [...own(one), ...one.shadowRoot ? within(one.shadowRoot) : []])
  return JSON.stringify(within(document)) === JSON.stringify(labels)
}"""

# As on a page just opened: what is at its top is seen, and the first Tab goes to what comes first.
UP = """() => {
  const first = document.createElement("button")
  document.body.prepend(first)
  first.focus()
  first.remove()
  document.getElementById("curves").scrollTop = 0
  scrollTo(0, 0)
}"""


class LeftOpen:
    """Pages by what they were opened with."""

    def __init__(self, browser: Any, served: Served, kept_pages: KeptPages) -> None:
        self._made_of = (browser, served, kept_pages)
        self._open: dict[str, tuple[Bench, Any, list[Any]]] = {}
        self._lent: list[str] = []

    def open(self, query: str = "", **options: Any) -> Any:
        """The page with this address and these options, as it is when it opens."""
        key = json.dumps([query, options], sort_keys=True)
        if key not in self._open:
            bench = Bench(*self._made_of)
            page = bench.open(query, **options)
            page.evaluate("document.fonts.ready.then(() => true)")
            self._open[key] = (bench, page, page.evaluate(AS_IT_IS))
        self._lent.append(key)
        return self._open[key][1]

    def take_back(self) -> None:
        """Put right what the pages lent last were left with, and hold against them what benches do."""
        for key in self._lent:
            bench, page, before = self._open[key]
            try:
                right = self._puts_right(page, json.loads(key)[0], before)
            except Exception:  # whatever ails it, nobody else gets it
                right = False
            if not right:
                self._close(key)
            assert bench.outside == [], "the page asked for something outside this machine"
            assert bench.complaints == [], "the page complained in the browser's console"
        self._lent.clear()

    def _puts_right(self, page: Any, query: str, before: list[Any]) -> bool:
        page.mouse.up()
        page.mouse.move(0, 0)
        if page.get_by_role("dialog").count():
            page.keyboard.press("Escape")
        now = page.evaluate(AS_IT_IS)
        if now[UNDONE] != before[UNDONE] or now[SAID] != before[SAID]:
            self._open_again(page, query, before[SAID])
            now = page.evaluate(AS_IT_IS)
        for place, (row, chosen) in ROWS.items():
            if now[place] != before[place]:
                choice = page.locator(row).nth(before[place])
                choice.click(timeout=SOON_ms)
                choice.and_(page.locator(f"[{chosen}=true]")).wait_for(timeout=SOON_ms)
        drawn = page.locator(f".board .overlay[data-drawn='{before[DRAWN]}']")
        drawn.wait_for(state="attached", timeout=SOON_ms)
        page.wait_for_function(LABELLED, arg=before[LABELS], timeout=SOON_ms, polling=100)
        page.evaluate(UP)
        now = page.evaluate(AS_IT_IS)
        told = now[SAID].lower().endswith(before[SAID].lower())  # behind, perhaps, that this array was opened
        return bool(told and now[:SAID] + now[SAID + 1 :] == before[:SAID] + before[SAID + 1 :])

    def _open_again(self, page: Any, query: str, said: str) -> None:
        """Open the page's first array as a file, with which what was done to it is forgotten."""
        packed = parse_qs(query.removeprefix("?")).get("s")
        scenario = unpack(packed[0]) if packed else read_demo(FIRST_DEMO)
        file = {"name": "first.toml", "mimeType": "text/plain", "buffer": write_scenario(scenario).encode()}
        page.locator("#field-open").set_input_files(file)
        page.get_by_test_id("tool-undo").and_(page.locator("[aria-disabled=true]")).wait_for(timeout=SOON_ms)
        page.get_by_test_id("said").filter(has_text=said[1:]).wait_for(timeout=SOON_ms)

    def _close(self, key: str) -> None:
        self._open.pop(key)[0].close()

    def close(self) -> None:
        """Close all of them."""
        for key in list(self._open):
            self._close(key)


@pytest.fixture(scope="module")
def left_open_pages(browser: Any, served: Served, kept_pages: KeptPages) -> Iterator[LeftOpen]:
    """The pages of a file's tests."""
    pages = LeftOpen(browser, served, kept_pages)
    yield pages
    pages.close()


@pytest.fixture
def left_open(left_open_pages: LeftOpen) -> Iterator[LeftOpen]:
    """Pages as they are when they open, which the test leaves so."""
    yield left_open_pages
    left_open_pages.take_back()
