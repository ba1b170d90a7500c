"""The page in a real browser: one server for the whole run, a context of its own for each test or file."""

from __future__ import annotations

import asyncio
import os
import shutil
import threading
import time
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from tests.app.kept_pages import KeptPages, remember
from tests.patience import PATIENCE_ms, PATIENCE_s

# The first is the same browser without windows of its own, which costs a third less to open a page in.
BROWSERS = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--force-color-profile=srgb",
    # No other machine is found. Playwright's own way to refuse asks about every file of every page: a
    # seventh of the work of opening one.
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost",
]
DESK = {"width": 1280, "height": 720}
PHONE = {"width": 390, "height": 844}
WAIT_ms = PATIENCE_ms


def _let_tests_evaluate() -> None:
    """Let playwright wait for conditions, which it evaluates as text in the page.

    All else of the policy stays as it is; tests/app/door/test_policy_browser.py does without this.
    """
    from pvsim.app.door.policy import page_policy
    from pvsim.app.mends import page_handler

    def open_to_tests(*args: Any) -> str:
        return page_policy(*args).replace("script-src", "script-src 'unsafe-eval'")

    page_handler.page_policy = open_to_tests


class Served:
    """A server on a free port, in a thread with its own event loop."""

    def __init__(self, **settings: Any) -> None:
        self.settings = {"port": 0} | settings
        _let_tests_evaluate()
        self._ready = threading.Event()
        self._thread = threading.Thread(target=self._run, name="pvsim-server", daemon=True)
        self._thread.start()
        assert self._ready.wait(PATIENCE_s), "the server did not start"
        self.url = f"http://127.0.0.1:{self.server.port}/"

    def _run(self) -> None:
        from tornado.ioloop import IOLoop

        from pvsim.app.server import create_server
        from pvsim.files.demo import FIRST_DEMO, read_demo

        asyncio.set_event_loop(asyncio.new_event_loop())
        self.loop = IOLoop.current()
        self.server = create_server(read_demo(FIRST_DEMO), **self.settings)
        self.server.start()
        self._ready.set()
        self.loop.start()
        self.loop.close(all_fds=True)

    def call(self, function: Callable[[], Any]) -> Any:
        """Run a function in the server's thread and give back its result."""
        done: dict[str, Any] = {}
        event = threading.Event()

        def run() -> None:
            try:
                done["value"] = function()
            except BaseException as error:  # carried over to the test
                done["error"] = error
            event.set()

        self.loop.add_callback(run)
        assert event.wait(PATIENCE_s), "the server did not answer"
        if "error" in done:
            raise done["error"]
        return done["value"]

    def sessions(self) -> list[Any]:
        """The sessions alive now."""
        return self.call(lambda: list(self.server.get_sessions("/")))

    def drop_connections(self, *, amid: bool = False) -> None:
        """Close every web socket, as a network that goes away does; perhaps amid a message."""

        def drop() -> None:
            for connection in list(self.server._tornado._clients):
                if amid:
                    connection._socket.ws_connection.write_message('{"msgid":"1","msgtype":"PATCH-DOC"}')
                connection._socket.close()

        self.call(drop)

    def wait_sessions(self, count: int) -> None:
        """Wait until no more than so many sessions are alive."""
        end = time.monotonic() + PATIENCE_s
        while len(self.sessions()) > count:
            assert time.monotonic() < end, f"{len(self.sessions())} sessions are still alive"
            time.sleep(0.1)

    def stop(self) -> None:
        """Stop serving and end the thread."""

        def end() -> None:
            self.server.stop()
            self.loop.stop()

        self.loop.add_callback(end)
        self._thread.join(PATIENCE_s)


def lies_outside(url: str, served: str) -> bool:
    """Whether an address is neither of this server nor made by the page itself."""
    return not url.startswith((served, "data:", "blob:"))


SPEAK_ON = """
  const page = window.Bokeh.documents[0]
  const redo = () => document.dispatchEvent(new KeyboardEvent("keydown", { key: "y", ctrlKey: true }))
  let often = 0
  page.on_event("connection_lost", () => { redo(); often ||= setInterval(redo, 1) })
  page.on_event("client_reconnected", () => clearInterval(often))
"""  # somebody presses keys all the time while the connection is away; there is nothing to redo


class Bench:
    """Opens pages and holds against them whatever they ask outside or complain about."""

    def __init__(self, browser: Any, served: Served, kept_pages: KeptPages | None = None) -> None:
        self.browser = browser
        self.served = served
        self.outside: list[str] = []
        self.complaints: list[str] = []
        self._contexts: list[Any] = []
        self._kept_pages = kept_pages
        self._lent: list[tuple[Any, dict[str, Any]]] = []

    def open(
        self,
        query: str = "",
        *,
        size: dict[str, int] | None = None,
        kept: dict[str, str] | None = None,
        alone: bool = False,
        first: Callable[[Any], None] | None = None,
        **options: Any,
    ) -> Any:
        """Open the page in a browser that knows nothing of it and wait until it can be used.

        It is asked to keep still, so that what happens is seen at once; tests of motion ask for motion.
        `kept` is what the browser has kept of an earlier visit, as `pvsim.large`. Where a file's tests leave
        their pages to one another (`kept_pages`), this is one of them, unless it is opened `alone`.
        `first` gets the page before anything is loaded.
        """
        options = {"viewport": size or DESK, "accept_downloads": True, "reduced_motion": "reduce"} | options
        if self._kept_pages is None or alone:
            page = self._new_page(options)
            self._contexts.append(page.context)
        else:
            page = self._kept_pages.take(options, self._new_page)
            self._lent.append((page, options))
        if kept:
            remember(page, self.served.url, kept)
        page.context.on("requestfailed", self._failed)
        page.on("pageerror", self._hear_error)
        page.on("console", self._hear)
        if first:
            first(page)
        self.go(page, query)
        return page

    def _new_page(self, options: dict[str, Any]) -> Any:
        context = self.browser.new_context(**options)
        context.set_default_timeout(WAIT_ms)
        return context.new_page()

    def go(self, page: Any, query: str = "") -> None:
        """Load the page anew and wait until it can be used."""
        page.goto(self.served.url + query)
        self.wait_ready(page)

    def wait_ready(self, page: Any) -> None:
        """Wait until every region is drawn."""
        page.wait_for_selector("html[data-ready=true]", state="attached")
        page.get_by_test_id("said").filter(has_text="W").wait_for()

    def _failed(self, request: Any) -> None:
        if lies_outside(request.url, self.served.url):
            self.outside.append(request.url)

    def _hear(self, message: Any) -> None:
        if message.type == "error":
            self.complaints.append(message.text)

    def _hear_error(self, error: Any) -> None:
        self.complaints.append(str(error))

    def close(self) -> None:
        """Close all pages, or leave them to the next test."""
        for context in self._contexts:
            context.close()
        for page, options in self._lent:
            page.context.remove_listener("requestfailed", self._failed)
            page.remove_listener("pageerror", self._hear_error)
            page.remove_listener("console", self._hear)
            assert self._kept_pages is not None
            self._kept_pages.leave(page, options)


@pytest.fixture(scope="session")
def served() -> Iterator[Served]:
    """The server of this run."""
    pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")
    served = Served()
    yield served
    served.stop()


@pytest.fixture(scope="session")
def browser(request: pytest.FixtureRequest) -> Iterator[Any]:
    """A Chromium; without one every test that needs it is skipped by name."""
    sync_api = pytest.importorskip("playwright.sync_api", reason="browser tests need playwright")
    path = os.environ.get("PVSIM_BROWSER") or next(filter(None, map(shutil.which, BROWSERS)), None)
    if path is None:
        pytest.skip(f"{request.node.name}: no Chromium found ({', '.join(BROWSERS)}, PVSIM_BROWSER)")
    with sync_api.sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def kept_pages() -> KeptPages:
    """For files whose tests leave their pages to one another; they close with their browser."""
    return KeptPages()


@pytest.fixture
def bench(request: pytest.FixtureRequest, browser: Any, served: Served) -> Iterator[Bench]:
    """Pages that must stay on this machine and must not complain."""
    leaves = "kept_pages" in request.fixturenames
    bench = Bench(browser, served, request.getfixturevalue("kept_pages") if leaves else None)
    yield bench
    bench.close()
    assert bench.outside == [], "the page asked for something outside this machine"
    assert bench.complaints == [], "the page complained in the browser's console"
