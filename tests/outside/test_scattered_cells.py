"""A string of unlike cells, one of them shaded, against ngspice on the same netlist."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pvsim.array import USUAL_SCATTER, Place, paint, part_circuit, solve_array
from pvsim.benchmark import ngspice
from pvsim.circuit import operate
from pvsim.circuit.netlist import write_netlist
from pvsim.files import read_demo

MOST_A = 1e-5  # the bar of agreement with ngspice

needs_ngspice = pytest.mark.skipif(
    not ngspice.is_here(),
    reason="NOT CHECKED against ngspice: the program is missing (Debian package ngspice)",
)


@needs_ngspice
@pytest.mark.parametrize("seed", [1, 4711])
def test_ngspice_finds_the_same_curve_of_a_module_of_unlike_cells(seed: int) -> None:
    workshop = replace(read_demo("workshop"), scatter=replace(USUAL_SCATTER, seed=seed))
    shaded = paint(workshop, [Place(1, 4, cell=14)], 0.2)
    module = part_circuit(shaded, Place(1, 4))
    voltage_V = np.linspace(0.0, 40.0, 81)
    theirs_V, theirs_A, _seconds = ngspice.sweep(write_netlist(module, voltage_V))
    ours_A = np.array([operate(module, voltage_V=float(V)).current_A for V in theirs_V])
    assert np.abs(ours_A - theirs_A).max() < MOST_A
    assert solve_array(shaded).diodes.conducting.sum() == 1
