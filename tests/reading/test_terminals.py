"""Voltage, current and power of parts at work, against the sums that Kirchhoff asks for."""

from __future__ import annotations

import pytest

from pvsim.array import (
    ArraySolution,
    Fault,
    Operation,
    Place,
    add_fault,
    paint,
    set_array,
    set_operation,
    solve_array,
)
from pvsim.errors import ScenarioError
from pvsim.files.demo import read_demo
from pvsim.reading import point_of, power_of, tracker_point

CELL = Place(1, 4, cell=14)


@pytest.fixture(scope="module")
def solution() -> ArraySolution:
    scenario = paint(read_demo("workshop"), [CELL], 0.2)
    return solve_array(add_fault(scenario, Fault("module-reversed", Place(2, 3))))


def test_voltages_add_up_in_series_and_currents_side_by_side(solution: ArraySolution) -> None:
    modules = [point_of(solution, Place(1, 4)), point_of(solution, Place(1, 5))]
    for number, module in zip((4, 5), modules, strict=True):
        parts = [point_of(solution, Place(1, number, substring=part)) for part in (1, 2, 3)]
        assert module is not None
        assert module.voltage_V == pytest.approx(sum(one.voltage_V for one in parts if one), abs=1e-9)
        assert all(one.current_A == pytest.approx(module.current_A, abs=1e-6) for one in parts if one)
    substring = point_of(solution, Place(1, 4, substring=1))
    cell, diode = point_of(solution, CELL), point_of(solution, Place(1, 4, diode=1))
    assert substring is not None
    assert cell is not None
    assert diode is not None
    assert diode.voltage_V == pytest.approx(substring.voltage_V, abs=1e-9)
    assert substring.current_A == pytest.approx(cell.current_A + diode.current_A, abs=1e-9)
    array, strings = point_of(solution, Place()), [point_of(solution, Place(k)) for k in (1, 2)]
    assert array is not None
    assert array.current_A == pytest.approx(sum(one.current_A for one in strings if one), abs=1e-6)


@pytest.mark.parametrize(
    "place",
    [Place(), Place(1), Place(1, 4), Place(1, 4, substring=1), Place(1, 4, diode=1), CELL],
    ids=["array", "string", "module", "substring", "diode", "cell"],
)
def test_power_is_voltage_times_current(solution: ArraySolution, place: Place) -> None:
    point = point_of(solution, place)
    assert point is not None
    assert point.power_W == pytest.approx(point.voltage_V * point.current_A, rel=1e-12)  # rounding
    assert power_of(solution, place) == pytest.approx(point.power_W, rel=1e-12)


def test_what_eats_power_has_a_negative_one_and_a_reversed_module_a_negative_current(
    solution: ArraySolution,
) -> None:
    assert power_of(solution, CELL) < -1.0
    assert power_of(solution, Place(1, 4, diode=1)) < 0.0
    reversed_module, string = point_of(solution, Place(2, 3)), point_of(solution, Place(2))
    assert reversed_module is not None
    assert string is not None
    assert reversed_module.current_A == pytest.approx(-string.current_A, abs=1e-6)


def test_the_array_is_where_its_operation_holds_it(solution: ArraySolution) -> None:
    held = solve_array(set_operation(solution.scenario, Operation("voltage", 200.0)))
    assert point_of(held, Place()) == tracker_point(held, 0)
    assert tracker_point(held, 0).voltage_V == pytest.approx(200.0, abs=1e-9)


def test_several_trackers_have_one_power_and_no_one_voltage(solution: ArraySolution) -> None:
    split = solve_array(set_array(solution.scenario, tracking="per-string"))
    assert point_of(split, Place()) is None
    drawn = tracker_point(split, 0).power_W + tracker_point(split, 1).power_W
    assert power_of(split, Place()) == pytest.approx(drawn, rel=1e-12)  # a sum


@pytest.mark.parametrize(
    "place",
    [
        Place(3),
        Place(3, 1),
        Place(1, 9),
        Place(1, 4, substring=4),
        Place(1, 4, diode=4),
        Place(1, 4, cell=61),
    ],
    ids=["string", "string-of-a-module", "module", "substring", "diode", "cell"],
)
def test_a_part_that_is_not_there_is_refused(solution: ArraySolution, place: Place) -> None:
    for read in (point_of, power_of):
        with pytest.raises(ScenarioError, match="does not exist"):
            read(solution, place)
