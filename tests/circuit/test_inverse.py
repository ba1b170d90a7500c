"""Tables of v = g(x): on the law at every knot, whoever else is built beside them."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.circuit import Cell
from pvsim.circuit.inverse import TABLE_SIZE, inverse_tables
from pvsim.circuit.junctions import Laws
from pvsim.circuit.leaf import leaf_of
from tests.circuit.samples import CELL_TYPES
from tests.circuit.test_junctions import JUNCTIONS


def test_every_knot_of_a_table_lies_on_its_law() -> None:
    laws, table = Laws(JUNCTIONS), inverse_tables(JUNCTIONS)
    x = table.scale[:, None] * np.sinh(table.step[:, None] * (np.arange(TABLE_SIZE) - TABLE_SIZE // 2))
    f, df = laws.evaluate(table.value)
    near = np.abs(x) < 1e3  # far beyond every current of a cell
    # 1e-12 V, the square of the last Newton step; and rounding of v on a steep branch.
    bar = df * 1e-12 + 1e-9 * np.maximum(np.abs(x), 1e-3)
    assert np.max((np.abs(f - x) / bar)[near]) < 1.0


def test_a_table_is_the_same_in_any_company(monkeypatch: pytest.MonkeyPatch) -> None:
    cells = [Cell(type=CELL_TYPES[0], temperature_K=T) for T in np.linspace(301.0, 349.0, 50)]
    warm = [leaf_of(cell).junction for cell in cells]
    together = inverse_tables([*warm, *JUNCTIONS])
    monkeypatch.setattr("pvsim.circuit.inverse._tables", {})
    for k in (0, 15, 16, 49):
        alone = inverse_tables(warm[k : k + 1])
        # Equal but for how far below rounding the last Newton step went.
        assert together.value[k] == pytest.approx(alone.value[0], rel=1e-12, abs=1e-15)
        assert together.slope[k] == pytest.approx(alone.slope[0], rel=1e-9, abs=1e-15)


def test_equal_junctions_share_one_table() -> None:
    assert inverse_tables(JUNCTIONS[:1]).value is inverse_tables(JUNCTIONS[:1]).value
