"""Changes: each gives a new scenario and leaves the old one alone."""

from __future__ import annotations

import pytest

from pvsim.array import (
    Fault,
    Place,
    Shadow,
    add_fault,
    add_shadow,
    clear_paint,
    faults_at,
    mend_place,
    move_shadow,
    paint,
    paint_over,
    painted_transmission,
    remove_fault,
    remove_shadow,
    set_array,
    set_light,
    set_module_type,
    set_operation,
    set_string_count,
    set_strings,
    set_weather,
)
from pvsim.array.change import change_shadow
from pvsim.array.index import array_index, cell_slice
from pvsim.array.shading import cell_irradiance
from pvsim.errors import ScenarioError
from tests.workshop_roof import workshop_roof

CELL = Place(2, 5, 14)


def test_painting_leaves_the_original_scenario_alone() -> None:
    start = workshop_roof()
    dark = paint(start, [CELL], 0.2)
    assert start == workshop_roof()
    assert painted_transmission(start, CELL) == 1.0
    assert painted_transmission(dark, CELL) == 0.2


def test_painting_a_place_again_replaces_its_paint() -> None:
    twice = paint(paint(workshop_roof(), [CELL, Place(1, 1)], 0.2), [CELL], 0.7)
    assert painted_transmission(twice, CELL) == 0.7
    assert len(twice.light.painted) == 2


def test_painting_with_full_transmission_takes_the_paint_away() -> None:
    assert paint(paint(workshop_roof(), [CELL], 0.2), [CELL], 1.0) == workshop_roof()


def test_painting_the_same_cells_in_two_orders_keeps_each_cell_once() -> None:
    cells = [Place(1, 1, k) for k in range(1, 9)]
    once = paint(workshop_roof(), cells + cells[::-1], 0.5)
    assert len(once.light.painted) == 8


@pytest.mark.parametrize("before", [Place(), Place(2), Place(2, 5), Place(2, 5, substring=1), CELL])
@pytest.mark.parametrize("place", [Place(), Place(2), Place(2, 5), Place(2, 5, substring=1), CELL])
@pytest.mark.parametrize("transmission", [0.2, 1.0])
def test_painting_over_leaves_exactly_what_it_says_and_all_else_as_it_was(
    before: Place, place: Place, transmission: float
) -> None:
    start = paint(paint(workshop_roof(), [before], 0.5), [Place(2, 5, 15), Place(1, 1, 3)], 0.8)
    cells = cell_slice(array_index(start), place)
    wanted = cell_irradiance(start).copy()
    wanted[cells] = cell_irradiance(workshop_roof())[cells] * transmission
    over = paint_over(start, [place], transmission)
    assert cell_irradiance(over) == pytest.approx(wanted, rel=1e-12)  # rounding of products
    assert paint_over(over, [place], transmission) == over


def test_painting_over_says_no_more_than_it_must() -> None:
    whole = paint_over(paint(workshop_roof(), [CELL], 0.5), [Place(2)], 0.2)
    assert [one.place for one in whole.light.painted] == [Place(2)]
    one_out = paint_over(whole, [Place(2, 5)], 1.0)
    assert {one.place for one in one_out.light.painted} == {
        Place(2, number) for number in range(1, len(whole.array.strings[1].modules) + 1) if number != 5
    }


def test_painting_over_a_module_that_is_left_out_is_kept_for_its_return() -> None:
    last = Place(1, len(workshop_roof().array.strings[0].modules))
    shorter = add_fault(paint(workshop_roof(), [last], 0.5), Fault("modules-too-few", Place(1), 1.0))
    assert painted_transmission(paint_over(shorter, [last], 0.2), last) == 0.2
    assert paint_over(shorter, [Place(1, 1)], 0.2).light.painted[0].place == last


def test_paint_can_be_cleared_here_or_everywhere() -> None:
    both = paint(workshop_roof(), [CELL, Place(1, 1)], 0.5)
    assert painted_transmission(clear_paint(both, [CELL]), Place(1, 1)) == 0.5
    assert clear_paint(both) == workshop_roof()


def test_a_fault_added_and_taken_out_leaves_the_start() -> None:
    fault = Fault("diode-open", Place(2, 5, diode=3))
    broken = add_fault(workshop_roof(), fault)
    assert faults_at(broken, fault.place) == (fault,)
    assert remove_fault(broken, fault) == workshop_roof()


def test_a_fault_of_the_same_kind_at_the_same_place_is_replaced() -> None:
    first = add_fault(workshop_roof(), Fault("cell-shunt", CELL, 1.0))
    second = add_fault(first, Fault("cell-shunt", CELL, 0.1))
    assert [fault.size for fault in second.faults] == [0.1]


def test_taking_out_a_fault_that_is_not_there_is_refused() -> None:
    with pytest.raises(ScenarioError, match="has no fault"):
        remove_fault(workshop_roof(), Fault("cell-open", CELL))


def test_mending_a_place_takes_its_faults_and_its_paint() -> None:
    broken = paint(add_fault(workshop_roof(), Fault("cell-open", CELL)), [CELL], 0.3)
    assert mend_place(broken, CELL) == workshop_roof()


def test_shadows_are_added_moved_changed_and_removed() -> None:
    one = add_shadow(workshop_roof(), Shadow(kind="pole", x_m=1.0, y_m=1.0))
    moved = move_shadow(one, 0, 2.0, 3.0)
    assert (moved.light.shadows[0].x_m, moved.light.shadows[0].y_m) == (2.0, 3.0)
    assert one.light.shadows[0].x_m == 1.0
    assert change_shadow(one, 0, angle_deg=30.0).light.shadows[0].angle_deg == 30.0
    assert remove_shadow(moved, 0) == workshop_roof()
    with pytest.raises(ScenarioError, match="no shadow with index 1"):
        move_shadow(one, 1, 0.0, 0.0)
    with pytest.raises(ScenarioError, match="no shadow with index -1"):
        remove_shadow(one, -1)


def test_light_weather_operation_and_array_are_set_by_field() -> None:
    start = workshop_roof()
    assert set_light(start, irradiance_W_m2=600.0).light.irradiance_W_m2 == 600.0
    assert set_weather(start, heat="feedback").weather.heat == "feedback"
    assert set_operation(start, "voltage", 200.0).operation.value == 200.0
    assert set_array(start, tracking="per-string").array.tracking == "per-string"


def test_an_unknown_field_is_refused_with_the_nearest_known() -> None:
    with pytest.raises(ScenarioError, match="irradiance_W_m2"):
        set_light(workshop_roof(), irradiance=600.0)


def test_strings_change_where_they_are_asked_to() -> None:
    start = workshop_roof()
    one = set_strings(start, Place(2), cable_resistance_ohm=0.7)
    assert one.array.strings[0] == start.array.strings[0]
    assert one.array.strings[1].cable_resistance_ohm == 0.7
    assert {string.fuse for string in set_strings(start, fuse=True).array.strings} == {True}
    with pytest.raises(ScenarioError, match="a string or the whole array"):
        set_strings(start, Place(2, 1), fuse=True)
    with pytest.raises(ScenarioError, match="string 9 does not exist"):
        set_strings(start, Place(9), fuse=True)


def test_strings_come_like_the_last_one_and_the_last_ones_go() -> None:
    now = workshop_roof()
    more = set_string_count(now, 4)
    assert more.array.strings[:2] == now.array.strings
    assert more.array.strings[2] == more.array.strings[3] == now.array.strings[1]
    assert set_string_count(more, 2) == now
    with pytest.raises(ScenarioError, match="strings"):
        set_string_count(now, 0)


def test_modules_change_their_type_where_they_are_asked_to_and_stay_mounted() -> None:
    start = workshop_roof()
    one = set_module_type(start, "full-72", Place(1, 2))
    types = [[module.type for module in string.modules] for string in one.array.strings]
    assert types[0][1] == "full-72"
    assert [kind for string in types for kind in string].count("full-72") == 1
    every = set_module_type(start, "full-72")
    rotated = [[module.rotated for module in string.modules] for string in start.array.strings]
    assert [[module.rotated for module in string.modules] for string in every.array.strings] == rotated
    with pytest.raises(ScenarioError, match="Did you mean 'full-72'"):
        set_module_type(start, "full-73")
    with pytest.raises(ScenarioError, match="no place for this change"):
        set_module_type(start, "full-72", CELL)
