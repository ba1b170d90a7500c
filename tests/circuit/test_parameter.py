"""Branches as curves in a parameter: on their laws, smooth, and gentle everywhere."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from pvsim.circuit import Cell, Diode, Resistor, operate, solve
from pvsim.circuit.mesh import Branch, Mesh
from pvsim.circuit.parameter import BranchCurves
from tests.circuit.plain import missed
from tests.circuit.samples import cell as random_cell
from tests.circuit.samples import circuit, resistor
from tests.circuit.samples import diode as random_diode

S = np.linspace(-30.0, 5.0, 61)
STEP = 1e-6
LEAVES = (Cell, Diode, Resistor)


def curves_of(*elements: object) -> BranchCurves:
    return BranchCurves(Mesh(tuple(Branch(one, 0, 1) for one in elements), plus_node=1, minus_node=0))  # type: ignore[arg-type]


def leaves_for(seed: int) -> list[Cell | Diode | Resistor]:
    rng = Random(seed)
    return [make(rng) for make in (random_cell, random_cell, random_diode, random_diode, resistor)]


@pytest.mark.parametrize("seed", range(20))
def test_every_point_lies_on_the_law_of_its_element(seed: int) -> None:
    elements = leaves_for(seed)
    at = curves_of(*elements).at(np.tile(S, (len(elements), 1)))
    for element, V, I in zip(elements, at.voltage_V, at.current_A, strict=True):
        for v, i in zip(V.tolist(), I.tolist(), strict=True):
            current_A, voltage_V = missed(element, v, i)
            # Rounding of V at a slope of up to 1e4 A/V, and of products with R.
            assert abs(current_A) <= 1e-10 * max(abs(i), 1.0)
            assert abs(voltage_V) <= 1e-12 * max(abs(v), 1.0)


@pytest.mark.parametrize("seed", range(20))
def test_the_derivatives_are_limits_of_differences(seed: int) -> None:
    elements = leaves_for(seed)
    curves, s = curves_of(*elements), np.tile(S + 0.0137, (len(elements), 1))
    at, ahead, back = curves.at(s), curves.at(s + STEP), curves.at(s - STEP)
    for slope, over, under in (
        (at.current_slope, ahead.current_A, back.current_A),
        (at.voltage_slope, ahead.voltage_V, back.voltage_V),
    ):
        # Rounding of values up to 1e3 over the step, and curvature within it.
        np.testing.assert_allclose((over - under) / (2.0 * STEP), slope, rtol=1e-4, atol=1e-5)


def test_no_derivative_is_steep_where_a_junction_is() -> None:
    # At 1e4 A a cell has 4e5 A/V; in s its current changes by at most 1/r.
    cell = leaves_for(0)[0]
    curves = curves_of(cell)
    at = curves.at(np.linspace(-1e3, 1e3, 201)[None])
    r = curves.reference_ohm[0, 0]
    assert np.all(np.abs(at.current_slope) <= (1.0 + 1e-12) / r)


@pytest.mark.parametrize(
    "seed", [seed for seed in range(10) if not isinstance(circuit(Random(seed)), LEAVES)]
)
def test_a_whole_part_answers_as_behind_its_reference_resistance(seed: int) -> None:
    part = circuit(Random(seed))
    curves = curves_of(part)
    r = float(curves.reference_ohm[0, 0])
    shown = solve(part, points=8)
    s = shown.voltage_V - r * shown.current_A
    at = curves.at(s[None])
    np.testing.assert_allclose(at.voltage_V[0] - r * at.current_A[0], s, atol=1e-9 * np.abs(s).max() + 1e-9)
    np.testing.assert_allclose(
        at.current_A[0], shown.current_A, atol=4e-9 * max(np.abs(shown.current_A).max(), 1.0)
    )
    middle = operate(part, voltage_V=float(at.voltage_V[0, 4]))
    _, current_A, _ = curves.leaves_at(s[4:5])
    np.testing.assert_allclose(current_A, middle.leaf_current_A, atol=1e-8 * np.abs(current_A).max() + 1e-8)
