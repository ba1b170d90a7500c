"""Ways of joining cells: where the ends of the substrings lie, by hand and by laws."""

from __future__ import annotations

import pytest

from pvsim.array.cell_layout import GAP_m
from pvsim.array.module import wiring_order
from pvsim.sheet import infer, sentence, way_findings, ways_of
from tests.sheet.samples import HALVES, sheet


def by_name(**changes):
    return {one.name: one for one in ways_of(sheet(**changes))}


def test_the_ends_of_whole_cells_by_hand() -> None:
    ways = by_name()  # 10 rows of 6, 156.75 mm and gaps of 2 mm
    pitch = 0.15675 + GAP_m
    assert {name: one.reaches for name, one in ways.items()} == {
        "columns": True, "halves": True, "one-way": False, "rows": False
    }  # fmt: skip
    assert ways["columns"].apart_m == pytest.approx(pitch)
    # From the top of one column to the foot of the next.
    assert ways["one-way"].apart_m == pytest.approx(pitch + 10 * pitch - GAP_m)
    # The first twenty end with the last two cells of row 4: between the fourth and the fifth column.
    assert ways["rows"].apart_m == pytest.approx(3 * pitch + 4 * pitch)


def test_the_ends_of_halves_by_hand() -> None:
    ways = by_name(**HALVES)
    across, along = 0.15675 + GAP_m, 0.0784 + GAP_m
    assert ways["halves"].apart_m == pytest.approx(across)
    assert ways["one-way"].apart_m == pytest.approx(across + 10 * along - GAP_m)
    assert [one.side_by_side for one in ways.values()] == [1, 2, 2, 2]
    assert not ways["columns"].fits


@pytest.mark.parametrize("changes", [{}, HALVES, {"bypass_diodes": 1}, {"bypass_diodes": 0}])
def test_each_way_joins_each_cell_once(changes) -> None:
    for way in ways_of(sheet(**changes)):
        assert sorted(wiring_order(way.module).tolist()) == list(range(sheet(**changes).cells))


@pytest.mark.parametrize(
    ("rows", "columns", "diodes"),
    [(10, 6, 3), (12, 6, 3), (12, 4, 2), (12, 8, 2), (9, 4, 2), (8, 5, 0), (12, 12, 6), (1, 36, 18)],
)
def test_the_way_inferred_is_the_shortest_whose_ends_meet(rows, columns, diodes) -> None:
    cells = rows * columns
    for volts in (0.66, 0.33):
        if volts < 0.5 and rows % 2:
            continue
        # As many cells in series under each diode as the sheet says; the points follow Voc.
        made = sheet(
            cells=cells, rows=rows, columns=columns, bypass_diodes=diodes, voc_V=volts * cells,
            vmp_V=0.823 * volts * cells, cell_width_mm=150.0, cell_height_mm=150.0,
        )  # fmt: skip
        found = infer(made).structure
        ways = {one.name: one for one in ways_of(made)}
        allowed = [one for one in ways.values() if one.fits and one.reaches]
        if diodes:  # without any, an odd number of columns ends at the other edge
            assert found.layout == min(allowed, key=lambda one: one.apart_m).name
        assert ways[found.layout].fits


def test_a_way_says_what_it_means() -> None:
    ways = ways_of(sheet())
    found = way_findings(ways)
    assert {name: one.bearing for name, one in found.items()} == {
        "columns": "allowed", "halves": "excluded", "one-way": "doubt", "rows": "doubt"
    }  # fmt: skip
    assert "0.16" in sentence(found["columns"])
    assert "1.7" in sentence(found["one-way"])


def test_where_the_voltage_is_in_no_band_no_way_fits() -> None:
    assert not any(one.fits for one in ways_of(sheet(voc_V=27.6, vmp_V=22.7)))
