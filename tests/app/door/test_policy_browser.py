"""The page under its own content security policy, without the opening that other browser tests need.

The pages here come from a process of `pvsim serve`, and nothing here is evaluated as text.
"""

from __future__ import annotations

import re
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from tests.app.conftest import DESK, PHONE, WAIT_ms, lies_outside  # isort: skip
from .stranger import House  # isort: skip

pytestmark = pytest.mark.ui


@pytest.fixture(scope="module")
def house(tmp_path_factory) -> Iterator[House]:
    house = House(tmp_path_factory.mktemp("house"))
    yield house
    house.stop()


class Visit:
    """Pages in a context that keep what the browser complains of."""

    def __init__(self, browser: Any, **options: Any) -> None:
        self.context = browser.new_context(accept_downloads=True, **({"viewport": DESK} | options))
        self.context.set_default_timeout(WAIT_ms)
        self.complaints: list[str] = []
        self.outside: list[str] = []

    def open(self, url: str) -> Any:
        """Open a page; all it says is kept."""
        page = self.context.new_page()
        self.watch(page)
        page.goto(url)
        return page

    def watch(self, page: Any) -> None:
        """Keep what a page says."""
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        page.on("console", lambda one: one.type == "error" and self.complaints.append(one.text))
        page.on("request", lambda one: self.outside.append(one.url))


def ready(page: Any) -> None:
    """Wait until every region is drawn."""
    page.wait_for_selector("html[data-ready=true]", state="attached")
    page.get_by_test_id("said").filter(has_text="W").wait_for()


@pytest.fixture
def visit(browser, house) -> Iterator[Visit]:
    visit = Visit(browser)
    yield visit
    visit.context.close()
    assert visit.complaints == []
    assert [url for url in visit.outside if lies_outside(url, house.url)] == []


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_the_bench_works_without_a_breach(visit, house, size):
    page = visit.open(house.url)
    page.set_viewport_size(size)
    ready(page)
    page.get_by_test_id("menu-light").click()
    page.get_by_role("button", name="Haze").click()
    page.get_by_test_id("said").filter(has_text="falls").wait_for()
    page.keyboard.press("Escape")
    for button in page.locator(".levels button").all():
        button.click()
    for button in page.locator(".views button").all():
        button.click()
    page.keyboard.press("t")
    page.locator("html[data-theme=dark]").wait_for(state="attached")
    page.screenshot()


def test_axes_are_written_with_the_page_s_decimal_mark_and_nothing_is_evaluated(visit, house):
    page = visit.open(house.url + "?lang=de&level=cell")
    ready(page)
    page.wait_for_function(
        """() => [...Bokeh.documents[0]._all_models.values()]
          .filter(model => model.type === "LinearAxis")
          .every(({ ticker, major_label_overrides: written }) =>
            ticker.ticks.length > 1 && ticker.ticks.every(one => written.get(one) !== undefined))"""
    )
    seen = page.evaluate(
        """() => [...Bokeh.documents[0]._all_models.values()]
          .filter(model => model.type === "LinearAxis")
          .flatMap(axis => axis.ticker.ticks.map(one => axis.major_label_overrides.get(one)))"""
    )
    assert any("," in text for text in seen)
    assert all(re.fullmatch(r"−?\d+(,\d+)?", text) for text in seen), seen


def test_files_are_saved_without_a_breach(visit, house):
    page = visit.open(house.url)
    ready(page)
    for name in ("Figure as PNG", "Figure as SVG"):
        page.get_by_test_id("menu-files").click()
        with page.expect_download() as download:
            page.get_by_role("button", name=name).click()
        assert download.value.path().stat().st_size > 1000
        page.keyboard.press("Escape")


def test_a_browser_without_scripts_is_told_what_is_missing(browser, house):
    context = browser.new_context(java_script_enabled=False)
    try:
        page = context.new_page()
        page.goto(house.url)
        assert "needs JavaScript" in page.locator("noscript").inner_text()
        page.goto(house.url + "?lang=de")
        assert "braucht JavaScript" in page.locator("noscript").inner_text()
    finally:
        context.close()


INJECTED = """() => {
  const told = []
  document.addEventListener("securitypolicyviolation", event => told.push(event.effectiveDirective))
  const script = document.createElement("script")
  script.textContent = "window.injected = true"
  document.body.append(script)
  const image = document.createElement("div")
  image.innerHTML = "<img src=x onerror='window.injected = true'>"
  document.body.append(image)
  const frame = document.createElement("iframe")
  frame.src = "http://127.0.0.1:1/"
  document.body.append(frame)
  setTimeout(() => { try { window.injected = eval("true") } catch { told.push("eval") } })
  const look = done => setTimeout(() => done([window.injected === true, [...new Set(told)]]), 500)
  return new Promise(look)
}"""


def test_a_script_that_got_into_the_page_does_not_run(browser, house):
    context = browser.new_context()
    try:
        page = context.new_page()
        page.goto(house.url)
        ready(page)
        ran, told = page.evaluate(INJECTED)
        assert not ran
        assert {"script-src-elem", "script-src-attr", "frame-src", "eval"} <= set(told)
    finally:
        context.close()


FRAME = """<!doctype html><iframe src="%s" width="1200" height="700"></iframe>"""


@contextmanager
def platform_of(page: list[str]) -> Iterator[str]:
    """The origin of another server of this machine, with one page: browsers let no other show a local one."""

    class Platform(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            body = page[0].encode("utf-8")
            self.send_response(200)
            self.send_header("Content-Type", "text/html; charset=utf-8")
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, *_words: object) -> None:
            """Nothing is told."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Platform)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://localhost:{server.server_address[1]}"
    finally:
        server.shutdown()
        server.server_close()
        thread.join(20)


@pytest.mark.parametrize("named", [False, True])
def test_only_named_platforms_show_the_page_in_a_frame(browser, tmp_path, named):
    """A lecturer's own platform is named by an option; the page works there as it does alone."""
    page_of_platform = [""]
    with platform_of(page_of_platform) as platform:
        house = House(tmp_path, *(("--embed", platform) if named else ()))
        page_of_platform[0] = FRAME % house.url
        context = browser.new_context(viewport=DESK)
        context.set_default_timeout(WAIT_ms)
        try:
            page = context.new_page()
            page.goto(platform + "/")
            if named:
                frame = page.frame_locator("iframe")
                frame.get_by_test_id("said").filter(has_text="W").wait_for()
                frame.get_by_test_id("menu-light").click()
                frame.get_by_role("button", name="Haze").click()
                frame.get_by_test_id("said").filter(has_text="falls").wait_for()
            else:
                end = time.monotonic() + WAIT_ms / 1000
                while not any(one.url.startswith("chrome-error:") for one in page.frames):
                    assert time.monotonic() < end
                    page.wait_for_timeout(50)
        finally:
            context.close()
            house.stop()
