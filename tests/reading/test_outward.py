"""Where the array is when a part of it is at some point of its own curve."""

from __future__ import annotations

import pytest

from pvsim.array import Operation, Place, level_curve, paint, set_array, set_operation, solve_array
from pvsim.array.part_place import place_at
from pvsim.array.place import SHOWN_LEVELS
from pvsim.files.demo import read_demo
from pvsim.reading import array_at, point_of

CELL = Place(1, 4, cell=14)


@pytest.mark.parametrize("level", SHOWN_LEVELS)
@pytest.mark.parametrize("volts", [180.0, 250.0, 290.0])
def test_the_point_of_a_part_leads_back_to_the_array_s(level: str, volts: float) -> None:
    scenario = set_operation(paint(read_demo("workshop"), [CELL], 0.2), Operation("voltage", volts))
    solution = solve_array(scenario)
    place = place_at(scenario, CELL, level)
    point = point_of(solution, place)
    assert point is not None
    held = array_at(solution, place, point)
    assert held.voltage_V == pytest.approx(volts, abs=1e-3)  # currents to 1e-9 over flat curves


@pytest.mark.parametrize("wiring", ["strings", "cross-tied"])
def test_a_module_held_at_a_point_of_its_curve_comes_to_that_point(wiring: str) -> None:
    scenario = paint(set_array(read_demo("workshop"), wiring=wiring), [CELL], 0.4)
    point = level_curve(scenario, Place(1, 4)).mpps[0]
    held = array_at(solve_array(scenario), Place(1, 4), point)
    solution = solve_array(set_operation(scenario, Operation("voltage", held.voltage_V)))
    found = point_of(solution, Place(1, 4))
    assert found is not None
    assert found.voltage_V == pytest.approx(point.voltage_V, abs=1e-3)  # as above
    assert found.current_A == pytest.approx(point.current_A, abs=1e-3)
