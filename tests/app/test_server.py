"""The server: what it hands out, how soon, and that closed pages give their memory back."""

from __future__ import annotations

import gc
import os
import re
import subprocess
import sys
import time
import urllib.request
import weakref
from typing import Any

import pytest
from bokeh.document import Document
from panel.io.state import set_curdoc

from pvsim.app.assets import STATIC
from pvsim.app.bundle import bundled
from pvsim.app.modules import modules_root
from pvsim.app.page import create_page
from pvsim.app.server import TOKEN_S, UNUSED_SESSION_MS, create_server
from pvsim.app.session.state import State
from pvsim.benchmark import rush
from pvsim.exercise import exercise_file, idea_name
from pvsim.files.demo import read_demo

from .conftest import SPEAK_ON, Bench, Served  # isort: skip
from tests.app.kept_pages import KeptPages
from tests.loop import run_async
from tests.patience import PATIENCE_s


def read(url: str, **headers: str) -> tuple[bytes, Any]:
    """Body and headers of an answer."""
    with urllib.request.urlopen(urllib.request.Request(url, headers=headers), timeout=PATIENCE_s) as answer:
        return answer.read(), answer.headers


def test_everything_the_page_names_is_on_this_machine(served: Served) -> None:
    text = read(served.url)[0].decode("utf-8")
    sources = re.findall(r'(?:src|href)="([^"]*)"', text)
    assert sources
    for source in sources:
        assert not re.match(r"(https?:)?//", source), source
        if not source.startswith("#"):
            assert read(served.url + source.removeprefix("./"))[0], source


def test_style_sheets_and_fonts_name_nothing_outside(served: Served) -> None:
    sheets = [path.relative_to(STATIC).as_posix() for path in STATIC.rglob("*.css")]
    assert len(sheets) > 8
    for name in sheets:
        text = read(f"{served.url}assets/{name}")[0].decode("utf-8")
        for url in re.findall(r"url\(\"?([^)\"#]+)", text):
            assert read(f"{served.url}assets/{url}")[0][:4] == b"wOF2", url
        assert "http" not in text


def test_no_file_outside_the_static_folder_is_served(served: Served) -> None:
    for path in ("../server.py", "..%2Fserver.py", "%2e%2e/server.py", "/etc/passwd"):
        with pytest.raises(urllib.error.HTTPError, match=r"40[34]") as refused:
            read(f"{served.url}assets/{path}")
        refused.value.close()  # it holds the connection


def test_answers_are_compressed_where_the_browser_can(served: Served) -> None:
    body, headers = read(served.url, **{"Accept-Encoding": "gzip"})
    assert headers["Content-Encoding"] == "gzip"
    assert len(body) < len(read(served.url)[0]) / 2


def test_the_connection_may_be_gone_for_some_minutes() -> None:
    assert 2 * 60_000 <= UNUSED_SESSION_MS <= 15 * 60_000
    assert TOKEN_S >= 8 * 3600  # a page open since the morning reconnects in the afternoon


def test_two_pages_share_no_model() -> None:
    pytest.importorskip("panel")
    scenario = read_demo("workshop")
    # Both alive, for what is gone leaves its number free; and each told whose it is while it is made, as by a
    # server, or both would take their style sheets from that which a server in another thread is at just now.
    documents = (Document(), Document())
    for document in documents:
        with set_curdoc(document):
            create_page(scenario)._init_doc(document)
    one, other = ({id(model) for model in document.models} for document in documents)
    assert one
    assert not one & other


def test_a_closed_server_can_be_followed_by_another_on_its_port() -> None:
    first = create_server(read_demo("workshop"))
    port = first.port
    first.stop()
    second = create_server(read_demo("workshop"), port=port)
    assert second.port == port
    second.stop()


@pytest.mark.ui
def test_pages_opened_and_closed_leave_no_state_behind(browser, monkeypatch) -> None:
    states: list[weakref.ref[State]] = []

    class Counted(State):
        def __init__(self, *args: Any, **params: Any) -> None:
            super().__init__(*args, **params)
            states.append(weakref.ref(self))

    monkeypatch.setattr("pvsim.app.page.State", Counted)
    served = Served(unused_session_lifetime_milliseconds=200, check_unused_sessions_milliseconds=100)
    pages = KeptPages()
    try:
        for _ in range(4):
            bench = Bench(browser, served, pages)
            page = bench.open()
            page.get_by_test_id("menu-light").click()
            page.get_by_role("button", name="Haze").click()
            page.get_by_test_id("said").filter(has_text="falls").wait_for()
            bench.close()
        page.context.close()
        served.wait_sessions(0)
        assert len(states) >= 4
        alive = 4
        for _ in range(50):
            alive = served.call(lambda: (gc.collect() and 0) or sum(one() is not None for one in states))
            if not alive:
                break
            time.sleep(0.1)
        assert alive == 0
    finally:
        served.stop()


@pytest.mark.ui
@pytest.mark.parametrize("by_hand", [True, False])
def test_a_page_goes_on_when_the_server_was_started_anew(browser, by_hand: bool) -> None:
    first = Served()
    bench = Bench(browser, first)
    try:
        page = bench.open()
        page.get_by_test_id("menu-light").click()
        page.get_by_role("button", name="Haze").click()
        page.get_by_test_id("said").filter(has_text="falls").wait_for()
        page.wait_for_function("location.search.startsWith('?s=1.')")
        light = page.get_by_test_id("menu-light").inner_text()
        assert "600" in light
        port = first.server.port
        page.evaluate("window.same_page = true")
        page.evaluate(SPEAK_ON)
        first.stop()
        page.get_by_text("connection to pvsim is lost").wait_for()
        first = Served(port=port)
        if by_hand:
            page.get_by_role("button", name="Try again").click()
        page.wait_for_function("window.same_page === undefined", timeout=60_000)
        bench.wait_ready(page)
        assert page.get_by_test_id("menu-light").inner_text() == light
        assert bench.outside == []
        assert not any("refused'" in text or "cannot send" in text for text in bench.complaints)
    finally:
        bench.close()
        first.stop()


@pytest.mark.slow
def test_a_session_takes_at_most_15_MB() -> None:
    script = """
import gc, os, pathlib
import panel as pn
from bokeh.document import Document
from pvsim.app.assets import STATIC
from pvsim.app.page import create_page
from pvsim.benchmark import rush
from pvsim.exercise import exercise_file, idea_name
from pvsim.files.demo import read_demo
from panel.io.state import set_curdoc
page_kB = os.sysconf("SC_PAGE_SIZE") // 1024
used_MB = lambda: int(pathlib.Path("/proc/self/statm").read_text().split()[1]) * page_kB / 1024
pn.extension()
kept = []
def one():
    document = Document()
    with set_curdoc(document):
        create_page(read_demo("workshop"))._init_doc(document)
    kept.append(document)
for _ in range(3): one()
gc.collect(); before = used_MB()
for _ in range(8): one()
gc.collect(); print((used_MB() - before) / 8)
"""
    if not os.path.exists("/proc/self/statm"):
        pytest.skip("memory is read from /proc, which this machine does not have")
    out = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, timeout=PATIENCE_s, check=True
    )
    assert float(out.stdout) <= 15.0  # MB a session; the bar of the benchmark


def test_a_class_that_comes_at_once_gets_every_page_with_every_script(served: Served, monkeypatch) -> None:
    """What the benchmark opens is all that a browser would fetch."""
    told: list[dict[str, Any]] = []

    async def tell(found: dict[str, Any]) -> None:
        told.append(found)

    fetched: list[str] = []
    fetch = rush.AsyncHTTPClient.fetch

    def noted(self: Any, request: Any) -> Any:
        fetched.append(re.sub(r".*/modules/[0-9a-f]+/", "", request.url))
        return fetch(self, request)

    monkeypatch.setattr(rush, "tell", tell)
    monkeypatch.setattr(rush.AsyncHTTPClient, "fetch", noted)
    run_async(rush.rush(served.url, 2, 0.1))
    assert len(told[-1]["replies_s"]) == 2
    assert "all.js" in fetched
    inside = {one.removeprefix(modules_root()) for one in bundled()}
    assert {"roof/roof.js", "curves/desk.js", "shell/frame.js"} <= inside


def test_a_page_opens_without_reading_an_exercise(monkeypatch: pytest.MonkeyPatch) -> None:
    """They are many files, of which nobody may ask for one."""
    looked_at: list[str] = []
    for where in (exercise_file, idea_name):
        monkeypatch.setattr(where, "read_toml", lambda text: looked_at.append(text[:60]) or {})
    create_page(read_demo("workshop"))._init_doc(Document())
    assert not looked_at
