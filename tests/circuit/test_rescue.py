"""Where the tree solver's full steps circle, the nodal solver finds the start."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from pvsim.circuit import (
    Cell,
    CellType,
    Element,
    Parallel,
    Resistor,
    Series,
    Turned,
    leaves,
    operate,
    rescue,
    solve,
    solver,
    tree,
)
from pvsim.circuit.latest import Latest
from pvsim.circuit.mesh import expand, incidence
from pvsim.circuit.part import Plan, current_register
from pvsim.circuit.start import Start
from pvsim.circuit.tree import TreeSolver
from pvsim.errors import ConvergenceError, PvsimError
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
def rescues(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How many points each rescue was asked for."""
    asked: list[int] = []
    found = rescue.junction_voltages

    def counted(plan: Plan, a: np.ndarray, b: np.ndarray, c: np.ndarray) -> np.ndarray:
        asked.append(len(c))
        return found(plan, a, b, c)

    monkeypatch.setattr(rescue, "junction_voltages", counted)
    return asked


@pytest.fixture
def lost(monkeypatch: pytest.MonkeyPatch) -> None:
    """The tree solver begins anywhere and gives up at once, as if its steps circled."""

    def nowhere(self: Start, block: slice) -> np.ndarray:
        return np.zeros_like(columns(self, block))

    columns = Start.columns
    monkeypatch.setattr(Start, "columns", nowhere)
    monkeypatch.setattr(tree, "MOST_STEPS", 2)
    for kept in ("_trails", "_characteristics"):
        monkeypatch.setattr(solver, kept, Latest(4))


def test_a_circuit_whose_full_steps_circle_is_solved_all_the_same(lost: None, rescues: list[int]) -> None:
    point = operate(CIRCLING, voltage_V=-0.3)
    assert rescues == [1]
    assert point.residual_A <= 1e-9  # the stated bar
    for leaf, V, I in zip(leaves(CIRCLING), point.leaf_voltage_V, point.leaf_current_A, strict=True):
        assert missed(leaf, float(V), float(I))[0] == pytest.approx(0.0, abs=2e-9 * 5.0)


def test_a_curve_with_points_that_circle_falls_like_any_other(lost: None, rescues: list[int]) -> None:
    shown = solve(CIRCLING, points=40, window=(-0.6, 1.4))
    assert rescues
    assert np.all(np.diff(shown.current_A) < 0.0)
    assert shown.residual_A <= 1e-9


def test_an_easy_circuit_needs_no_rescue(rescues: list[int]) -> None:
    solve(Series((Cell(type=PLAIN, irradiance_W_m2=333.0), *(Cell(type=PLAIN),) * 5)), points=40)
    assert rescues == []


@pytest.mark.parametrize("seed", range(15))
def test_the_start_it_gives_is_the_solution(seed: int) -> None:
    made = circuit(Random(seed))
    shown = solve(made, points=9)
    V = shown.voltage_V[1::3]
    ones = np.ones(len(V))
    v = rescue.junction_voltages(plan_of(made), ones, 0.0 * ones, V)
    states = TreeSolver(plan_of(made)).solve(ones, 0.0 * ones, V, v)
    assert states.iterations <= 2
    np.testing.assert_allclose(
        states.current_A, shown.current_A[1::3], atol=1e-8 * np.abs(states.leaf_current_A).max()
    )


def test_the_wiring_of_a_plan_is_that_of_the_circuit() -> None:
    cell, wire = Cell(type=PLAIN), Resistor(resistance_ohm=0.1)
    made = Series((Parallel((Series((cell, wire)), BYPASS)), Turned(Series((wire, cell, BYPASS))), cell))
    ours, (start, end) = rescue.Wiring(plan_of(made)), incidence(expand(made))
    # The same nodes under other names.
    names = dict(zip(ours.start + ours.end, [*start, *end], strict=True))
    assert [names[node] for node in ours.start] == list(start)
    assert [names[node] for node in ours.end] == list(end)
    assert len(set(names.values())) == len(names)


def test_a_circuit_too_large_to_rescue_raises_instead(lost: None, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rescue, "MOST_LEAVES", 3)
    with pytest.raises(PvsimError):
        operate(CIRCLING, voltage_V=-0.31)


def test_where_both_solvers_fail_the_error_says_so(lost: None, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: object) -> np.ndarray:
        raise ConvergenceError("nothing", expected="something", mend="Try again")

    monkeypatch.setattr(rescue, "junction_voltages", fails)
    with pytest.raises(ConvergenceError, match="nothing"):
        operate(CIRCLING, voltage_V=-0.32)
