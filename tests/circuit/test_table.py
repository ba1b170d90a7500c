"""Tables: monotone, and near enough to start from."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.circuit import Cell, Element, Parallel, Series
from pvsim.circuit.register import Plan, Register
from pvsim.circuit.table import Table
from pvsim.circuit.tabulation import table_of
from pvsim.circuit.tree import TreeSolver
from tests.circuit.samples import BYPASS, PLAIN
from tests.circuit.test_solver import SHAPES


def table(circuit: Element) -> tuple[Table, TreeSolver]:
    register = Register()
    plan = Plan(register, register.number(circuit))
    return table_of(register, plan.electric, plan.table_reach_A), TreeSolver(plan)


@pytest.mark.parametrize("circuit", SHAPES.values(), ids=SHAPES)
def test_a_table_falls_between_its_knots_too(circuit: Element) -> None:
    made, _ = table(circuit)
    I = np.linspace(made.I[0], made.I[-1], 5000)
    assert np.all(np.diff(made.voltage(I)) <= 0.0)


@pytest.mark.parametrize("circuit", SHAPES.values(), ids=SHAPES)
def test_a_table_is_near_the_exact_curve(circuit: Element) -> None:
    made, solver = table(circuit)
    V = np.linspace(0.0, float(made.voltage(np.zeros(1))[0]), 80)
    exact = solver.solve(np.ones(80), np.zeros(80), V, solver.start(V, made.current(V)))
    # A start, good to a thousandth of the current.
    assert np.max(np.abs(made.current(V) - exact.current_A)) < 1e-3 * exact.current_A[0]


def test_a_table_goes_straight_on_beyond_its_ends() -> None:
    made = Table(np.array([0.0, 1.0, 2.0]), np.array([3.0, 2.0, 0.0]), np.array([-1.0, -1.5, -2.0]))
    V = made.voltage(np.array([2.0, 3.0, 4.0]))
    assert np.diff(V) == pytest.approx([-2.0, -2.0])


def test_knots_too_close_to_tell_apart_are_dropped() -> None:
    made = Table(np.array([0.0, 1.0, 1.0, 2.0]), np.array([3.0, 2.0, 2.0, 0.0]), np.full(4, -1.0))
    assert len(made.I) == 3


def test_a_chain_beside_a_diode_is_tabled_only_as_far_as_the_diode_lets_it_go() -> None:
    cells = tuple(Cell(type=PLAIN, irradiance_W_m2=G) for G in np.linspace(200.0, 1000.0, 20))
    register = Register()
    free = Plan(register, register.number(Series(cells)))
    held = Plan(register, register.number(Parallel((Series(cells), BYPASS))))
    table_of(register, held.electric, held.table_reach_A)
    tables = [made for key, made in register.tables.items() if key[0] == free.electric]
    assert isinstance(tables[0], Table)
    assert len(tables[0].I) < len(table_of(register, free.electric, free.table_reach_A).I) / 2


def test_tables_kept_have_a_bound_and_come_again_as_they_were(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("pvsim.circuit.tabulation.MOST_KNOTS_KEPT", 400)
    register, made = Register(), []
    for G in (100.0, 300.0, 500.0, 700.0, 900.0, 100.0):
        plan = Plan(register, register.number(Series((Cell(type=PLAIN, irradiance_W_m2=G),) * 2)))
        made.append(table_of(register, plan.electric, plan.table_reach_A))
        assert register.knots == sum(len(one.I) for one in register.tables.values() if isinstance(one, Table))
        assert register.knots <= 400
    assert sum(len(one.I) for one in made) > 400
    assert np.array_equal(made[0].V, made[-1].V)
