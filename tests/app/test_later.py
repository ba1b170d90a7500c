"""What is done a little later is done once, however often it was asked for."""

from __future__ import annotations

from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

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
    later = Later(lambda: done.append("done"))
    later.ask(1000)
    later.ask(1000)
    assert done == ["done", "done"]


def test_on_a_page_it_is_done_once_for_all_that_asked_meanwhile(monkeypatch: pytest.MonkeyPatch) -> None:
    page: Any = Page()
    monkeypatch.setattr("pvsim.app.later.pn", SimpleNamespace(state=SimpleNamespace(curdoc=page)))
    done: list[str] = []
    later = Later(lambda: done.append("done"))
    later.ask(150)
    later.ask(400)
    assert done == []
    assert [wait_ms for wait_ms, _callback in page.waiting] == [150]
    page.waiting.pop()[1]()
    assert done == ["done"]
    later.ask(400)
    assert len(page.waiting) == 1, "what is asked for afterwards waits anew"
