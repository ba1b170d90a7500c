"""Meshes solved as trees with stars at the root: held to the nodal solver of the same leaves."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvsim.circuit import Cell, Element, Parallel, Resistor, Series, Turned, leaves, operate, solve
from pvsim.circuit.descent import Descent
from pvsim.circuit.mesh import Branch, Mesh, expand
from pvsim.circuit.nodal import operate_mesh
from pvsim.circuit.register import current_register
from pvsim.circuit.tabulation import table_of
from tests.circuit.plain import missed
from tests.circuit.samples import BYPASS, PLAIN, circuit

BAR = 1e-9  # the stated bar: relative to the largest current and voltage, at least 1 A and 1 V
LIT, SHADED = Cell(type=PLAIN), Cell(type=PLAIN, irradiance_W_m2=200.0)


def module(*odd: Cell, cells: int = 6) -> Element:
    """Two substrings, some cells of the first not lit."""
    first = Series((*odd, *(LIT,) * (cells - len(odd))))
    return Series((Parallel((first, BYPASS)), Parallel((Series((LIT,) * cells), BYPASS))))


def random_mesh(rng: Random, *, nodes: int = 5, branches: int = 9) -> Mesh:
    """Random parts between random nodes, joined so that every node is reached."""
    count = rng.randint(2, nodes)
    ends = [(rng.randrange(node), node) for node in range(1, count)]
    ends += [
        (rng.randrange(count), rng.randrange(count)) for _ in range(rng.randint(1, branches - len(ends)))
    ]
    return Mesh(tuple(Branch(circuit(rng, 2), *pair) for pair in ends), plus_node=1, minus_node=0)


def meshes() -> st.SearchStrategy[Mesh]:
    """Random meshes that hypothesis can shrink."""
    return st.randoms(use_true_random=False).map(random_mesh)


def joined_strings(modules: int = 6, *, wire_ohm: float = 0.01) -> Mesh:
    """Two strings, one with shaded modules; a wire from its second module to the other's fourth."""
    one = [module(SHADED) if k % 2 else module() for k in range(modules)]
    two = [module() for _ in range(modules)]
    return Mesh(
        (
            Branch(Series(tuple(one[:2])), "minus", "a"),
            Branch(Series(tuple(one[2:])), "a", "plus"),
            Branch(Series(tuple(two[:4])), "minus", "b"),
            Branch(Series(tuple(two[4:])), "b", "plus"),
            Branch(Resistor(resistance_ohm=wire_ohm), "a", "b"),
        ),
        plus_node="plus",
        minus_node="minus",
    )


def scale(values: np.ndarray) -> float:
    return max(float(np.max(np.abs(values))), 1.0)


def check_point(mesh: Mesh, voltage_V: float) -> None:
    """A point held to the laws of its leaves, to the power they deliver, and to the nodal solver."""
    point = operate(mesh, voltage_V=voltage_V)
    theirs = operate_mesh(expand(mesh), voltage_V=voltage_V)
    I_scale, V_scale = scale(point.leaf_current_A), scale(point.leaf_voltage_V)
    assert point.residual_A <= BAR
    assert point.voltage_V == pytest.approx(voltage_V, abs=BAR * V_scale)
    for leaf, v, i in zip(
        leaves(mesh), point.leaf_voltage_V.tolist(), point.leaf_current_A.tolist(), strict=True
    ):
        current_A, off_V = missed(leaf, v, i)
        assert abs(current_A) <= 2.0 * BAR * I_scale, leaf
        assert abs(off_V) <= BAR * V_scale, leaf
    power_W = point.leaf_power_W.sum() - point.power_W
    assert abs(power_W) <= BAR * I_scale * V_scale * len(point.leaf_power_W)
    # A bridge of 1e-9 ohm turns rounding of the voltages beside it, 1e-15 of them, into current.
    atol = 10.0 * BAR * I_scale
    assert point.current_A == pytest.approx(theirs.current_A, abs=atol)
    np.testing.assert_allclose(point.leaf_current_A, theirs.leaf_current_A, rtol=0.0, atol=atol)


@settings(max_examples=60)
@given(meshes(), st.floats(0.0, 1.0))
def test_a_random_mesh_has_the_leaves_that_the_nodal_solver_finds(mesh: Mesh, share: float) -> None:
    shown = solve(mesh, points=8)
    check_point(mesh, float(shown.voltage_V[0] + share * np.ptp(shown.voltage_V)))


@settings(max_examples=40)
@given(meshes())
def test_a_random_mesh_has_a_falling_curve(mesh: Mesh) -> None:
    shown = solve(mesh, points=24)
    assert np.all(np.diff(shown.voltage_V) >= 0.0)
    assert np.all(np.diff(shown.current_A) <= 2.0 * BAR * scale(shown.current_A))
    assert shown.residual_A <= BAR
    lit = (shown.voltage_V > 0.0) & (shown.current_A > 0.0)
    assert np.all(shown.power_W[lit] <= shown.mpp.power_W * (1.0 + BAR) + BAR)


@pytest.mark.parametrize("share", [-0.1, 0.3, 0.6, 0.8, 1.05])
def test_strings_joined_by_a_wire_have_the_leaves_that_the_nodal_solver_finds(share: float) -> None:
    mesh = joined_strings()
    check_point(mesh, share * solve(mesh).voc_V)


def test_one_branch_between_the_terminals_is_the_circuit_itself() -> None:
    whole = Series((module(SHADED), module()))
    ours, theirs = solve(Mesh((Branch(whole, 0, 1),), 1, 0), points=60), solve(whole, points=60)
    assert ours.mpp.power_W == pytest.approx(theirs.mpp.power_W, rel=1e-9)
    assert [peak.voltage_V for peak in ours.mpps] == pytest.approx([peak.voltage_V for peak in theirs.mpps])
    assert ours.isc_A == pytest.approx(theirs.isc_A, rel=1e-9)
    assert ours.voc_V == pytest.approx(theirs.voc_V, rel=1e-9)


def test_a_mesh_that_is_a_tree_after_all_has_all_its_maxima_and_leaves() -> None:
    odd = (module(SHADED, SHADED), module(Cell(type=PLAIN, irradiance_W_m2=500.0)), module())
    mesh = Mesh(tuple(Branch(one, k, k + 1) for k, one in enumerate(odd)), plus_node=3, minus_node=0)
    ours, theirs = solve(mesh), solve(Series(odd))
    assert len(ours.mpps) == len(theirs.mpps) >= 3
    for one, other in zip(ours.mpps, theirs.mpps, strict=True):
        assert one.power_W == pytest.approx(other.power_W, rel=1e-9)
    point, same = operate(mesh, at_mpp=True), operate(Series(odd), at_mpp=True)
    np.testing.assert_allclose(point.leaf_current_A, same.leaf_current_A, atol=1e-6)  # a flat top's width
    assert leaves(mesh) == leaves(Series(odd))


def test_equal_branches_between_different_nodes_are_told_apart() -> None:
    mesh = Mesh(
        (
            Branch(module(), "minus", "a"),
            Branch(module(), "a", "plus"),
            Branch(Resistor(resistance_ohm=0.5), "minus", "a"),
        ),
        plus_node="plus",
        minus_node="minus",
    )
    point = operate(mesh, current_A=3.0)
    # The first cell of each module and the diode beside it.
    first, second = (point.leaf_current_A[k] + point.leaf_current_A[k + 6] for k in (0, 14))
    assert second == pytest.approx(3.0, abs=1e-8)
    assert first > 9.0  # shorted by half an ohm


def test_a_turned_branch_stands_end_for_end() -> None:
    turned = Mesh((Branch(Turned(module()), 0, 1), Branch(Series((module(),) * 2), 1, 2)), 2, 0)
    swapped = Mesh((Branch(module(), 1, 0), Branch(Series((module(),) * 2), 1, 2)), 2, 0)
    assert operate(turned, voltage_V=5.0).current_A == pytest.approx(
        operate(swapped, voltage_V=5.0).current_A, abs=1e-8
    )


def test_a_branch_with_both_ends_at_one_node_carries_its_short_circuit_current() -> None:
    way = (Branch(LIT, "minus", "a"), Branch(SHADED, "a", "plus"))
    mesh = Mesh((Branch(LIT, "a", "a"), *way), "plus", "minus")
    point = operate(mesh, voltage_V=0.5)
    assert point.leaf_current_A[0] == pytest.approx(solve(LIT).isc_A, abs=1e-8)
    assert point.leaf_voltage_V[0] == pytest.approx(0.0, abs=1e-9)


DRIVES = [{"current_A": 5.0}, {"current_A": -4.0}, {"load_ohm": 1.5}, {"load_ohm": 0.0}]


@pytest.mark.parametrize("drive", DRIVES)
def test_a_driven_point_is_the_nodal_solver_s(drive: dict[str, float]) -> None:
    mesh = joined_strings()
    ours, theirs = operate(mesh, **drive), operate_mesh(expand(mesh), **drive)  # type: ignore[arg-type]
    assert ours.voltage_V == pytest.approx(theirs.voltage_V, abs=1e-6)
    np.testing.assert_allclose(ours.leaf_current_A, theirs.leaf_current_A, atol=1e-7)


def test_the_table_of_a_mesh_lies_on_its_curve() -> None:
    mesh = joined_strings(wire_ohm=1.0)
    register, _ = current_register()
    table = table_of(register, register.electric_number(register.number(mesh)), 64.0)
    shown = solve(mesh, points=300)
    off = np.abs(table.voltage(shown.current_A) - shown.voltage_V)
    near = (shown.current_A > -2.0) & (shown.current_A < 1.05 * shown.isc_A)
    # A thousandth of its voltage: where an exact solve starts from, and where maxima are looked for.
    steep = np.abs(np.gradient(shown.voltage_V, shown.current_A)) < 20.0
    assert np.all(off[near & steep] <= 2e-3 * shown.voc_V)
    assert abs(table.voltage(np.zeros(1))[0] - shown.voc_V) <= 1e-3 * shown.voc_V


def test_a_cold_start_needs_no_descent(monkeypatch: pytest.MonkeyPatch) -> None:
    def never(*_: object) -> np.ndarray:
        raise AssertionError("full steps circled")

    monkeypatch.setattr(Descent, "lowest", never)
    for wire_ohm in (1e-6, 0.1, 30.0, 1e5):
        solve(joined_strings(9, wire_ohm=wire_ohm))
