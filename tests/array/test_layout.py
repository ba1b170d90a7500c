"""The roof: where modules and cells lie."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from pvsim.array import CATALOGUE, module_positions, module_size, roof_rectangles, roof_size, set_array
from pvsim.array.index import array_index, cell_at, cell_slice
from pvsim.array.layout import turned_rectangles
from pvsim.array.place import Place, parse_place
from pvsim.errors import ScenarioError
from tests.array.samples import scenario

WIDTH, HEIGHT = module_size(CATALOGUE["full-60"])


def test_each_string_is_a_row_with_its_first_module_on_the_left() -> None:
    places = module_positions(scenario(3, 2, module_gap_m=0.05, row_gap_m=0.2))
    assert [(p.string, p.module, p.row) for p in places] == [
        (1, 1, 1),
        (1, 2, 1),
        (1, 3, 1),
        (2, 1, 2),
        (2, 2, 2),
    ]
    assert places[2].x_m == pytest.approx(2 * (WIDTH + 0.05))
    assert places[3].y_m == pytest.approx(HEIGHT + 0.2)
    assert (places[0].x_m, places[0].y_m) == (0.0, 0.0)


def test_a_long_string_goes_on_in_the_next_row() -> None:
    places = module_positions(scenario(5, 2, modules_per_row=3))
    assert [p.row for p in places] == [1, 1, 1, 2, 2, 3, 3]
    assert places[3].x_m == 0.0


@pytest.mark.parametrize("orientation", ["portrait", "landscape"])
@pytest.mark.parametrize("rotated", [False, True])
def test_the_junction_box_side_follows_how_a_module_lies(orientation: str, rotated: bool) -> None:
    lying = scenario(1, orientation=orientation, rotated=rotated)
    (place,) = module_positions(lying)
    first = roof_rectangles(lying)[0]  # cell 1 is at the upper left of the portrait drawing
    near_left = first[0] < place.width_m / 2
    near_top = first[1] < place.height_m / 2
    expected = {("portrait", False): (True, True), ("portrait", True): (False, False),
                ("landscape", False): (True, False), ("landscape", True): (False, True)}  # fmt: skip
    assert (near_left, near_top) == expected[orientation, rotated]
    assert (place.width_m > place.height_m) == (orientation == "landscape")


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_turning_a_module_keeps_its_cells_within_it_and_their_areas(turn: int) -> None:
    kind = CATALOGUE["half-144"]
    width, height = module_size(kind)
    if turn in (90, 270):
        width, height = height, width
    left, top, right, bottom = turned_rectangles(kind, turn).T
    assert left.min() > 0
    assert top.min() > 0
    assert right.max() < width
    assert bottom.max() < height
    area = kind.cell_width_m * kind.cell_height_m
    np.testing.assert_allclose((right - left) * (bottom - top), area, rtol=1e-12)  # rounding


def test_two_half_turns_bring_a_module_back() -> None:
    kind = CATALOGUE["full-36"]
    width, height = module_size(kind)
    left, top, right, bottom = turned_rectangles(kind, 180).T
    again = np.stack([width - right, height - bottom, width - left, height - top], axis=1)
    np.testing.assert_allclose(again, turned_rectangles(kind, 0), atol=1e-12)  # rounding of metres


def test_modules_of_different_size_share_a_row_without_overlap() -> None:
    from pvsim.array import Module, String

    mixed = String(modules=(Module("full-36"), Module("full-72"), Module("full-36")))
    places = module_positions(set_array(scenario(1), strings=(mixed, mixed)))
    for before, after in pairwise(places[:3]):
        assert after.x_m == pytest.approx(before.x_m + before.width_m + 0.02)
    assert places[3].y_m == pytest.approx(module_size(CATALOGUE["full-72"])[1] + 0.1)


def test_the_roof_is_as_large_as_its_outermost_modules() -> None:
    width, height = roof_size(scenario(3, 2, module_gap_m=0.0, row_gap_m=0.5))
    assert width == pytest.approx(3 * WIDTH)
    assert height == pytest.approx(2 * HEIGHT + 0.5)


def test_equal_rows_have_equal_numbers_to_the_last_digit() -> None:
    cells = roof_rectangles(scenario(7, 7, 7)).reshape(3, -1, 4)
    assert (cells[0, :, 0] == cells[2, :, 0]).all()


def test_cells_stand_in_the_order_string_module_cell() -> None:
    index = array_index(scenario(2, 3))
    assert cell_at(index, 0) == Place(1, 1, 1)
    assert cell_at(index, 5 * 60 - 1) == Place(2, 3, 60)
    flat = cell_slice(index, parse_place("2/1/5")).start
    assert flat == 2 * 60 + 4
    assert cell_at(index, flat) == Place(2, 1, 5)


@pytest.mark.parametrize(
    ("text", "cells"), [("array", 300), ("2", 180), ("2/3", 60), ("2/3/s2", 20), ("2/3/d2", 20), ("2/3/7", 1)]
)
def test_a_place_is_one_run_of_cells(text: str, cells: int) -> None:
    where = cell_slice(array_index(scenario(2, 3)), parse_place(text))
    assert where.stop - where.start == cells


def test_a_flat_number_beyond_the_array_is_refused() -> None:
    with pytest.raises(ScenarioError, match="flat number 300"):
        cell_at(array_index(scenario(2, 3)), 300)
