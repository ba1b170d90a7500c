"""What is shown of the array: the part in view holds the focus."""

from __future__ import annotations

import pytest

from pvsim.app.session.state import State
from pvsim.array.place import Place, parse_place

CELL = Place(1, 2, cell=14)


@pytest.mark.parametrize(
    ("level", "place"),
    [("array", "array"), ("string", "1"), ("module", "1/2"), ("substring", "1/2/s1"), ("cell", "1/2/14")],
)
def test_the_part_shown_holds_the_focus(state: State, level: str, place: str) -> None:
    state.set_focus(CELL)
    state.set_level(level)
    assert state.view_place() == parse_place(place)


def test_the_worst_cell_is_found_wherever_it_is(state: State) -> None:
    state.show_worst_cell()
    assert "none is the worst" in state.notice
    state.paint([CELL], 0.2)
    state.set_focus("2/1")
    state.show_worst_cell()
    assert (state.focus, state.level, state.notice) == (CELL, "cell", "")


def test_the_worst_cell_is_not_told_while_a_prediction_waits(state: State) -> None:
    state.paint([CELL], 0.2)
    state.set_focus("2/1")
    before = state.focus
    state.lock(True)
    state.show_worst_cell()
    assert state.focus == before
    assert "answer your prediction" in state.notice
