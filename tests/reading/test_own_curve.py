"""A part taken out and measured alone."""

from __future__ import annotations

import gc
import weakref

import pytest

from pvsim.array import ArraySolution, Place, level_curve, paint, set_array, solve_array
from pvsim.array.part_place import place_at
from pvsim.array.place import LEVELS, WHOLE_ARRAY
from pvsim.errors import ScenarioError
from pvsim.files.demo import read_demo
from pvsim.reading import greatest_power, own_curve, power_of

CELL = Place(1, 4, cell=14)


@pytest.fixture(scope="module")
def solution() -> ArraySolution:
    return solve_array(paint(read_demo("workshop"), [CELL], 0.2))


@pytest.mark.parametrize("level", LEVELS)
def test_it_is_the_characteristic_of_the_part_alone_and_kept(solution: ArraySolution, level: str) -> None:
    place = place_at(solution.scenario, CELL, level)
    found, alone = own_curve(solution, place), level_curve(solution.scenario, place)
    assert found.isc_A == pytest.approx(alone.isc_A, rel=1e-9, abs=1e-9)  # stated solver tolerance
    assert found.voc_V == pytest.approx(alone.voc_V, rel=1e-9, abs=1e-9)
    assert own_curve(solution, place) is found


def test_no_part_gives_more_in_the_array_than_it_could_alone(solution: ArraySolution) -> None:
    for level in LEVELS:
        place = place_at(solution.scenario, CELL, level)
        # Both are found on solves of their own; 1e-9 of some thousand watts.
        assert power_of(solution, place) <= greatest_power(solution, place) + 1e-5


def test_several_trackers_could_give_what_each_of_them_could(solution: ArraySolution) -> None:
    split = solve_array(set_array(solution.scenario, tracking="per-string"))
    each = [one.characteristic.mpp.power_W for one in split.trackers]
    assert greatest_power(split, WHOLE_ARRAY) == pytest.approx(sum(each), rel=1e-12)  # a sum
    assert greatest_power(split, WHOLE_ARRAY) > greatest_power(solution, WHOLE_ARRAY)


def test_what_is_kept_goes_with_the_solution() -> None:
    solution = solve_array(read_demo("single-module"))
    own_curve(solution, Place(1, 1))
    gone = weakref.ref(solution)
    del solution
    gc.collect()
    assert gone() is None


def test_a_part_that_is_not_there_is_refused(solution: ArraySolution) -> None:
    with pytest.raises(ScenarioError, match="does not exist"):
        own_curve(solution, Place(1, 9))
