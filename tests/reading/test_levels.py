"""Five levels: what each part that holds a cell gives, now and before."""

from __future__ import annotations

from itertools import pairwise

import pytest

from pvsim.array import ArraySolution, Place, level_curve, paint, set_array, solve_array
from pvsim.files.demo import read_demo
from pvsim.reading import RUNGS, rungs

CELL = Place(1, 4, cell=14)


@pytest.fixture(scope="module")
def sound() -> ArraySolution:
    return solve_array(read_demo("workshop"))


@pytest.fixture(scope="module")
def shaded(sound: ArraySolution) -> ArraySolution:
    return solve_array(paint(sound.scenario, [CELL], 0.2))


def test_the_rungs_are_the_powers_of_the_parts_that_hold_each_other(sound: ArraySolution) -> None:
    found = rungs(sound, None, CELL)
    assert [one.level for one in found] == list(RUNGS)
    assert [one.place for one in found] == [CELL, Place(1, 4, substring=1), Place(1, 4), Place(1), Place()]
    cell, substring, module, string, array = (one.now_W for one in found)
    # 16 equal modules of three equal substrings of 20 equal cells, with cables that take a little.
    assert substring == pytest.approx(20 * cell, rel=1e-5)  # but for the diode's leakage
    assert module == pytest.approx(3 * substring, rel=1e-9)
    assert 0.99 * 8 * module < string < 8 * module
    assert 0.99 * 2 * string < array < 2 * string
    assert array == sound.power_W


def test_a_shaded_cell_loses_more_than_all_it_had_and_the_array_a_little(
    sound: ArraySolution, shaded: ArraySolution
) -> None:
    found = rungs(shaded, sound, CELL)
    relative = [(one.now_W - one.before_W) / abs(one.before_W) for one in found if one.before_W is not None]
    assert len(relative) == 5
    assert relative[0] < -1.0  # it eats power
    assert all(inner < outer < 0.0 for inner, outer in pairwise(relative))
    assert relative[-1] > -0.05


def test_alone_each_part_gives_its_own_maximum(shaded: ArraySolution) -> None:
    for one in rungs(shaded, None, CELL, measure="alone"):
        assert one.now_W == pytest.approx(level_curve(shaded.scenario, one.place).mpp.power_W, rel=1e-9)


def test_trackers_add_up_to_the_array(sound: ArraySolution) -> None:
    solution = solve_array(set_array(sound.scenario, tracking="per-string"))
    held = rungs(solution, None, CELL)[-1].now_W
    alone = rungs(solution, None, CELL, measure="alone")[-1].now_W
    assert held == pytest.approx(alone, rel=1e-9)  # every tracker is at its maximum


@pytest.mark.parametrize(
    ("place", "gone"),
    [
        (CELL, [True, True, True, False, False]),
        (Place(2, 1, cell=14), [True, True, True, True, False]),
    ],
    ids=["module", "string"],
)
def test_a_part_that_was_not_there_before_is_not_compared(
    sound: ArraySolution, place: Place, gone: list[bool]
) -> None:
    small = solve_array(read_demo("single-module"))
    assert [one.before_W is None for one in rungs(sound, small, place)] == gone
