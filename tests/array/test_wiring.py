"""Faults that join places to each other or to earth, and one that does not."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvsim.array import Fault, Place, add_fault, circuits, level_curve, paint, set_array, solve_array
from pvsim.circuit import Resistor, Series, solve
from pvsim.circuit.mesh import Mesh
from tests.array.samples import faulty, scenario

LEADS = {"cable_resistance_ohm": 0.3}
BALANCE = 1e-9  # stated bound of the solver's relative residual


def two_strings(**array):
    return scenario(4, 4, type="full-36", string=LEADS, main_cable_resistance_ohm=0.1, **array)


def check_balance(solution) -> None:
    point = solution.trackers[0].point
    assert solution.residual <= BALANCE
    scale = np.abs(point.leaf_power_W).sum()
    assert point.leaf_power_W.sum() == pytest.approx(point.power_W, abs=1e-8 * scale)


def test_one_earth_fault_alone_in_an_ungrounded_array_changes_nothing() -> None:
    sound, touched = solve_array(two_strings()), solve_array(faulty(two_strings(), ("earth-fault", "1/2")))
    assert touched.power_W == sound.power_W
    assert not isinstance(circuits(touched.scenario).trackers[0].circuit, Mesh)


def test_two_earth_faults_at_different_heights_let_current_flow_through_earth() -> None:
    solution = solve_array(faulty(two_strings(), ("earth-fault", "1/1", 0.5), ("earth-fault", "2/3", 0.5)))
    assert solution.power_W < 0.9 * solve_array(two_strings()).power_W
    through = solution.trackers[0].point.leaf_current_A[list(solution.built.fault_leaf)]
    assert abs(through[0]) > 1.0
    assert through[0] == pytest.approx(-through[1], rel=1e-6)  # what enters earth leaves it
    check_balance(solution)


def test_two_earth_faults_at_equal_heights_of_equal_strings_change_nothing() -> None:
    solution = solve_array(faulty(two_strings(), ("earth-fault", "1/2"), ("earth-fault", "2/2")))
    assert solution.power_W == pytest.approx(solve_array(two_strings()).power_W, rel=1e-9)


def test_one_earth_fault_with_a_grounded_pole_shorts_the_modules_below_it() -> None:
    grounded = set_array(two_strings(), grounded="negative")
    assert solve_array(grounded).power_W == solve_array(two_strings()).power_W
    high, low = (solve_array(faulty(grounded, ("earth-fault", f"1/{k}", 0.01))) for k in (4, 1))
    assert high.power_W < low.power_W < solve_array(grounded).power_W
    # The faulty pole is nearly a short across both strings.
    assert high.power_W < 0.05 * solve_array(grounded).power_W
    check_balance(high)
    check_balance(low)


def test_a_weak_earth_fault_costs_what_flows_through_it() -> None:
    # Without leads every cell is at its own maximum, where a little current moved costs nothing.
    grounded = scenario(4, 4, type="full-36", grounded="negative")
    solution = solve_array(faulty(grounded, ("earth-fault", "1/2", 10_000.0)))
    fault = solution.built.fault_leaf[0]
    point = solution.trackers[0].point
    volts = solution.modules.voltage_V[:2].sum()
    assert -point.leaf_power_W[fault] == pytest.approx(volts**2 / 10_000.0, rel=1e-6)
    lost = solve_array(grounded).power_W - solution.power_W
    assert lost == pytest.approx(volts**2 / 10_000.0, rel=0.01)  # a little is what diodes leak


def test_a_wire_between_equal_places_of_equal_strings_changes_nothing() -> None:
    solution = solve_array(faulty(two_strings(), ("string-bridge", "1/2", "2/2")))
    assert solution.power_W == pytest.approx(solve_array(two_strings()).power_W, rel=1e-9)


def test_a_wire_within_one_string_shorts_the_modules_between() -> None:
    bridged = faulty(scenario(4, type="full-36"), ("string-bridge", "1/1", 0.001, "1/3"))
    rest = solve_array(scenario(2, type="full-36"))
    assert solve_array(bridged).characteristic.voc_V == pytest.approx(rest.characteristic.voc_V, rel=1e-3)
    check_balance(solve_array(bridged))


def test_a_wire_between_different_heights_costs_power_in_both_strings() -> None:
    solution = solve_array(faulty(two_strings(), ("string-bridge", "1/1", "2/2")))
    assert solution.power_W < 0.95 * solve_array(two_strings()).power_W
    check_balance(solution)


def test_the_mesh_of_an_array_agrees_with_the_tree_where_the_joint_carries_nothing() -> None:
    # A wire of 1e9 ohm joins the strings: the nodal solver gets what the fast one gets.
    shaded = paint(two_strings(), [Place(1, 2, 5), Place(2, 4)], 0.4)
    tree, mesh = solve_array(shaded), solve_array(faulty(shaded, ("string-bridge", "1/2", 1e9, "2/3")))
    assert isinstance(mesh.built.trackers[0].circuit, Mesh)
    assert mesh.power_W == pytest.approx(tree.power_W, rel=1e-6)  # the wire's own current
    np.testing.assert_allclose(
        mesh.strings.current_A, tree.strings.current_A, rtol=1e-4
    )  # power is flat at its top
    np.testing.assert_allclose(mesh.modules.voltage_V, tree.modules.voltage_V, rtol=1e-4)


def test_a_cross_tied_array_takes_joints_too() -> None:
    tied = two_strings(wiring="cross-tied")
    same_row = faulty(tied, ("string-bridge", "1/2", "2/2"))
    assert solve_array(same_row).power_W == pytest.approx(solve_array(tied).power_W, rel=1e-9)
    grounded = faulty(set_array(tied, grounded="negative"), ("earth-fault", "2/2", 0.2))
    solution = solve_array(grounded)
    assert solution.power_W < 0.8 * solve_array(tied).power_W
    check_balance(solution)
    at_the_end = solve_array(faulty(set_array(tied, grounded="negative"), ("earth-fault", "2/4", 0.2)))
    check_balance(at_the_end)


def test_a_grounded_array_with_a_tracker_a_string_keeps_the_fault_to_its_string() -> None:
    apart = set_array(two_strings(), grounded="negative", tracking="per-string")
    solution = solve_array(faulty(apart, ("earth-fault", "1/2", 0.5)))
    sound = solve_array(apart)
    assert solution.trackers[1].point.power_W == pytest.approx(sound.trackers[1].point.power_W, rel=1e-12)
    assert solution.trackers[0].point.power_W < 0.9 * sound.trackers[0].point.power_W


def test_a_module_left_out_takes_its_earth_fault_with_it() -> None:
    grounded = set_array(two_strings(), grounded="negative")
    short = faulty(grounded, ("modules-too-few", "1", 1))
    assert solve_array(faulty(short, ("earth-fault", "1/4"))).power_W == solve_array(short).power_W


def test_the_curve_of_a_joined_array_is_a_mesh_s_and_of_its_string_is_not() -> None:
    joined = faulty(two_strings(), ("string-bridge", "1/1", "2/2"))
    assert level_curve(joined, Place()).mpp.power_W == pytest.approx(solve_array(joined).power_W, rel=1e-6)
    assert level_curve(joined, Place(1)).mpp.power_W == pytest.approx(
        level_curve(two_strings(), Place(1)).mpp.power_W, rel=1e-12
    )


def test_a_long_cross_tied_block_of_one_string_is_a_string() -> None:
    one = scenario(3, wiring="cross-tied", string=LEADS)
    assert solve_array(one).power_W == pytest.approx(
        solve_array(scenario(3, string=LEADS)).power_W, rel=1e-12
    )


def test_a_main_cable_is_in_series_with_all_strings() -> None:
    strings = circuits(scenario(2, 2)).trackers[0].circuit
    cabled = Series((strings, Resistor(resistance_ohm=0.25)))
    expected = solve(cabled).mpp.power_W
    assert solve_array(scenario(2, 2, main_cable_resistance_ohm=0.25)).power_W == pytest.approx(
        expected, rel=1e-9
    )


@st.composite
def joined_arrays(draw):
    """Arrays with one to three joints among their modules and earth."""
    length, strings = draw(st.integers(1, 4)), draw(st.integers(1, 3))
    start = scenario(
        *([length] * strings),
        type=draw(st.sampled_from(["full-36", "full-60", "half-120"])),
        wiring=draw(st.sampled_from(["strings", "cross-tied"])),
        grounded=draw(st.sampled_from(["none", "negative"])),
        string={
            "cable_resistance_ohm": draw(st.sampled_from([0.0, 0.3])),
            "blocking_diode": draw(st.booleans()),
        },
        main_cable_resistance_ohm=draw(st.sampled_from([0.0, 0.1])),
    )
    places = st.builds(Place, st.integers(1, strings), st.integers(1, length))
    dark = [Place(p.string, p.module, draw(st.integers(1, 36))) for p in draw(st.lists(places, max_size=2))]
    start = paint(start, dark, draw(st.floats(0.0, 1.0)))
    for _ in range(draw(st.integers(1, 3))):
        one, other = draw(places), draw(places)
        size = draw(st.sampled_from([0.001, 0.1, 10.0, 1e5]))
        if one != other and draw(st.booleans()):
            start = add_fault(start, Fault("string-bridge", one, size, other))
        else:
            start = add_fault(start, Fault("earth-fault", one, size))
    return start


@settings(max_examples=25)  # a mesh takes some tenths of a second
@given(joined_arrays())
def test_random_joints_are_solved_and_balanced(start) -> None:
    check_balance(solve_array(start))
