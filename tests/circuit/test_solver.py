"""Characteristics and operating points: what is promised of every circuit."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pvsim.benchmark.random_array import random_array
from pvsim.circuit import (
    Cell,
    Diode,
    Element,
    Parallel,
    Resistor,
    Series,
    Turned,
    leaves,
    operate,
    solve,
    voltage_near,
)
from pvsim.errors import CircuitError
from tests.circuit.samples import BYPASS, LOW_BREAKDOWN, PLAIN, TWO_DIODES

# Invented, with a hard breakdown far out, so that a shaded cell hands over to its diode.
HARD = replace(PLAIN, breakdown_fraction=0.002, breakdown_voltage_V=-25.0)
GOOD = Cell(type=HARD)
TOLERANCE = 1e-9  # the solver's stated relative residual


def substring(*cells: Cell, diode: Diode = BYPASS) -> Element:
    return Parallel((Series(cells), diode))


def module(shaded_W_m2: float = 1000.0, diode: Diode = BYPASS) -> Element:
    shaded = Cell(type=HARD, irradiance_W_m2=shaded_W_m2)
    return Series(
        (substring(shaded, *[GOOD] * 19, diode=diode), substring(*[GOOD] * 20), substring(*[GOOD] * 20))
    )


HALF_CUT = Series(tuple(Parallel((Series((GOOD,) * 24), Series((GOOD,) * 24), BYPASS)) for _ in range(3)))
STRING = Series((module(), module(200.0), Resistor(resistance_ohm=0.3)))
SHAPES = {
    "cell": GOOD,
    "two-diode cell": Cell(type=TWO_DIODES, irradiance_W_m2=400.0),
    "shaded module": module(200.0),
    "half-cut": HALF_CUT,
    "array": Parallel((STRING, Series((module(), module(), Resistor(resistance_ohm=0.3))))),
    "unequal strings": Parallel((STRING, module())),
    "cross-tied": Series((Parallel((module(), module(100.0))), Parallel((module(500.0), module())))),
    "reversed module": Series((module(), module(), Turned(module()))),
}


@pytest.mark.parametrize("circuit", SHAPES.values(), ids=SHAPES)
def test_a_characteristic_falls_and_its_key_points_lie_on_it(circuit: Element) -> None:
    curve = solve(circuit)
    assert curve.residual_A <= TOLERANCE
    assert np.all(np.diff(curve.voltage_V) > 0.0)
    assert np.all(np.diff(curve.current_A) < 0.0)
    assert curve.voltage_V[0] < 0.0
    assert curve.current_A[-1] < 0.0
    assert operate(circuit, voltage_V=0.0).current_A == pytest.approx(curve.isc_A, abs=1e-8)
    assert operate(circuit, current_A=0.0).voltage_V == pytest.approx(curve.voc_V, abs=1e-8)
    assert np.array_equal(curve.power_W, curve.voltage_V * curve.current_A)


@pytest.mark.parametrize("circuit", SHAPES.values(), ids=SHAPES)
def test_the_table_tells_where_about_a_current_is(circuit: Element) -> None:
    curve = solve(circuit)
    asked_A = curve.isc_A * np.array([1.1, 0.9, 0.5, -0.1])
    solved_V = [operate(circuit, current_A=float(one)).voltage_V for one in asked_A]
    assert voltage_near(circuit, asked_A) == pytest.approx(solved_V, rel=1e-3, abs=1e-3 * curve.voc_V)


@pytest.mark.parametrize("circuit", SHAPES.values(), ids=SHAPES)
def test_power_is_stationary_at_every_maximum_and_none_lies_higher(circuit: Element) -> None:
    curve = solve(circuit)
    assert curve.mpps
    for peak in curve.mpps:
        off = 1e-4 * peak.voltage_V
        beside = [operate(circuit, voltage_V=peak.voltage_V + step).power_W for step in (-off, off)]
        assert max(beside) < peak.power_W
        # Second order: both sides lose alike to 1 % over such a step.
        assert beside[0] == pytest.approx(beside[1], rel=1e-5)
    assert curve.mpp.power_W == max(peak.power_W for peak in curve.mpps)
    assert curve.mpp.power_W >= curve.power_W.max() * (1.0 - 1e-12)


@pytest.mark.parametrize("circuit", SHAPES.values(), ids=SHAPES)
@pytest.mark.parametrize(
    "given", [{"at_mpp": True}, {"voltage_V": -0.3}, {"current_A": -0.5}, {"load_ohm": 3.0}]
)
def test_power_balances_over_all_leaves(circuit: Element, given: dict[str, float]) -> None:
    point = operate(circuit, **given)  # type: ignore[arg-type]
    assert point.residual_A <= TOLERANCE
    assert len(point.leaf_power_W) == len(leaves(circuit))
    eaten = np.abs(point.leaf_power_W).sum()
    assert point.leaf_power_W.sum() == pytest.approx(point.power_W, abs=TOLERANCE * eaten)


def test_slopes_at_the_axes_are_the_limits_of_differences() -> None:
    circuit, curve, h = module(300.0), solve(module(300.0)), 1e-5
    at_isc = (operate(circuit, voltage_V=h).current_A - operate(circuit, voltage_V=-h).current_A) / (2 * h)
    at_voc = (operate(circuit, voltage_V=curve.voc_V + h).current_A
              - operate(circuit, voltage_V=curve.voc_V - h).current_A) / (2 * h)  # fmt: skip
    # Central differences of currents known to 1e-9.
    assert curve.slope_at_isc_A_per_V == pytest.approx(at_isc, rel=1e-3)
    assert curve.slope_at_voc_A_per_V == pytest.approx(at_voc, rel=1e-6)


def test_one_shaded_cell_gives_a_second_maximum() -> None:
    assert len(solve(module()).mpps) == 1
    assert len(solve(module(200.0)).mpps) == 2


def test_a_load_resistance_sees_ohms_law() -> None:
    point = operate(module(), load_ohm=4.0)
    assert point.voltage_V == pytest.approx(4.0 * point.current_A, rel=1e-12)  # exact in the sweep


def test_a_shorted_load_is_the_short_circuit() -> None:
    assert operate(module(), load_ohm=0.0).current_A == pytest.approx(solve(module()).isc_A, abs=1e-8)


def test_an_open_cell_and_an_open_diode_leave_a_string_without_current() -> None:
    broken = substring(replace(GOOD, condition="open"), *[GOOD] * 19, diode=replace(BYPASS, condition="open"))
    curve = solve(Series((broken, module())))
    assert abs(curve.isc_A) < 1e-9
    assert curve.mpp.power_W < 1e-6
    point = operate(Series((broken, module())), voltage_V=20.0)
    # All the voltage stands over the break.
    assert abs(point.current_A) < 1e-9
    assert point.leaf_voltage_V[0] < -20.0


def test_a_shorted_string_in_parallel_takes_the_array_to_no_voltage() -> None:
    short = Resistor(resistance_ohm=0.0)
    curve = solve(Parallel((STRING, short)))
    assert abs(curve.voc_V) < 1e-6
    assert curve.residual_A <= TOLERANCE


def test_no_light_gives_no_maximum_and_no_exception() -> None:
    curve = solve(Series((Cell(type=PLAIN, irradiance_W_m2=0.0),) * 60))
    assert curve.mpps == ()
    assert curve.mpp.power_W == curve.fill_factor == 0.0
    assert curve.isc_A == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("temperature_K", [233.15, 363.15])
def test_cold_raises_and_heat_lowers_the_open_circuit_voltage(temperature_K: float) -> None:
    usual = solve(Series((GOOD,) * 20)).voc_V
    curve = solve(Series((replace(GOOD, temperature_K=temperature_K),) * 20))
    assert (curve.voc_V > usual) == (temperature_K < 298.15)
    assert curve.residual_A <= TOLERANCE


def test_one_cell_at_a_hundredth_of_the_light_solves() -> None:
    circuit = module(10.0)
    point = operate(circuit, at_mpp=True)
    assert point.residual_A <= TOLERANCE
    assert point.leaf_power_W[0] < 0.0
    # Its bypass diode, the 21st leaf, carries the string.
    assert point.leaf_current_A[20] > 0.9 * point.current_A


def test_a_low_breakdown_cell_holds_the_voltage_where_its_type_says() -> None:
    shaded = Cell(type=LOW_BREAKDOWN, irradiance_W_m2=0.0)
    point = operate(Series((shaded, *[Cell(type=LOW_BREAKDOWN)] * 19)), voltage_V=0.0)
    assert LOW_BREAKDOWN.breakdown_voltage_V < point.leaf_voltage_V[0] < -2.0


def test_equal_cells_may_be_swapped() -> None:
    cells = [Cell(type=PLAIN, irradiance_W_m2=G) for G in (1000.0, 300.0, 700.0, 1000.0)]
    one, other = solve(substring(*cells)), solve(substring(*cells[::-1]))
    assert np.array_equal(one.current_A, other.current_A)


def test_a_part_turned_twice_is_itself() -> None:
    once, twice = (
        solve(module(300.0), window=(1.0, 30.0)),
        solve(Turned(Turned(module(300.0))), window=(1.0, 30.0)),
    )
    assert np.max(np.abs(once.current_A - operate_all(Turned(Turned(module(300.0))), once.voltage_V))) < 1e-8
    assert twice.isc_A == pytest.approx(once.isc_A, abs=1e-9)


def operate_all(circuit: Element, V: np.ndarray) -> np.ndarray:
    return np.array([operate(circuit, voltage_V=float(v)).current_A for v in V])


def test_a_window_is_kept() -> None:
    curve = solve(module(), window=(-1.0, 20.0), points=50)
    assert curve.voltage_V[0] == pytest.approx(-1.0, abs=1e-12)
    assert curve.voltage_V[-1] == pytest.approx(20.0, abs=1e-12)
    assert len(curve.voltage_V) == 50


def test_the_curve_does_not_depend_on_how_many_points_show_it() -> None:
    fine, coarse = solve(module(200.0), points=900), solve(module(200.0), points=30)
    assert fine.isc_A == pytest.approx(coarse.isc_A, abs=1e-9)
    assert [p.power_W for p in fine.mpps] == pytest.approx([p.power_W for p in coarse.mpps], rel=1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_where_the_greatest_power_is_does_not_depend_on_how_many_points_are_looked_at(seed: int) -> None:
    circuit = random_array(np.random.default_rng(seed))
    many, few = (operate(circuit, at_mpp=True, points=points) for points in (400, 60))
    assert few.power_W == pytest.approx(many.power_W, rel=1e-8, abs=1e-9)
    assert many.power_W == pytest.approx(solve(circuit).power_W.max(initial=0.0), rel=2e-3, abs=1e-6)


def test_a_solution_asked_for_again_is_the_same_one() -> None:
    assert solve(module(123.0)) is solve(module(123.0))


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({}, "0 operating conditions"),
        ({"voltage_V": 1.0, "current_A": 1.0}, "2 operating conditions"),
        ({"load_ohm": -1.0}, "load_ohm is -1.0"),
        ({"voltage_V": float("nan")}, "voltage_V is nan"),
        ({"voltage_V": 300.0}, "would carry about"),
        ({"current_A": 1e5}, "would carry about"),
    ],
)
def test_an_operating_point_that_cannot_be_is_refused(given: dict[str, float], message: str) -> None:
    with pytest.raises(CircuitError, match=message):
        operate(module(), **given)  # type: ignore[arg-type]


def test_what_is_no_circuit_is_refused() -> None:
    with pytest.raises(CircuitError, match="str is not a circuit"):
        solve("module")  # type: ignore[arg-type]


def test_a_string_turned_shows_the_same_stretch_turned() -> None:
    string = Series((Parallel((Series((Cell(type=PLAIN),) * 18), BYPASS)),) * 3)
    ahead, back = solve(string, points=200), solve(Turned(string), points=200)
    assert back.voltage_V[0] == pytest.approx(-ahead.voltage_V[-1], rel=1e-6)
    assert back.voltage_V[-1] == pytest.approx(-ahead.voltage_V[0], rel=1e-6)
    assert back.voltage_V[0] < 0.0 < back.voltage_V[-1]
    assert np.abs(back.current_A).max() < 1.2 * abs(back.isc_A)
    # Points lie as they do on the curve ahead, turned.
    assert back.voltage_V[::-1] == pytest.approx(-ahead.voltage_V, abs=0.02 * ahead.voc_V)
