"""The tables of chains: leaves in series and nothing else.

An array of unlike cells has hundreds of them, all alike in shape: many are made together.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import ceil, inf
from typing import NamedTuple

import numpy as np

from pvsim.circuit import budget
from pvsim.circuit.floats import Floats
from pvsim.circuit.junctions import Laws, laws_of
from pvsim.circuit.leaf import WIRE, Leaf
from pvsim.circuit.table import Table

COARSEST_A, FINEST_A = 1e-4, 1e-9  # knots gather around a source current down to some such distance
LOG_STEP = 0.18
_FORWARD_STEP = 0.18
_BELOW_ZERO = 0.2  # of its light: as far a curve is shown
_FEW_CENTRES = 2
_BLOCK = 32_000  # leaves times knots handled at once: what fits a processor's cache


class Chain(NamedTuple):
    """Leaves in series, each so many times; a diode beside them keeps them above floor_V."""

    leaves: Sequence[Leaf]
    counts: Sequence[int]
    floor_V: float = -inf


def chain_tables(chains: Sequence[Chain], reach_A: float, laws: Laws | None = None) -> list[Table]:
    """The tables of some chains for currents up to +-reach_A.

    Parameters
    ----------
    laws : Laws, optional
        One row for each leaf of each chain, where they are known already.
    """
    made: list[Table] = []
    first = 0
    while len(made) < len(chains):
        # About as many knots as the chain before; of the first, nobody knows.
        knots = len(made[-1].I) if made else _BLOCK
        block: list[Chain] = []
        rows = 0
        for chain in chains[len(made) :]:
            if block and (rows + len(chain.leaves)) * knots > _BLOCK:
                break
            block.append(chain)
            rows += len(chain.leaves)
        made += _block_of_tables(block, reach_A, laws and laws.pick(slice(first, first + rows)))
        first += rows
    return made


def _block_of_tables(chains: Sequence[Chain], reach_A: float, laws: Laws | None) -> list[Table]:
    budget.check()
    rows = ChainRows(chains, laws)
    knots = rows.knots(reach_A)
    V, slope = rows.voltage_and_slope(_side_by_side(knots))
    return [Table(I, V[k, : len(I)], slope[k, : len(I)]) for k, I in enumerate(knots)]


class ChainRows:
    """The leaves of some chains, one a row.

    Parameters
    ----------
    chains : sequence of Chain
    laws : Laws, optional
        One row for each leaf of each chain, where they are known already.
    """

    def __init__(self, chains: Sequence[Chain], laws: Laws | None = None) -> None:
        self.chains = chains
        leaves = [leaf for chain in chains for leaf in chain.leaves]
        self.laws = laws or laws_of([leaf.junction for leaf in leaves])
        self.sign = np.array([leaf.sign for leaf in leaves])[:, None]
        self.source = np.array([leaf.source_A for leaf in leaves])[:, None]
        lengths = [len(chain.leaves) for chain in chains]
        self.chain_of = np.repeat(np.arange(len(chains)), lengths)
        self.starts = np.cumsum([0, *lengths])[:-1]
        self.times = np.array([count for chain in chains for count in chain.counts], dtype=float)[:, None]
        ohms = np.array([leaf.resistance_ohm for leaf in leaves])[:, None]
        self.ohms = np.add.reduceat(self.times * ohms, self.starts)

    def x(self, I: Floats) -> Floats:
        """The junctions' currents, (leaves, knots), at currents of their chains, (chains, knots)."""
        x: Floats = self.source - I[self.chain_of]
        x *= self.sign
        return x

    def voltage(self, I: Floats) -> Floats:
        """V, (chains, knots)."""
        V: Floats = np.add.reduceat(self.laws.invert(self.x(I)) * (self.times * self.sign), self.starts)
        return V - self.ohms * I

    def voltage_and_slope(self, I: Floats) -> tuple[Floats, Floats]:
        """V and dV/dI, (chains, knots)."""
        v, slope = self.laws.invert_with_slope(self.x(I))
        v *= self.times * self.sign
        slope *= self.times
        V = np.add.reduceat(v, self.starts)
        V -= self.ohms * I
        return V, -self.ohms - np.add.reduceat(slope, self.starts)

    def knots(self, reach_A: float) -> list[Floats]:
        """Of each chain the currents that its table is made at."""
        laws = self.laws
        bends = np.broadcast_to((laws.a1 * (laws.G + laws.H))[:, 0], len(self.sign))
        # A wire conducts far better than any other leaf: its bend is never the least, unless all are wires.
        finest = np.clip(0.1 * np.minimum.reduceat(bends, self.starts), FINEST_A, COARSEST_A)
        lights, ends = self._centres(reach_A)
        return [
            knots_around(light, -reach_A, most_A, fine) if len(light) else np.array([-reach_A, reach_A])
            for light, most_A, fine in zip(lights, ends, finest.tolist(), strict=True)
        ]

    def _centres(self, reach_A: float) -> tuple[list[Floats], list[float]]:
        """Around which currents the knots of each chain gather, and where they end."""
        lights = [
            rising(np.array([leaf.source_A for leaf in chain.leaves if leaf.junction is not WIRE]))
            for chain in self.chains
        ]
        ends = [reach_A] * len(lights)
        many = [k for k, chain in enumerate(self.chains) if chain.floor_V > -inf and len(lights[k]) > 1]
        if many:
            V = self.voltage(_side_by_side([light if len(light) else np.zeros(1) for light in lights]))
            for k in many:
                light = lights[k]
                below = V[k, : len(light)] < self.chains[k].floor_V
                if below.any():
                    # Beyond the floor already: an end. Among many the floor may be met just before it,
                    # where its cell begins to bend, and it is the last centre.
                    last = int(np.argmax(below))
                    centres = last + 1 if last >= _FEW_CENTRES else max(last, 1)
                    lights[k], ends[k] = light[:centres], float(light[last])
        return lights, ends


def _side_by_side(rows: list[Floats]) -> Floats:
    """Rows of unlike lengths as one array, the short ones going on with their last."""
    if len(rows) == 1:
        return rows[0][None]
    whole = np.empty((len(rows), max(map(len, rows))))
    for k, row in enumerate(rows):
        whole[k, : len(row)] = row
        whole[k, len(row) :] = row[-1]
    return whole


def knots_around(centres: Floats, least_A: float, most_A: float, finest_A: float) -> Floats:
    """Currents that thicken logarithmically towards each centre, ends included.

    Parameters
    ----------
    centres : (n,)
        Rising.
    """
    c = rising(np.clip(centres, least_A, most_A))
    edges = np.concatenate(([least_A], 0.5 * (c[1:] + c[:-1]), [most_A]))
    # Log distance from each centre to the borders of its own stretch.
    left = np.log1p((c - edges[:-1]) / finest_A)
    right = np.log1p((edges[1:] - c) / finest_A)
    ends = np.cumsum(left + right)
    # Of many curves in series each is a small part of the whole, and asks for fewer knots; below all
    # centres they bend together.
    step = LOG_STEP * max(1.0, len(c) / _FEW_CENTRES) ** 0.5
    # That matters from the first centre to where the current has gone a little below zero.
    first, last = float(left[0]), float(ends[-1])
    near = min(float(np.log1p(max(c[0] + _BELOW_ZERO * c[-1], 0.0) / finest_A)), first)
    marks, widths = (0.0, first - near, first, last), (step, min(step, _FORWARD_STEP), step)
    pieces = [np.array([last])]
    for (start, end), width in zip(pairwise(marks), widths, strict=True):
        pieces.insert(-1, np.linspace(start, end, ceil((end - start) / width), endpoint=False))
    s = np.concatenate(pieces)
    k = np.searchsorted(ends, s, side="left")
    np.minimum(k, len(c) - 1, out=k)
    t = s - (ends[k] - right[k])  # signed log distance from the centre
    I = c[k] + np.sign(t) * finest_A * np.expm1(np.abs(t))
    return rising(np.concatenate((I, c)))


def rising(x: Floats) -> Floats:
    """The distinct values of x, rising; numpy's own `unique` loads masked arrays first."""
    x = np.sort(x)
    keep = np.empty(len(x), dtype=bool)
    keep[:1] = True
    np.not_equal(x[1:], x[:-1], out=keep[1:])
    return x[keep]
