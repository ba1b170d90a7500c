"""Where the tree solver's full steps circle, steps that always lead down find the start."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

import numpy as np
import pytest

from pvsim.circuit import (
    Cell,
    CellType,
    Element,
    Parallel,
    Series,
    descent,
    leaves,
    operate,
    solve,
    tree,
)
from pvsim.circuit.descent import Descent
from pvsim.circuit.drive import Drive
from pvsim.circuit.first_guess import Start
from pvsim.circuit.mesh import as_mesh, expand
from pvsim.circuit.nodal import operate_mesh
from pvsim.circuit.register import Plan, current_register
from pvsim.circuit.tree import TreeSolver
from pvsim.errors import ConvergenceError
from tests.circuit.plain import missed
from tests.circuit.samples import BYPASS, PLAIN, circuit

LEAKY = CellType(
    photocurrent_A=4.88,
    saturation_current_A=8.6e-6,
    ideality=2.16,
    series_resistance_ohm=0.0,
    shunt_resistance_ohm=3.67e5,
    shunt_follows_irradiance=True,
    breakdown_fraction=0.00745,
    breakdown_voltage_V=-15.4,
    breakdown_exponent=5.52,
)
# A hot, dim cell whose saturation current is all that its lit neighbours can drive through it.
CIRCLING = Parallel(
    (Series((Cell(type=LEAKY, irradiance_W_m2=46.9, temperature_K=396.7), *(Cell(type=LEAKY),) * 2)), BYPASS)
)


def plan_of(made: Element) -> Plan:
    register, _ = current_register()
    return Plan(register, register.number(made))


@pytest.fixture
def descents(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How many points each descent was asked for."""
    asked: list[int] = []
    lowest = Descent.lowest

    def counted(self: Descent, drive: Drive, v: np.ndarray) -> np.ndarray:
        asked.append(len(drive.c))
        return lowest(self, drive, v)

    monkeypatch.setattr(Descent, "lowest", counted)
    return asked


@pytest.fixture
def lost(by_numpy: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """The tree solver begins anywhere and gives up at once, as if its steps circled."""

    def nowhere(self: Start, block: slice) -> np.ndarray:
        return np.zeros_like(columns(self, block))

    columns = Start.columns
    monkeypatch.setattr(Start, "columns", nowhere)
    monkeypatch.setattr(tree, "MOST_STEPS", 2)


def test_a_circuit_whose_full_steps_circle_is_solved_all_the_same(lost: None, descents: list[int]) -> None:
    point = operate(CIRCLING, voltage_V=-0.3)
    assert descents == [1]
    assert point.residual_A <= 1e-9  # the stated bar
    for leaf, V, I in zip(leaves(CIRCLING), point.leaf_voltage_V, point.leaf_current_A, strict=True):
        assert missed(leaf, float(V), float(I))[0] == pytest.approx(0.0, abs=2e-9 * 5.0)


def test_a_curve_with_points_that_circle_falls_like_any_other(lost: None, descents: list[int]) -> None:
    shown = solve(CIRCLING, points=40, window=(-0.6, 1.4))
    assert descents
    assert np.all(np.diff(shown.current_A) < 0.0)
    assert shown.residual_A <= 1e-9


def test_an_easy_circuit_needs_no_descent(descents: list[int]) -> None:
    solve(Series((Cell(type=PLAIN, irradiance_W_m2=333.0), *(Cell(type=PLAIN),) * 5)), points=40)
    assert descents == []


STARTS: dict[str, Callable[[TreeSolver, np.ndarray], np.ndarray]] = {
    "no voltage": lambda solver, row: 0.0 * row,
    "beyond any current": lambda solver, row: np.where(row % 2, solver.most_v, solver.least_v),
    "the other way": lambda solver, row: np.where(row % 2, solver.least_v, solver.most_v),
}


@pytest.mark.parametrize("begun", STARTS)
@pytest.mark.parametrize("seed", range(20))
def test_it_arrives_at_the_solution_from_anywhere(seed: int, begun: str) -> None:
    made = circuit(Random(seed))
    shown = solve(made, points=9)
    V = shown.voltage_V[1::3]
    ones = np.ones(len(V))
    solver = TreeSolver(plan_of(made))
    rows = np.arange(len(solver.plan.leaves))[:, None] * np.ones(len(V), dtype=int)
    v = Descent(solver).lowest(Drive(ones, 0.0 * ones, V), STARTS[begun](solver, rows))
    states = solver.solve(ones, 0.0 * ones, V, v)
    assert states.iterations <= 2
    most_A = max(float(np.abs(states.leaf_current_A).max()), 1.0)
    np.testing.assert_allclose(states.current_A, shown.current_A[1::3], rtol=0.0, atol=2e-9 * most_A)


@pytest.mark.parametrize("held", ["voltage_V", "current_A", "load_ohm"])
@pytest.mark.parametrize("value", [0.0, 0.2, 1.0])
def test_it_finds_what_the_nodal_solver_finds_however_the_terminals_are_held(
    held: str, value: float, lost: None, descents: list[int]
) -> None:
    ours = operate(CIRCLING, **{held: value})
    assert descents == [1]
    theirs = operate_mesh(expand(as_mesh(CIRCLING)), **{held: value})
    np.testing.assert_allclose(ours.leaf_current_A, theirs.leaf_current_A, rtol=0.0, atol=1e-8 * 5.0)


def test_where_it_does_not_arrive_the_error_says_so(lost: None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(descent, "STEPS", 1)
    with pytest.raises(ConvergenceError, match="1 of 1 points did not settle in 1 Newton steps"):
        operate(CIRCLING, voltage_V=-0.32)
