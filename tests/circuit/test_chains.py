"""Tables of chains: the same in any company, and on their law at every knot."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest

from pvsim.circuit import Cell, Resistor, Series, operate
from pvsim.circuit.chains import Chain, chain_tables
from pvsim.circuit.junctions import Laws
from pvsim.circuit.leaf import leaf_of
from tests.circuit.samples import BYPASS, CELL_TYPES, PLAIN

REACH_A = 64.0


def unlike(seed: int, count: int) -> list[Cell]:
    rng = np.random.default_rng(seed)
    return [
        Cell(
            type=PLAIN,
            photocurrent_factor=float(rng.normal(1.0, 0.01)),
            shunt_factor=float(np.exp(0.5 * rng.normal())),
            breakdown_factor=float(rng.normal(1.0, 0.05)),
        )
        for _ in range(count)
    ]


ELEMENTS = [
    unlike(1, 20),
    unlike(2, 7),
    [Cell(type=type, irradiance_W_m2=400.0) for type in CELL_TYPES],
    [Cell(type=PLAIN), BYPASS, Resistor(resistance_ohm=0.1)],
    [Resistor(resistance_ohm=0.1), Resistor(resistance_ohm=0.2)],
    unlike(3, 20),
]


def chain(elements: list, floor_V: float = -inf) -> Chain:
    return Chain([leaf_of(one) for one in elements], [1] * len(elements), floor_V)


@pytest.mark.parametrize("floor_V", [-inf, -2.0])
@pytest.mark.parametrize("block", [1, 2_000, 1_000_000])
def test_a_table_is_the_same_in_any_company(
    floor_V: float, block: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    chains = [chain(elements, floor_V) for elements in ELEMENTS]
    laws = Laws([leaf.junction for one in chains for leaf in one.leaves])
    monkeypatch.setattr("pvsim.circuit.chains._BLOCK", block)
    together = chain_tables(chains, REACH_A, laws)
    for one, table in zip(chains, together, strict=True):
        (alone,) = chain_tables([one], REACH_A)
        np.testing.assert_allclose(table.I, alone.I, rtol=1e-12, atol=1e-12)
        # Cells that stand beside kin may be read from another's table: both are a start.
        np.testing.assert_allclose(table.V, alone.V, atol=1e-4)


def test_a_table_of_unlike_cells_lies_on_their_curve() -> None:
    cells = ELEMENTS[0]
    (table,) = chain_tables([chain(cells)], REACH_A)
    shown = (table.I > -1.0) & (table.I < 9.6)
    for I, V in list(zip(table.I[shown], table.V[shown], strict=True))[::9]:
        assert V == pytest.approx(operate(Series(tuple(cells)), current_A=float(I)).voltage_V, abs=1e-4)
