"""A current that finds no path is refused; one held before the break is let go, and it is said."""

from __future__ import annotations

import pytest

from pvsim.array.change import set_array, set_operation
from pvsim.array.held_current import solve_or_release
from pvsim.array.operation import Operation
from pvsim.array.scenario import Scenario
from pvsim.array.solve import solve_array
from pvsim.errors import PathError
from tests.array.samples import faulty
from tests.workshop_roof import workshop_roof


def held_and_cut(strings: int) -> Scenario:
    """The demo array held at 5 A, with the cables of its first strings cut."""
    cuts = [("cable-open", str(number)) for number in range(1, strings + 1)]
    return faulty(set_operation(workshop_roof(), "current", 5.0), *cuts)


def test_a_current_without_a_path_is_refused_instead_of_driven_by_a_thousand_million_volts() -> None:
    cut = held_and_cut(2)
    assert solve_array(set_operation(cut, "mpp")).power_W == pytest.approx(0.0, abs=1e-6)
    with pytest.raises(PathError, match="no path for the 5 A"):
        solve_array(cut)


def test_a_held_current_whose_path_breaks_is_let_go_to_the_mpp_and_said() -> None:
    solution, released = solve_or_release(held_and_cut(2))
    assert solution.scenario.operation == Operation()
    assert solution.scenario.faults == held_and_cut(2).faults
    assert solution.power_W == pytest.approx(0.0, abs=1e-6)
    assert released == "There is no path for the 5 A that the array is held at: it goes back to its MPP."


def test_a_held_current_that_has_a_path_left_stays() -> None:
    solution, released = solve_or_release(held_and_cut(1))
    assert solution.scenario == held_and_cut(1)
    assert released == ""
    assert solution.trackers[0].point.current_A == pytest.approx(5.0)


def test_with_a_tracker_for_each_string_one_without_a_path_lets_all_go() -> None:
    solution, released = solve_or_release(set_array(held_and_cut(1), tracking="per-string"))
    assert released
    assert solution.strings.current_A[0] == pytest.approx(0.0, abs=1e-6)
    assert solution.power_W > 1000.0
