"""Which bypass diodes of a part conduct, or let current back, against the solver's own flags."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array import ArraySolution, Fault, Place, add_fault, paint, parse_place, solve_array
from pvsim.array.index import array_index, diode_at
from pvsim.errors import ScenarioError
from pvsim.files.demo import demo_names, read_demo
from pvsim.reading import conducting_diodes


@pytest.fixture(scope="module")
def solution() -> ArraySolution:
    shaded = paint(read_demo("workshop"), [Place(1, 4, cell=14), Place(2, 8, cell=60)], 0.1)
    return solve_array(add_fault(shaded, Fault("diode-short", Place(2, 3, diode=2))))


@pytest.mark.parametrize(
    ("part", "found"),
    [
        ("array", ["1/4/d1", "2/8/d3"]),
        ("1", ["1/4/d1"]),
        ("2/8", ["2/8/d3"]),
        ("2/8/s3", ["2/8/d3"]),
        ("2/8/s2", []),
        ("2/8/41", ["2/8/d3"]),
        ("2/8/40", []),
        ("1/4/d1", ["1/4/d1"]),
        ("1/4/d2", []),
    ],
)
def test_those_of_a_part_conduct_and_across_a_cell_that_of_its_substring(
    solution: ArraySolution, part: str, found: list[str]
) -> None:
    assert conducting_diodes(solution, parse_place(part)) == tuple(map(parse_place, found))


def test_a_short_one_lets_current_back(solution: ArraySolution) -> None:
    assert conducting_diodes(solution, backward=True) == (Place(2, 3, diode=2),)


def test_as_many_conduct_as_the_solver_found(solution: ArraySolution) -> None:
    assert len(conducting_diodes(solution)) == np.count_nonzero(solution.diodes.conducting)


@pytest.mark.parametrize("demo", demo_names())
def test_the_place_of_a_flat_number_has_that_number(demo: str) -> None:
    solution = solve_array(read_demo(demo))
    for flat in range(len(solution.diodes.power_W)):
        assert solution.diode_index(diode_at(solution.index, flat)) == flat


def test_there_is_no_diode_beyond_the_last() -> None:
    index = array_index(read_demo("single-module"))
    for flat in (-1, 3):
        with pytest.raises(ScenarioError, match="no bypass diode"):
            diode_at(index, flat)
