"""Module types: wiring, geometry and what they refuse."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pvsim.array import (
    CATALOGUE,
    Substring,
    cell_count,
    cell_positions,
    cell_rectangles,
    cell_substrings,
    module_size,
    substring_cells,
)
from pvsim.errors import ScenarioError

every_type = pytest.mark.parametrize("kind", CATALOGUE.values(), ids=CATALOGUE.keys())


@every_type
def test_every_cell_of_the_drawing_is_wired_once(kind) -> None:
    positions = cell_positions(kind)
    assert len({tuple(one) for one in positions.tolist()}) == cell_count(kind) == kind.rows * kind.columns


@every_type
def test_cells_wired_one_after_the_other_lie_side_by_side(kind) -> None:
    positions = cell_positions(kind)
    numbers = {tuple(place): k for k, place in enumerate(positions.tolist())}
    for part in kind.substrings:
        for chain in part.chains:
            at = [positions[numbers[divmod(place, kind.columns)]] for place in chain]
            steps = np.abs(np.diff(np.array(at), axis=0)).sum(axis=1)
            assert (steps == 1).all()


def test_a_substring_of_60_cells_goes_down_one_column_and_up_the_next() -> None:
    kind = CATALOGUE["full-60"]
    positions = cell_positions(kind)
    assert positions[0].tolist() == [0, 0]
    assert positions[9].tolist() == [9, 0]
    assert positions[10].tolist() == [9, 1]
    assert positions[19].tolist() == [0, 1]
    assert positions[20].tolist() == [0, 2]


def test_a_substring_of_half_cells_has_one_chain_in_each_half_of_the_module() -> None:
    kind = CATALOGUE["half-120"]
    for part in kind.substrings:
        upper, lower = ({place // kind.columns for place in chain} for chain in part.chains)
        assert upper == set(range(10))
        assert lower == set(range(10, 20))


def test_substring_numbers_and_cell_numbers_agree() -> None:
    kind = CATALOGUE["half-144"]
    numbers = cell_substrings(kind)
    for substring in (1, 2, 3):
        cells = substring_cells(kind, substring)
        assert len(cells) == 48
        assert set(numbers[cells.start - 1 : cells.stop - 1].tolist()) == {substring}


@every_type
def test_cells_fill_the_module_but_for_margins_and_gaps(kind) -> None:
    left, top, right, bottom = cell_rectangles(kind).T
    width, height = module_size(kind)
    assert left.min() == pytest.approx(kind.margin_m)
    assert top.min() == pytest.approx(kind.margin_m)
    assert right.max() == pytest.approx(width - kind.margin_m)
    assert bottom.max() == pytest.approx(height - kind.margin_m)


@every_type
def test_junction_boxes_lie_on_the_module(kind) -> None:
    width, height = module_size(kind)
    for x, y in kind.junction_boxes:
        assert 0 < x < width
        assert 0 < y < height


def test_geometry_given_out_cannot_be_written_to() -> None:
    with pytest.raises(ValueError, match="read-only"):
        cell_rectangles(CATALOGUE["full-60"])[0, 0] = 1.0


def test_a_cell_wired_twice_is_refused() -> None:
    kind = CATALOGUE["full-36"]
    twice = (Substring(chains=((0, 1, 1),)),)
    with pytest.raises(ScenarioError, match="each position from 0 to 35 once"):
        replace(kind, substrings=twice)


@pytest.mark.parametrize(
    ("field", "value"),
    [("rows", 0), ("rows", 500), ("cell_width_m", -1.0), ("bifaciality", 1.5), ("name", ""),
     ("name", "x" * 61), ("title", "a\x00b"), ("margin_m", float("nan")), ("cell", None)],
)  # fmt: skip
def test_a_module_type_out_of_range_is_refused(field: str, value: object) -> None:
    with pytest.raises(ScenarioError, match=field):
        replace(CATALOGUE["full-60"], **{field: value})
