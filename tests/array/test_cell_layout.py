"""How cells are joined: runs of columns, whole cells and two halves."""

from __future__ import annotations

from itertools import pairwise

import pytest

from pvsim.array import CATALOGUE
from pvsim.array.catalogue import BYPASS_DIODE
from pvsim.array.cell_layout import column_run, full_module, half_module


def test_two_columns_go_down_and_up_again() -> None:
    assert column_run(range(3), 4, 2) == (2, 6, 10, 11, 7, 3)


def test_a_run_away_from_a_box_in_the_middle_begins_and_ends_there() -> None:
    assert column_run(range(1, -1, -1), 2, 0) == (2, 0, 1, 3)


@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_every_run_holds_each_cell_of_its_columns_once_and_steps_to_a_neighbour(count: int) -> None:
    run = column_run(range(5), 6, 1, count)
    assert sorted(run) == sorted(row * 6 + 1 + k for row in range(5) for k in range(count))
    for one, two in pairwise(run):
        assert abs(one // 6 - two // 6) + abs(one % 6 - two % 6) == 1
    assert (run[0] // 6 == run[-1] // 6) == (count % 2 == 0)


def module(build, rows: int, columns: int, diodes: int):
    return build(
        name="x",
        title="",
        note="",
        cell=CATALOGUE["full-60"].cell,
        rows=rows,
        columns=columns,
        cell_width_m=0.1,
        cell_height_m=0.1,
        diodes=diodes,
        diode=BYPASS_DIODE,
    )


@pytest.mark.parametrize(("build", "chains"), [(full_module, 1), (half_module, 2)])
@pytest.mark.parametrize(
    ("rows", "columns", "diodes"), [(4, 2, 1), (10, 6, 3), (10, 6, 1), (12, 8, 2), (2, 12, 3)]
)
def test_every_cell_is_wired_once_in_chains_of_one_length(build, chains, rows, columns, diodes) -> None:
    kind = module(build, rows, columns, diodes)  # a ModuleType refuses what is wired twice or never
    assert len(kind.substrings) == diodes
    assert {len(part.chains) for part in kind.substrings} == {chains}
    assert {len(chain) for part in kind.substrings for chain in part.chains} == {
        rows * columns // diodes // chains
    }
