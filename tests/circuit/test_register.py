"""Distinct parts are known once, and every leaf finds its place again."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.circuit import Cell, Parallel, Resistor, Series, Turned, leaves, operate
from pvsim.circuit.leaf import leaf_of
from pvsim.circuit.register import DEEPEST, Plan, Register
from pvsim.errors import CircuitError
from tests.circuit.samples import BYPASS, PLAIN

GOOD = Cell(type=PLAIN)
DIM = Cell(type=PLAIN, irradiance_W_m2=300.0)


def plan(circuit) -> Plan:  # type: ignore[no-untyped-def]
    register = Register()
    return Plan(register, register.number(circuit))


def test_equal_cells_are_one_row_however_many_there_are() -> None:
    few = plan(Series((GOOD,) * 3))
    many = plan(Series((GOOD,) * 3000))
    assert len(few.leaves) == len(many.leaves) == 1


def test_equal_parts_are_found_by_what_they_are_and_not_by_identity() -> None:
    again = Cell(type=PLAIN)
    assert again is not GOOD
    assert len(plan(Series((GOOD, again))).leaves) == 1


def test_the_order_of_children_makes_no_new_part() -> None:
    register = Register()
    one = register.number(Series((GOOD, DIM, GOOD)))
    other = register.number(Series((DIM, GOOD, GOOD)))
    assert one != other
    assert register.electric_number(one) == register.electric_number(other)


def test_every_leaf_of_a_plan_is_the_leaf_of_the_drawing() -> None:
    module = Series((Parallel((Series((GOOD, DIM, GOOD)), BYPASS)), Parallel((Series((DIM, GOOD)), BYPASS))))
    circuit = Parallel((Series((module, Turned(module), Resistor(resistance_ohm=0.1))), module))
    made = plan(circuit)
    drawn = [leaf_of(leaf) for leaf in leaves(circuit)]
    assert [made.leaves[k] for k in made.order()] == drawn


def test_parts_that_only_swap_neighbours_keep_their_own_order_of_leaves() -> None:
    first, second = Series((GOOD, DIM)), Series((DIM, GOOD))
    point = operate(Parallel((first, second)), voltage_V=0.8)
    V = point.leaf_voltage_V
    assert V[0] == V[3]
    assert V[1] == V[2]
    assert V[0] != V[1]


def test_a_circuit_nested_too_deep_is_refused() -> None:
    circuit = GOOD
    for _ in range(DEEPEST + 2):
        circuit = Series((circuit, DIM))  # type: ignore[assignment]
    with pytest.raises(CircuitError, match="nests deeper"):
        plan(circuit)


def test_rows_of_one_parent_are_neighbours() -> None:
    circuit = Series((Parallel((GOOD, DIM)), Parallel((GOOD, BYPASS)), Series((DIM, BYPASS))))
    for depth in plan(circuit).depths:
        assert np.all(np.diff(depth.parent_column) >= 0)
