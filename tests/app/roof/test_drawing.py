"""The drawing in a browser, on a page of its own: keys, pointer, shadows, and how much it says at once.

The view answers in this process, message by message, so that a test decides when an answer comes.
"""

from __future__ import annotations

import re
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

import numpy as np
import pytest

from pvsim.app.assets import STATIC, css
from pvsim.app.roof.view import RoofView
from pvsim.app.session.state import State
from pvsim.array import Array, Fault, Module, Place, Scenario, Shadow, String, add_fault, paint
from pvsim.array.outline import shadow_outlines

pytestmark = pytest.mark.ui

PAGE = """
<!doctype html><html data-theme="light"><head><meta charset="utf-8"><style>%s
body { margin: 0 } #host { width: 620px; height: 640px }</style></head>
<body><div id="host"></div></body></html>
"""
SIZE = {"width": 640, "height": 680}
CORNER = (630, 670)  # nothing is there
START = """
async ({ css, scene, now, words }) => {
  const ears = {}
  const sent = window.sent = []
  // What came from the server belongs to the page below: who changes it is told so by an error.
  window.still = (value) => {
    if (value && typeof value === "object") Object.values(Object.freeze(value)).forEach(window.still)
    return value
  }
  window.model = {
    scene: still(scene), now: still(now), words: still(words),
    on: (name, run) => { ears[name] = run },
    send_msg: (message) => sent.push(JSON.parse(JSON.stringify(message))),
  }
  window.fire = (name, value) => ears[name]?.(value)
  const { render } = await import("/roof/roof.js")
  const root = document.getElementById("host").attachShadow({ mode: "open" })
  root.append(Object.assign(document.createElement("style"), { textContent: css }))
  root.append(render({ model: window.model }))
  window.settled = () => new Promise((done) => {
    const over = root.querySelector(".over")
    const look = () => over.classList.contains("away") ? setTimeout(look, 10) : requestAnimationFrame(done)
    requestAnimationFrame(look)
  })
  await window.settled()
}
"""
# What was drawn lets go of the page and makes room for another drawing; the modules stay.
CLEAR = """() => {
  window.fire?.("remove")
  document.body.replaceChildren(Object.assign(document.createElement("div"), { id: "host" }))
  scrollTo(0, 0)
}"""
TAKE = """async () => {
  const messages = window.sent.splice(0)
  if (!messages.length) await window.settled()
  return messages
}"""


class Shelf(BaseHTTPRequestHandler):
    """An empty page, and every script where it lies below static/; a browser may keep the scripts."""

    def do_GET(self) -> None:
        name = self.path.removeprefix("/")
        content = (STATIC / name).read_bytes() if name else (PAGE % css("theme")).encode()
        self.send_response(200)
        self.send_header("Content-Type", "text/javascript" if name else "text/html")
        self.send_header("Content-Length", str(len(content)))
        self.send_header("Cache-Control", "max-age=3600" if name else "no-store")
        self.end_headers()
        self.wfile.write(content)

    def log_message(self, *_told: Any) -> None:
        pass


@pytest.fixture(scope="module")
def here() -> Iterator[str]:
    """The address of the empty page."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), Shelf)
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05}, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()
    thread.join()


class Drawing:
    """A drawing on a page, and the view it talks to."""

    def __init__(self, page: Any, scenario: Scenario, **state: Any) -> None:
        self.page = page
        self.state = State(scenario)
        for name, value in state.items():
            setattr(self.state, name, value)
        self.view = RoofView(self.state)
        self.answers: list[dict[str, Any]] = []
        self.view.root._send_msg = self.answers.append
        self.heard: list[dict[str, Any]] = []
        page.evaluate(
            START,
            {
                "css": css("controls") + css("roof/roof"),
                "scene": self.view.root.scene.values,
                "now": self.view.root.now.values,
                "words": self.view.root.words.values,
            },
        )

    def waiting(self) -> list[dict[str, Any]]:
        """Messages the browser has sent and nobody has answered."""
        return self.page.evaluate("window.sent")

    def answer(self) -> int:
        """Answer until the browser has no more to say; gives back how many messages there were."""
        count = 0
        while messages := self.page.evaluate(TAKE):
            for message in messages:
                count += 1
                self.heard.append(message)
                self.view.root._handle_msg(message)
            self.push()
        return count

    def push(self) -> None:
        """Show what the view holds, then hand over its answers, as one patch would."""
        self.page.evaluate(
            """({ scene, now, answers }) => {
              const fresh = scene.key !== model.scene.key
              Object.assign(model, { scene: still(fresh ? scene : model.scene), now: still(now) })
              if (fresh) fire("scene")
              fire("now")
              for (const one of answers) fire("msg:custom", one)
            }""",
            {
                "scene": self.view.root.scene.values,
                "now": self.view.root.now.values,
                "answers": self.answers,
            },
        )
        self.answers.clear()

    def cell(self, number: int) -> Any:
        """A cell of the module seen from near; by role and name, as the browser is quicker to find it."""
        return self.page.locator(f"[role=gridcell][aria-label^='cell {number},']")

    def centre(self, number: int) -> tuple[float, float]:
        """The middle of a cell on the screen."""
        box = self.cell(number).bounding_box()
        return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2

    def press(self, *keys: str) -> None:
        """Press keys one after the other, each answered."""
        for key in keys:
            self.page.keyboard.press(key)
            self.answer()

    def focused(self) -> str:
        """The name of what has the keys."""
        return self.page.evaluate(
            "document.getElementById('host').shadowRoot.activeElement?.getAttribute('aria-label') ?? ''"
        )

    def painted(self) -> list[Place]:
        return [one.place for one in self.state.scenario.light.painted]


def a_page(browser: Any, **options: Any) -> Any:
    context = browser.new_context(**({"viewport": SIZE, "reduced_motion": "reduce"} | options))
    context.set_default_timeout(10_000)
    return context.new_page()


def heard(page: Any) -> Iterator[Any]:
    """The page; what it complains about fails the test."""
    complaints: list[str] = []

    def hear(error: Any) -> None:
        complaints.append(str(error))

    page.on("pageerror", hear)
    yield page
    page.remove_listener("pageerror", hear)
    assert complaints == []


def cleared(page: Any) -> Any:
    """A page left by another test, with nothing on it."""
    page.mouse.up()
    page.mouse.move(*CORNER)
    page.evaluate(CLEAR)
    return page


@pytest.fixture(scope="module")
def kept_page(browser: Any, here: str) -> Iterator[Any]:
    """One page for the tests of this file, which keeps the scripts."""
    page = a_page(browser)
    page.goto(here)
    yield page
    page.context.close()


@pytest.fixture
def page(kept_page: Any) -> Iterator[Any]:
    yield from heard(cleared(kept_page))


@pytest.fixture
def own_page(browser: Any, here: str) -> Iterator[Any]:
    """A page of the test's own, whose clock or whose browser it changes."""
    page = a_page(browser)
    page.goto(here)
    yield from heard(page)
    page.context.close()


@pytest.fixture
def scenario() -> Scenario:
    """Two strings of three modules of 60 cells."""
    string = String(modules=(Module("full-60"),) * 3)
    return Scenario(title="A shed", array=Array(strings=(string, string)))


@pytest.fixture
def near(page: Any, scenario: Scenario) -> Drawing:
    """Module 2 of string 1 from near, the shading tool in hand."""
    return Drawing(page, scenario, focus=Place(1, 2), level="module")


@pytest.fixture
def far(page: Any, scenario: Scenario) -> Drawing:
    """The whole array."""
    return Drawing(page, scenario)


def test_a_module_is_a_grid_of_named_rows_and_cells_with_one_tab_stop(near: Drawing) -> None:
    grid = near.page.get_by_role("grid", name="Module 2 of string 1, cell by cell")
    assert grid.get_by_role("row").count() == 10
    assert grid.get_by_role("gridcell").count() == 60
    assert near.page.get_by_role("row", name="Row 3", exact=True).count() == 1
    assert near.page.locator("svg.image [tabindex='0']").count() == 1


def test_the_diodes_and_leads_are_a_grid_of_their_own(near: Drawing) -> None:
    box = near.page.get_by_role("grid", name="Junction box")
    names = [one.get_attribute("aria-label") for one in box.get_by_role("gridcell").all()]
    assert names == [
        "minus lead",
        "bypass diode 1, blocks, 11.4\u202fV",
        "bypass diode 2, blocks, 11.4\u202fV",
        "bypass diode 3, blocks, 11.4\u202fV",
        "plus lead",
    ]


def test_arrows_go_from_cell_to_cell_and_space_shades(near: Drawing) -> None:
    near.cell(1).focus()
    near.press("ArrowDown", "ArrowDown", "ArrowRight", "Space")
    assert near.focused().startswith("cell 18, 200 W/m², less light, eats power, bypassed")
    assert near.painted() == [Place(1, 2, cell=18)]
    assert near.state.focus == Place(1, 2, cell=18)
    near.press("Space")
    assert near.painted() == []


@pytest.mark.parametrize(
    ("keys", "name"),
    [
        pytest.param(["End"], "cell 60", id="end-of-the-row"),
        pytest.param(["End", "Home"], "cell 1", id="start-of-the-row"),
        pytest.param(["Control+End"], "cell 51", id="last-cell"),
        pytest.param(["Control+End", "Control+Home"], "minus lead", id="first-thing"),
        pytest.param(["ArrowUp"], "bypass diode 1", id="up-to-the-junction-box"),
        pytest.param(["ArrowUp", "ArrowRight", "ArrowDown"], "cell 21", id="and-down-again"),
        pytest.param(["ArrowLeft"], "cell 1", id="no-further"),
    ],
)
def test_keys_lead_where_the_eye_expects(near: Drawing, keys: list[str], name: str) -> None:
    near.cell(1).focus()
    near.press(*keys)
    assert near.focused().split(",")[0] == name


def test_the_keys_stay_where_they_are_when_an_answer_comes(near: Drawing) -> None:
    near.cell(33).focus()
    near.state.set_light(irradiance_W_m2=500.0)
    near.push()
    assert near.focused().startswith("cell 33, 500 W/m²")
    near.state.set_condition("cell-short")
    near.push()
    near.press("Space")
    assert near.focused().startswith("cell 33, 500 W/m², cell short-circuited")
    near.state.set_array(orientation="landscape")  # all is drawn anew
    near.push()
    assert near.focused().startswith("cell 33, 500 W/m²")


def test_enter_goes_nearer_and_escape_goes_back(far: Drawing) -> None:
    far.page.get_by_role("gridcell", name="module 2", exact=False).first.focus()
    levels = []
    for key in ("Enter", "Enter", "Enter", "Enter", "Escape", "Backspace", "Escape", "Escape"):
        far.press(key)
        levels.append(far.state.level)
    assert levels == ["string", "module", "substring", "cell", "substring", "module", "string", "array"]
    assert far.state.focus.string == 1
    assert far.state.focus.module == 2


def test_page_keys_turn_from_module_to_module(near: Drawing) -> None:
    near.cell(5).focus()
    near.press("ArrowRight", "PageDown")
    assert near.state.focus == Place(1, 3, cell=16)
    near.press("PageUp", "PageUp")
    assert near.state.focus == Place(1, 1, cell=16)


def test_the_path_leads_back_to_any_level(near: Drawing) -> None:
    near.cell(14).click()
    near.answer()
    path = near.page.get_by_role("navigation", name="Where you are")
    assert path.get_by_role("button").all_inner_texts() == [
        "Array",
        "String 1",
        "Module 2",
        "Substring 1",
        "Cell 14",
    ]
    path.get_by_role("button", name="Cell 14").click()
    near.answer()
    assert near.state.level == "cell"
    assert near.page.get_by_role("img", name="Circuit of string 1, module 2, cell 14").count() == 1
    path.get_by_role("button", name="Array").click()
    near.answer()
    assert near.state.level == "array"


def test_the_address_box_goes_to_a_cell_and_says_when_there_is_none(far: Drawing) -> None:
    box = far.page.get_by_role("textbox", name="Go to a place")
    box.fill("2/3/14")
    box.press("Enter")
    far.answer()
    assert far.state.focus == Place(2, 3, cell=14)
    assert far.cell(14).count() == 1
    assert far.focused().startswith("cell 14,")
    box.fill("2/9/14")
    box.press("Enter")
    far.answer()
    wrong = far.page.locator(".address").get_by_role("status")
    assert "a module from 1 to 3 in string 2" in wrong.inner_text()
    assert box.get_attribute("aria-invalid") == "true"
    assert far.state.focus == Place(2, 3, cell=14)
    box.fill("2/1")
    assert wrong.inner_text() == ""
    assert box.get_attribute("aria-invalid") is None
    box.fill("string 2, module 1")
    box.press("Enter")
    far.answer()
    assert box.input_value() == "2/1"
    box.fill("1/2")
    box.press("Enter")
    box.fill("2/2")  # whoever types the next place before the answer is here stays there
    far.answer()
    assert far.state.focus.module == 2
    assert box.input_value() == "2/2"
    assert far.focused() == "Go to a place"


def test_a_click_shades_at_once_and_the_answer_agrees(near: Drawing) -> None:
    before = near.cell(33).evaluate("one => one.style.fill")
    near.page.mouse.click(*near.centre(33))
    at_once = near.cell(33).evaluate("one => one.style.fill")
    assert at_once != before
    near.answer()
    assert near.painted() == [Place(1, 2, cell=33)]
    assert near.cell(33).evaluate("one => one.style.fill") == at_once


def test_a_fast_drag_skips_no_cell(near: Drawing) -> None:
    start, end = near.centre(1), near.centre(10)
    near.page.mouse.move(*start)
    near.page.mouse.down()
    near.page.mouse.move(*end, steps=1)  # ten cells in one event
    near.page.mouse.up()
    near.answer()
    assert set(near.painted()) == {Place(1, 2, cell=cell) for cell in range(1, 11)}
    near.state.undo()
    assert near.painted() == []


def frames(far: Drawing) -> list[dict[str, float]]:
    """Where the modules are on the screen, in the order string, module."""
    return [one.bounding_box() for one in far.page.locator(".module .frame").all()]


def ring(far: Drawing) -> dict[str, float] | None:
    """The outline around what a press would hit."""
    return far.page.locator(".ring-hover").bounding_box()


@pytest.mark.parametrize("level", ["array", "string"])
def test_from_afar_a_stroke_takes_whole_modules_and_one_undo_takes_it_back(
    page: Any, scenario: Scenario, level: str
) -> None:
    far = Drawing(page, scenario, focus=Place(1), level=level)
    first, _, last, *_ = frames(far)
    page.mouse.move(*middle(first))
    page.mouse.down()
    page.mouse.move(*middle(last), steps=1)  # the second lies between two samples
    page.mouse.up()
    assert len(far.waiting()) == 1
    far.answer()
    assert far.painted() == [Place(1, 1), Place(1, 2), Place(1, 3)]
    assert far.state.said.startswith("Three modules of string 1 shaded to 20")
    assert far.state.focus == Place(1, 1)
    far.state.undo()
    assert far.painted() == []


def test_from_afar_a_stroke_begun_on_shade_takes_the_shade_away(far: Drawing) -> None:
    far.state.paint([Place(1, 1), Place(1, 2, cell=4), Place(2)], 0.2)
    far.push()
    drag(far.page, middle(frames(far)[0]), middle(frames(far)[1]))
    far.answer()
    assert far.painted() == [Place(2)]
    far.page.mouse.click(*middle(frames(far)[4]))
    far.answer()
    assert far.painted() == [Place(2, 1), Place(2, 3)]


def test_pointer_and_space_do_the_same_to_a_module(far: Drawing) -> None:
    module = far.page.get_by_role("row", name="String 1").get_by_role("gridcell", name="module 2")
    module.focus()
    far.press("Space")
    by_key = far.state.scenario
    far.press("Space")
    assert far.painted() == []
    far.page.mouse.click(*middle(frames(far)[1]))
    far.answer()
    assert far.state.scenario == by_key
    far.page.get_by_role("button", name="Mend").click()
    far.page.mouse.click(*middle(frames(far)[1]))
    far.answer()
    assert far.painted() == []


def test_the_outline_shows_before_the_press_what_will_be_hit(far: Drawing) -> None:
    box = frames(far)[1]
    for share in (0.2, 0.8):  # wherever in the module the pointer is
        far.page.mouse.move(box["x"] + box["width"] * share, box["y"] + box["height"] * share)
        assert ring(far) == pytest.approx(box, abs=4.0)  # its line, and the frame's
    far.page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] + 3)
    assert ring(far) is None
    far.page.get_by_role("button", name="Break").click()
    far.answer()
    far.page.mouse.move(*middle(box))
    assert ring(far) is None  # a fault of a cell does not fit here ...
    far.page.mouse.click(*middle(box))
    far.answer()
    assert "go nearer" in far.page.locator(".hint").inner_text()  # ... and a press says so
    far.page.get_by_role("button", name="dark").click()
    far.page.mouse.click(*middle(box))
    far.answer()
    assert far.painted() == []
    assert far.state.scenario.faults == ()


def test_the_tools_say_whether_they_act_on_modules_or_on_cells(far: Drawing) -> None:
    far.page.get_by_role("group", name="Light let through to modules").wait_for()
    far.page.get_by_role("button", name="Mend").click()
    far.page.get_by_text("Click or drag over modules").wait_for()
    far.page.get_by_role("button", name="Shade").click()
    far.page.get_by_role("gridcell", name="module 2").first.focus()
    far.answer()
    far.press("Enter", "Enter")
    assert far.state.level == "module"
    far.page.get_by_role("group", name="Light let through to cells").wait_for()


def test_from_afar_mending_takes_the_module_before_its_string(far: Drawing) -> None:
    far.state.break_part(Place(1), "cable-open")
    far.state.break_part(Place(1, 2, cell=3), "cell-open")
    far.push()
    far.page.get_by_role("button", name="Mend").click()
    far.answer()
    for kinds in (["cable-open"], []):
        far.page.mouse.click(*middle(frames(far)[1]))
        far.answer()
        assert [one.kind for one in far.state.scenario.faults] == kinds


def test_a_cell_of_a_shaded_module_is_cleared_from_near(near: Drawing) -> None:
    near.state.paint([Place(1, 2)], 0.2)
    near.push()
    near.page.mouse.click(*near.centre(33))
    near.answer()
    assert len(near.painted()) == 59
    assert "1000 W/m²" in near.cell(33).get_attribute("aria-label")


def test_a_large_array_is_shaded_module_by_module_and_shows_it_at_once(page: Any) -> None:
    string = String(modules=(Module("half-144"),) * 10)
    barn = Drawing(page, Scenario(title="A barn", array=Array(strings=(string,) * 4)))
    tiles = page.locator(".tile")
    before = tiles.nth(2).evaluate("one => one.style.fill")
    drag(page, middle(tiles.nth(0).bounding_box()), middle(tiles.nth(4).bounding_box()))
    at_once = tiles.nth(2).evaluate("one => one.style.fill")
    assert at_once != before
    barn.answer()
    assert barn.painted() == [Place(1, number) for number in range(1, 6)]
    assert tiles.nth(2).evaluate("one => one.style.fill") == at_once


def test_at_most_one_message_is_unanswered_and_the_last_word_wins(near: Drawing) -> None:
    near.page.mouse.move(*near.centre(1))
    near.page.mouse.down()
    for cell in range(2, 11):
        near.page.mouse.move(*near.centre(cell))
    near.page.mouse.up()
    assert len(near.waiting()) == 1
    assert near.answer() == 2  # the first, and all the rest as one
    assert len(near.painted()) == 10
    first, rest = (message["wishes"][-1] for message in near.heard)
    assert first["stroke"] == rest["stroke"]  # one step to undo; nothing is said of its end


def test_a_message_lost_with_its_connection_silences_nothing(own_page: Any, scenario: Scenario) -> None:
    own_page.clock.install()
    near = Drawing(own_page, scenario, focus=Place(1, 2), level="module")
    near.page.mouse.click(*near.centre(5))
    near.page.evaluate("window.sent.splice(0)")  # lost
    near.page.mouse.click(*near.centre(6))
    assert near.waiting() == []
    own_page.clock.run_for(8_500)
    assert near.waiting()[0]["wishes"][-1]["at"] == [60 + 5]


def test_looking_changes_nothing_and_a_double_click_goes_nearer(near: Drawing) -> None:
    near.page.get_by_role("button", name="Look").click()
    near.page.mouse.click(*near.centre(33))
    near.answer()
    assert near.painted() == []
    assert near.state.focus == Place(1, 2, cell=33)
    near.page.mouse.dblclick(*near.centre(34))
    near.answer()
    assert near.state.level == "substring"
    assert near.painted() == []


def test_a_dead_cell_is_chosen_among_four(near: Drawing) -> None:
    near.page.get_by_role("button", name="Break").click()
    near.answer()
    dead = near.page.get_by_role("group", name="Dead cell")
    assert dead.get_by_role("button").all_inner_texts() == ["dark", "open", "short", "cracked"]
    dead.get_by_role("button", name="short").click()
    near.answer()
    near.page.mouse.click(*near.centre(8))
    near.answer()
    assert [(one.kind, one.place.cell) for one in near.state.scenario.faults] == [("cell-short", 8)]
    near.page.mouse.click(*near.centre(8))
    near.answer()
    assert near.state.scenario.faults == ()


def test_the_size_of_a_fault_can_be_chosen(near: Drawing) -> None:
    near.page.get_by_role("button", name="Break").click()
    near.page.get_by_role("button", name="low shunt").click()
    near.answer()
    size = near.page.get_by_role("textbox", name="shunt resistance")
    size.fill("0,25")
    size.press("Enter")
    near.answer()
    near.page.mouse.click(*near.centre(8))
    near.answer()
    assert near.state.scenario.faults[0].size == 0.25
    size = near.page.get_by_role("textbox", name="shunt resistance")
    size.fill("a lot")
    size.press("Enter")
    assert size.get_attribute("aria-invalid") == "true"


def test_pointing_at_a_diode_offers_its_faults_and_the_caution_comes_first(near: Drawing) -> None:
    near.page.get_by_role("button", name="Break").click()
    near.answer()
    near.page.get_by_role("gridcell", name="bypass diode 2").click()
    near.answer()
    assert near.state.scenario.faults == ()
    faults = near.page.get_by_role("group", name="Bypass diode")
    assert faults.get_by_role("button").all_inner_texts() == ["open", "short", "reversed", "burnt contact"]
    assert "can burn" in near.page.get_by_role("note").inner_text()
    near.page.get_by_role("gridcell", name="bypass diode 2").click()
    near.answer()
    assert [one.kind for one in near.state.scenario.faults] == ["diode-open"]
    open_one = near.page.get_by_role("gridcell", name=re.compile(r"bypass diode 2, open, 11\.4\sV"))
    assert open_one.count() == 1


@pytest.mark.parametrize(
    ("kind", "said"),
    [
        ("diode-open", r"open, −4\.\d+ V"),
        ("diode-short", r"short-circuited, conducts [\d.]+ A, 0 V"),
        ("diode-reversed", r"reversed, blocks, −4\.\d+ V"),
        ("diode-resistive", r"burnt contact, conducts [\d.]+ A, −\d\.\d+ V"),
    ],
)
def test_a_broken_diode_says_what_it_is_before_what_it_does_and_its_voltage(
    page: Any, scenario: Scenario, kind: str, said: str
) -> None:
    shaded = paint(scenario, [Place(1, 3, cell=30)], 0.2)
    broken = add_fault(shaded, Fault(kind, Place(1, 3, diode=2)))
    near = Drawing(page, broken, focus=Place(1, 3, cell=5), level="module")
    label = near.page.get_by_role("gridcell", name="bypass diode 2").get_attribute("aria-label")
    assert re.fullmatch(f"bypass diode 2, {said}", label.replace("\u202f", " "))
    near.page.get_by_role("button", name="Look").click()
    near.page.get_by_role("gridcell", name="bypass diode 2").hover(force=True)
    shown = near.page.locator(".readout").inner_text().replace("\u202f", " ")
    assert re.fullmatch(f"Diode 1/3/d2, {said}", shown.replace(" · ", ", "))


def test_space_breaks_a_string_from_its_head(far: Drawing) -> None:
    far.page.get_by_role("button", name="Break").click()
    far.page.get_by_role("button", name="String", exact=True).click()
    far.answer()
    assert "Never separate a connector" in far.page.get_by_role("note").inner_text()
    far.page.get_by_role("gridcell", name="string 2").focus()
    far.press("Space")
    assert [(one.kind, one.place) for one in far.state.scenario.faults] == [("cable-open", Place(2))]
    assert "string cable open" in far.focused()


def on_wire(far: Drawing, string: int) -> tuple[float, float]:
    """A point on the drawn cable of a string, between its first two modules and clear of both."""
    first, second = frames(far)[3 * string - 3 : 3 * string - 1]
    lane = far.page.locator(".wires > .wire").nth(string - 1).bounding_box()["y"]
    return (first["x"] + first["width"] + second["x"]) / 2, lane


def test_the_drawn_cable_of_a_string_is_hit_with_a_fault_of_strings_in_hand(far: Drawing) -> None:
    far.page.get_by_role("button", name="Break").click()
    far.page.get_by_role("button", name="String", exact=True).click()
    far.answer()
    far.page.mouse.move(*on_wire(far, 2))
    assert "String 2" in far.page.locator(".readout").inner_text()
    assert far.page.locator(".wire.aimed").count() == 1
    far.page.mouse.click(*on_wire(far, 2))
    far.answer()
    assert [(one.kind, one.place) for one in far.state.scenario.faults] == [("cable-open", Place(2))]
    far.page.get_by_role("button", name="Mend", exact=True).click()
    far.answer()
    far.page.mouse.click(*on_wire(far, 1))  # a sound one: nothing in it is mended unseen
    far.page.mouse.click(*on_wire(far, 2))
    far.answer()
    assert far.state.scenario.faults == ()


def test_a_brush_that_meets_a_cable_shades_no_string(far: Drawing) -> None:
    far.page.mouse.click(*on_wire(far, 1))
    far.answer()
    assert far.painted() == []


def test_the_leads_of_the_junction_box_are_hit_between_box_and_terminal(near: Drawing) -> None:
    near.page.get_by_role("button", name="Break").click()
    near.page.get_by_role("button", name="String", exact=True).click()
    near.answer()
    plus = near.page.get_by_role("gridcell", name="plus lead").bounding_box()
    near.page.mouse.click(plus["x"] - 9, plus["y"] + plus["height"] / 2)
    near.answer()
    assert [(one.kind, one.place) for one in near.state.scenario.faults] == [("cable-open", Place(1))]


def test_a_fault_of_a_cell_asks_to_go_nearer_first(far: Drawing) -> None:
    far.page.get_by_role("button", name="Break").click()
    far.answer()
    far.page.get_by_role("gridcell", name="module 2").first.focus()
    far.press("Space")
    assert far.state.scenario.faults == ()
    assert "go nearer" in far.page.locator(".hint").inner_text()


def test_mending_takes_the_smallest_broken_part_under_the_pointer(near: Drawing) -> None:
    near.state.break_part(Place(1, 2, diode=1), "diode-open")
    near.state.break_part(Place(1, 2, cell=5), "cell-open")
    near.push()
    near.page.get_by_role("button", name="Mend").click()
    near.answer()
    near.page.mouse.click(*near.centre(5))
    near.answer()
    assert [one.kind for one in near.state.scenario.faults] == ["diode-open"]
    near.page.mouse.click(*near.centre(5))
    near.answer()
    assert near.state.scenario.faults == ()


def test_what_is_faded_is_looked_at_and_never_changed(page: Any) -> None:
    string = String(modules=(Module("full-60"),) * 8)
    long = Scenario(title="A shed", array=Array(strings=(string, string)))
    drawing = Drawing(page, long, focus=Place(1), level="string")
    box = page.locator(".module.faded .frame").first.bounding_box()
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + 10)
    drawing.answer()
    assert drawing.painted() == []
    assert drawing.state.focus.string == 2


def test_a_conducting_diode_shows_without_colour(near: Drawing) -> None:
    assert near.page.locator(".diode.on").count() == 0
    near.state.paint([Place(1, 2, cell=33)], 0.0)
    near.push()
    near.page.evaluate("window.settled()")
    assert near.page.locator(".diode.on").count() == 1
    assert near.page.get_by_role("gridcell", name="bypass diode 2, conducts").count() == 1
    assert near.page.locator(".bypassed").count() == 1
    assert near.page.locator(".module.active .eats").count() == 1
    near.page.get_by_role("button", name="Array").click()
    near.answer()
    assert near.page.locator(".signs .diode.on").count() == 1


def test_every_pattern_a_mark_is_filled_with_is_there(near: Drawing) -> None:
    asked = set(re.findall(r"url\(#([\w-]+)\)", css("roof/roof")))
    assert {"hatch", "veil", "hatch-dark", "veil-dark"} <= asked
    for name in asked:
        assert near.page.locator(f"pattern#{name} > *").count() >= 1, name


def test_a_cell_that_eats_power_is_hatched(near: Drawing) -> None:
    near.state.paint([Place(1, 2, cell=33)], 0.0)
    before = near.cell(33).screenshot()
    near.push()
    near.page.locator(".module.active .hatch").wait_for()
    hatched = near.cell(33).screenshot()
    near.page.locator(".module.active .hatch").evaluate("one => one.remove()")
    assert len({before, hatched, near.cell(33).screenshot()}) == 3  # the hatch is seen, not only there


def test_values_are_printed_in_the_cells_with_their_unit_in_the_legend(near: Drawing) -> None:
    near.state.paint([Place(1, 2, cell=33)], 0.0)
    near.push()
    near.page.get_by_role("button", name="Voltage").click()
    near.answer()
    assert near.page.locator("text.value").count() == 60
    shown = near.page.locator("text.value").all_text_contents()
    assert shown[32].startswith("−")
    assert near.page.locator(".ticks").inner_text().endswith("V")


def figures(drawing: Drawing) -> dict[int, str]:
    """The figures that are seen in the cells, by the number of the cell."""
    seen = drawing.page.locator("text.value").evaluate_all(
        "all => all.map(one => one.style.display === 'none' ? '' : one.textContent)"
    )
    return {number: text for number, text in enumerate(seen, start=1) if text}


def test_figures_stand_where_they_differ_or_where_somebody_points(near: Drawing) -> None:
    assert figures(near) == {}, "sixty times 1000 tells nothing"
    near.page.mouse.move(*near.centre(7))
    assert figures(near) == {7: "1000"}
    near.page.mouse.click(*near.centre(33))
    near.answer()
    near.page.mouse.move(2, 2)
    assert figures(near) == {33: "200"}
    near.page.get_by_role("button", name="Voltage").click()
    near.answer()
    shown = figures(near)
    # Of the substring that is bypassed one more, as its other cells are not what most are.
    assert shown[33].startswith("−")
    assert len(shown) == 2
    (other,) = set(shown) - {33}
    assert 21 <= other <= 40


def test_a_first_visit_says_what_to_do_until_it_is_done(near: Drawing) -> None:
    first = near.page.locator(".word .first")
    assert first.inner_text().replace("\u202f", " ").startswith("Click a cell: it gets 20 % of the light.")
    near.page.mouse.click(*near.centre(33))
    near.answer()
    assert first.inner_text() == ""
    assert near.page.locator(".marks-key").is_visible()


def test_a_shadow_is_added_dragged_stretched_and_turned(far: Drawing) -> None:
    page = far.page
    page.get_by_role("button", name="Shadows").click()
    page.get_by_role("button", name="chimney", exact=True).click()
    far.answer()
    before = far.state.scenario.light.shadows[0]
    box = page.locator(".shadow.rectangle").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    drag(page, (x, y), (x + 60, y + 24))
    far.answer()
    moved = far.state.scenario.light.shadows[0]
    scale = page.locator(".world").evaluate("one => new DOMMatrix(getComputedStyle(one).transform).a")
    assert moved.x_m - before.x_m == pytest.approx(60 / scale / 1000, abs=0.02)  # a pixel is 8 mm here
    assert moved.y_m - before.y_m == pytest.approx(24 / scale / 1000, abs=0.02)
    corner = page.locator("[data-handle='1 1'] rect").bounding_box()
    drag(page, middle(corner), (corner["x"] + 35, corner["y"] + 25))
    far.answer()
    stretched = far.state.scenario.light.shadows[0]
    assert stretched.width_m > moved.width_m
    assert stretched.height_m > moved.height_m
    left = moved.x_m - moved.width_m / 2
    assert stretched.x_m - stretched.width_m / 2 == pytest.approx(left, abs=1e-3)  # the other corner stays
    turn = page.locator("[data-handle='turn'] rect").bounding_box()
    at = middle(page.locator(".shadow.rectangle path").bounding_box())
    drag(page, middle(turn), (at[0] + 100, at[1]))
    far.answer()
    assert far.state.scenario.light.shadows[0].angle_deg == 90
    far.state.undo()
    far.state.undo()
    far.state.undo()
    assert far.state.scenario.light.shadows[0] == before  # each drag is one step


def drag(page: Any, start: tuple[float, float], end: tuple[float, float]) -> None:
    """Press, move in a few steps, let go."""
    page.mouse.move(*start)
    page.mouse.down()
    page.mouse.move(*end, steps=6)
    page.mouse.up()


def middle(box: dict[str, float]) -> tuple[float, float]:
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def test_a_shadow_obeys_the_keys(far: Drawing) -> None:
    far.page.get_by_role("button", name="Shadows").click()
    far.page.get_by_role("button", name="pole", exact=True).click()
    far.answer()
    start = far.state.scenario.light.shadows[0]
    made = far.page.get_by_role("button", name="1 pole")
    assert made.evaluate("one => one === one.getRootNode().activeElement")
    far.press("ArrowRight", "ArrowRight", "Shift+ArrowDown", "]", "Shift+]", "Alt+ArrowRight")
    now = far.state.scenario.light.shadows[0]
    assert now.x_m == pytest.approx(start.x_m + 0.02)
    assert now.y_m == pytest.approx(start.y_m + 0.1)
    assert now.angle_deg == 16
    assert now.width_m == pytest.approx(start.width_m + 0.01)
    assert "turned 16 degrees" in far.page.locator(".unseen[role=status]").inner_text()
    far.press("Delete")
    assert far.state.scenario.light.shadows == ()


def test_outside_the_shadow_tool_a_shadow_lets_clicks_through(page: Any, scenario: Scenario) -> None:
    near = Drawing(page, scenario, focus=Place(1, 2), level="module")
    near.state.add_shadow("rectangle", x_m=1.6, y_m=0.8, width_m=3.0, height_m=3.0)
    near.push()
    near.page.mouse.click(*near.centre(33))
    near.answer()
    assert near.painted() == [Place(1, 2, cell=33)]


@pytest.mark.parametrize("kind", ["pole", "rectangle", "leaf", "dropping", "snow-edge", "front-row"])
def test_a_shadow_is_drawn_where_it_takes_the_light(page: Any, scenario: Scenario, kind: str) -> None:
    drawing = Drawing(page, scenario)
    shadow = Shadow(kind=kind, x_m=1.3, y_m=1.1, width_m=0.7, height_m=0.4, angle_deg=25)
    drawing.state.add_shadow(kind, x_m=1.3, y_m=1.1, width_m=0.7, height_m=0.4, angle_deg=25)
    drawing.push()
    path = page.locator(f".shadow.{kind} path").first.get_attribute("d")
    pieces = [piece for piece in path.replace("Z", "").split("M") if piece]
    drawn = [np.array([[float(v) for v in pair.split()] for pair in one.split("L")]) for one in pieces]
    expected = shadow_outlines(scenario, shadow)
    assert len(drawn) == len(expected)
    for one, other in zip(drawn, expected, strict=True):
        np.testing.assert_allclose(one, other * 1000.0, atol=0.2)  # mm: unit shapes are sent to 1e-4


def test_a_locked_array_is_not_painted_even_for_a_moment(near: Drawing) -> None:
    near.state.locked = True
    near.push()
    before = near.cell(33).evaluate("one => one.style.fill")
    near.page.mouse.click(*near.centre(33))
    assert near.cell(33).evaluate("one => one.style.fill") == before
    near.answer()
    assert near.painted() == []
    assert near.state.notice


def test_an_update_touches_what_changed_and_no_more(near: Drawing) -> None:
    near.page.evaluate(
        """() => {
          window.touched = 0
          const root = document.getElementById("host").shadowRoot
          new MutationObserver((all) => { window.touched += all.length }).observe(
            root.querySelector(".modules"), { subtree: true, attributes: true, childList: true })
        }"""
    )
    near.push()
    near.push()
    assert near.page.evaluate("window.touched") == 0
    near.state.paint([Place(2, 1, cell=1)], 0.0)
    near.push()
    touched = near.page.evaluate("window.touched")
    assert 0 < touched < 60  # the dark cell and its mark, and the ways of a slightly lower current


def test_the_drawing_listens_to_itself_and_to_a_lecture_and_lets_go(
    own_page: Any, here: str, scenario: Scenario
) -> None:
    own_page.add_init_script(
        """(() => {
          window.listening = []
          for (const target of [window, document]) {
            const add = target.addEventListener
            target.addEventListener = function (name, ...rest) {
              window.listening.push(name)
              return add.call(this, name, ...rest)
            }
            const remove = target.removeEventListener
            target.removeEventListener = function (name, ...rest) {
              window.listening = window.listening.filter(one => one !== name)
              return remove.call(this, name, ...rest)
            }
          }
          const Observer = window.ResizeObserver
          window.observing = 0
          window.ResizeObserver = class extends Observer {
            observe(...a) { window.observing += 1; super.observe(...a) }
            disconnect() { window.observing -= 1; super.disconnect() }
          }
        })()"""
    )
    own_page.goto(here)
    Drawing(own_page, scenario)
    # A connection that is back lets its outbox go on, and a lecture puts everything right.
    assert own_page.evaluate("window.listening") == ["pvsim:connected", "pvsim:right"]
    assert own_page.evaluate("window.observing") == 1
    own_page.evaluate("fire('remove')")
    assert own_page.evaluate("window.listening") == []
    assert own_page.evaluate("window.observing") == 0
    sent = own_page.evaluate("window.sent.length")
    own_page.mouse.click(320, 400)
    assert own_page.evaluate("window.sent.length") == sent


class Finger:
    """A finger on a page that is taller than the screen."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self._session = page.context.new_cdp_session(page)

    def swipe(self, start: tuple[float, float], end: tuple[float, float]) -> None:
        """Come down, move in a few steps, let go."""
        self._touch("touchStart", start)
        for share in (0.1, 0.2, 0.6, 1.0):
            self._touch("touchMove", tuple(a + share * (b - a) for a, b in zip(start, end, strict=True)))
        self._touch("touchEnd")
        self.page.evaluate("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")

    def scrolled(self) -> float:
        return self.page.evaluate("scrollY")

    def _touch(self, type: str, *points: tuple[float, ...]) -> None:
        at = [{"x": x, "y": y} for x, y in points]
        self._session.send("Input.dispatchTouchEvent", {"type": type, "touchPoints": at})


@pytest.fixture(scope="module")
def kept_finger(browser: Any, here: str) -> Iterator[Finger]:
    page = a_page(browser, viewport={"width": 640, "height": 500}, has_touch=True)
    page.goto(here)
    yield Finger(page)
    page.context.close()


@pytest.fixture
def finger(kept_finger: Finger) -> Iterator[Finger]:
    for _page in heard(cleared(kept_finger.page)):
        yield kept_finger


@pytest.mark.parametrize("tray", ["Shade", "Mend"])
def test_a_finger_strokes_cells_from_near(finger: Finger, scenario: Scenario, tray: str) -> None:
    near = Drawing(finger.page, scenario, focus=Place(1, 2), level="module")
    cells = [Place(1, 2, cell=number) for number in range(1, 7)]
    if tray == "Mend":
        near.state.paint(cells, 0.2)
        near.push()
    near.page.get_by_role("button", name=tray).tap()
    near.answer()
    finger.swipe(near.centre(1), near.centre(6))
    near.answer()
    assert set(near.painted()) == (set(cells) if tray == "Shade" else set())
    assert finger.scrolled() == 0.0
    near.page.touchscreen.tap(*near.centre(33))
    near.answer()
    assert (Place(1, 2, cell=33) in near.painted()) == (tray == "Shade")


def test_a_finger_strokes_whole_modules_from_afar(finger: Finger, scenario: Scenario) -> None:
    far = Drawing(finger.page, scenario)
    far.page.get_by_role("button", name="Shade").tap()
    far.answer()
    first, _, last = frames(far)[:3]
    finger.swipe(middle(first), middle(last))
    far.answer()
    assert far.painted() == [Place(1, 1), Place(1, 2), Place(1, 3)]
    assert ring(far) is None  # a finger does not hover
    far.state.undo()
    assert far.painted() == []
    far.push()
    finger.page.touchscreen.tap(*middle(last))
    far.answer()
    assert far.painted() == [Place(1, 3)]


@pytest.mark.parametrize("tray", ["Look", "Break"])
def test_a_finger_that_strokes_nothing_scrolls(finger: Finger, scenario: Scenario, tray: str) -> None:
    far = Drawing(finger.page, scenario)
    far.page.get_by_role("button", name=tray).tap()
    far.answer()
    x, y = middle(frames(far)[1])
    finger.swipe((x, y), (x, y - 100))
    far.page.wait_for_function("scrollY > 20")
    far.answer()
    assert far.painted() == []
    assert far.state.scenario.faults == ()


def test_a_finger_scrolls_beside_the_modules(finger: Finger, scenario: Scenario) -> None:
    near = Drawing(finger.page, scenario, focus=Place(1, 2), level="module")
    near.page.get_by_role("button", name="Shade").tap()
    near.answer()
    stage = near.page.locator(".stage").bounding_box()
    x, y = stage["x"] + 8, stage["y"] + 180
    finger.swipe((x, y), (x, y - 100))
    near.page.wait_for_function("scrollY > 20")
    near.answer()
    assert near.painted() == []


def test_with_reduced_motion_nothing_moves_and_arrowheads_show_the_way(near: Drawing) -> None:
    assert near.page.locator(".roof.moving").count() == 0
    assert near.page.locator(".arrows").count() >= 1


def test_2304_cells_are_recoloured_and_not_drawn_anew(page: Any) -> None:
    string = String(modules=(Module("half-144"),) * 8)
    drawing = Drawing(page, Scenario(title="A barn", array=Array(strings=(string, string))))
    assert page.locator(".cell").count() == 2304
    drawing.state.paint([Place(1, 3, cell=7)], 0.0)
    drawing.state.quantity = "voltage"
    kept = page.evaluate(
        """async (now) => {
          const root = document.getElementById("host").shadowRoot
          const cells = () => [...root.querySelectorAll(".cell")]
          const before = cells(), look = before.map((cell) => cell.outerHTML)
          model.now = now
          fire("now")
          await window.settled()
          const after = cells()
          return [
            before.length === 2304 && before.every((cell, k) => cell === after[k]),
            after.filter((cell, k) => cell.outerHTML !== look[k]).length,
          ]
        }""",
        drawing.view.root.now.values,
    )
    assert kept[0], "cells were made anew"
    assert kept[1] == 2304


def test_a_large_array_keeps_cells_only_where_one_is(page: Any) -> None:
    string = String(modules=(Module("half-144"),) * 10)
    barn = Scenario(title="A barn", array=Array(strings=(string,) * 4))
    drawing = Drawing(page, barn)
    assert page.locator(".cell").count() == 0
    assert page.locator(".tile").count() == 40
    drawing.state.set_focus("3/4/20", "module")
    drawing.push()
    page.evaluate("window.settled()")
    assert page.locator(".cell").count() == 1440
    assert drawing.cell(20).count() == 1
    drawing.state.set_level("array")
    drawing.push()
    page.evaluate("window.settled()")
    assert page.locator(".cell").count() == 0


def test_texts_from_a_file_stay_texts(page: Any, scenario: Scenario) -> None:
    drawing = Drawing(page, scenario)
    drawing.state.add_shadow("leaf", x_m=1.0, y_m=1.0)
    drawing.state.change_shadow(0, name="<img src=x onerror=alert(1)>")
    drawing.push()
    assert page.locator("img[src=x]").count() == 0
    assert drawing.view.root.now.values["shadows"][0]["name"].startswith("<img")
