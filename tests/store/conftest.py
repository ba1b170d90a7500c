"""A store of its own for each test."""

from __future__ import annotations

from pathlib import Path

import pytest

pytest.importorskip("sqlalchemy", reason="the store needs the extra pvsim[class]")

from pvsim.store import open_store

CHOICE = {
    "lesson": "hungry-cell",
    "step": "shade-one",
    "question": "<p>What does the shaded cell do?</p>",
    "kind": "choice",
    "choices": ["It delivers less", "It takes power", "Nothing"],
}
NUMBER = {"lesson": "one-cell", "step": "voc", "question": "How many volts?", "kind": "number", "unit": "V"}


class Clock:
    """Time that passes when a test says so."""

    now = 1_700_000_000.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def store(store_url, clock):
    """A store in SQLite, and once more in PostgreSQL."""
    store = open_store(store_url, clock=clock)
    yield store
    store.close()


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """Where a store in SQLite may be."""
    return tmp_path / "classes.sqlite"


@pytest.fixture
def file_store(file, clock):
    """A store in SQLite."""
    store = open_store(f"sqlite:///{file}", clock=clock)
    yield store
    store.close()


@pytest.fixture
def asked(store):
    """A room with a choice in its first round: code, poll."""
    code = store.open_room("Evening class").code
    poll = store.open_poll(code, CHOICE)
    store.begin_round(poll, 1)
    return code, poll
