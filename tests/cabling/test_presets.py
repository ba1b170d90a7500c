"""Usual orders over rows and columns, and what they refuse."""

from __future__ import annotations

import pytest

from pvsim.cabling import blocks, check_wiring, leapfrog, preset_wirings, row_by_row, serpentine
from pvsim.errors import CablingError
from tests.cabling.roofs import full_grid, random_roof

ROOF = full_grid(3, 4)  # numbers 1 to 4 in the first row, 5 to 8, 9 to 12
PLACES = (ROOF.rows, ROOF.columns)


def test_row_by_row_begins_each_row_at_the_left() -> None:
    assert row_by_row(*PLACES, [6, 6]) == ((1, 2, 3, 4, 5, 6), (7, 8, 9, 10, 11, 12))


def test_the_serpentine_comes_back_in_every_other_row() -> None:
    assert serpentine(*PLACES, [6, 6]) == ((1, 2, 3, 4, 8, 7), (6, 5, 9, 10, 11, 12))


def test_every_other_one_and_back_ends_beside_where_it_began() -> None:
    assert leapfrog(*PLACES, [4, 4, 4]) == ((1, 3, 4, 2), (5, 7, 8, 6), (9, 11, 12, 10))
    assert leapfrog(*PLACES, [5, 7]) == ((1, 3, 8, 4, 2), (7, 5, 10, 12, 11, 9, 6))


def test_blocks_are_filled_one_after_the_other() -> None:
    order = blocks(*PLACES, [4, 4, 4], block_rows=2, block_columns=2)
    assert order == ((1, 2, 6, 5), (3, 4, 8, 7), (11, 12, 9, 10))  # the third row is half a block high
    assert blocks(*PLACES, [12], block_rows=3, block_columns=4) == serpentine(*PLACES, [12])


def test_free_places_are_passed_over() -> None:
    # x . x x / . . . . / x x . x: the empty row does not turn the serpentine
    rows, columns = [1, 1, 1, 3, 3, 3], [1, 3, 4, 1, 2, 4]
    assert serpentine(rows, columns, [6]) == ((1, 2, 3, 6, 5, 4),)
    assert leapfrog(rows, columns, [3, 3]) == ((1, 3, 2), (4, 6, 5))


def test_the_modules_numbers_are_their_own_whatever_the_places() -> None:
    assert row_by_row([2, 1, 1], [1, 2, 1], [2, 1]) == ((3, 2), (1,))


@pytest.mark.parametrize("seed", range(50))
def test_every_preset_takes_each_module_once_in_strings_of_the_wanted_lengths(seed) -> None:
    roof, lengths = random_roof(seed)
    for wiring in preset_wirings(roof.rows, roof.columns, lengths).values():
        assert check_wiring(wiring, len(roof.rows)) == wiring
        assert [len(string) for string in wiring] == lengths


def test_blocks_come_in_every_shape_of_the_commonest_length() -> None:
    names = [*preset_wirings(*PLACES, [6, 6])]
    assert names == ["row by row", "serpentine", "leapfrog", "blocks 2 x 3", "blocks 3 x 2"]


@pytest.mark.parametrize(
    ("rows", "columns", "lengths", "said"),
    [
        ([1, 1], [1], [2], "2 rows and 1 columns"),
        ([], [], [], "0 rows"),
        ([1, 1], [2, 2], [2], "2 modules are in row 1, column 2"),
        ([1, 1.5], [1, 2], [2], "rows is 1.5"),
        ([1, 1], [1, 2], [1], "take 1 modules"),
        ([1, 1], [1, 2], [], "take 0 modules"),
        ([1, 1], [1, 2], [2, 0], "lengths is 0"),
    ],
)
def test_places_and_lengths_that_do_not_fit_are_refused(rows, columns, lengths, said) -> None:
    with pytest.raises(CablingError, match=said):
        serpentine(rows, columns, lengths)
