"""The state of a session with the first array, and its bar."""

from __future__ import annotations

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.session.state import State
from pvsim.app.shell.top_bar import TopBarView
from pvsim.files.demo import FIRST_DEMO, read_demo
from tests.app.left_open import left_open, left_open_pages

__all__ = ["left_open", "left_open_pages"]


@pytest.fixture
def state() -> State:
    return State(read_demo(FIRST_DEMO))


@pytest.fixture
def bar(state: State) -> TopBarView:
    return TopBarView(state)
