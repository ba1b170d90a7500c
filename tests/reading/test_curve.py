"""The characteristic of a part as far as it is shown."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array import ArraySolution, Place, level_curve, paint, set_array, solve_array
from pvsim.array.part_place import place_at
from pvsim.array.place import SHOWN_LEVELS, WHOLE_ARRAY
from pvsim.errors import ScenarioError
from pvsim.files.demo import read_demo
from pvsim.reading import (
    axes_of,
    breakdown_voltage,
    curve_if_there,
    curve_within,
    tracker_curve,
    unbroken_curve,
)

CELL = Place(1, 4, cell=14)


@pytest.fixture(scope="module")
def solution() -> ArraySolution:
    return solve_array(paint(read_demo("workshop"), [CELL], 0.1))


@pytest.mark.parametrize("level", SHOWN_LEVELS)
def test_it_is_the_part_s_own_over_all_of_the_axes(solution: ArraySolution, level: str) -> None:
    scenario = solution.scenario
    place = place_at(scenario, CELL, level)
    breakdown_V = breakdown_voltage(scenario, place)
    axes = axes_of(unbroken_curve(scenario, place), reverse=True, breakdown_V=breakdown_V)
    found, alone = curve_within(solution, place, axes), level_curve(scenario, place)
    assert found.mpp.power_W == pytest.approx(alone.mpp.power_W, rel=1e-9)
    # It ends only beyond the axes: at their left end or above their top, at their right end or below.
    assert found.voltage_V[0] <= axes.voltage_V[0] + 1e-9 or found.current_A[0] >= axes.current_A[1]
    assert found.voltage_V[-1] >= axes.voltage_V[1] - 1e-9 or found.current_A[-1] <= axes.current_A[0]
    assert np.all(np.diff(found.voltage_V) > 0.0)
    assert curve_within(solution, place, axes) is found, "kept as long as the solution"


def test_several_trackers_have_a_curve_each_and_none_together(solution: ArraySolution) -> None:
    split = solve_array(set_array(solution.scenario, tracking="per-string"))
    axes = axes_of(unbroken_curve(solution.scenario, Place(1)))
    with pytest.raises(ScenarioError, match="2 trackers"):
        curve_within(split, WHOLE_ARRAY, axes)
    assert curve_if_there(split, WHOLE_ARRAY, axes) is None
    for number in (0, 1):
        found, seen = tracker_curve(split, number, axes), split.trackers[number].characteristic
        assert found.mpp.power_W == pytest.approx(seen.mpp.power_W, rel=1e-9)
        # Through the main cable, which the string on its own does not have.
        string = level_curve(split.scenario, Place(number + 1)).mpp
        cable_W = split.scenario.array.main_cable_resistance_ohm * string.current_A**2
        assert found.mpp.power_W == pytest.approx(string.power_W - cable_W, rel=1e-5)  # the maximum moves


def test_what_was_not_there_has_no_curve(solution: ArraySolution) -> None:
    axes = axes_of(unbroken_curve(solution.scenario, CELL))
    small = solve_array(read_demo("single-module"))
    for place in (CELL, Place(2), Place(2, 1, cell=1)):
        assert curve_if_there(small, place, axes) is None
    assert curve_if_there(None, CELL, axes) is None
