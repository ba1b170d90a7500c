"""Tangents of a network of any wiring, composed to one between its terminals and shared out again.

A tangent V = e - r I stands along every edge between two nodes. Two edges side by side are one
(1/r and e/r add). A node inside is taken out by joining its neighbours pairwise: the edge from
l to k has e = e_k - e_l and r = r_l r_k (1/r_1 + ... + 1/r_d), with e_1, r_1 ... of the d edges
that leave the node; with two neighbours that is a series, with three a star made a delta.
Resistances are only multiplied, divided and added, never subtracted: a wire of a billionth of
an ohm beside a break loses no digits. Which nodes go in which order depends on the wiring
alone, so every step is one operation on all points of a curve.
Source: A. Rosen, J. Instn. Electr. Engrs. 62 (1924) 916-918 (stars made meshes; from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import combinations
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit import budget
from pvsim.circuit.floats import Floats
from pvsim.errors import ConvergenceError
from pvsim.words import _

MINUS, PLUS = 0, 1
MOST_ohm = 1e90  # nothing flows through more; products of three stay finite
MOST_EDGES = 200_000  # of all stages together: hundreds of places joined to each other at random

Numbers = NDArray[np.intp]


class Beside(NamedTuple):
    """Pairs of edges side by side, each made one: the rows of both, the way of the second, the row made."""

    one: Numbers
    other: Numbers
    way: Floats
    made: slice


class Star(NamedTuple):
    """A node taken out: the rows of its edges, their ways seen from it, and the rows made.

    `shares` (edges, made) says which of the edges made take their current from which edge.
    """

    edges: Numbers
    way: Floats
    low: Numbers
    high: Numbers
    made: slice
    shares: Floats


class Stars:
    """How the edges of a network are composed to one from its minus to its plus terminal.

    Parameters
    ----------
    ends : sequence of (int, int)
        The nodes at which each edge starts and ends; node 0 is the minus terminal, node 1
        the plus terminal, and every node has a path to node 0.

    Raises
    ------
    ConvergenceError
        If that takes more than MOST_EDGES edges.
    """

    def __init__(self, ends: Sequence[tuple[int, int]]) -> None:
        self.given = len(ends)
        self.edges = self.given
        self._steps: list[Beside | Star] = []
        self._loops = [k for k, (start, end) in enumerate(ends) if start == end]
        self._found: dict[int, dict[int, tuple[int, float]]] = {MINUS: {}, PLUS: {}}
        self._add([(start, end, k) for k, (start, end) in enumerate(ends) if start != end])
        inner = set(self._found) - {MINUS, PLUS}
        while inner:
            node = min(inner, key=lambda one: (len(self._found[one]), one))
            budget.check()
            inner.remove(node)
            self._take_out(node)
        self._whole, self._way = self._found[MINUS][PLUS]

    def _add(self, new: list[tuple[int, int, int]]) -> None:
        """Lay edges (start, end, row), each made one with what lies between its ends already."""
        while new:
            one, other, ways, ends, later = [], [], [], [], []
            taken = set()
            for start, end, row in new:
                pair = frozenset((start, end))
                if pair in taken:
                    later.append((start, end, row))
                    continue
                taken.add(pair)
                there = self._found.setdefault(start, {}).get(end)
                self._found.setdefault(end, {})
                if there is not None:
                    one.append(there[0])
                    other.append(row)
                    ways.append(there[1])
                    ends.append((start, end, there[1]))
                else:
                    self._found[start][end], self._found[end][start] = (row, 1.0), (row, -1.0)
            if one:
                made = self._rows(len(one))
                way = np.array(ways)[:, None]
                self._steps.append(Beside(np.array(one), np.array(other), way, made))
                for row, (start, end, sign) in enumerate(ends, start=made.start):
                    self._found[start][end], self._found[end][start] = (row, sign), (row, -sign)
            new = later

    def _take_out(self, node: int) -> None:
        around = self._found.pop(node)
        for neighbour in around:
            del self._found[neighbour][node]
        edges = np.array([row for row, _ in around.values()], dtype=np.intp)
        way = np.array([sign for _, sign in around.values()])[:, None]
        pairs = list(combinations(range(len(around)), 2))
        low, high = (np.array([pair[k] for pair in pairs], dtype=np.intp) for k in (0, 1))
        made = self._rows(len(pairs))
        shares = np.zeros((len(around), len(pairs)))
        shares[high, np.arange(len(pairs))] = 1.0
        shares[low, np.arange(len(pairs))] = -1.0
        self._steps.append(Star(edges, way, low, high, made, shares))
        names = list(around)
        self._add([(names[l], names[k], made.start + at) for at, (l, k) in enumerate(pairs)])

    def _rows(self, count: int) -> slice:
        self.edges += count
        if self.edges > MOST_EDGES:
            raise ConvergenceError(
                _("the wires join too many places to each other at once"),
                expected=_("fewer wires between strings, or wires between fewer places"),
                mend=_("Take some of the wires between strings or earth faults away"),
            )
        return slice(self.edges - count, self.edges)

    def compose(self, tangents: Floats) -> Floats:
        """All edges of all stages, from those given.

        Parameters
        ----------
        tangents : (2 or 1, given, points)
            e and r of the edges, or r alone.

        Returns
        -------
        (2 or 1, edges, points)
        """
        all_edges = np.empty((len(tangents), self.edges, tangents.shape[2]))
        all_edges[:, : self.given] = tangents
        R = all_edges[-1]
        E = all_edges[0] if len(tangents) == 2 else None
        for step in self._steps:
            budget.check()
            if isinstance(step, Beside):
                r1, r2 = R[step.one], R[step.other]
                together = r1 + r2
                R[step.made] = r1 * r2 / together
                if E is not None:
                    E[step.made] = (E[step.one] * r2 + step.way * E[step.other] * r1) / together
            else:
                r = R[step.edges]
                R[step.made] = np.minimum(r[step.low] * r[step.high] * (1.0 / r).sum(axis=0), MOST_ohm)
                if E is not None:
                    e = step.way * E[step.edges]
                    E[step.made] = e[step.high] - e[step.low]
        return all_edges

    def whole(self, composed: Floats) -> Floats:
        """The tangent between the terminals, (2 or 1, 1, points), of what `compose` gave."""
        out: Floats = composed[:, self._whole, None].copy()
        out[:-1] *= self._way
        return out

    def currents(self, composed: Floats, current_A: Floats) -> Floats:
        """The current of every edge given, (given, points), at a current delivered at the terminals."""
        E, R = composed
        I = np.empty_like(R)
        I[self._whole] = self._way * current_A
        for row in self._loops:
            I[row] = E[row] / R[row]
        for step in reversed(self._steps):
            if isinstance(step, Beside):
                V = E[step.made] - R[step.made] * I[step.made]
                I[step.one] = (E[step.one] - V) / R[step.one]
                I[step.other] = (E[step.other] - step.way * V) / R[step.other]
            else:
                I[step.edges] = step.way * (step.shares @ I[step.made])
        given: Floats = I[: self.given]
        return given


@lru_cache(maxsize=64)
def stars_of(ends: tuple[tuple[int, int], ...]) -> Stars:
    """How a wiring is composed, worked out once."""
    return Stars(ends)


class MeshGroup:
    """The branches of a mesh as a step of the tree solver's sweep: as `Groups`, for any wiring."""

    __slots__ = ("_stars",)

    def __init__(self, ends: tuple[tuple[int, int], ...]) -> None:
        self._stars = stars_of(ends)

    def form(self, tangents: Floats) -> Floats:
        """The tangents of the branches and of all edges composed of them."""
        return self._stars.compose(tangents)

    def up(self, formed: Floats, counts: Floats | None) -> Floats:
        """The tangent at the terminals."""
        return self._stars.whole(formed)

    def down(
        self, V_up: Floats, I_up: Floats, formed: Floats, leaf_I: Floats | None
    ) -> tuple[Floats, Floats]:
        """V and I of the branches; where all are leaves their currents are written into leaf_I, too."""
        I = self._stars.currents(formed, I_up[0])
        if leaf_I is not None:
            leaf_I[:] = I
        e, r = formed[:, : self._stars.given]
        return e - r * I, I
