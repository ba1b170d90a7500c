"""Tangents of any wiring made one: closed forms, and a dense linear system of the same network."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from pvsim.circuit import stars
from pvsim.circuit.stars import Stars
from pvsim.errors import ConvergenceError

Ends = list[tuple[int, int]]


def solved(ends: Ends, e: np.ndarray, r: np.ndarray, current_A: float) -> tuple[float, np.ndarray]:
    """Terminal voltage and edge currents from all equations at once: currents balance, tangents hold."""
    nodes, edges = 1 + max(max(pair) for pair in ends), len(ends)
    A = np.zeros((nodes - 1 + edges, nodes - 1 + edges))
    right = np.zeros(len(A))
    right[0] = current_A
    for k, (start, end) in enumerate(ends):
        row = nodes - 1 + k
        size = max(r[k], 1.0)
        A[row, row], right[row] = r[k] / size, e[k] / size
        for node, sign in ((end, 1.0), (start, -1.0)):
            if node:
                A[node - 1, row] += sign
                A[row, node - 1] += sign / size
    x = np.linalg.solve(A, right)
    return float(x[0]), x[nodes - 1 :]


def network(rng: Random) -> Ends:
    """A connected network; some edges side by side, some loops, some dead ends."""
    nodes = rng.randint(2, 9)
    ends = [(rng.randrange(node), node) for node in range(1, nodes)]
    ends += [(rng.randrange(nodes), rng.randrange(nodes)) for _ in range(rng.randint(0, 14))]
    rng.shuffle(ends)
    return ends


@pytest.mark.parametrize("seed", range(60))
def test_a_network_made_one_has_the_currents_of_all_its_equations_together(seed: int) -> None:
    rng = Random(seed)
    ends = network(rng)
    e = np.array([rng.uniform(-50.0, 50.0) for _ in ends])
    r = np.array([10.0 ** rng.uniform(-3.0, 4.0) for _ in ends])
    whole = Stars(ends)
    composed = whole.compose(np.stack((e, r))[:, :, None])
    e0, r0 = whole.whole(composed)[:, 0, 0]
    for current_A in (0.0, 7.5):
        V, I = solved(ends, e, r, current_A)
        assert e0 - r0 * current_A == pytest.approx(V, abs=1e-9 * 50.0)  # rounding of resistances 1e7 apart
        found = whole.currents(composed, np.array([current_A]))[:, 0]
        np.testing.assert_allclose(found, I, atol=1e-9 * max(np.abs(I).max(), 1.0))


@pytest.mark.parametrize("seed", range(20))
def test_currents_balance_at_every_node_beside_wires_and_breaks(seed: int) -> None:
    rng = Random(seed)
    ends = network(rng)
    r = np.array([rng.choice([1e-9, 1e12, 1.0, 1e4]) for _ in ends])
    e = np.array([rng.uniform(-10.0, 10.0) for _ in ends]) * np.minimum(r, 10.0)
    whole = Stars(ends)
    I = whole.currents(whole.compose(np.stack((e, r))[:, :, None]), np.array([3.0]))[:, 0]
    missed = np.zeros(1 + max(max(pair) for pair in ends))
    np.add.at(missed, [end for _, end in ends], I)
    np.add.at(missed, [start for start, _ in ends], -I)
    missed[1] -= 3.0
    assert np.abs(missed[1:]).max() <= 1e-12 * max(np.abs(I).max(), 1.0)  # rounding


def test_a_bridge_of_resistances_has_that_of_the_closed_form() -> None:
    # Star of the delta at nodes 2, 3 and plus, worked by hand: 2*4/11, 5*4/11, 2*5/11.
    ends = [(0, 2), (2, 1), (0, 3), (3, 1), (2, 3)]
    r = np.array([1.0, 2.0, 3.0, 5.0, 4.0])
    whole = Stars(ends)
    _, r0 = whole.whole(whole.compose(np.stack((0.0 * r, r))[:, :, None]))[:, 0, 0]
    expected_ohm = 10.0 / 11.0 + 1.0 / (1.0 / (1.0 + 8.0 / 11.0) + 1.0 / (3.0 + 20.0 / 11.0))
    assert r0 == pytest.approx(expected_ohm, rel=1e-14)  # rounding
    alone = whole.whole(whole.compose(r[None, :, None]))[0, 0, 0]
    assert alone == r0


def test_every_point_is_composed_as_if_it_were_alone() -> None:
    ends = network(Random(5))
    rng = np.random.default_rng(5)
    tangents = np.stack((rng.normal(size=(len(ends), 4)), rng.uniform(0.1, 9.0, (len(ends), 4))))
    whole = Stars(ends)
    together = whole.whole(whole.compose(tangents))
    for k in range(4):
        alone = whole.whole(whole.compose(tangents[:, :, k : k + 1]))
        np.testing.assert_array_equal(alone[..., 0], together[..., k])


def test_wires_between_everything_are_refused_before_they_fill_the_memory(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(stars, "MOST_EDGES", 200)
    ends = [(one, other) for one in range(12) for other in range(one)]
    with pytest.raises(ConvergenceError, match=r"join too many places.*Take some of the wires"):
        Stars(ends)
