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
