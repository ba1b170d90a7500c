"""Networks of any wiring: closed forms, balances, and equality with what they reduce to."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import numpy as np
import pytest

from pvsim.circuit import (
    Cell,
    Element,
    Parallel,
    Resistor,
    Series,
    Turned,
    balance,
    leaves,
    operate,
    solve,
)
from pvsim.circuit.mesh import Branch, Mesh, MeshPoint, expand, incidence
from pvsim.circuit.nodal import operate_mesh, solve_mesh
from pvsim.circuit.parameter import BranchCurves
from pvsim.errors import CircuitError, ConvergenceError
from tests.circuit.samples import BYPASS, PLAIN, circuit

LIT = Cell(type=PLAIN)
SHADED = Cell(type=PLAIN, irradiance_W_m2=200.0)
AGREEMENT = 1e-8  # relative to 1 A or 1 V; both solvers promise 1e-9


def ohm(value: float) -> Resistor:
    return Resistor(resistance_ohm=value)


def module(*odd: Cell, cells: int = 6) -> Element:
    """Two substrings, some cells of the first not lit."""
    first = Series((*odd, *(LIT,) * (cells - len(odd))))
    return Series((Parallel((first, BYPASS)), Parallel((Series((LIT,) * cells), BYPASS))))


def bridged(*, wire_ohm: float = 0.01) -> Mesh:
    """Two strings of two modules; a wire from the middle of one to the top of the other."""
    return Mesh(
        (
            Branch(module(), "minus", "a"),
            Branch(module(SHADED), "a", "plus"),
            Branch(Series((module(), module())), "minus", "b"),
            Branch(ohm(0.1), "b", "plus"),
            Branch(ohm(wire_ohm), "a", "b"),
        ),
        plus_node="plus",
        minus_node="minus",
    )


def imbalance(mesh: Mesh, point: MeshPoint) -> float:
    """Largest current that does not balance at a node, in A."""
    missed = dict.fromkeys(point.nodes, 0.0)
    for branch, current_A in zip(mesh.branches, point.branch_current_A, strict=True):
        missed[branch.to_node] += current_A
        missed[branch.from_node] -= current_A
    missed[mesh.plus_node] -= point.current_A
    missed[mesh.minus_node] += point.current_A
    return max(abs(value) for value in missed.values())


def test_an_unbalanced_bridge_of_resistors_has_the_resistance_of_the_closed_form() -> None:
    mesh = Mesh(
        (
            Branch(ohm(1.0), "minus", "a"),
            Branch(ohm(2.0), "a", "plus"),
            Branch(ohm(3.0), "minus", "b"),
            Branch(ohm(5.0), "b", "plus"),
            Branch(ohm(4.0), "a", "b"),
        ),
        plus_node="plus",
        minus_node="minus",
    )
    # Star of the delta a-b-plus: 2*4/11 at a, 5*4/11 at b, 2*5/11 at plus.
    at_a, at_b, at_plus = 8 / 11, 20 / 11, 10 / 11
    resistance_ohm = at_plus + 1.0 / (1.0 / (1.0 + at_a) + 1.0 / (3.0 + at_b))
    point = operate_mesh(mesh, voltage_V=10.0)
    assert point.current_A == pytest.approx(-10.0 / resistance_ohm, rel=1e-14)  # rounding


def test_a_wire_between_points_of_equal_voltage_carries_nothing() -> None:
    string = (Branch(module(), "minus", "a"), Branch(module(), "a", "plus"))
    twin = (Branch(module(), "minus", "b"), Branch(module(), "b", "plus"))
    point = operate_mesh(Mesh((*string, *twin, Branch(ohm(0.0), "a", "b")), "plus", "minus"), voltage_V=10.0)
    # Rounding of 5 V over the 1e-9 ohm that stand for a wire.
    assert abs(point.branch_current_A[-1]) <= 1e-15 * 5.0 / 1e-9
    assert point.current_A == pytest.approx(
        2 * operate(Series((module(),) * 2), voltage_V=10.0).current_A, abs=1e-8
    )


def test_wires_between_all_neighbours_make_the_strings_cross_tied() -> None:
    one, two = (module(), module(SHADED)), (module(SHADED, SHADED), module())
    mesh = Mesh(
        (
            Branch(one[0], "minus", "a"),
            Branch(one[1], "a", "plus"),
            Branch(two[0], "minus", "b"),
            Branch(two[1], "b", "plus"),
            Branch(ohm(1e-6), "a", "b"),
        ),
        plus_node="plus",
        minus_node="minus",
    )
    tied = Series((Parallel((one[0], two[0])), Parallel((one[1], two[1]))))
    for voltage_V in (-1.0, 4.0, 11.0, 14.5):
        found = operate_mesh(mesh, voltage_V=voltage_V).current_A
        # 10 A through the 1e-6 ohm of the wire shift voltages by 1e-5 V, slopes reach 10 A/V.
        assert found == pytest.approx(operate(tied, voltage_V=voltage_V).current_A, abs=1e-4)


def test_two_earth_faults_short_the_modules_between_them() -> None:
    # Faults of 0.2 ohm each, at both ends of the middle module: 0.4 ohm across it.
    mesh = Mesh(
        (
            Branch(module(), "minus", 1),
            Branch(module(), 1, 2),
            Branch(module(SHADED), 2, "plus"),
            Branch(ohm(0.2), 1, "earth"),
            Branch(ohm(0.2), 2, "earth"),
        ),
        plus_node="plus",
        minus_node="minus",
    )
    same = Series((module(), Parallel((module(), ohm(0.4))), module(SHADED)))
    ours, theirs = solve_mesh(mesh, points=40), solve(same, points=40)
    assert ours.isc_A == pytest.approx(theirs.isc_A, abs=AGREEMENT)
    assert ours.voc_V == pytest.approx(theirs.voc_V, abs=AGREEMENT)
    assert ours.mpp.power_W == pytest.approx(theirs.mpp.power_W, abs=1e-7)  # 15 V times 1e-8 A
    assert len(ours.mpps) == len(theirs.mpps)
    assert ours.fill_factor == pytest.approx(theirs.fill_factor, abs=AGREEMENT)
    assert ours.slope_at_isc_A_per_V == pytest.approx(theirs.slope_at_isc_A_per_V, rel=1e-6)
    assert ours.slope_at_voc_A_per_V == pytest.approx(theirs.slope_at_voc_A_per_V, rel=1e-6)


def test_a_grounded_minus_and_one_earth_fault_take_the_modules_below_out_of_the_string() -> None:
    mesh = Mesh(
        (
            Branch(module(), "minus", 1),
            Branch(module(), 1, "plus"),
            Branch(ohm(1e-6), "minus", 1),
        ),
        plus_node="plus",
        minus_node="minus",
    )
    point = operate_mesh(mesh, current_A=0.0)
    assert point.voltage_V == pytest.approx(operate(module(), current_A=0.0).voltage_V, abs=1e-4)
    # The module below is shorted by the ground.
    assert point.branch_current_A[0] == pytest.approx(solve(module()).isc_A, abs=1e-4)


def test_a_cell_shorted_by_the_wiring_carries_its_short_circuit_current() -> None:
    mesh = Mesh(
        (Branch(LIT, "a", "a"), Branch(SHADED, "minus", "a"), Branch(ohm(1.0), "a", "plus")), "plus", "minus"
    )
    point = operate_mesh(mesh, voltage_V=0.0)
    assert point.branch_current_A[0] == pytest.approx(solve(LIT).isc_A, abs=AGREEMENT)
    assert point.branch_voltage_V[0] == pytest.approx(0.0, abs=1e-12)  # BALANCE


@pytest.mark.parametrize(
    "drive",
    [
        pytest.param({"voltage_V": -3.0}, id="reverse-voltage"),
        pytest.param({"voltage_V": 9.0}, id="voltage"),
        pytest.param({"current_A": 5.0}, id="current"),
        pytest.param({"current_A": -4.0}, id="current-fed-back"),
        pytest.param({"load_ohm": 0.0}, id="short-circuit"),
        pytest.param({"load_ohm": 1.5}, id="load"),
        pytest.param({"load_ohm": 1e6}, id="light-load"),
        pytest.param({"at_mpp": True}, id="mpp"),
    ],
)
def test_currents_balance_at_every_node_and_power_over_the_whole_mesh(drive: dict[str, float]) -> None:
    mesh = bridged()
    point = operate_mesh(mesh, **drive)  # type: ignore[arg-type]
    assert imbalance(mesh, point) <= 1e-9 * 20.0  # the stated bar, of two strings of 10 A
    assert point.leaf_power_W.sum() == pytest.approx(
        point.power_W, abs=1e-9 * np.abs(point.leaf_power_W).sum()
    )
    assert point.residual <= 1e-9  # the stated bar
    at = dict(zip(point.nodes, point.node_voltage_V, strict=True))
    along = [at[branch.to_node] - at[branch.from_node] for branch in mesh.branches]
    np.testing.assert_allclose(point.branch_voltage_V, along, atol=1e-11)  # BALANCE of 15 V
    assert at["plus"] - at["minus"] == point.voltage_V


def test_a_driven_point_is_where_it_was_asked_for() -> None:
    mesh = bridged()
    assert operate_mesh(mesh, voltage_V=7.0).voltage_V == pytest.approx(7.0, rel=1e-14)
    assert operate_mesh(mesh, current_A=2.0).current_A == pytest.approx(2.0, rel=1e-14)
    loaded = operate_mesh(mesh, load_ohm=1.5)
    assert loaded.voltage_V == pytest.approx(1.5 * loaded.current_A, rel=1e-12)


def test_the_maximum_power_point_is_stationary_and_above_its_neighbours() -> None:
    mesh = bridged()
    peak = operate_mesh(mesh, at_mpp=True)
    for side in (-0.01, 0.01):
        assert operate_mesh(mesh, voltage_V=peak.voltage_V + side).power_W < peak.power_W
    shown = solve_mesh(mesh, points=50)
    assert shown.mpp.power_W == pytest.approx(peak.power_W, rel=1e-9)
    assert shown.power_W.max() <= shown.mpp.power_W


def test_parts_as_branches_and_every_leaf_as_a_branch_give_the_same_mesh() -> None:
    mesh = bridged()
    for voltage_V in (-2.0, 3.0, 12.0, 16.0):
        whole, flat = operate_mesh(mesh, voltage_V=voltage_V), operate_mesh(expand(mesh), voltage_V=voltage_V)
        assert whole.current_A == pytest.approx(flat.current_A, abs=1e-7)  # 1e-9 of 20 A, a few elements
        np.testing.assert_allclose(whole.leaf_current_A, flat.leaf_current_A, atol=1e-7)
        np.testing.assert_allclose(whole.leaf_voltage_V, flat.leaf_voltage_V, atol=1e-6)
        np.testing.assert_allclose(whole.leaf_junction_V, flat.leaf_junction_V, atol=1e-6)


def test_a_part_turned_is_the_part_connected_the_other_way_round() -> None:
    turned = Mesh((Branch(Turned(module()), 0, 1), Branch(Series((module(),) * 2), 1, 2)), 2, 0)
    swapped = Mesh((Branch(module(), 1, 0), Branch(Series((module(),) * 2), 1, 2)), 2, 0)
    one, two = operate_mesh(turned, voltage_V=5.0), operate_mesh(swapped, voltage_V=5.0)
    assert one.current_A == pytest.approx(two.current_A, abs=AGREEMENT)
    assert one.branch_voltage_V[0] == pytest.approx(-two.branch_voltage_V[0], abs=AGREEMENT)


def test_swapping_equal_branches_changes_nothing() -> None:
    mesh = bridged()
    first, *rest = mesh.branches
    twice = replace(mesh, branches=(first, first, *rest))
    point = operate_mesh(twice, voltage_V=9.0)
    assert point.branch_current_A[0] == pytest.approx(point.branch_current_A[1], abs=AGREEMENT)


def test_a_curve_falls_with_voltage_and_keeps_to_the_window() -> None:
    curve = solve_mesh(bridged(), points=60, window=(-3.0, 18.0))
    assert curve.voltage_V[0] == pytest.approx(-3.0, rel=1e-12)
    assert curve.voltage_V[-1] == pytest.approx(18.0, rel=1e-12)
    assert np.all(np.diff(curve.voltage_V) > 0.0)
    assert np.all(np.diff(curve.current_A) < 0.0)
    assert len(curve.voltage_V) == 60


def test_a_curve_chosen_by_itself_reaches_beyond_both_axes() -> None:
    curve = solve_mesh(bridged(), points=60)
    assert curve.current_A[0] > curve.isc_A > 0.0 > curve.current_A[-1]
    assert curve.voltage_V[0] < 0.0 < curve.voc_V < curve.voltage_V[-1]


def test_in_the_dark_there_is_no_maximum() -> None:
    dark = replace(LIT, irradiance_W_m2=0.0)
    curve = solve_mesh(expand(Parallel((Series((dark,) * 3), BYPASS))), points=20)
    assert curve.mpps == ()
    assert curve.mpp.power_W == 0.0
    assert curve.fill_factor == 0.0


@pytest.mark.parametrize("irradiance_W_m2", [1e-12, 7.2e-97, 5e-324])
def test_hardly_any_light_is_solved_as_the_dark_is(irradiance_W_m2: float) -> None:
    dim = Cell(type=PLAIN, irradiance_W_m2=irradiance_W_m2)
    for voltage_V in (-solve(dim).voc_V, -1e-80, 0.3):
        point = operate_mesh(expand(Series((ohm(0.0), dim))), voltage_V=voltage_V)
        dark = operate(replace(dim, irradiance_W_m2=0.0), voltage_V=voltage_V)
        assert point.current_A == pytest.approx(dark.current_A, abs=AGREEMENT)


def test_leaves_stand_branch_after_branch() -> None:
    point = operate_mesh(bridged(), current_A=0.0)
    elements = [leaf for branch in bridged().branches for leaf in leaves(branch.element)]
    assert len(point.leaf_current_A) == len(elements)
    dark = [k for k, leaf in enumerate(elements) if leaf == SHADED]
    wire = [k for k, leaf in enumerate(elements) if leaf == ohm(0.01)]
    assert point.leaf_voltage_V[wire[0]] == pytest.approx(-0.01 * point.leaf_current_A[wire[0]], rel=1e-12)
    # In series with the next cell, and the only one of its chain that eats power.
    assert point.leaf_current_A[dark[0]] == pytest.approx(point.leaf_current_A[dark[0] + 1], abs=AGREEMENT)
    assert point.leaf_power_W[dark[0]] < 0.0 < point.leaf_power_W[dark[0] + 1]


@pytest.mark.parametrize("seed", range(12))
def test_the_way_by_leaks_reaches_the_same_point(seed: int) -> None:
    mesh = expand(circuit(Random(seed)))
    system = balance.System(BranchCurves(mesh), *incidence(mesh))
    drive = balance.Drive(np.zeros(1), np.ones(1), np.array([0.1]))
    direct = balance.solve_drive(system, drive)
    x, _ = balance._by_leaks(system, drive)
    np.testing.assert_allclose(system.curves.at(x[: system.B]).current_A, direct.at.current_A, atol=1e-8)


def test_a_mesh_that_is_not_solved_raises_instead_of_answering(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(balance, "STEPS", 1)
    monkeypatch.setattr(balance, "STAGES", 2)
    with pytest.raises(
        ConvergenceError, match=r"the mesh was not solved: no balance even with leaks.*balances met within"
    ):
        operate_mesh(bridged(), voltage_V=9.0)


@pytest.mark.parametrize(
    ("given", "message"),
    [
        pytest.param({}, r"0 operating conditions were given; expected exactly one of", id="none"),
        pytest.param(
            {"voltage_V": 1.0, "at_mpp": True}, r"2 operating conditions.*voltage_V, at_mpp", id="two"
        ),
        pytest.param(
            {"load_ohm": -1.0}, r"load_ohm is -1\.0; expected a finite number of at least 0", id="load"
        ),
        pytest.param({"voltage_V": float("nan")}, r"voltage_V is nan; expected a finite number", id="nan"),
    ],
)
def test_an_operating_condition_that_cannot_be_is_refused(given: dict[str, float], message: str) -> None:
    with pytest.raises(CircuitError, match=message):
        operate_mesh(bridged(), **given)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("given", "message"),
    [
        pytest.param({"points": 3}, r"points is 3; expected a whole number from 8 to 20000", id="few"),
        pytest.param({"points": 40.0}, r"points is 40\.0", id="not-whole"),
        pytest.param(
            {"window": (3.0, 1.0)}, r"window is \(3\.0, 1\.0\); expected two finite voltages", id="turned"
        ),
    ],
)
def test_a_curve_that_cannot_be_drawn_is_refused(given: dict[str, object], message: str) -> None:
    with pytest.raises(CircuitError, match=message):
        solve_mesh(bridged(), **given)  # type: ignore[arg-type]
