"""Two cells in series and in parallel, by the graphical rules of a textbook.

Source: Wenham, Green, Watt, Corkish, Applied Photovoltaics, figures 5.4 to 5.7, pp. 77-78:
in series add voltages at each current, Isc is where V1 + V2 = 0; in parallel add
currents at each voltage, Voc is where I1 + I2 = 0. Numbers: the benchmark cell of 1986
beside one with half its photocurrent, solved by another program.
"""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.circuit import Parallel, Series, operate, solve
from tests.outside.benchmark import CELL_IMPLICIT

FULL = CELL_IMPLICIT.cell()
HALF = CELL_IMPLICIT._replace(photocurrent_A=CELL_IMPLICIT.photocurrent_A / 2.0).cell()


def test_single_cells_have_the_voltages_of_the_construction() -> None:
    assert solve(FULL).voc_V == pytest.approx(0.572785144, abs=1e-8)
    assert solve(HALF).voc_V == pytest.approx(0.545194138, abs=1e-8)


def test_in_series_the_short_circuit_current_is_where_the_voltages_cancel() -> None:
    pair = Series((FULL, HALF))
    assert solve(pair).isc_A == pytest.approx(0.389989916, abs=1e-8)
    point = operate(pair, voltage_V=0.0)
    np.testing.assert_allclose(point.leaf_voltage_V, [0.529983, -0.529983], atol=1e-6)  # digits printed


def test_in_parallel_the_open_circuit_voltage_is_where_the_currents_cancel() -> None:
    pair = Parallel((FULL, HALF))
    assert solve(pair).voc_V == pytest.approx(0.561108505, abs=1e-8)
    point = operate(pair, current_A=0.0)
    np.testing.assert_allclose(point.leaf_current_A, [0.125146315, -0.125146315], atol=1e-8)


def test_voltages_add_at_every_current_and_currents_at_every_voltage() -> None:
    for I in np.linspace(-0.3, 0.75, 12):
        apart = sum(operate(cell, current_A=I).voltage_V for cell in (FULL, HALF))
        # 1e-9 A over the shunt of 54 ohm.
        assert operate(Series((FULL, HALF)), current_A=I).voltage_V == pytest.approx(apart, abs=2e-7)
    for V in np.linspace(-1.0, 0.6, 12):
        apart = sum(operate(cell, voltage_V=V).current_A for cell in (FULL, HALF))
        assert operate(Parallel((FULL, HALF)), voltage_V=V).current_A == pytest.approx(apart, abs=1e-9)
