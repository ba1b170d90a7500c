"""Laws every circuit obeys, tried on random nested ones with random conditions."""

from __future__ import annotations

import os
from collections.abc import Iterator
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvsim.circuit import (
    Characteristic,
    Element,
    OperatingPoint,
    Parallel,
    Series,
    Turned,
    leaves,
    operate,
    solve,
)
from pvsim.circuit.kernel import is_compiled
from pvsim.circuit.mesh import expand
from pvsim.circuit.nodal import operate_mesh
from tests.circuit.conftest import go
from tests.circuit.plain import missed
from tests.circuit.samples import circuit, circuits

usual = settings(max_examples=150)  # of each law, compiled; the slow test below tries thousands of circuits
# The benchmark tries ten thousand arrays each time; here they are circuits, a quarter as many unless a long
# run is asked for. Shared out, so that no worker is left with all of them at the end.
RANDOM_CIRCUITS = 10_000 if os.environ.get("PVSIM_HYPOTHESIS") == "long" else 2_500
AT_A_TIME = 500
BAR = 1e-9  # the stated bar: relative to the largest current and voltage, at least 1 A and 1 V
shares = st.floats(0.0, 1.0)


def scale(values: np.ndarray) -> float:
    return max(float(np.max(np.abs(values))), 1.0)


def somewhere(shown: Characteristic, share: float) -> float:
    """A voltage in the window of a curve."""
    return float(shown.voltage_V[0] + share * (shown.voltage_V[-1] - shown.voltage_V[0]))


def sums(
    part: Element, leaf: Iterator[tuple[float, float]], gaps: list[tuple[float, float]]
) -> tuple[float, float]:
    """Voltage and current of a part from those of its leaves; collects what does not balance."""
    if isinstance(part, Turned):
        V, I = sums(part.child, leaf, gaps)
        return -V, -I
    if not isinstance(part, (Series, Parallel)):
        return next(leaf)
    V, I = np.array([sums(child, leaf, gaps) for child in part.children]).T
    if isinstance(part, Series):
        gaps.append((0.0, float(np.ptp(I))))
        return float(V.sum()), float(I[0])
    gaps.append((float(np.ptp(V)), 0.0))
    return float(V[0]), float(I.sum())


def check_balances(made: Element, point: OperatingPoint) -> None:
    """Kirchhoff's laws at every element, every leaf's own law, and the power."""
    V, I = point.leaf_voltage_V, point.leaf_current_A
    I_scale, V_scale = scale(I), scale(V)
    gaps = [(0.0, 0.0)]
    V_sum, I_sum = sums(made, iter(zip(V.tolist(), I.tolist(), strict=True)), gaps)
    assert abs(V_sum - point.voltage_V) <= BAR * V_scale
    assert abs(I_sum - point.current_A) <= BAR * I_scale
    V_gap, I_gap = np.max(np.abs(gaps), axis=0)
    assert V_gap <= BAR * V_scale
    assert I_gap <= BAR * I_scale
    for leaf, v, i in zip(leaves(made), V.tolist(), I.tolist(), strict=True):
        current_A, voltage_V = missed(leaf, v, i)
        # Twice the bar: here V and I as given are judged, rounding of V included.
        assert abs(current_A) <= 2.0 * BAR * I_scale, leaf
        assert abs(voltage_V) <= BAR * V_scale, leaf
    np.testing.assert_allclose(point.leaf_power_W, V * I, rtol=1e-12, atol=1e-300)  # rounding
    assert abs(point.leaf_power_W.sum() - point.power_W) <= BAR * I_scale * V_scale * len(V)
    assert point.residual_A <= BAR


def check_curve(shown: Characteristic) -> None:
    """No gaps, one direction, and key points that belong to the curve."""
    I_scale = scale(shown.current_A)
    assert np.all(np.isfinite(shown.voltage_V))
    assert np.all(np.isfinite(shown.current_A))
    assert np.all(np.diff(shown.voltage_V) >= 0.0)
    assert np.all(np.diff(shown.current_A) <= 2.0 * BAR * I_scale)
    assert np.isfinite(
        [shown.isc_A, shown.voc_V, shown.slope_at_isc_A_per_V, shown.slope_at_voc_A_per_V]
    ).all()
    assert shown.slope_at_isc_A_per_V <= 0.0
    assert shown.slope_at_voc_A_per_V <= 0.0
    assert 0.0 <= shown.fill_factor <= 1.0
    assert shown.residual_A <= BAR
    powers = [peak.power_W for peak in shown.mpps]
    assert max(powers, default=0.0) == shown.mpp.power_W
    lit = (shown.voltage_V > 0.0) & (shown.current_A > 0.0)
    assert np.all(shown.power_W[lit] <= shown.mpp.power_W * (1.0 + BAR) + BAR)


@usual
@given(circuits())
def test_a_curve_falls_without_gaps_and_its_key_points_bound_it(made: Element) -> None:
    check_curve(solve(made, points=24))


@usual
@given(circuits(), shares)
def test_currents_voltages_and_powers_balance_at_every_element(made: Element, share: float) -> None:
    check_balances(made, operate(made, voltage_V=somewhere(solve(made, points=8), share)))


@usual
@given(circuits(), shares)
def test_the_tree_solver_and_the_nodal_solver_agree_at_every_leaf(made: Element, share: float) -> None:
    voltage_V = somewhere(solve(made, points=8), share)
    tree, nodal = operate(made, voltage_V=voltage_V), operate_mesh(expand(made), voltage_V=voltage_V)
    # A bridge of 1e-9 ohm turns rounding of the voltages beside it, 1e-15 of them, into current.
    atol = 10.0 * BAR * scale(tree.leaf_current_A)
    assert tree.current_A == pytest.approx(nodal.current_A, abs=atol)
    np.testing.assert_allclose(tree.leaf_current_A, nodal.leaf_current_A, rtol=0.0, atol=atol)


@usual
@given(circuits(), shares, st.randoms(use_true_random=False))
def test_the_order_of_children_changes_nothing_outside(made: Element, share: float, rng: Random) -> None:
    voltage_V = somewhere(solve(made, points=8), share)
    first, second = operate(made, voltage_V=voltage_V), operate(shuffled(made, rng), voltage_V=voltage_V)
    assert first.current_A == pytest.approx(second.current_A, abs=2.0 * BAR * scale(first.leaf_current_A))


@usual
@given(circuits(), shares)
def test_equal_leaves_side_by_side_fare_equally(made: Element, share: float) -> None:
    pair = Parallel((Series((made, made)), made))
    point = operate(pair, voltage_V=somewhere(solve(pair, points=8), share))
    one, two, _ = np.split(point.leaf_current_A, 3)
    np.testing.assert_allclose(one, two, rtol=0.0, atol=BAR * scale(point.leaf_current_A))


@usual
@given(circuits(), shares)
def test_a_part_turned_has_its_curve_turned(made: Element, share: float) -> None:
    voltage_V = somewhere(solve(made, points=8), share)
    ahead, back = operate(made, voltage_V=voltage_V), operate(Turned(made), voltage_V=-voltage_V)
    atol = 2.0 * BAR * scale(ahead.leaf_current_A)
    assert ahead.current_A == pytest.approx(-back.current_A, abs=atol)
    np.testing.assert_allclose(ahead.leaf_current_A, back.leaf_current_A, rtol=0.0, atol=atol)


@usual
@given(circuits(), shares)
def test_driving_the_current_found_at_a_voltage_leads_back(made: Element, share: float) -> None:
    at = operate(made, voltage_V=somewhere(solve(made, points=8), share))
    back = operate(made, current_A=at.current_A)
    assert back.current_A == pytest.approx(at.current_A, rel=1e-12, abs=1e-12)
    again = operate(made, voltage_V=back.voltage_V)
    assert again.current_A == pytest.approx(at.current_A, abs=2.0 * BAR * scale(at.leaf_current_A))


@usual
@given(circuits(), st.floats(-3.0, 6.0))
def test_a_load_takes_the_voltage_its_resistance_gives(made: Element, decades: float) -> None:
    load_ohm = 10.0**decades
    point = operate(made, load_ohm=load_ohm)
    V_scale, I_scale = scale(point.leaf_voltage_V), scale(point.leaf_current_A)
    assert abs(point.voltage_V - load_ohm * point.current_A) <= BAR * (V_scale + load_ohm * I_scale)
    assert point.power_W >= -BAR * V_scale * I_scale  # a resistor delivers nothing


@usual
@given(circuits())
def test_at_the_maximum_power_point_no_neighbour_has_more(made: Element) -> None:
    shown = solve(made, points=24)
    for peak in shown.mpps:
        assert peak.power_W == pytest.approx(peak.voltage_V * peak.current_A, rel=1e-12)
        for side in (-1e-3, 1e-3):
            beside = operate(made, voltage_V=peak.voltage_V * (1.0 + side))
            assert beside.power_W <= peak.power_W + BAR * scale(beside.leaf_current_A) * peak.voltage_V
    if shown.mpps:
        assert operate(made, at_mpp=True).power_W == pytest.approx(shown.mpp.power_W, rel=1e-9)


@pytest.mark.slow
@pytest.mark.parametrize("first", range(0, RANDOM_CIRCUITS, AT_A_TIME))
def test_thousands_of_random_circuits_obey_all_laws(first: int, monkeypatch: pytest.MonkeyPatch) -> None:
    # By turns compiled and array by array, where there is a choice.
    go("compiled" if is_compiled() and first // AT_A_TIME % 2 == 0 else "array by array", monkeypatch)
    for seed in range(first, first + AT_A_TIME):
        rng = Random(seed)
        made = circuit(rng)
        shown = solve(made, points=24)
        check_curve(shown)
        voltage_V = somewhere(shown, rng.random())
        point = operate(made, voltage_V=voltage_V)
        check_balances(made, point)
        if seed % 10 == 0:
            nodal = operate_mesh(expand(made), voltage_V=voltage_V)
            assert point.current_A == pytest.approx(
                nodal.current_A, abs=10.0 * BAR * scale(point.leaf_current_A)
            )


def shuffled(part: Element, rng: Random) -> Element:
    """The same circuit with the children of every part in another order."""
    if isinstance(part, Turned):
        return Turned(shuffled(part.child, rng))
    if isinstance(part, (Series, Parallel)):
        children = [shuffled(child, rng) for child in part.children]
        rng.shuffle(children)
        return type(part)(tuple(children))
    return part
