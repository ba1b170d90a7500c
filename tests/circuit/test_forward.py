"""The forward branch in closed form: on its law, whatever the shunt and the breakdown."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.special import wrightomega

from pvsim.circuit import Cell
from pvsim.circuit.forward import Forward
from pvsim.circuit.junctions import Laws
from pvsim.circuit.leaf import leaf_of
from tests.circuit.samples import CELL_TYPES

x = np.concatenate(([0.0], np.geomspace(1e-7, 100.0, 600)))[None]


@pytest.mark.parametrize("type", [type for type in CELL_TYPES if not type.second_saturation_current_A])
@pytest.mark.parametrize("shunt", [0.05, 0.3, 1.0, 5.0])
@pytest.mark.parametrize("breakdown", [0.8, 1.2])
def test_it_lies_on_the_law(type, shunt: float, breakdown: float) -> None:
    laws = Laws([leaf_of(Cell(type=type, shunt_factor=shunt, breakdown_factor=breakdown)).junction])
    v = Forward(laws.I01, laws.a1, laws.G, laws.H, laws.Vbr, laws.m).voltage(x)
    f, df = laws.evaluate(v)
    off = np.abs((f - x) / df / laws.a1)[0]
    assert off.max() < 2e-2  # the worst is a strong breakdown term at -4.5 V
    # Where the diode takes ten times what the shunt takes at the knee.
    assert off[x[0] > 10.0 * 0.6 * float(laws.G[0, 0] + laws.H[0, 0])].max() < 1e-5


def test_without_breakdown_it_is_wrights_omega_function() -> None:
    # A law of diode and shunt alone, as scipy solves it.
    I01, a, G = 2e-10, 0.027, 1.0 / 30.0
    one = np.ones((1, 1))
    v = Forward(I01 * one, a * one, G * one, 0.0 * one, -15.0 * one, 3.0 * one).voltage(x)
    level = np.log(I01 / (G * a)) + (x + I01) / (G * a)
    exact = (x + I01) / G - a * wrightomega(level).real
    assert np.abs(v - exact).max() < 1e-3 * a


def test_picked_rows_are_the_rows() -> None:
    G = np.array([[0.01], [0.03], [0.1]])
    rows = [np.full((3, 1), value) for value in (1e-10, 0.027, 0.0, -15.0, 3.0)]
    branches = Forward(rows[0], rows[1], G, 0.02 * G, rows[3], rows[4])
    whole = branches.voltage(np.repeat(x, 3, axis=0))
    assert np.array_equal(branches.pick(slice(1, 3)).voltage(np.repeat(x, 2, axis=0)), whole[1:])
