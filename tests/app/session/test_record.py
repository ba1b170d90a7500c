"""How a session goes from change to change: strokes, undo, what is told, nothing half-way."""

from __future__ import annotations

import re

import pytest

from pvsim.app.session.history import LONGEST
from pvsim.app.session.solved import KEPT_SOLUTIONS
from pvsim.app.session.state import State
from pvsim.array import scenario as scenario_file
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.files.demo import read_demo

CELL = Place(1, 2, cell=14)


def test_a_paint_is_solved_spoken_and_can_be_undone(state: State, scenario: Scenario) -> None:
    whole = state.solution.power_W
    state.paint([CELL], 0.2)
    assert state.solution.power_W < whole
    assert state.before.power_W == whole
    assert state.said.startswith("String 1, module 2, cell 14 shaded to 20\u00a0%: the array falls from ")
    assert state.said.endswith("one diode conducts.")
    state.undo()
    assert state.scenario == scenario
    assert state.solution.power_W == whole
    state.redo()
    assert state.solution.power_W < whole


def test_undo_at_the_start_and_redo_at_the_end_do_nothing(state: State, scenario: Scenario) -> None:
    state.undo()
    state.redo()
    assert state.scenario == scenario
    assert not state.can_undo
    assert not state.can_redo


def test_a_new_change_forgets_what_was_undone(state: State) -> None:
    state.paint([CELL], 0.2)
    state.undo()
    state.paint([CELL], 0.5)
    assert not state.can_redo


def test_watchers_never_see_a_scenario_without_its_solution(state: State) -> None:
    seen = []
    state.param.watch(
        lambda *_: seen.append(state.solution.scenario == state.scenario),
        ["scenario", "solution", "said", "before", "can_undo"],
    )
    state.paint([CELL], 0.2)
    state.keep_before()
    state.break_part(Place(1, 2, diode=1), "diode-open")
    state.undo()
    state.reset()
    assert seen
    assert all(seen)


def test_one_change_wakes_a_watcher_once(state: State) -> None:
    calls = []
    state.param.watch(lambda *events: calls.append(len(events)), ["scenario", "solution", "before", "said"])
    state.paint([CELL], 0.2)
    assert len(calls) == 1


def test_the_paints_of_one_stroke_are_one_step(state: State, scenario: Scenario) -> None:
    whole = state.solution.power_W
    state.begin_stroke()
    for number in range(1, 8):
        state.paint([Place(1, 1, cell=number)], 0.2)
    state.end_stroke()
    assert len(state.scenario.light.painted) == 7
    assert state.said.startswith("Seven cells of string 1, module 1 shaded to 20\u00a0%")
    assert state.before.power_W == whole  # compared with what was before the stroke
    state.undo()
    assert state.scenario == scenario
    state.redo()
    assert len(state.scenario.light.painted) == 7


def test_strokes_that_follow_each_other_are_steps_of_their_own(state: State) -> None:
    for number in (1, 2):
        state.begin_stroke()
        state.paint([Place(1, 1, cell=number)], 0.2)
        state.end_stroke()
    state.undo()
    assert [one.place for one in state.scenario.light.painted] == [Place(1, 1, cell=1)]


def test_what_cannot_be_stroked_is_a_step_of_its_own_while_a_stroke_is_open(state: State) -> None:
    state.add_shadow("pole")
    state.begin_stroke()
    state.move_shadow(0, 1.0, 1.0)
    moved = state.solution.power_W
    state.remove_shadow(0)
    assert state.before.power_W == moved
    state.add_shadow("snow-edge")
    assert not state.before_scenario.light.shadows
    state.undo()
    state.undo()
    assert [one.kind for one in state.scenario.light.shadows] == ["pole"]


def test_a_stroke_that_changes_nothing_leaves_no_step(state: State) -> None:
    state.begin_stroke()
    state.end_stroke()
    assert not state.can_undo


def test_reset_goes_back_to_what_was_opened_and_can_be_undone(state: State, scenario: Scenario) -> None:
    state.paint([CELL], 0.2)
    changed = state.scenario
    state.reset()
    assert state.scenario == scenario
    state.undo()
    assert state.scenario == changed


def test_history_is_bounded(state: State) -> None:
    for step in range(LONGEST + 20):
        state.set_light(irradiance_W_m2=500.0 + step)
    undone = 0
    while state.can_undo:
        state.undo()
        undone += 1
    assert undone == LONGEST - 1  # as many steps, the oldest of them the one that is left
    assert len(state._solutions) <= KEPT_SOLUTIONS


def test_a_notice_goes_away_with_the_next_success(state: State) -> None:
    state.set_focus("nowhere")
    assert state.notice
    state.paint([CELL], 0.2)
    assert state.notice == ""


def test_the_focus_moves_up_when_its_part_is_gone(state: State) -> None:
    state.set_focus("1/3/60")
    state.build_array(1, 2, "full-60")
    assert state.focus == Place(1)
    state.undo()
    state.set_focus("1/3/60")
    state.build_array(1, 3, "full-36")
    assert state.focus == Place(1, 3)


def test_a_change_too_small_for_whole_watts_is_said_with_decimals(state: State) -> None:
    state.set_light(irradiance_W_m2=999.9)
    said = re.search(r"falls from ([\d.]+)\u00a0W to ([\d.]+)\u00a0W, minus ([\d.]+)\u00a0%", state.said)
    assert said is not None
    before, now, percent = map(float, said.groups())
    assert before > now
    assert percent > 0


def test_a_current_no_path_is_left_for_is_refused_and_the_last_state_stays() -> None:
    state = State(read_demo("workshop"))
    for number in (1, 2):
        state.break_part(Place(number), "cable-open")
    before, power = state.scenario, state.solution.power_W
    state.set_operation("current", 5.0)
    assert "no path for the 5 A" in state.notice
    assert state.scenario is before
    assert state.solution.power_W == power


def test_a_break_lets_a_held_current_go_to_the_mpp_and_undo_takes_it_up_again() -> None:
    state = State(read_demo("workshop"))
    state.set_operation("current", 5.0)
    state.break_part(Place(1), "cable-open")
    assert state.notice == ""
    held = state.scenario
    state.break_part(Place(2), "cable-open")
    assert state.notice == "There is no path for the 5 A that the array is held at: it goes back to its MPP."
    assert state.scenario.operation.kind == "mpp"
    assert len(state.scenario.faults) == 2
    assert abs(state.solution.power_W) < 0.01
    state.undo()
    assert state.scenario == held


def test_a_stroke_over_many_cells_looks_the_array_through_no_more_often_than_one(
    state: State, monkeypatch: pytest.MonkeyPatch
) -> None:
    looked: list[Scenario] = []
    lengths = scenario_file.as_built_lengths

    def counted(scenario: Scenario) -> list[int]:
        looked.append(scenario)
        return lengths(scenario)

    monkeypatch.setattr(scenario_file, "as_built_lengths", counted)
    state.paint([Place(1, 1, cell=1)], 0.5)
    one = len(looked)
    state.paint([Place(1, module, cell=cell) for module in (2, 3) for cell in range(1, 61)], 0.5)
    assert len(looked) == 2 * one
