"""A class in a real browser: a lecturer's page, three phones, and the notes window."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Iterator
from typing import Any

import pytest

from pvsim.app.room.classroom import Classroom
from pvsim.app.room.hub import Hub
from tests.app.conftest import WAIT_ms, lies_outside
from tests.store.conftest import CHOICE, NUMBER

from .test_notes import SCENE  # isort: skip
from tests.patience import PATIENCE_s

pytestmark = pytest.mark.ui
NO_NETWORK = """() => {
  window.kept_socket = WebSocket
  window.WebSocket = class { readyState = 3; constructor() { setTimeout(() => this.onclose(), 50) } }
}"""
KEPT_SECOND = "() => document.querySelector('label:nth-of-type(2)').dataset.kept === 'true'"
PHONE = {"width": 390, "height": 844}
SMALL = {"width": 320, "height": 568}
TARGET_px = 44  # WCAG 2.2, 2.5.5


class Devices:
    """Browsers that may ask this machine alone."""

    def __init__(self, browser: Any, url: str) -> None:
        self._browser, self.url = browser, url
        self.outside: list[str] = []
        self.complaints: list[str] = []
        self._contexts: list[Any] = []

    def open(self, path: str, size: dict[str, int] = PHONE, **options: Any) -> Any:
        """A page in a browser of its own."""
        context = self._browser.new_context(viewport=size, **{"locale": "en-GB"} | options)
        self._contexts.append(context)
        context.set_default_timeout(WAIT_ms)
        context.on("requestfailed", self._failed)
        page = context.new_page()
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        page.on("console", lambda said: self.complaints.append(said.text) if said.type == "error" else None)
        page.goto(self.url + path)
        return page

    def _failed(self, request: Any) -> None:
        if lies_outside(request.url, self.url):
            self.outside.append(request.url)

    def close(self) -> None:
        """Close all."""
        for context in self._contexts:
            context.close()


@pytest.fixture
def devices(browser, taught) -> Iterator[Devices]:
    """Browsers for the class of the test."""
    found = Devices(browser, taught.url)
    yield found
    found.close()
    assert found.outside == [], "a page asked for something outside this machine"
    assert found.complaints == [], "a page complained in the browser's console"


def phone(devices, taught, **options):
    """A phone in the class."""
    page = devices.open(f"join/{taught.get('code')}", **options)
    page.get_by_text("Connected").wait_for()
    return page


def kept(page):
    """Wait until the page says that the answer is kept."""
    page.get_by_text("Your answer is kept. You can change it").wait_for()


def counts(taught):
    """Phones for each choice, by round."""
    return [one.counts for one in taught.hub.store().tally(taught.get("poll")).rounds]


def test_a_lecturer_s_page_and_three_phones_go_through_a_poll_with_two_rounds(browser, tmp_path):
    """The lecturer's side is a page with a session, in whose document the classroom tells of answers."""
    import panel as pn
    from tornado.ioloop import IOLoop
    from tornado.web import StaticFileHandler

    from pvsim.app.assets import STATIC
    from pvsim.app.room.routes import class_routes

    hub = Hub(f"sqlite:///{tmp_path / 'classes.sqlite'}")
    started: list[Any] = []
    ready = threading.Event()

    def lecturer():
        room = Classroom(hub, pn.state.curdoc)
        board = pn.pane.Str("nothing yet")
        acts = {
            "Open": lambda: room.open("Evening class"),
            "Ask": lambda: room.ask(CHOICE),
            "Stop": room.stop,
            "Again": room.again,
            "Close": room.close,
        }

        def draw():
            rounds = [one.counts for one in room.tally().rounds] if room.tally() else []
            board.object = f"{room.code} {room.count} {rounds}" if room.is_open else "over"

        room.watch(draw)
        buttons = [pn.widgets.Button(label=label) for label in acts]
        for button, act in zip(buttons, acts.values(), strict=True):
            button.on_click(lambda _event, act=act: act())
        return pn.Column(board, *buttons)

    def serve():
        asyncio.set_event_loop(asyncio.new_event_loop())
        loop = IOLoop.current()
        routes = [(r"/assets/(.*)", StaticFileHandler, {"path": str(STATIC)}), *class_routes(hub)]
        server = pn.io.server.get_server({"/": lecturer}, port=0, address="127.0.0.1", extra_patterns=routes)
        server.start()
        started.extend((server, loop))
        ready.set()
        loop.start()
        loop.close(all_fds=True)

    thread = threading.Thread(target=serve, daemon=True)
    thread.start()
    assert ready.wait(PATIENCE_s)
    server, loop = started
    devices = Devices(browser, f"http://127.0.0.1:{server.port}/")
    try:
        desk = devices.open("", {"width": 1280, "height": 720})

        def press(label):
            desk.get_by_role("button", name=label).click()

        press("Open")
        code = desk.get_by_text(" 0 []").inner_text().split()[0]
        phones = [devices.open("join") for _ in range(3)]
        for page in phones:
            page.get_by_label("Code of the class").fill(code.lower())
            page.get_by_role("button", name="Join").click()
            page.get_by_role("heading", name="You are in").wait_for()
        press("Ask")
        for page, choice in zip(phones, (0, 0, 2), strict=True):
            page.get_by_role("radio").nth(choice).check()
            kept(page)
        desk.get_by_text("3 [(2, 0, 1)]").wait_for()
        phones[0].get_by_role("radio").nth(1).check()
        desk.get_by_text("3 [(1, 1, 1)]").wait_for()
        press("Stop")
        for page in phones:
            page.get_by_text("The round is closed; look to the front").wait_for()
            assert page.get_by_role("radio").first.is_disabled()
        press("Again")
        for page in phones:
            page.get_by_text("After the discussion").wait_for()
            assert not page.get_by_role("radio", checked=True).count()
            page.get_by_role("radio").nth(1).check()
            kept(page)
        desk.get_by_text("3 [(1, 1, 1), (0, 3, 0)]").wait_for()
        press("Close")
        for page in phones:
            page.get_by_text("This class is over").wait_for()
        desk.get_by_text("over", exact=True).wait_for()
        assert devices.outside == []
    finally:
        devices.close()

        def end():
            hub.close()
            server.stop()
            loop.stop()

        loop.add_callback(end)
        thread.join(PATIENCE_s)


def test_a_phone_answers_by_keys_types_a_number_is_the_same_when_loaded_again_and_keeps_nothing_else(
    devices, taught
):
    page = phone(devices, taught)
    a_question_is_answered_by_keyboard_alone(page, taught)
    a_number_is_typed_with_a_comma_and_a_slip_is_told(page, taught)
    a_page_loaded_again_is_the_same_phone_with_its_answer(page, taught)
    assert page.context.cookies() == []
    assert page.evaluate("localStorage.length") == 0
    word = f"pvsim.voter.{taught.get('code')}"
    assert page.evaluate("Object.keys(sessionStorage)") == [word], "a random word in that tab"


def a_question_is_answered_by_keyboard_alone(page, taught):
    taught.do("ask", CHOICE)
    page.get_by_role("radio").first.wait_for(state="attached")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    kept(page)
    page.keyboard.press("ArrowDown")
    page.wait_for_function(KEPT_SECOND)
    assert counts(taught) == [(0, 1, 0)]


def a_number_is_typed_with_a_comma_and_a_slip_is_told(page, taught):
    taught.do("ask", NUMBER)
    field = page.get_by_label("Your number")
    field.fill("many")
    field.press("Enter")
    page.get_by_text("“many” is no number").wait_for()
    assert field.get_attribute("aria-invalid") == "true"
    field.fill("0,62")
    page.get_by_role("button", name="Change the sign").click()
    assert field.input_value() == "−0,62"
    page.get_by_role("button", name="Send").click()
    kept(page)
    assert taught.hub.store().tally(taught.get("poll")).rounds[0].numbers == (-0.62,)


def test_an_answer_given_without_a_connection_is_sent_when_it_is_back(devices, taught):
    page = phone(devices, taught)
    taught.do("ask", CHOICE)
    page.get_by_role("radio").first.wait_for(state="attached")
    page.evaluate(NO_NETWORK)
    taught.drop_phones()
    page.get_by_text("No connection").wait_for()
    page.get_by_role("radio").nth(2).check()
    page.get_by_text("Sending").wait_for()
    assert counts(taught) == [(0, 0, 0)]
    page.evaluate("() => { window.WebSocket = window.kept_socket }")
    kept(page)
    assert counts(taught) == [(0, 0, 1)]


def a_page_loaded_again_is_the_same_phone_with_its_answer(page, taught):
    taught.do("ask", CHOICE)
    page.get_by_role("radio").nth(1).check()
    kept(page)
    page.reload()
    kept(page)
    assert page.get_by_role("radio").nth(1).is_checked()
    page.get_by_role("radio").nth(0).check()
    kept(page)
    assert counts(taught) == [(1, 0, 0)]


def test_everything_to_press_is_large_and_nothing_is_wider_than_the_phone(devices, taught):
    code, page = devices.open("join"), phone(devices, taught)
    for sheet, kind in ((CHOICE, "radio"), (NUMBER, "text")):
        taught.do("ask", sheet)
        page.locator(f"#answers input[type={kind}]").first.wait_for(state="attached")
        for size in (PHONE, SMALL):
            for one in (code, page):
                is_large_and_within(one, size)


def is_large_and_within(page, size):
    page.set_viewport_size(size)
    page.wait_for_function("width => innerWidth === width", arg=size["width"])
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), (page.url, size)
    targets = page.locator("button:visible, label.choice:visible, input[type=text]:visible").all()
    assert targets
    for target in targets:
        box = target.bounding_box()
        assert min(box["width"], box["height"]) >= TARGET_px, (page.url, size)


def test_the_phone_follows_the_device_to_dark_and_uses_the_page_s_own_type(devices, taught):
    light, dark = (phone(devices, taught, color_scheme=scheme) for scheme in ("light", "dark"))
    ground = "getComputedStyle(document.body).backgroundColor"
    assert light.evaluate(ground) == "rgb(243, 244, 241)"  # --ground of theme.css
    assert dark.evaluate(ground) == "rgb(18, 23, 27)"
    light.emulate_media(color_scheme="dark")
    light.wait_for_function(f"{ground} === 'rgb(18, 23, 27)'")
    assert light.evaluate("document.fonts.check('16px \"Atkinson Hyperlegible Next\"')")


def test_a_script_in_a_question_does_not_run(browser, taught):
    devices = Devices(browser, taught.url)  # whose complaint about the script is meant
    page = phone(devices, taught)
    attack = "<img src=x onerror='window.ran = 1'><script>window.ran = 1</script>What now?"
    taught.do("ask", CHOICE | {"question": attack, "choices": [attack, "b"]})
    page.get_by_text("What now?").first.wait_for()
    page.get_by_role("radio").nth(1).check()
    kept(page)
    assert page.evaluate("window.ran") is None
    devices.close()


def test_the_notes_window_shows_what_is_on_the_screen_and_counts_answers(devices, taught):
    desk = {"width": 1100, "height": 760}
    page = devices.open(taught.get("notes_path").lstrip("/"), desk)
    page.get_by_text("The notes appear here").wait_for()
    taught.do("show", SCENE)
    page.get_by_role("heading", name="Shade one cell").wait_for()
    page.get_by_text("Let them vote first.").wait_for()
    page.get_by_role("heading", name="Next: Do it").wait_for()
    taught.do("ask", CHOICE)
    page.get_by_text("round 1, open").wait_for()
    other = phone(devices, taught)
    other.get_by_role("radio").first.check()
    page.locator("#answers").get_by_text("1", exact=True).wait_for()
    assert page.get_by_role("timer").inner_text().count(":") >= 1
    stranger = devices.open(f"notes/{taught.get('code')}#guessed", desk)
    stranger.get_by_text("These notes open from the lecture itself").wait_for()
    assert "vote" not in stranger.content()
    taught.do("close")
    page.get_by_text("This class is over").wait_for()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_rule_of_access_is_broken_on_the_phone_and_in_the_notes_window(devices, taught, scheme):
    access = pytest.importorskip("tests.app.axe", reason="needs axe-playwright-python")

    def check(page, where):
        assert not access.broken_rules(page), where

    options = {"color_scheme": scheme, "bypass_csp": True}  # axe is a script of the test, not of the page
    notes = devices.open(taught.get("notes_path").lstrip("/"), {"width": 1100, "height": 760}, **options)
    check(notes, "notes awaited")
    check(devices.open("join", **options), "code")
    check(devices.open("join?code=nonsense", **options), "code refused")
    page = phone(devices, taught, **options)
    check(page, "waiting")
    taught.do("show", SCENE)
    for sheet in (CHOICE, NUMBER):
        taught.do("ask", sheet)
        page.locator("#answers input").first.wait_for(state="attached")
        check(page, sheet["kind"])
        if sheet is CHOICE:
            page.get_by_role("radio").first.check()
            kept(page)
            check(page, "kept")
            check(notes, "notes")
            taught.do("stop")
            page.get_by_text("The round is closed").wait_for()
            check(page, "closed")
    taught.do("close")
    page.get_by_text("This class is over").wait_for()
    check(page, "over")
