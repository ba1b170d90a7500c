"""General networks: branches between named nodes, and a point of such a network.

A branch holds any element, a single cell or a whole module. Its minus terminal stands
at `from_node`, its plus terminal at `to_node`: its voltage is that of `to_node` over
`from_node`, and its current, positive when it delivers, flows out of it into `to_node`.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from dataclasses import dataclass
from itertools import count

import numpy as np

from pvsim.circuit.cell import Cell
from pvsim.circuit.diode import Diode
from pvsim.circuit.floats import Floats
from pvsim.circuit.network import Element, Parallel, Resistor, Series, Turned
from pvsim.errors import CircuitError
from pvsim.prompt import summary

Node = Hashable
LeafElement = Cell | Diode | Resistor


@dataclass(frozen=True, slots=True)
class Branch:
    """An element between two nodes.

    Parameters
    ----------
    element : Element
        A cell, diode or resistor, or a whole series-parallel part.
    from_node, to_node : hashable
        Where its minus and its plus terminal are connected; the same node twice is a
        part shorted by the wiring.

    Raises
    ------
    CircuitError
        If the element is none.
    """

    element: Element
    from_node: Node
    to_node: Node

    def __post_init__(self) -> None:
        if not isinstance(self.element, (Cell, Diode, Resistor, Series, Parallel, Turned)):
            raise CircuitError(
                f"{self.element!r} is not a circuit element",
                expected="a Cell, Diode, Resistor, Series, Parallel or Turned",
                mend="Wrap numbers as Resistor(resistance_ohm=...)",
            )


@dataclass(frozen=True, slots=True)
class Mesh:
    """A network of branches with two terminals, not necessarily series-parallel.

    Parameters
    ----------
    branches : tuple of Branch
        In the order in which results list them.
    plus_node, minus_node : hashable
        The terminals.

    Raises
    ------
    CircuitError
        If there is no branch, the terminals are one node, or a node is not connected.
    """

    branches: tuple[Branch, ...]
    plus_node: Node
    minus_node: Node

    __repr__ = summary

    def __post_init__(self) -> None:
        object.__setattr__(self, "branches", tuple(self.branches))
        if not self.branches:
            raise CircuitError(
                "the mesh has no branches",
                expected="at least one Branch between the terminals",
                mend="Add Branch(element, from_node, to_node)",
            )
        strangers = [branch for branch in self.branches if not isinstance(branch, Branch)]
        if strangers:
            raise CircuitError(
                f"{strangers[0]!r} is not a branch of a mesh",
                expected="a Branch",
                mend="Write Branch(element, from_node, to_node)",
            )
        if self.plus_node == self.minus_node:
            raise CircuitError(
                f"both terminals of the mesh are node {self.plus_node!r}",
                expected="two different nodes",
                mend="Take the node at the plus end of the network as plus_node",
            )
        lost = _unreached(self)
        if lost:
            raise CircuitError(
                "not connected to the minus terminal: node " + ", ".join(repr(node) for node in lost[:5]),
                expected=f"a path of branches from every node to node {self.minus_node!r}",
                mend="Check the node names for a slip, or leave the loose branches out",
            )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MeshPoint:
    """A mesh at one operating point.

    Parameters
    ----------
    voltage_V, current_A, power_W : float
        At the terminals, generator convention.
    nodes : tuple
        The nodes, in the order of `node_voltage_V`.
    node_voltage_V : (nodes,)
        Over the minus terminal.
    branch_voltage_V, branch_current_A : (branches,)
        Of every branch, generator convention.
    leaf_voltage_V, leaf_current_A, leaf_power_W, leaf_junction_V : (leaves,)
        Of every cell, diode and resistor: branch after branch, within a branch in the
        order of OperatingPoint.
    residual : float
        The larger of two balances: current missed at a node, relative to the largest
        current (at least 1 A), and voltage missed around a loop, relative to the
        largest voltage (at least 1 V). Each branch meets its own law.
    iterations : int
        Newton steps taken.
    """

    voltage_V: float
    current_A: float
    power_W: float
    nodes: tuple[Node, ...]
    node_voltage_V: Floats
    branch_voltage_V: Floats
    branch_current_A: Floats
    leaf_voltage_V: Floats
    leaf_current_A: Floats
    leaf_power_W: Floats
    leaf_junction_V: Floats
    residual: float
    iterations: int

    __repr__ = summary


@dataclass(frozen=True, slots=True)
class InnerNode:
    """A node inside a branch that was written out to its leaves."""

    number: int


def expand(circuit: Element | Mesh) -> Mesh:
    """The same network with every cell, diode and resistor as a branch of its own.

    Parameters
    ----------
    circuit : Element or Mesh

    Returns
    -------
    Mesh
        Branches stand in the order of the circuit's leaves. The terminals of a
        series-parallel circuit are the nodes "plus" and "minus".
    """
    mesh = as_mesh(circuit)
    branches = tuple(Branch(*leaf) for leaf in leaf_branches(mesh))
    return Mesh(branches, plus_node=mesh.plus_node, minus_node=mesh.minus_node)


def as_mesh(circuit: Element | Mesh) -> Mesh:
    """A mesh as it is; a series-parallel circuit as one branch from "minus" to "plus"."""
    if isinstance(circuit, Mesh):
        return circuit
    return Mesh((Branch(circuit, "minus", "plus"),), plus_node="plus", minus_node="minus")


def leaf_branches(mesh: Mesh) -> Iterator[tuple[LeafElement, Node, Node]]:
    """Every cell, diode and resistor of a mesh with its nodes, from and to, in order."""
    inner = (InnerNode(number) for number in count(1))
    for branch in mesh.branches:
        yield from _leaves(branch.element, branch.from_node, branch.to_node, inner)


def nodes_of(mesh: Mesh) -> tuple[Node, ...]:
    """The nodes of a mesh: the minus terminal first, then as the branches name them."""
    found: dict[Node, None] = {mesh.minus_node: None, mesh.plus_node: None}
    for branch in mesh.branches:
        found[branch.from_node] = None
        found[branch.to_node] = None
    return tuple(found)


def incidence(mesh: Mesh) -> tuple[np.ndarray, np.ndarray]:
    """Where each branch stands in `nodes_of(mesh)`: from and to, (branches,) each."""
    place = {node: k for k, node in enumerate(nodes_of(mesh))}
    ends = [(place[branch.from_node], place[branch.to_node]) for branch in mesh.branches]
    pairs = np.array(ends, dtype=np.intp)
    return pairs[:, 0], pairs[:, 1]


def _leaves(
    part: Element, minus: Node, plus: Node, inner: Iterator[InnerNode]
) -> Iterator[tuple[LeafElement, Node, Node]]:
    if isinstance(part, Turned):
        yield from _leaves(part.child, plus, minus, inner)
    elif isinstance(part, Parallel):
        for child in part.children:
            yield from _leaves(child, minus, plus, inner)
    elif isinstance(part, Series):
        at = minus
        for child in part.children[:-1]:
            to = next(inner)
            yield from _leaves(child, at, to, inner)
            at = to
        yield from _leaves(part.children[-1], at, plus, inner)
    else:
        yield part, minus, plus


def _unreached(mesh: Mesh) -> list[Node]:
    """Nodes without a path of branches to the minus terminal."""
    neighbours: dict[Node, list[Node]] = {node: [] for node in nodes_of(mesh)}
    for branch in mesh.branches:
        neighbours[branch.from_node].append(branch.to_node)
        neighbours[branch.to_node].append(branch.from_node)
    reached = {mesh.minus_node}
    waiting = [mesh.minus_node]
    while waiting:
        for node in neighbours[waiting.pop()]:
            if node not in reached:
                reached.add(node)
                waiting.append(node)
    return [node for node in neighbours if node not in reached]
