"""Curves as a tracer takes them, from what pvsim solves, with noise from a seed."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log

import numpy as np

from pvsim.array import CATALOGUE, Fault, Place, add_fault, level_curve, paint
from pvsim.sheet.residual import one_module
from pvsim.traced.traced_curve import TracedCurve

MODULE = Place(1, 1)
BENCH = one_module(CATALOGUE["full-60"], "a module on the bench")


def curve_of_bench(*faults, painted=()):
    """The curve of one module with faults (kind, place, size) and paint (place, transmission)."""
    scenario = BENCH
    for place, transmission in painted:
        scenario = paint(scenario, [place], transmission)
    for fault in faults:
        scenario = add_fault(scenario, Fault(*fault))
    return level_curve(scenario, MODULE)


def curve_of_poor_junctions(ideality):
    """The curve of a module whose cells have another ideality, and the open-circuit voltage they had."""
    kind = BENCH.module_types[0]
    cell = kind.cell
    times = log(cell.photocurrent_A / cell.saturation_current_A) * cell.ideality / ideality
    poor = replace(cell, ideality=ideality, saturation_current_A=cell.photocurrent_A / exp(times))
    return level_curve(replace(BENCH, module_types=(replace(kind, cell=poor),)), MODULE)


def traced(characteristic, seed=None, *, points=100, current=0.005, voltage=0.001, **at):
    """A tracer's points from short to open circuit; noise as shares of Isc and Voc, none without a seed."""
    V = np.linspace(0.0, 1.01 * characteristic.voc_V, points)
    I = np.interp(V, characteristic.voltage_V, characteristic.current_A)
    if seed is not None:
        rng = np.random.default_rng(seed)
        I = I + current * characteristic.isc_A * rng.standard_normal(points)
        V = V + voltage * characteristic.voc_V * rng.standard_normal(points)
        order = np.argsort(V)
        V, I = V[order], I[order]
    return TracedCurve(voltage_V=V, current_A=I, **at)
