"""The state of a session as a whole: solved from the start, its own, unharmed by bad input."""

from __future__ import annotations

import pytest

from pvsim.app.session.state import State
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario

CELL = Place(1, 2, cell=14)


def test_a_state_is_solved_from_the_start(state: State) -> None:
    assert state.solution.scenario == state.scenario
    assert state.solution.power_W > 0
    assert state.before is None


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


def test_two_states_share_nothing_that_changes(scenario: Scenario) -> None:
    one, other = State(scenario), State(scenario)
    one.paint([CELL], 0.2)
    assert other.scenario == scenario
    assert other.can_undo is False
