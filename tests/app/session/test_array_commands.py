"""What is done to the array hits the parts that are meant, and takes itself back."""

from __future__ import annotations

from pvsim.app.session.state import State
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.files.demo import read_demo

CELL = Place(1, 2, cell=14)


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
