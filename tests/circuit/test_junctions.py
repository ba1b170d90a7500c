"""x = f(v) and its table: inverse, monotone, differentiable."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from pvsim.circuit import Cell, Diode, kindred
from pvsim.circuit.floats import RUN
from pvsim.circuit.junctions import Laws, laws_of
from pvsim.circuit.leaf import WIRE, Junction, leaf_of
from tests.circuit.samples import BYPASS, CELL_TYPES, PLAIN

Lie = Callable[[np.ndarray], np.ndarray]

JUNCTIONS = [
    *(
        leaf_of(Cell(type=type, temperature_K=T)).junction
        for type in CELL_TYPES
        for T in (233.15, 298.15, 363.15)
    ),
    leaf_of(Cell(type=PLAIN, parallel_resistance_ohm=0.1)).junction,
    leaf_of(Cell(type=PLAIN, active_fraction=0.05, irradiance_W_m2=0.0)).junction,
    leaf_of(BYPASS).junction,
    leaf_of(Diode(saturation_current_A=1e-4, leakage_resistance_ohm=1e6)).junction,
]
CURRENTS = np.concatenate((-np.geomspace(1e-9, 300.0, 700)[::-1], [0.0], np.geomspace(1e-9, 300.0, 700)))


@pytest.fixture(autouse=True)
def strangers(monkeypatch: pytest.MonkeyPatch) -> None:
    """No junction has kin that another test has left."""
    monkeypatch.setattr(kindred, "_eldest", {})


def on_all(x: np.ndarray) -> np.ndarray:
    return np.repeat(x[None], len(JUNCTIONS), axis=0)


def test_newton_from_the_table_meets_the_current() -> None:
    # Cells only: where a diode's reverse current saturates the law has a corner.
    laws = Laws(JUNCTIONS[:-2])
    x = on_all(CURRENTS)[:-2]
    v = laws.invert(x)
    for _ in range(4):
        f, df = laws.evaluate(v)
        v = v - (f - x) / df
    f, _ = laws.evaluate(v)
    # Rounding of v on the steepest branch, near breakdown: 1e-16 * 20 V * 1e5 S.
    assert np.max(np.abs(f - x) / np.maximum(1.0, np.abs(x))) < 1e-9


def test_the_table_rises_strictly() -> None:
    v = Laws(JUNCTIONS).invert(on_all(CURRENTS))
    assert np.all(np.diff(v, axis=1) > 0.0)


def test_the_table_lies_within_a_millivolt_where_cells_work() -> None:
    laws = Laws(JUNCTIONS[:12])
    x = np.repeat(CURRENTS[np.abs(CURRENTS) < 15.0][None], 12, axis=0)
    v = laws.invert(x)
    f, df = laws.evaluate(v)
    forward = v > 0.0
    # The stated accuracy of a start.
    assert np.max(np.abs((f - x) / df)[forward]) < 1e-3


def test_the_derivative_is_the_limit_of_differences() -> None:
    laws = Laws(JUNCTIONS)
    v = laws.invert(on_all(CURRENTS[::20]))
    h = 1e-6 * np.maximum(np.abs(v), 1e-3)
    f_up, _ = laws.evaluate(v + h)
    f_down, _ = laws.evaluate(v - h)
    _, df = laws.evaluate(v)
    # Central differences: h^2 of the third derivative, and rounding over h.
    assert np.max(np.abs((f_up - f_down) / (2.0 * h) / df - 1.0)) < 1e-3


def test_the_slope_of_the_table_is_that_of_its_values() -> None:
    laws = Laws(JUNCTIONS[:12])
    x = np.repeat(np.linspace(0.01, 12.0, 400)[None], 12, axis=0)
    v, slope = laws.invert_with_slope(x)
    up, _ = laws.invert_with_slope(x * (1.0 + 1e-5))
    # A forward difference over 1e-5 of x.
    assert np.max(np.abs((up - v) / (1e-5 * x) / slope - 1.0)) < 1e-3


def test_meeting_a_straight_line_gives_the_point_on_both() -> None:
    laws, r = Laws(JUNCTIONS), 0.06
    s = on_all(np.concatenate((-np.geomspace(1e-6, 1e3, 50), np.geomspace(1e-6, 1e3, 50))))
    v = laws.meet(s, r)
    f, _ = laws.evaluate(v)
    # Newton to rounding.
    assert np.max(np.abs(v + r * f - s) / np.maximum(1.0, np.abs(s))) < 1e-9


def test_a_wire_drops_nothing() -> None:
    v, _ = Laws([WIRE]).invert_with_slope(np.array([[-40.0, 0.0, 40.0]]))
    assert np.max(np.abs(v)) < 1e-20


def test_equal_junctions_share_their_laws() -> None:
    equal = [JUNCTIONS[0]] * 5
    assert laws_of(equal) is laws_of(equal[:2])


def test_picked_rows_are_the_rows() -> None:
    laws = Laws(JUNCTIONS)
    rows = np.array([3, 3, 12])
    x = np.full((3, 4), 2.0)
    whole = laws.invert(np.full((len(JUNCTIONS), 4), 2.0))
    assert np.array_equal(laws.pick(rows).invert(x), whole[rows])


@pytest.mark.parametrize("lie", [np.ascontiguousarray, np.asfortranarray])
def test_so_many_that_they_are_evaluated_in_runs_are_those_evaluated_one_by_one(lie: Lie) -> None:
    laws = Laws(JUNCTIONS)
    points = 3 * RUN // len(JUNCTIONS)
    # Up to where each law goes straight on, and beyond.
    share = np.random.default_rng(5).uniform(size=(len(JUNCTIONS), points))
    v = lie(laws.least_v + share * (laws.most_v - laws.least_v))
    assert v.size > 2 * RUN
    f, df = laws.evaluate(v)
    for k, (row, own_f, own_df) in enumerate(zip(v, f, df, strict=True)):
        one_f, one_df = Laws(JUNCTIONS).pick(slice(k, k + 1)).evaluate(row[None, ::7])
        assert own_f[::7] == pytest.approx(one_f[0], rel=1e-12, abs=1e-15)
        assert own_df[::7] == pytest.approx(one_df[0], rel=1e-12)


@pytest.mark.parametrize("junction", JUNCTIONS[:12])
def test_the_law_is_the_published_one_to_a_billionth_of_a_milliampere(junction: Junction) -> None:
    """Two diodes and Bishop's term (sources in pvsim/circuit/leaf.py), with what is lost beside 1 in mind."""
    v = np.concatenate((-np.geomspace(1e-9, 1.0, 200), [0.0], np.geomspace(1e-9, 0.7, 200)))
    I01, a1, I02, a2, G, H, Vbr, m = junction
    law = I01 * np.expm1(v / a1) + I02 * np.expm1(v / a2) + v * G + v * H * (1.0 - v / Vbr) ** -m
    f, _df = Laws([junction]).evaluate(v[None])
    assert np.all(np.abs(f[0] - law) <= 1e-12 * np.maximum(np.abs(law), 1.0))
    assert f[0][v == 0.0].tolist() == [0.0]
    slope = np.diff(law) / np.diff(v)
    middle = Laws([junction]).evaluate(0.5 * (v[1:] + v[:-1])[None])[1][0]
    near = np.diff(v) < 1e-3
    assert middle[near] == pytest.approx(slope[near], rel=1e-3)


@pytest.mark.parametrize("a", [0.0, 0.1, 0.002])
def test_the_breakdown_term_is_bishops(a: float) -> None:
    # J. W. Bishop, Solar Cells 25 (1988) 73: shunt current times 1 + a (1 - Vd/Vbr)^-m.
    Rsh, Vbr, m = 10.0, -15.0, 3.0
    junction = Junction(1e-30, 0.0257, 0.0, 0.0514, 1.0 / Rsh, a / Rsh, Vbr, m)
    v = np.array([[-12.0, -7.5, -1.0]])
    f, _ = Laws([junction]).evaluate(v)
    assert f == pytest.approx(v / Rsh * (1.0 + a * (1.0 - v / Vbr) ** -m), rel=1e-12)  # same formula


# A cell that hardly leaks and breaks down at half a volt: its law grows steeper than rounding allows.
SHARP = Junction(1.2e-9, 0.02, 0.0, 0.02, 1e-7, 1e-13, -0.5, 1.0)


def test_a_law_too_steep_for_rounding_goes_straight_and_carries_every_current() -> None:
    laws = Laws([SHARP])
    x = -np.geomspace(1e-3, 1e4, 50)[None]
    v = laws.meet(x, 1.0)  # v + r f(v) = x
    f, slope = laws.evaluate(v)
    np.testing.assert_allclose(v + f, x, rtol=1e-8)  # rounding of v at 1e6 S
    at = laws.invert(x)
    for _ in range(3):
        f, slope = laws.evaluate(at)
        at = at - (f - x) / slope
    np.testing.assert_allclose(laws.evaluate(at)[0], x, rtol=1e-9, atol=1e-10)  # rounding of v at 1e6 S


def test_where_a_law_goes_straight_neither_current_nor_slope_jumps() -> None:
    laws = Laws([SHARP])
    v0 = SHARP.breakdown_voltage_V * (1.0 - float(laws._headroom[0, 0]))
    f, slope = laws.evaluate(v0 + np.array([[-1e-14, 0.0, 1e-14]]))
    assert np.ptp(slope) <= 1e-3 * slope.max()
    assert np.ptp(f) <= 3e-14 * slope.max()
    assert np.all(np.diff(f) > 0.0)


@pytest.mark.parametrize("junction", JUNCTIONS[:12])
def test_real_cells_follow_their_law_to_thousands_of_amperes(junction: Junction) -> None:
    laws = Laws([junction])
    v = laws.invert(-np.geomspace(1.0, 3000.0, 40)[None])
    I01, a1, I02, a2, G, H, Vbr, m = junction
    exact = I01 * np.expm1(v / a1) + I02 * np.expm1(v / a2) + v * G
    if H:
        exact += v * H * (1.0 - v / Vbr) ** -m
    np.testing.assert_allclose(laws.evaluate(v)[0], exact, rtol=1e-9)  # two ways to round a power
