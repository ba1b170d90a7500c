"""How arrays lie in memory: the same numbers, and the longer axis together."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.circuit import Cell, Parallel, Series, solve, tree
from pvsim.circuit import register as registers
from pvsim.circuit.floats import long_runs, pair_like, repeat_rows, room, slices
from pvsim.circuit.junctions import Laws
from pvsim.circuit.leaf import leaf_of
from tests.circuit.samples import BYPASS, CELL_TYPES, PLAIN


@pytest.mark.parametrize(("first", "end"), [(0, 0), (0, 9), (0, 12), (3, 14), (5, 6)])
def test_slices_follow_one_another_and_leave_nothing_out(first: int, end: int) -> None:
    found = list(slices(first, end, 4))
    assert [k for one in found for k in range(one.start, one.stop)] == list(range(first, end))
    assert all(0 < one.stop - one.start <= 4 for one in found)


@pytest.mark.parametrize("shape", [(2, 9), (9, 2), (5, 5), (1, 4), (4, 1)])
def test_the_longer_axis_lies_together_and_no_number_changes(shape: tuple[int, int]) -> None:
    x = np.random.default_rng(1).uniform(size=shape)
    rows = np.arange(shape[0]).repeat(3)
    for made, same in ((long_runs(x), x), (repeat_rows(x, rows), x[rows])):
        assert np.array_equal(made, same)
        assert made.flags.f_contiguous if len(made) > made.shape[1] else made.flags.c_contiguous
    wide = shape[0] > shape[1]
    assert room(*shape).shape == shape
    assert room(*shape).flags.f_contiguous if wide else room(*shape).flags.c_contiguous
    pair = pair_like(long_runs(x))
    assert pair.shape == (2, *shape)
    assert pair[0].strides == long_runs(x).strides


def test_laws_are_the_same_however_their_points_lie(each_way: str) -> None:
    cells = [Cell(type=type, shunt_factor=shunt) for type in CELL_TYPES for shunt in (0.7, 0.9, 1.1, 1.3)]
    laws = Laws([leaf_of(one).junction for one in (*cells, BYPASS)])
    x = np.random.default_rng(2).uniform(-3.0, 9.0, (len(cells) + 1, 7))
    across = np.asfortranarray(x)
    # A compiler may round a product and a sum once, or twice, as it likes.
    rounding = 1e-14 if each_way == "compiled" else 0.0
    np.testing.assert_allclose(laws.invert(x), laws.invert(across), rtol=rounding)
    for law in (laws.evaluate, laws.invert_with_slope):
        for one, other in zip(law(laws.invert(x)), law(laws.invert(across)), strict=True):
            np.testing.assert_allclose(one, other, rtol=rounding)


@pytest.mark.parametrize("block", [1, 700, 10**7])
def test_a_curve_is_the_same_in_blocks_of_any_size(block: int, monkeypatch: pytest.MonkeyPatch) -> None:
    light = np.random.default_rng(3).uniform(200.0, 1000.0, (8, 10)).tolist()
    rows = tuple(tuple(Cell(type=PLAIN, irradiance_W_m2=G) for G in row) for row in light)
    array = Series(tuple(Parallel((Series(row), BYPASS)) for row in rows))
    whole = solve(array, points=60)
    monkeypatch.setattr(registers, "_register", registers.Register())
    monkeypatch.setattr(tree, "BLOCK", block)
    parted = solve(array, points=60)
    np.testing.assert_allclose(parted.current_A, whole.current_A, atol=1e-8)  # stated solver tolerance
    assert parted.mpp.power_W == pytest.approx(whole.mpp.power_W, rel=1e-8)
    assert parted.residual_A <= 1e-9
