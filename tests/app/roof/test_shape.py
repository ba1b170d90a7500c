"""A module drawn as it lies: cells where the solver has them, ribbons in wiring order, nodes and rail."""

from __future__ import annotations

import re

import numpy as np
import pytest

from pvsim.app.roof.shape import module_shape
from pvsim.array.catalogue import CATALOGUE
from pvsim.array.layout import turned_rectangles
from pvsim.array.module import ModuleType, Substring
from pvsim.array.scenario import module_type

TURNS = (0, 90, 180, 270)
KINDS = sorted(CATALOGUE)


def points(path: str) -> np.ndarray:
    """The corners of an SVG path of straight lines."""
    return np.array([[float(v) for v in pair.split()] for pair in re.split("[ML]", path) if pair])


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("name", KINDS)
def test_cells_lie_where_the_solver_has_them(name: str, turn: int) -> None:
    kind = CATALOGUE[name]
    cells = np.array(module_shape(kind, turn)["cells"]).reshape(-1, 4)
    expected = turned_rectangles(kind, turn) * 1000.0
    corners = np.concatenate([cells[:, :2], cells[:, :2] + cells[:, 2:]], axis=1)
    np.testing.assert_allclose(corners, expected, atol=0.11)  # each number is rounded to 0.1 mm


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("name", KINDS)
def test_the_rows_read_from_left_to_right_and_hold_every_cell_once(name: str, turn: int) -> None:
    shape = module_shape(CATALOGUE[name], turn)
    cells = np.array(shape["cells"]).reshape(-1, 4)
    assert sorted(cell for row in shape["rows"] for cell in row) == list(range(len(cells)))
    tops = [cells[row[0], 1] for row in shape["rows"]]
    assert tops == sorted(tops)
    for row in shape["rows"]:
        assert np.ptp(cells[row, 1]) < 0.2
        assert (np.diff(cells[row, 0]) > 0).all()


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("name", KINDS)
def test_the_current_passes_every_cell_of_a_chain_in_wiring_order(name: str, turn: int) -> None:
    shape = module_shape(CATALOGUE[name], turn)
    cells = np.array(shape["cells"]).reshape(-1, 4)
    centres = cells[:, :2] + cells[:, 2:] / 2
    for part in shape["substrings"]:
        at = part["first"]
        for length, path in zip(part["lengths"], part["chains"], strict=True):
            way = points(path)
            along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(way, axis=0), axis=1))])
            met = [position_on(way, along, centres[cell]) for cell in range(at, at + length)]
            assert all(distance < 0.2 for distance, _place in met)  # the way leads through every centre
            places = [place for _distance, place in met]
            assert places == sorted(places)
            at += length
        assert at == part["first"] + part["count"]


def position_on(way: np.ndarray, along: np.ndarray, point: np.ndarray) -> tuple[float, float]:
    """Distance of a point from a polyline, and how far along it is nearest."""
    best = (np.inf, 0.0)
    for k in range(len(way) - 1):
        step = way[k + 1] - way[k]
        length = float(step @ step)
        t = min(1.0, max(0.0, float((point - way[k]) @ step) / length)) if length else 0.0
        distance = float(np.linalg.norm(way[k] + t * step - point))
        if distance < best[0] - 1e-6:
            best = (distance, float(along[k] + t * np.sqrt(length)))
    return best


@pytest.mark.parametrize("name", KINDS)
def test_a_substring_begins_at_its_minus_node_and_ends_at_its_plus_node(name: str) -> None:
    shape = module_shape(CATALOGUE[name], 0)
    reach = 14.0  # mm: half the glass margin, or half the gap, beyond the cell
    for part in shape["substrings"]:
        starts = np.array([points(path)[0] for path in part["chains"]])
        ends = np.array([points(path)[-1] for path in part["chains"]])
        assert np.abs(starts - part["a"]).min(axis=0).max() <= reach
        assert np.abs(ends - part["b"]).min(axis=0).max() <= reach


@pytest.mark.parametrize(
    ("name", "turn", "rail"),
    [
        pytest.param("full-60", 0, "top", id="portrait"),
        pytest.param("full-60", 180, "bottom", id="upside-down"),
        pytest.param("full-60", 270, "left", id="landscape"),
        pytest.param("full-60", 90, "right", id="landscape-upside-down"),
        pytest.param("half-144", 0, "across", id="half-cells"),
        pytest.param("half-144", 270, "down", id="half-cells-landscape"),
        pytest.param("shingled-360", 0, "left", id="shingled"),
    ],
)
def test_the_diodes_are_drawn_where_the_substrings_end(name: str, turn: int, rail: str) -> None:
    assert module_shape(CATALOGUE[name], turn)["rail"] == rail


@pytest.mark.parametrize("turn", TURNS)
def test_turning_a_module_turns_its_nodes_with_it(turn: int) -> None:
    kind = CATALOGUE["full-72"]
    upright, turned = module_shape(kind, 0), module_shape(kind, turn)
    width, height = upright["width"], upright["height"]
    for a, b in zip(upright["substrings"], turned["substrings"], strict=True):
        x, y = a["a"]
        expected = {0: (x, y), 90: (height - y, x), 180: (width - x, height - y), 270: (y, width - x)}[turn]
        assert b["a"] == pytest.approx(expected, abs=0.2)  # rounded to 0.1 mm twice


def test_half_cells_keep_the_two_cut_corners_of_their_half() -> None:
    shape = module_shape(CATALOGUE["half-120"], 0)
    cells = np.array(shape["cells"]).reshape(-1, 4)
    middle = shape["height"] / 2
    for cell, cut in enumerate(shape["cuts"]):
        row = round((cells[cell, 1] - 20.0) / (cells[cell, 3] + 2.0))
        assert cut == ("3" if row % 2 == 0 else "c"), f"cell {cell + 1}, {cells[cell, 1] - middle:.0f} mm"


def test_a_module_without_diodes_says_so() -> None:
    assert not any(part["diode"] for part in module_shape(CATALOGUE["bare-60"], 0)["substrings"])


def test_a_module_wired_in_an_odd_way_is_drawn_too() -> None:
    kind = ModuleType(
        name="odd",
        title="Four cells, wired crosswise",
        cell=CATALOGUE["full-60"].cell,
        rows=2,
        columns=2,
        cell_width_m=0.1,
        cell_height_m=0.1,
        substrings=(Substring(chains=((0, 3, 1, 2),)),),
    )
    shape = module_shape(kind, 0)
    assert len(shape["substrings"][0]["chains"]) == 1
    assert shape["rail"] in ("top", "bottom", "left", "right", "across", "down")


def test_the_name_of_a_type_leads_to_its_shape() -> None:
    from pvsim.files.demo import read_demo

    scenario = read_demo("workshop")
    assert module_shape(module_type(scenario, "full-60"), 0)["title"] == CATALOGUE["full-60"].title
