"""A curve that ngspice finds of a planted fault is ranked as that fault, with the place it has."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array import part_circuit
from pvsim.benchmark import ngspice
from pvsim.benchmark.planted import plant
from pvsim.circuit.netlist import write_netlist
from pvsim.traced import TracedCurve, rank_faults

needs_ngspice = pytest.mark.skipif(
    not ngspice.is_here(),
    reason="NOT CHECKED against ngspice: the program is missing (Debian package ngspice)",
)


@needs_ngspice
def test_a_shaded_module_of_unlike_cells_as_ngspice_solves_it_is_found() -> None:
    case = plant("module", "shaded-cell", 6)
    voltage_V = np.linspace(0.0, 40.0, 101)
    theirs_V, theirs_A, _seconds = ngspice.sweep(
        write_netlist(part_circuit(case.faulty, case.place), voltage_V)
    )
    lit = theirs_A > -0.2 * theirs_A[0]
    V, I = theirs_V[lit], theirs_A[lit]
    rng = np.random.default_rng(1)
    noisy = TracedCurve(voltage_V=V, current_A=I + 0.005 * I[0] * rng.standard_normal(I.size))
    found = rank_faults(noisy, case.scenario, case.place)
    first = found.ranked[0]
    assert (first.family.name, found.none_of_these) == (case.family, False)
    assert first.where is not None
    assert first.where.count == case.count
    assert first.size == pytest.approx(case.size, abs=0.05)  # cells scatter by per cents, shunts by half
