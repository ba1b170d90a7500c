"""Mounting and wiring as steps of a session."""

from __future__ import annotations

import pytest

from pvsim.app.session.state import State
from pvsim.array.mounting import Spot
from pvsim.array.place import Place
from pvsim.array.rewire import spots_of
from pvsim.files.demo import FIRST_DEMO, read_demo
from pvsim.reading.cables import all_cables, string_cables


@pytest.fixture
def state() -> State:
    return State(read_demo(FIRST_DEMO))


def bought_m(state: State) -> float:
    return all_cables(string_cables(state.solution)).bought_m


def test_an_array_of_rows_is_mounted_freely_and_undo_puts_it_back(state: State) -> None:
    before = state.scenario
    state.mount_freely()
    assert len(state.scenario.array.surfaces) == 1
    assert state.scenario.array.cables is not None
    assert "surface" in state.said
    state.undo()
    assert state.scenario == before


def test_a_string_is_drawn_and_its_number_told(state: State) -> None:
    state.paint([Place(1, 3, 7)], 0.2)
    state.mount_freely()
    # String 2 takes what string 1 had, in another order; what is painted goes with the glass.
    assert state.draw_string(2, [Spot(1, 1, place) for place in (3, 1, 2)]) == 2
    assert [one.place for one in state.scenario.light.painted] == [Place(2, 1, 7)]
    assert [len(one) for one in spots_of(state.scenario)] == [5, 3]
    assert len(state.scenario.array.unwired) == 8
    row = [Spot(1, 1, place) for place in range(1, 9)]
    assert state.draw_string(2, row) == 1, "string 1 has nothing left"
    assert "eight modules" in state.said
    assert state.draw_string(4, [Spot(1, 1, 1)]) == 0
    assert "no string 4" in state.notice
    assert state.draw_string(1, [Spot(1, 9, 1)]) == 0
    assert "A/9/1" in state.notice


def test_what_is_drawn_in_one_stroke_is_one_step(state: State) -> None:
    state.mount_freely()
    before = state.scenario
    state.begin_stroke()
    state.draw_string(1, [Spot(1, 2, 1)])
    state.draw_string(1, [Spot(1, 2, 1), Spot(1, 2, 2)])
    state.end_stroke()
    state.undo()
    assert state.scenario == before


def test_usual_orders_and_the_search_cost_cable_as_they_say(state: State) -> None:
    state.wire_usual("row by row", 2)
    by_row = bought_m(state)
    state.wire_usual("leapfrog", 2)
    there_and_back = bought_m(state)
    assert there_and_back < by_row, "both ends of each string lie on the side of the box"
    state.wire_usual("blocks", 2, 2, 4)
    state.search_wiring(2)  # without a page it runs to its end here: 16 modules are few enough to be sure
    assert "proved" in state.said
    assert bought_m(state) <= min(by_row, there_and_back) + 1e-9
    assert state.searching == {}
    state.search_wiring(17)
    assert "17" in state.notice


def test_modules_are_turned_put_down_and_taken_away(state: State) -> None:
    state.turn_modules([Spot(1, 1, 1), Spot(1, 1, 2)])
    assert [one.rotated for one in state.scenario.array.strings[0].modules[:3]] == [True, True, False]
    state.take_modules([Spot(1, 1, 1)])
    assert len(state.scenario.array.strings[0].modules) == 7
    state.mount_modules([Spot(1, 1, 1)])
    assert [one.spot for one in state.scenario.array.unwired] == [Spot(1, 1, 1)]
    state.mount_modules([Spot(1, 1, 1)])
    assert "both mounted on A/1/1" in state.notice
    assert len(state.scenario.array.unwired) == 1


def test_the_box_is_moved_and_the_cable_chosen(state: State) -> None:
    state.wire_usual("row by row", 2)
    near = bought_m(state)
    state.set_cables(box_x_m=30.0)
    assert bought_m(state) > near + 20.0
    loss = all_cables(string_cables(state.solution)).loss_W
    state.set_cables(section_mm2=10.0)
    assert all_cables(string_cables(state.solution)).loss_W < 0.6 * loss
    state.set_cables(section_mm2=5.0)
    assert "one of 2.5, 4, 6, 10" in state.notice


def test_surfaces_are_changed_row_by_row(state: State) -> None:
    state.mount_freely()
    state.set_row(1, 3, places=4)
    state.set_row(1, 3, orientation="landscape", indent_m=0.5)
    state.set_surface(1, tilt_deg=10.0, name="shed")
    assert state.scenario.array.surfaces[0].tilt_deg == 10.0
    assert [row.orientation for row in state.scenario.array.surfaces[0].rows][-1] == "landscape"
    state.add_surface()
    assert len(state.scenario.array.surfaces) == 2
    state.remove_surface(1)
    assert "o module would be left" in state.notice
    state.remove_surface(2)
    assert len(state.scenario.array.surfaces) == 1


def test_nothing_is_done_while_a_prediction_waits(state: State) -> None:
    before = state.scenario
    state.lock(True)
    state.mount_freely()
    state.search_wiring(2)
    state.wire_usual("serpentine", 2)
    assert state.draw_string(1, [Spot(1, 1, 1)]) == 0
    assert state.scenario == before
    assert state.notice
