"""Junctions that share a table: near enough to their own law for a start, and solved to the last digit."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pvsim.circuit import Cell, Diode, Series, kindred, operate, solve
from pvsim.circuit.inverse import inverse_tables
from pvsim.circuit.junctions import Laws
from pvsim.circuit.leaf import Junction, leaf_of
from pvsim.circuit.mesh import expand
from pvsim.circuit.nodal import operate_mesh
from tests.circuit.samples import CELL_TYPES, PLAIN

x = np.concatenate((-np.geomspace(1e-6, 12.0, 400)[::-1], np.geomspace(1e-6, 12.0, 400)))[None]


@pytest.fixture(autouse=True)
def strangers(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kindred, "_eldest", {})


def junction(shunt: float, breakdown: float, type: object = PLAIN, T: float = 298.15) -> Junction:
    return leaf_of(Cell(type=type, temperature_K=T, shunt_factor=shunt, breakdown_factor=breakdown)).junction


@pytest.mark.parametrize("type", CELL_TYPES)
@pytest.mark.parametrize("shunt", [0.13, 0.5, 1.0, 2.0, 7.9])
@pytest.mark.parametrize("breakdown", [0.8, 1.0, 1.25])
def test_a_shared_table_starts_near_the_law(type, shunt: float, breakdown: float) -> None:
    family = [junction(one, 1.0, type) for one in (1.0, 1.01, 1.02)] + [junction(shunt, breakdown, type)]
    laws = Laws(family)
    at_work = x[:, np.abs(x[0]) > 0.3]
    for some, most_V in ((x, 0.05), (at_work, 1e-3)):
        v, _slope = laws.invert_with_slope(np.repeat(some, 4, axis=0))
        f, df = laws.evaluate(v)
        assert np.abs((f - some) / df).max() < most_V


def test_the_first_that_is_met_is_read_as_before() -> None:
    family = [junction(1.0, 1.0), junction(1.5, 1.1), junction(1.2, 0.9), junction(1.3, 1.0)]
    kin = kindred.kinships(family)
    assert kin[0] == (family[0], 1.0, 1.0)
    whose, current, voltage = kin[1]
    assert whose == family[0]
    assert voltage == pytest.approx(1.1)
    assert current == pytest.approx(1.5 / 1.1)  # a smaller conductance, a wider range


def test_who_is_too_unlike_or_alone_has_a_table_of_its_own() -> None:
    family = [junction(1.0, 1.0), junction(1.5, 1.1), junction(1.2, 0.9), junction(1.3, 1.0)]
    cracked = leaf_of(Cell(type=PLAIN, active_fraction=0.5)).junction
    shunted = leaf_of(Cell(type=PLAIN, parallel_resistance_ohm=1.0)).junction
    leaky = (Diode(saturation_current_A=1e-4, leakage_resistance_ohm=R) for R in (1e5, 2e5, 3e5, 4e5))
    diodes = [leaf_of(diode).junction for diode in leaky]  # what saturates leads where the shunt would
    others = [junction(1.0, 1.0, T=300.0), cracked, shunted, junction(100.0, 1.0), *diodes]
    kin = kindred.kinships([*family, *others])
    assert kin[len(family) :] == [(one, 1.0, 1.0) for one in others]
    assert kindred.kinships(family[1:2]) == [(family[1], 1.0, 1.0)]


def test_a_hundred_unlike_cells_need_one_table_or_two(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Junction] = []

    def note(junctions: list[Junction]):
        asked.extend(junctions)
        return inverse_tables(junctions)

    monkeypatch.setattr("pvsim.circuit.junctions.inverse_tables", note)
    rng = np.random.default_rng(5)
    factors = np.exp(0.4 * rng.standard_normal(100))
    Laws([junction(shunt, breakdown) for shunt, breakdown in zip(factors, factors[::-1] ** 0.1, strict=True)])
    assert len(asked) <= 3


@pytest.mark.parametrize("seed", range(4))
def test_unlike_cells_in_series_are_solved_as_exactly_as_equal_ones(seed: int) -> None:
    rng = np.random.default_rng(seed)
    cells = tuple(
        Cell(
            type=PLAIN,
            irradiance_W_m2=float(rng.uniform(300.0, 1000.0)),
            photocurrent_factor=float(rng.uniform(0.95, 1.05)),
            shunt_factor=float(np.exp(0.6 * rng.standard_normal())),
            breakdown_factor=float(rng.uniform(0.85, 1.15)),
        )
        for _ in range(20)
    )
    made = Series(cells)
    shown = solve(made, points=60)
    assert shown.residual_A <= 1e-9
    for voltage_V in np.linspace(-15.0, shown.voc_V, 7):
        tree = operate(made, voltage_V=float(voltage_V))
        nodal = operate_mesh(expand(made), voltage_V=float(voltage_V))
        np.testing.assert_allclose(tree.leaf_voltage_V, nodal.leaf_voltage_V, atol=1e-8)
        assert tree.current_A == pytest.approx(nodal.current_A, abs=1e-8)


def test_a_cell_of_factors_is_a_cell_of_another_type() -> None:
    other = replace(
        PLAIN,
        photocurrent_A=PLAIN.photocurrent_A * 1.03,
        shunt_resistance_ohm=PLAIN.shunt_resistance_ohm * 0.4,
        breakdown_voltage_V=PLAIN.breakdown_voltage_V * 0.9,
    )
    factors = Cell(type=PLAIN, photocurrent_factor=1.03, shunt_factor=0.4, breakdown_factor=0.9)
    a, b = operate(factors, voltage_V=-8.0), operate(Cell(type=other), voltage_V=-8.0)
    assert a.current_A == pytest.approx(b.current_A, rel=1e-12)
