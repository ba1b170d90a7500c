"""What the present state is held against."""

from __future__ import annotations

from pvsim.app.session.state import State
from pvsim.array.place import Place

CELL = Place(1, 2, cell=14)


def test_a_new_array_is_held_against_nothing_that_was_there_before(state: State) -> None:
    state.set_array(modules_per_row=2)
    state.paint([CELL], 0.2)
    state.build_array(2, 8, "full-60")
    assert state.before is None
    assert "rises" not in state.said
    assert "%" not in state.said
    assert state.scenario.array.modules_per_row == 20, "a string lies in one row"
    state.paint([Place(1, 1, cell=3)], 0.2)
    built = state.before
    assert built is not None
    assert len(built.strings.power_W) == 2
    state.undo()
    assert state.before is None
    state.undo()
    assert "%" not in state.said
    assert state.scenario.array.modules_per_row == 2
    state.redo()
    assert "%" not in state.said
    state.build_array(1, 24, "full-60")
    assert state.scenario.array.modules_per_row == 24


def test_kept_curves_stay_the_ones_compared_with(state: State) -> None:
    whole = state.solution
    state.keep_before()
    state.paint([CELL], 0.2)
    state.paint([Place(1, 3, cell=7)], 0.2)
    assert state.before is whole
    state.drop_before()
    assert whole.power_W > state.before.power_W > state.solution.power_W
    state.compare_nothing()
    assert state.before is None
    state.paint([Place(1, 1, cell=7)], 0.2)
    assert state.before is None
