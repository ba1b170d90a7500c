"""Arrays whose wiring is no tree: many taps, cross-ties, heat, cells far from real ones."""

from __future__ import annotations

from itertools import count
from pathlib import Path
from random import Random
from time import thread_time

import numpy as np
import pytest

from pvsim.array import (
    ArraySolution,
    Fault,
    Place,
    Scenario,
    Shadow,
    add_fault,
    add_shadow,
    circuits,
    paint,
    set_light,
    set_weather,
    solve_array,
)
from pvsim.circuit import budget, operate, solve
from pvsim.circuit.descent import Descent
from pvsim.circuit.mesh import Mesh, as_mesh, expand
from pvsim.circuit.nodal import operate_mesh
from pvsim.errors import OvertimeError
from pvsim.files.scenario_file import read_scenario
from tests.array.samples import faulty, scenario

DATA = Path(__file__).with_name("data")
BAR = 1e-9  # the stated bar: relative to the largest current, at least 1 A
POLE = Shadow(kind="pole", x_m=2.0, y_m=3.0, width_m=0.12, height_m=30.0, angle_deg=15.0)


def read(name: str) -> Scenario:
    return read_scenario((DATA / f"{name}.toml").read_text(encoding="utf-8"), name)


@pytest.fixture
def no_descent(monkeypatch: pytest.MonkeyPatch) -> None:
    """The tables start so near that full steps arrive."""

    def never(*_: object) -> np.ndarray:
        raise AssertionError("full steps circled")

    monkeypatch.setattr(Descent, "lowest", never)


def agrees(solution: ArraySolution) -> None:
    """Every leaf of the first tracker as the nodal solver finds it, each leaf a branch of its own."""
    tracker = solution.trackers[0]
    flat = expand(as_mesh(solution.built.trackers[0].circuit))
    theirs = operate_mesh(flat, voltage_V=tracker.point.voltage_V)
    most_A = max(float(np.abs(theirs.leaf_current_A).max()), 1.0)
    np.testing.assert_allclose(
        tracker.point.leaf_current_A, theirs.leaf_current_A, rtol=0.0, atol=10.0 * BAR * most_A
    )
    assert solution.residual <= BAR


@pytest.mark.parametrize("name", ["cross-tied-wire", "sharp-breakdown"])
def test_a_scenario_that_took_minutes_is_solved_by_full_steps(name: str, no_descent: None) -> None:
    agrees(solve_array(read(name)))


def test_cells_of_their_own_type_carry_any_current_beyond_their_breakdown(no_descent: None) -> None:
    shown = solve_array(read("sharp-breakdown")).trackers[0].characteristic
    assert np.all(np.diff(shown.current_A) < 0.0)
    # 4 uA of light in the first modules: what drives more through them finds their breakdown.
    assert shown.current_A.max() > 1e-5


JOINED = {
    "two earth faults": [("earth-fault", "1/2", 5.0), ("earth-fault", "2/4", 0.5)],
    "a wire between strings": [("string-bridge", "1/2", 0.01, "2/4")],
    "both": [("earth-fault", "1/1", 50.0), ("earth-fault", "2/3", 0.1), ("string-bridge", "1/2", 1.0, "2/3")],
}


@pytest.mark.parametrize("joint", JOINED)
@pytest.mark.parametrize("grounded", ["negative", "none"])
@pytest.mark.parametrize("kind", ["full-60", "half-144"])
def test_joined_strings_under_a_pole_have_the_leaves_the_nodal_solver_finds(
    joint: str, grounded: str, kind: str, no_descent: None
) -> None:
    start = scenario(5, 5, type=kind, grounded=grounded)
    agrees(solve_array(add_shadow(faulty(start, *JOINED[joint]), POLE)))


def test_joined_strings_settle_with_their_heat(no_descent: None) -> None:
    start = faulty(scenario(8, 8, grounded="negative"), *JOINED["two earth faults"])
    solution = solve_array(add_shadow(set_weather(start, heat="feedback"), POLE))
    agrees(solution)
    change = np.abs(solution.cells.temperature_K - solution.cells.steady_temperature_K)
    assert change.max() < 0.01  # the stated bar of settled heat


def test_an_earth_fault_at_every_module_is_solved(no_descent: None) -> None:
    rng = Random(3)
    faults = [
        ("earth-fault", f"{s}/{m}", 10.0 ** rng.uniform(-2.0, 3.0)) for s in range(1, 6) for m in range(1, 9)
    ]
    solution = solve_array(faulty(scenario(8, 8, 8, 8, 8), *faults))
    assert isinstance(solution.built.trackers[0].circuit, Mesh)
    assert solution.residual <= BAR


def test_wires_between_many_places_at_random_are_solved(no_descent: None) -> None:
    rng = Random(7)
    pairs = {(rng.randint(1, 6), rng.randint(1, 6)) for _ in range(20)}
    faults = [("string-bridge", f"1/{a}", 10.0 ** rng.uniform(-2.0, 2.0), f"2/{b}") for a, b in sorted(pairs)]
    agrees(solve_array(faulty(scenario(6, 6), *faults)))


LOOPS = {  # a blocking diode on a loop of hardly any resistance, beside cells driven into breakdown
    "one wire": [("string-bridge", "1/4", 0.001, "2/2")],
    "and earth": [("earth-fault", "1/4", 0.001), ("string-bridge", "1/4", 0.001, "2/2")],
}


@pytest.mark.parametrize("main_ohm", [0.0, 0.1])
@pytest.mark.parametrize("grounded", ["none", "negative"])
@pytest.mark.parametrize("loop", LOOPS)
def test_blocking_diodes_joined_without_resistance_are_solved(
    loop: str, grounded: str, main_ohm: float
) -> None:
    start = scenario(
        4,
        4,
        type="full-36",
        grounded=grounded,
        string={"cable_resistance_ohm": 0.0, "blocking_diode": True},
        main_cable_resistance_ohm=main_ohm,
    )
    with budget.within(20.0, clock=thread_time):  # some tenths of a second; it was minutes without an end
        solution = solve_array(faulty(start, *LOOPS[loop]))
    agrees(solution)


@pytest.mark.parametrize("seed", range(12))
def test_small_joints_of_any_size_are_solved_all_along_the_curve(seed: int) -> None:
    rng = Random(seed)
    strings, length = rng.randint(2, 4), rng.randint(2, 4)
    start = scenario(
        *(length,) * strings,
        type="full-36",
        wiring=rng.choice(["strings", "cross-tied"]),
        grounded=rng.choice(["none", "negative"]),
        string={"cable_resistance_ohm": rng.choice([0.0, 0.3]), "blocking_diode": rng.random() < 0.7},
    )

    def place() -> Place:
        return Place(rng.randint(1, strings), rng.randint(1, length))

    for _ in range(rng.randint(0, 3)):
        at = place()
        dark = [Place(at.string, at.module, rng.randint(1, 36)), at][rng.random() < 0.2]
        start = paint(start, [dark], rng.choice([0.0, 0.01, 0.2, 0.9]))
    for _ in range(rng.randint(1, 4)):
        one, other, size = place(), place(), 10.0 ** rng.uniform(-3.0, 3.0)
        if one != other and rng.random() < 0.7:
            start = add_fault(start, Fault("string-bridge", one, size, other))
        else:
            start = add_fault(start, Fault("earth-fault", one, size))
    circuit = circuits(start).trackers[0].circuit
    with budget.within(20.0, clock=thread_time):
        shown = solve(circuit)
        V = rng.uniform(-0.1, 1.2) * shown.voc_V
        for held in ({"at_mpp": True}, {"voltage_V": 0.0}, {"current_A": 0.0}, {"voltage_V": V}):
            point = operate(circuit, **held)
            assert point.residual_A <= BAR
            scale = max(float(np.abs(point.leaf_power_W).sum()), 1.0)
            assert point.leaf_power_W.sum() == pytest.approx(point.power_W, abs=1e-8 * scale)
    assert shown.residual_A <= BAR


def test_many_shadows_over_a_large_roof_end_with_the_time_given(monkeypatch: pytest.MonkeyPatch) -> None:
    ticks = count()
    monkeypatch.setattr(budget, "monotonic", lambda: float(next(ticks)))
    edges = tuple(Shadow(kind="snow-edge", height_m=0.1 + 0.01 * k) for k in range(40))
    snowy = set_light(scenario(*(20,) * 20), shadows=edges)
    with budget.within(50.0), pytest.raises(OvertimeError):
        solve_array(snowy)
