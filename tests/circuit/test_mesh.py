"""Meshes as values, and series-parallel circuits written out as meshes."""

from __future__ import annotations

import pytest

from pvsim.circuit import Cell, Parallel, Resistor, Series, Turned, leaves
from pvsim.circuit.mesh import Branch, Mesh, expand, nodes_of
from pvsim.errors import CircuitError
from tests.circuit.samples import BYPASS, PLAIN

LIT = Cell(type=PLAIN)
WIRE = Resistor(resistance_ohm=0.1)


def test_every_leaf_becomes_a_branch_in_the_order_of_leaves() -> None:
    circuit = Series((Parallel((Series((LIT, WIRE)), BYPASS)), Turned(Series((WIRE, LIT, BYPASS)))))
    assert tuple(branch.element for branch in expand(circuit).branches) == leaves(circuit)


def test_a_series_gets_a_node_between_neighbours_and_a_parallel_none() -> None:
    assert len(nodes_of(expand(Series((LIT,) * 5)))) == 2 + 4
    assert len(nodes_of(expand(Parallel((LIT,) * 5)))) == 2


def test_a_turned_part_is_connected_end_for_end() -> None:
    (branch,) = expand(Turned(LIT)).branches
    assert (branch.from_node, branch.to_node) == ("plus", "minus")


def test_expanding_a_mesh_keeps_its_nodes_and_adds_new_ones() -> None:
    mesh = Mesh(
        (Branch(Series((LIT, LIT)), 0, 1), Branch(Series((LIT, LIT)), 1, 2)), plus_node=2, minus_node=0
    )
    flat = expand(mesh)
    assert {0, 1, 2} < set(nodes_of(flat))
    assert len(nodes_of(flat)) == 5
    assert expand(flat) == flat


def test_a_list_of_branches_is_kept_as_a_tuple_so_that_a_mesh_can_be_a_key() -> None:
    mesh = Mesh([Branch(LIT, 0, 1)], plus_node=1, minus_node=0)  # type: ignore[arg-type]
    assert mesh.branches == (Branch(LIT, 0, 1),)
    assert hash(mesh) == hash(Mesh((Branch(LIT, 0, 1),), plus_node=1, minus_node=0))


def test_a_mesh_without_branches_is_refused() -> None:
    with pytest.raises(CircuitError, match=r"no branches.*at least one Branch.*Add Branch"):
        Mesh((), plus_node=1, minus_node=0)


def test_what_is_no_branch_is_refused() -> None:
    with pytest.raises(CircuitError, match=r"not a branch of a mesh.*a Branch.*Write Branch"):
        Mesh((LIT,), plus_node=1, minus_node=0)  # type: ignore[arg-type]


def test_a_branch_of_something_else_is_refused() -> None:
    with pytest.raises(CircuitError, match=r"0\.5 is not a circuit element.*Resistor\(resistance_ohm"):
        Branch(0.5, 0, 1)  # type: ignore[arg-type]


def test_one_node_for_both_terminals_is_refused() -> None:
    with pytest.raises(CircuitError, match=r"both terminals of the mesh are node 'a'.*two different nodes"):
        Mesh((Branch(LIT, "a", "b"),), plus_node="a", minus_node="a")


def test_a_node_that_floats_is_refused_by_name() -> None:
    with pytest.raises(
        CircuitError, match=r"not connected to the minus terminal: node 'x', 'y'.*path of branches"
    ):
        Mesh((Branch(LIT, "-", "+"), Branch(LIT, "x", "y")), plus_node="+", minus_node="-")


def test_a_terminal_no_branch_reaches_is_refused() -> None:
    with pytest.raises(CircuitError, match=r"not connected to the minus terminal: node '\+'"):
        Mesh((Branch(LIT, "-", "a"),), plus_node="+", minus_node="-")
