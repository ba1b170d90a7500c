"""What lies aside while a lesson has its own array on the bench comes back as it was."""

from __future__ import annotations

from pvsim.app.session.state import State
from pvsim.array.place import Place
from pvsim.files.demo import read_demo

CELL = Place(1, 2, cell=14)


def test_what_lay_on_the_bench_comes_back_as_it_was_with_its_undo(state: State) -> None:
    opened = state.scenario
    state.paint([CELL], 0.2)
    state.set_focus("1/3/7", level="module")
    state.set_quantity("voltage")
    state.set_condition("diode-open")
    mine = state.scenario
    assert state.own_scenario is None
    state.lend(read_demo("single-module"), "a step")
    state.keep_before()
    state.paint([Place(1, 1, cell=3)], 0.5)
    assert state.own_scenario is not None
    assert state.own_scenario.light == mine.light
    state.lend(read_demo("single-cell"), "the next step")
    state.give_back()
    assert state.scenario == mine
    assert (state.focus, state.level, state.quantity) == (Place(1, 3, cell=7), "module", "voltage")
    assert (state.condition, state.comparison) == ("diode-open", "last")
    assert state.own_scenario is None
    assert "on the bench again" in state.said
    state.undo()
    assert state.scenario.light.painted == ()
    state.reset()
    assert state.scenario == opened
    state.give_back()
    assert state.scenario == opened, "given back once"


def test_undo_reaches_what_lay_on_the_bench_before_a_lesson(state: State) -> None:
    state.paint([CELL], 0.2)
    mine = state.scenario
    state.lend(read_demo("single-module"), "a step")
    state.paint([Place(1, 1, cell=3)], 0.5)
    state.undo()
    state.undo()
    assert state.scenario == mine
    state.paint([CELL], 0.7)
    changed = state.scenario
    state.give_back()
    assert state.scenario == changed, "what was changed meanwhile stays"
    state.undo()
    assert state.scenario == mine


def test_what_is_opened_on_purpose_in_a_lesson_stays(state: State) -> None:
    state.lend(read_demo("single-module"), "a step")
    state.choose_demo("railing")
    state.give_back()
    assert state.scenario == read_demo("railing")


def test_a_lesson_s_array_is_not_held_against_one_s_own(state: State) -> None:
    state.lend(read_demo("single-module"), "a step")
    state.drop_before()
    assert state.before is None
