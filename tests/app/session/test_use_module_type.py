"""A module type put on the roof: for all modules or for a new array, as one step to undo."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pvsim.app.session.state import State
from pvsim.array.array import Array, Module, String
from pvsim.array.module import cell_count
from pvsim.array.mounting import Row, Spot, Surface
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario, module_type
from pvsim.files.link import pack, unpack
from pvsim.files.scenario_file import read_scenario, write_scenario
from pvsim.sheet import module_from_sheet, read_own_sheet

KIND = module_from_sheet(read_own_sheet("slipway-halves").sheet).module_type


def types(state: State) -> set[str]:
    return {module.type for string in state.scenario.array.strings for module in string.modules}


def test_it_is_taken_for_all_modules_in_one_step_and_goes_into_file_and_link(state: State) -> None:
    before = state.scenario
    state.use_module_type(KIND)
    assert state.notice == ""
    assert types(state) == {KIND.name}
    assert [len(one.modules) for one in state.scenario.array.strings] == [3]
    assert "Slipway" in state.said
    for again in (read_scenario(write_scenario(state.scenario)), unpack(pack(state.scenario))):
        assert module_type(again, KIND.name) == KIND
    state.undo()
    assert state.scenario == before
    state.redo()
    assert types(state) == {KIND.name}


def test_a_new_array_of_it_is_one_step_too(state: State) -> None:
    before = state.scenario
    state.paint([Place(1, 2, cell=60)], 0.2)
    state.use_module_type(KIND, strings=2, modules=4)
    assert state.notice == ""
    assert types(state) == {KIND.name}
    assert [len(one.modules) for one in state.scenario.array.strings] == [4, 4]
    assert state.scenario.light.painted == ()
    state.undo()
    state.undo()
    assert state.scenario == before


def test_a_type_of_the_same_name_gives_its_place(state: State) -> None:
    state.use_module_type(KIND)
    other = replace(KIND, title="Another of that name")
    state.use_module_type(other)
    assert state.scenario.module_types == (other,)
    assert state.notice == ""


def test_what_does_not_go_together_is_refused_and_all_stays(state: State) -> None:
    state.use_module_type(KIND)
    last = cell_count(KIND)
    state.paint([Place(1, 1, cell=last)], 0.2)
    before = state.scenario
    short = module_from_sheet(read_own_sheet("boathouse-whole-cells").sheet).module_type
    state.use_module_type(short)
    assert str(last) in state.notice
    assert state.scenario == before
    state.use_module_type(short, strings=1, modules=2)  # a new array has no shade
    assert types(state) == {short.name}


def test_while_changes_are_locked_nothing_is_used(state: State) -> None:
    before = state.scenario
    state.locked = True
    state.use_module_type(KIND)
    assert state.scenario == before
    assert "write down" in state.notice


@pytest.mark.parametrize("strings", [0, 2])
def test_modules_on_surfaces_keep_their_spots_and_a_new_array_has_none(strings: int) -> None:
    roof = Surface(type="full-60", rows=(Row(places=3),))
    on = tuple(Module("full-60", spot=Spot(1, 1, place)) for place in (1, 2))
    array = Array(
        strings=(String(modules=on),), surfaces=(roof,), unwired=(Module("full-60", spot=Spot(1, 1, 3)),)
    )
    state = State(Scenario(title="A roof", array=array))
    state.use_module_type(KIND, strings=strings, modules=2)
    assert state.notice == ""
    assert types(state) == {KIND.name}
    assert bool(state.scenario.array.surfaces) == (strings == 0)
    assert {one.type for one in state.scenario.array.unwired} <= {KIND.name}
