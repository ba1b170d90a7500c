"""The tables of chains: leaves in series and nothing else.

An array of unlike cells has hundreds of them, all alike in shape: many are made together.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import accumulate
from math import inf
from typing import NamedTuple

import numpy as np

from pvsim.circuit import budget
from pvsim.circuit.cores import work_off
from pvsim.circuit.floats import Floats
from pvsim.circuit.junctions import Laws, laws_of
from pvsim.circuit.knots import FEW_CENTRES, knots_around, rising, side_by_side
from pvsim.circuit.leaf import WIRE, Leaf
from pvsim.circuit.table import Table

COARSEST_A, FINEST_A = 1e-4, 1e-9  # knots gather around a source current down to some such distance
_BLOCK = 32_000  # leaves times knots handled at once: what fits a processor's cache
_GATHERED = 2_000  # leaves whose knots are chosen at once


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
    row = 0
    for part in _runs([len(chain.leaves) for chain in chains], _GATHERED):
        budget.check()
        some = chains[part]
        leaves = sum(len(chain.leaves) for chain in some)
        rows = ChainRows(some, laws and laws.pick(slice(row, row + leaves)))
        knots = rows.knots(reach_A)
        work = [len(I) * len(chain.leaves) for I, chain in zip(knots, some, strict=True)]
        blocks = list(_runs(work, _BLOCK))
        given = [(rows.pick(block), side_by_side(knots[block])) for block in blocks]
        for block, (V, slope) in zip(blocks, work_off(given, _curves), strict=True):
            made += [Table(I, V[k, : len(I)], slope[k, : len(I)]) for k, I in enumerate(knots[block])]
        row += leaves
    return made


def _curves(given: tuple[ChainRows, Floats]) -> tuple[Floats, Floats]:
    rows, I = given
    return rows.voltage_and_slope(I)


def _runs(sizes: list[int], most: int) -> Iterator[slice]:
    """Neighbours that are of no more than a size together, or alone."""
    first = total = 0
    for k, size in enumerate(sizes):
        if k > first and total + size > most:
            yield slice(first, k)
            first, total = k, 0
        total += size
    if sizes:
        yield slice(first, len(sizes))


class ChainRows:
    """The leaves of some chains, one a row.

    Parameters
    ----------
    chains : sequence of Chain
    laws : Laws, optional
        One row for each leaf of each chain, where they are known already.
    """

    __slots__ = ("chains", "laws", "ohms", "sign", "source", "starts", "times", "whose")

    def __init__(self, chains: Sequence[Chain], laws: Laws | None = None) -> None:
        self.chains = chains
        leaves = [leaf for chain in chains for leaf in chain.leaves]
        self.laws = laws or laws_of([leaf.junction for leaf in leaves])
        self.sign = np.array([leaf.sign for leaf in leaves])[:, None]
        self.source = np.array([leaf.source_A for leaf in leaves])[:, None]
        lengths = [len(chain.leaves) for chain in chains]
        self.whose = np.repeat(np.arange(len(chains)), lengths)
        self.starts = np.array([0, *accumulate(lengths)])[:-1]
        self.times = np.array([count for chain in chains for count in chain.counts], dtype=float)[:, None]
        ohms = np.array([leaf.resistance_ohm for leaf in leaves])[:, None]
        self.ohms = np.add.reduceat(self.times * ohms, self.starts)

    def pick(self, chains: slice) -> ChainRows:
        """The leaves of neighbouring chains."""
        some = object.__new__(ChainRows)
        some.chains, some.ohms = self.chains[chains], self.ohms[chains]
        rows = slice(int(self.starts[chains.start]), None)
        if chains.stop < len(self.chains):
            rows = slice(rows.start, int(self.starts[chains.stop]))
        some.laws = self.laws.pick(rows) if len(self.laws.a1) > 1 else self.laws
        some.sign, some.source, some.times = self.sign[rows], self.source[rows], self.times[rows]
        some.whose, some.starts = self.whose[rows] - chains.start, self.starts[chains] - rows.start
        return some

    def x(self, I: Floats) -> Floats:
        """The junctions' currents, (leaves, knots), at currents of their chains, (chains, knots)."""
        x: Floats = I.take(self.whose, axis=0)
        np.subtract(self.source, x, out=x)
        x *= self.sign
        return x

    def voltage(self, I: Floats) -> Floats:
        """V, (chains, knots)."""
        V: Floats = np.add.reduceat(self.laws.invert(self.x(I)) * (self.times * self.sign), self.starts)
        return V - self.ohms * I

    def voltage_and_slope(self, I: Floats) -> tuple[Floats, Floats]:
        """V and dV/dI, (chains, knots)."""
        kernel = self.laws.kernel()
        if kernel:
            return kernel.chains(self.starts, self.source, self.sign, self.times, self.ohms, I)
        v, slope = self.laws.invert_with_slope(self.x(I))
        v *= self.times * self.sign
        slope *= self.times
        V = np.add.reduceat(v, self.starts)
        V -= self.ohms * I
        return V, -self.ohms - np.add.reduceat(slope, self.starts)

    def knots(self, reach_A: float) -> list[Floats]:
        """Of each chain the currents that its table is made at."""
        laws = self.laws
        bends = (laws.a1 * (laws.G + laws.H))[:, 0]
        if len(bends) < len(self.sign):  # all alike
            bends = bends.repeat(len(self.sign))
        # A wire conducts far better than any other leaf: its bend is never the least, unless all are wires.
        finest = np.maximum(np.minimum(0.1 * np.minimum.reduceat(bends, self.starts), COARSEST_A), FINEST_A)
        lights, ends = self._centres(reach_A)
        lit = [k for k, light in enumerate(lights) if len(light)]
        knots = [np.array([-reach_A, reach_A])] * len(lights)
        if lit:
            around = [lights[k] for k in lit]
            for k, I in zip(lit, knots_around(around, -reach_A, ends[lit], finest[lit]), strict=True):
                knots[k] = I
        return knots

    def _centres(self, reach_A: float) -> tuple[list[Floats], Floats]:
        """Around which currents the knots of each chain gather, and where they end."""
        lights = [
            rising(np.array([leaf.source_A for leaf in chain.leaves if leaf.junction is not WIRE]))
            for chain in self.chains
        ]
        ends = np.full(len(lights), reach_A)
        many = [k for k, chain in enumerate(self.chains) if chain.floor_V > -inf and len(lights[k]) > 1]
        if many:
            V = self.voltage(side_by_side([light if len(light) else np.zeros(1) for light in lights]))
            for k in many:
                light = lights[k]
                below = V[k, : len(light)] < self.chains[k].floor_V
                if below.any():
                    # Beyond the floor already: an end. Among many the floor may be met just before it,
                    # where its cell begins to bend, and it is the last centre.
                    last = int(np.argmax(below))
                    centres = last + 1 if last >= FEW_CENTRES else max(last, 1)
                    lights[k], ends[k] = light[:centres], light[last]
        return lights, ends
