"""What is composed of tables is what the solver makes of scattered cells, to a quarter."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pvsim.array import Fault, Place, add_fault, level_curve, paint
from pvsim.array.scatter import Scatter
from pvsim.files import read_demo
from pvsim.traced.scattered import scattered_curves
from tests.traced.samples import BENCH, MODULE


@pytest.mark.parametrize(
    ("scenario", "place"),
    [
        pytest.param(BENCH, MODULE, id="a-module"),
        pytest.param(paint(BENCH, [Place(1, 1, 5)], 0.5), MODULE, id="a-shaded-cell"),
        pytest.param(read_demo("workshop"), Place(1), id="a-string"),
        pytest.param(
            add_fault(read_demo("workshop"), Fault("diode-short", Place(1, 1, diode=1))),
            Place(),
            id="an-array",
        ),
    ],
)
def test_what_scatter_makes_of_a_curve_is_what_the_solver_finds(scenario, place):
    scatter = Scatter(seed=3)
    found = scattered_curves(scenario, place, (scatter,))
    plain = level_curve(scenario, place)
    solved = level_curve(replace(scenario, scatter=scatter), place)
    V = np.linspace(0.0, 0.99 * plain.voc_V, 200)

    def at(V1, I1):
        return np.interp(V, V1, I1)

    here = at(plain.voltage_V, plain.current_A)
    moved = at(solved.voltage_V, solved.current_A) - here
    guessed = at(found.voltage_V, found.drawn_A[0]) - at(found.voltage_V, found.plain_A)
    assert np.std(moved - guessed) < 0.25 * np.sqrt(np.mean(moved**2))
    assert np.sqrt(np.mean((at(found.voltage_V, found.plain_A) - here) ** 2)) < 0.004 * plain.isc_A


def test_an_open_string_adds_nothing():
    both = scattered_curves(read_demo("workshop"), Place(), (Scatter(seed=1),))
    one = scattered_curves(
        add_fault(read_demo("workshop"), Fault("cable-open", Place(2))), Place(), (Scatter(seed=1),)
    )
    assert one.plain_A[0] == pytest.approx(0.5 * both.plain_A[0], rel=1e-3)
