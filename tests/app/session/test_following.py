"""Views that follow a State."""

from __future__ import annotations

import pytest

from pvsim.app.session.following import Following
from pvsim.app.session.state import State
from pvsim.array import Array, Module, Place, Scenario, String


@pytest.fixture
def state() -> State:
    """One module on a roof."""
    return State(Scenario(title="A porch", array=Array(strings=(String(modules=(Module("full-36"),)),))))


def test_who_follows_is_called_once_for_all_that_changes_together_and_for_nothing_else(state: State) -> None:
    calls: list[str] = []
    Following(state, {lambda: calls.append("array"): ["scenario", "solution", "before"]})
    Following(state, {lambda: calls.append("looks"): ["theme"], lambda: calls.append("said"): ["said"]})
    state.paint([Place(1, 1, cell=1)], 0.2)
    assert calls == ["array", "said"]
    state.show(theme="dark")
    assert calls == ["array", "said", "looks"]


def test_what_is_set_to_what_it_was_is_no_news(state: State) -> None:
    calls: list[str] = []
    Following(state, {lambda: calls.append(state.notice): ["notice"]})
    for notice in ("One moment.", "".join(["One", " moment."]), ""):
        state.tell(notice)
    assert calls == ["One moment.", ""]


def test_who_has_been_closed_hears_nothing_even_amid_a_change(state: State) -> None:
    calls: list[str] = []

    def close() -> None:
        calls.append("first")
        second.close()

    Following(state, {close: ["theme"]})
    second = Following(state, {lambda: calls.append("second"): ["theme"]})
    state.show(theme="dark")
    assert calls == ["first"]


def test_a_parameter_that_nobody_has_cannot_be_followed(state: State) -> None:
    with pytest.raises(ValueError, match="no parameter colour"):
        Following(state, {lambda: None: ["colour"]})
