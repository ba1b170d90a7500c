"""What is done a little later is done once, however often it was asked for."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

import panel as pn

from pvsim.app.later import Later


class Page:
    """A document whose time goes on only when told."""

    session_context = True

    def __init__(self) -> None:
        self.waiting: list[tuple[int, Callable[[], None]]] = []

    def add_timeout_callback(self, callback: Callable[[], None], wait_ms: int) -> None:
        self.waiting.append((wait_ms, callback))


def test_where_no_page_is_open_it_is_done_at_once() -> None:
    done: list[str] = []
    later = Later(lambda: done.append("done"), None)
    later.ask(1000)
    later.ask(1000)
    assert done == ["done", "done"]


def test_on_a_page_it_is_done_once_for_all_that_asked_meanwhile() -> None:
    page: Any = Page()
    done: list[str] = []
    later = Later(lambda: done.append("done"), page)
    later.ask(150)
    later.ask(400)
    assert done == []
    assert [wait_ms for wait_ms, _callback in page.waiting] == [150]
    page.waiting.pop()[1]()
    assert done == ["done"]
    later.ask(400)
    assert len(page.waiting) == 1, "what is asked for afterwards waits anew"


def test_another_page_at_work_in_this_process_is_not_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    other: Any = Page()
    monkeypatch.setattr(type(pn.state), "curdoc", other)
    done: list[str] = []
    Later(lambda: done.append("done"), None).ask(1000)
    assert (done, other.waiting) == (["done"], [])
