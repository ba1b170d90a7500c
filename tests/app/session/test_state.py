"""The state of a session: commands, history, comparison, and what bad input leaves alone."""

from __future__ import annotations

import re

import pytest

from pvsim.app.session.export import export_csv
from pvsim.app.session.history import LONGEST
from pvsim.app.session.solved import KEPT_SOLUTIONS
from pvsim.app.session.state import State
from pvsim.array import change
from pvsim.array import scenario as scenario_file
from pvsim.array.array import Array, Module, String
from pvsim.array.fault import Fault
from pvsim.array.place import Place, parse_place
from pvsim.array.scenario import Scenario
from pvsim.files.demo import read_demo
from pvsim.files.scenario_file import write_scenario

CELL = Place(1, 2, cell=14)


@pytest.fixture
def scenario() -> Scenario:
    """One string of three modules of 60 cells."""
    return Scenario(title="A shed", array=Array(strings=(String(modules=(Module("full-60"),) * 3),)))


@pytest.fixture
def state(scenario: Scenario) -> State:
    return State(scenario)


def test_a_state_is_solved_from_the_start(state: State) -> None:
    assert state.solution.scenario == state.scenario
    assert state.solution.power_W > 0
    assert state.before is None


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


@pytest.mark.parametrize(
    ("act", "part"),
    [
        pytest.param(
            lambda s: s.paint([Place(1, 9, cell=1)], 0.2), "does not exist", id="module-that-is-not-there"
        ),
        pytest.param(lambda s: s.paint([CELL], -0.5), "Transmission of the", id="negative-transmission"),
        pytest.param(lambda s: s.set_light(irradiance_W_m2=-5.0), "irradiance", id="negative-irradiance"),
        pytest.param(lambda s: s.set_light(colour=1.0), "colour", id="unknown-field"),
        pytest.param(lambda s: s.set_weather(heat="boiling"), "boiling", id="unknown-heat"),
        pytest.param(lambda s: s.break_part(CELL, "cell-eaten"), "cell-eaten", id="unknown-fault"),
        pytest.param(
            lambda s: s.break_part(CELL, "cell-shunt", -1.0), "Size of the fault", id="impossible-size"
        ),
        pytest.param(lambda s: s.set_condition("cell-shunt:-1"), "cannot be", id="condition-out-of-range"),
        pytest.param(lambda s: s.set_condition("shade:dark"), "not a number", id="condition-without-number"),
        pytest.param(lambda s: s.set_condition("shade"), "cannot be", id="shade-without-size"),
        pytest.param(lambda s: s.set_condition("dig:1"), "no condition", id="unknown-condition"),
        pytest.param(lambda s: s.set_focus("somewhere"), "not a place", id="no-place"),
        pytest.param(lambda s: s.set_focus("1/9"), "does not exist", id="focus-outside"),
        pytest.param(lambda s: s.set_level("roof"), "roof", id="unknown-level"),
        pytest.param(lambda s: s.set_quantity("charm"), "charm", id="unknown-quantity"),
        pytest.param(lambda s: s.move_shadow(3, 0.0, 0.0), "shadow", id="no-such-shadow"),
        pytest.param(lambda s: s.add_shadow("cloud"), "cloud", id="unknown-shadow"),
        pytest.param(lambda s: s.build_array(1, 1, "gold"), "gold", id="unknown-type"),
        pytest.param(lambda s: s.set_operation("voltage"), "value", id="voltage-without-value"),
        pytest.param(lambda s: s.open_scenario("format ="), "TOML", id="broken-file"),
        pytest.param(lambda s: s.open_link("1.abc"), "cut short", id="cut-link"),
        pytest.param(lambda s: s.choose_demo("moon"), "moon", id="unknown-site"),
    ],
)
def test_bad_input_is_told_and_leaves_everything_else_alone(state: State, act, part: str) -> None:
    state.paint([CELL], 0.2)
    kept = state.param.values()
    act(state)
    now = state.param.values()
    assert part in state.notice
    assert {name for name in kept if kept[name] is not now[name]} <= {"notice"}


def test_a_notice_goes_away_with_the_next_success(state: State) -> None:
    state.set_focus("nowhere")
    assert state.notice
    state.paint([CELL], 0.2)
    assert state.notice == ""


def test_a_locked_state_refuses_changes_but_not_looking_or_setting_up(
    state: State, scenario: Scenario
) -> None:
    state.paint([CELL], 0.2)
    state.locked = True
    kept = state.scenario
    state.paint([CELL], 0.9)
    state.undo()
    state.reset()
    state.set_light(irradiance_W_m2=100.0)
    state.choose_demo("workshop")
    assert state.scenario is kept
    assert "write down what you expect" in state.notice
    state.locked = False
    assert state.notice == ""
    state.locked = True
    state.set_focus("1/3/7")
    assert state.focus == Place(1, 3, cell=7)
    state.replace(scenario, fresh=True)
    assert state.scenario == scenario
    assert not state.can_undo


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


def test_a_lesson_s_array_is_not_held_against_one_s_own(state: State) -> None:
    state.lend(read_demo("single-module"), "a step")
    state.drop_before()
    assert state.before is None


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


def test_a_condition_applied_twice_takes_itself_back(state: State, scenario: Scenario) -> None:
    for condition in ("shade:0.2", "cell-open", "diode-short", "module-reversed"):
        state.set_condition(condition)
        state.apply_condition(CELL)
        assert state.scenario != scenario, condition
        state.apply_condition(CELL)
        assert state.scenario == scenario, condition


def test_a_condition_hits_the_part_its_kind_is_about(state: State) -> None:
    state.set_condition("diode-open")
    state.apply_condition(Place(1, 2, cell=50))
    state.set_condition("cable-open")
    state.apply_condition(Place(1, 2, cell=50))
    assert [fault.place for fault in state.scenario.faults] == [Place(1, 2, diode=3), Place(1)]


def test_mending_a_module_mends_all_in_it_and_nothing_else(state: State) -> None:
    state.paint([CELL, Place(1, 1, cell=3)], 0.2)
    state.break_part(Place(1, 2, diode=3), "diode-open")
    state.break_part(Place(1), "cable-open")
    state.mend(Place(1, 2))
    assert [one.place for one in state.scenario.light.painted] == [Place(1, 1, cell=3)]
    assert [fault.kind for fault in state.scenario.faults] == ["cable-open"]
    state.mend_all()
    assert not state.scenario.faults
    assert not state.scenario.light.painted


def test_the_focus_moves_up_when_its_part_is_gone(state: State) -> None:
    state.set_focus("1/3/60")
    state.build_array(1, 2, "full-60")
    assert state.focus == Place(1)
    state.undo()
    state.set_focus("1/3/60")
    state.build_array(1, 3, "full-36")
    assert state.focus == Place(1, 3)


@pytest.mark.parametrize(
    ("level", "place"),
    [("array", "array"), ("string", "1"), ("module", "1/2"), ("substring", "1/2/s1"), ("cell", "1/2/14")],
)
def test_the_part_shown_holds_the_focus(state: State, level: str, place: str) -> None:
    state.set_focus(CELL)
    state.set_level(level)
    assert state.view_place() == parse_place(place)


def test_a_file_opens_at_the_place_and_quantity_it_names(state: State) -> None:
    state.set_focus("1/2/14", level="cell")
    state.set_quantity("power")
    text = write_scenario(state.scenario_as_shown())
    other = State(state.scenario)
    other.open_scenario(text, "mine.toml")
    assert other.notice == ""
    assert (other.focus, other.level, other.quantity) == (CELL, "cell", "power")
    assert not other.can_undo


def test_a_change_too_small_for_whole_watts_is_said_with_decimals(state: State) -> None:
    state.set_light(irradiance_W_m2=999.9)
    said = re.search(r"falls from ([\d.]+)\u00a0W to ([\d.]+)\u00a0W, minus ([\d.]+)\u00a0%", state.said)
    assert said is not None
    before, now, percent = map(float, said.groups())
    assert before > now
    assert percent > 0


def test_two_states_share_nothing_that_changes(scenario: Scenario) -> None:
    one, other = State(scenario), State(scenario)
    one.paint([CELL], 0.2)
    assert other.scenario == scenario
    assert other.can_undo is False


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


def test_a_scenario_opened_with_a_current_it_cannot_carry_opens_at_its_mpp() -> None:
    cut = read_demo("workshop")
    for number in (1, 2):
        cut = change.add_fault(cut, Fault("cable-open", Place(number)))
    held = change.set_operation(cut, "current", 5.0)
    assert State(held).scenario == cut
    state = State(read_demo("workshop"))
    state.replace(held, fresh=True)
    assert state.scenario == cut
    assert "goes back to its MPP" in state.notice


def test_all_modules_of_a_string_turn_at_once_at_the_level_of_the_string() -> None:
    state = State(read_demo("workshop"))
    state.set_focus(Place(2, 5, cell=14), "string")
    state.set_modules(rotated=True)
    first, second = state.scenario.array.strings
    assert all(module.rotated for module in second.modules)
    assert not any(module.rotated for module in first.modules)
    assert state.said.startswith("All modules of string 2, turned by 180°:")
    state.set_level("module")
    state.set_modules(rotated=False)
    assert [module.rotated for module in state.scenario.array.strings[1].modules].count(False) == 1
    assert state.said.startswith("String 2, module 5, upright:")


def test_what_changed_of_strings_and_modules_is_said_in_words() -> None:
    state = State(read_demo("workshop"))
    state.set_focus(Place(), "array")
    state.set_string(fuse=True)
    assert state.said.startswith("All strings, with a fuse:")
    state.set_string(length=6)
    assert state.said.startswith("All strings, 6 modules in series:")
    state.set_string(cable_resistance_ohm=0.5)
    assert state.said.startswith("All strings, cable 0.5")
    state.set_modules(type="full-72")
    assert state.said.startswith("All modules, of the type “")
    assert "full-72" not in state.said, "the title, which people read"
    state.set_focus(Place(1), "string")
    state.set_string(irradiance_factor=0.8)
    assert state.said.startswith("String 1, 80")


def test_a_curve_opened_in_the_page_is_told_what_it_is_and_where_it_can_be_used() -> None:
    state = State(read_demo("workshop"))
    before = state.scenario
    state.open_scenario(export_csv(state)["text"], "tracer.csv")
    assert state.scenario is before
    assert state.notice.startswith("“tracer.csv” is a table of a curve, and the page opens scenarios;")
    assert "pvsim export svg SCENARIO --beside CURVE.csv" in state.notice
    assert "TOML)" in state.notice
    assert "line 1" not in state.notice


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
