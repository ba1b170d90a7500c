"""Points that are drawn and nothing else: solved as others are, with a bound on what is left over."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given

from pvsim.benchmark.random_array import random_array
from pvsim.benchmark.specimen import array_all_different, array_scattered
from pvsim.circuit import Element, tree
from pvsim.circuit.junctions import Laws
from pvsim.circuit.solver import _solver
from pvsim.circuit.states import ACCEPTED, States
from pvsim.circuit.tree import TreeSolver
from tests.circuit.samples import circuits

ROUNDING = 1e-12  # relative to the largest current, of the sums of currents and voltages
POINTS = 60


def solved(solver: TreeSolver, drawn: int) -> States:
    """From beyond short circuit to beyond open circuit."""
    table = solver.table()
    isc_A = float(table.current(np.zeros(1))[0])
    ends = table.voltage(np.array([1.3 * isc_A + 0.1, -0.3 * abs(isc_A) - 0.1]))
    V = np.linspace(*ends, POINTS)
    one = np.ones(POINTS)
    return solver.solve(one, 0.0 * one, V, solver.start(V, table.current(V)), drawn=drawn)


def missed(solver: TreeSolver, states: States) -> np.ndarray:
    """By how much the laws are missed, (points,), relative to the largest current, at least 1 A."""
    x = (solver.source - states.leaf_current_A) * solver.sign
    f, _slope = solver.laws.evaluate(states.junction_V)
    found: np.ndarray = np.abs(f - x).max(axis=0) / np.maximum(np.abs(x).max(axis=0), 1.0)
    return found


def check(circuit: Element) -> None:
    solver, _key = _solver(circuit)
    drawn, measured = solved(solver, POINTS), solved(solver, 0)
    assert missed(solver, drawn).max() <= drawn.residual + ROUNDING
    assert drawn.residual <= ACCEPTED
    most = np.maximum(np.abs(measured.current_A), 1.0)
    assert np.all(np.abs(drawn.current_A - measured.current_A) <= 1e-8 * most)
    assert drawn.slope_ohm == pytest.approx(measured.slope_ohm, rel=1e-2)  # where nearly nothing flows


@pytest.fixture
def in_blocks(each_way: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Small circuits are solved in blocks, as large ones are."""
    monkeypatch.setattr(tree, "BLOCK", 20)
    monkeypatch.setattr(tree, "_WORTH_PARTING", 10)


@pytest.mark.usefixtures("in_blocks")
@pytest.mark.parametrize("seed", range(40))
def test_no_random_array_misses_more_than_its_bound(seed: int) -> None:
    check(random_array(np.random.default_rng(seed)))


@given(circuit=circuits())
def test_no_circuit_at_all_misses_more_than_its_bound(circuit: Element) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(tree, "BLOCK", 20)
        patch.setattr(tree, "_WORTH_PARTING", 10)
        check(circuit)


@pytest.mark.parametrize("make", [array_scattered, array_all_different])
def test_unlike_cells_are_drawn_with_fewer_laws_asked(
    make: Callable[[int], Element], by_numpy: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    solver, _key = _solver(make(77))
    asked: list[int] = []
    evaluate = Laws.evaluate
    monkeypatch.setattr(Laws, "evaluate", lambda self, v: asked.append(v.size) or evaluate(self, v))
    solved(solver, 0)
    measured = sum(asked)
    asked.clear()
    drawn = solved(solver, POINTS)
    assert sum(asked) < 0.75 * measured
    assert 0.0 < drawn.residual <= ACCEPTED
    assert missed(solver, drawn).max() <= drawn.residual + ROUNDING
