"""The greatest power of many cells, each on its own."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pvsim.circuit.cell import Cell
from pvsim.circuit.floats import Floats
from pvsim.circuit.leaf import leaf_of

_HALVINGS = 60  # leaves 1e-18 of the bracket, far below rounding


def cell_mpp_W(cells: Sequence[Cell]) -> Floats:
    """The power of each cell at its own maximum power point.

    Parameters
    ----------
    cells : sequence of Cell

    Returns
    -------
    (cells,)
        In W; 0 for a dark, open or short cell.

    Notes
    -----
    With v = Vd and I = Iph - f(v), V = v - I Rs, power peaks where I dV/dv + V dI/dv = 0; the
    left side falls from above 0 at v = 0 to below 0 at v = Voc, and is halved in between.
    """
    power = np.zeros(len(cells))
    lit, rows, sources, ohms = [], [], [], []
    for number, cell in enumerate(cells):
        leaf = leaf_of(cell)
        if leaf.junction is not None and leaf.source_A > 0.0:
            lit.append(number)
            rows.append(leaf.junction)
            sources.append(leaf.source_A)
            ohms.append(leaf.resistance_ohm)
    if not lit:
        return power
    I01, a1, I02, a2, G, H, Vbr, m = np.array(rows, dtype=float).T
    Iph, Rs = np.array(sources), np.array(ohms)
    low, high = np.zeros(len(lit)), a1 * np.log1p(Iph / I01)
    for _ in range(_HALVINGS):
        v = 0.5 * (low + high)
        e1, e2, q = np.exp(v / a1), np.exp(v / a2), 1.0 - v / Vbr
        lift = H * q**-m
        I = Iph - (I01 * (e1 - 1.0) + I02 * (e2 - 1.0) + v * (G + lift))
        slope = I01 * e1 / a1 + I02 * e2 / a2 + G + lift * (1.0 + m * (v / Vbr) / q)
        rising = I * (1.0 + slope * Rs) - (v - I * Rs) * slope > 0.0
        low, high = np.where(rising, v, low), np.where(rising, high, v)
    power[lit] = np.maximum((v - I * Rs) * I, 0.0)
    return power
