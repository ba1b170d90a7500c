"""Surfaces and spots in a scenario file; files from before there were any."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import pvsim
from pvsim.array.layout import roof_of
from pvsim.array.mounting import Row, Spot, Surface
from pvsim.array.rewire import on_surfaces, spots_of
from pvsim.array.route import roof_terminals, route_as
from pvsim.array.solve import solve_array
from pvsim.array.usual_wirings import usual_wirings
from pvsim.cabling.shortest import shortest_wiring
from pvsim.errors import FileError
from pvsim.files import read_demo, read_scenario, write_scenario
from pvsim.files.link import pack, unpack
from pvsim.files.mounting import spot_runs
from tests.array.test_mounting import SURFACE, mounted

SHIPPED = sorted((Path(pvsim.__file__).parent / "scenarios").glob("*.toml"))
FILE = """format = 2
title = "x"
[array]
[[array.strings]]
modules = [{ type = "full-60", spots = ["A/1/1-3", "A/2/3-2"] }]
[[array.surfaces]]
type = "full-60"
rows = [{ count = 2, places = 3 }]
"""


def test_neighbours_in_a_row_are_written_as_one() -> None:
    spots = [Spot(1, 1, 1), Spot(1, 1, 2), Spot(1, 1, 3), Spot(1, 2, 3), Spot(1, 2, 2), Spot(2, 2, 1)]
    assert spot_runs(spots) == ["A/1/1-3", "A/2/3-2", "B/2/1"]
    assert spot_runs([Spot(1, 1, 1), Spot(1, 1, 2), Spot(1, 1, 1)]) == ["A/1/1-2", "A/1/1"]


@pytest.mark.parametrize("wiring", [["A/1/3 A/1/1", "A/2/2 A/2/1"], ["A/2/1"], ["A/1/1 A/1/2 A/2/2"]])
def test_a_mounted_array_comes_back_from_file_and_link(wiring: list[str]) -> None:
    east = Surface(type="full-60", rows=(Row(places=2),) * 3, name="east", x_m=30.0, azimuth_deg=90.0)
    spare = "B/1/2 B/2/1" if len(wiring) > 1 else "B/3/1"
    now = mounted(*wiring, surfaces=(SURFACE, east), unwired=spare)
    assert read_scenario(write_scenario(now)) == now
    assert unpack(pack(now)) == now


def test_a_file_says_spots_in_runs() -> None:
    found = read_scenario(FILE)
    spots = [module.spot for module in found.array.strings[0].modules]
    assert spots == [Spot(1, 1, 1), Spot(1, 1, 2), Spot(1, 1, 3), Spot(1, 2, 3), Spot(1, 2, 2)]


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_what_ships_opens_as_it_always_did_and_is_written_for_an_earlier_pvsim(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    found = read_scenario(text)
    if "surfaces" not in text:
        assert not found.array.surfaces
        assert "format = 1" in write_scenario(found)


def test_a_roof_of_rows_from_before_has_its_modules_where_the_mounted_one_has_them() -> None:
    """The rope-walk of format 1 opens as ever; on spots nothing but its cables has changed."""
    old = read_scenario((Path(__file__).parent / "data/rope-walk-of-rows.toml").read_text(encoding="utf-8"))
    new = read_demo("rope-walk")
    assert "format = 1" in write_scenario(old)
    assert (old.array.cables, old.array.surfaces) == (None, ())
    assert np.array_equal(roof_of(old).rectangle, roof_of(new).rectangle)
    bare = replace(new, array=replace(new.array, cables=None))
    assert solve_array(bare).power_W == solve_array(old).power_W
    assert spots_of(on_surfaces(old)) == spots_of(new)


def test_row_by_row_the_rope_walk_takes_twice_the_cable_and_more_of_the_shortest_wiring() -> None:
    roof = read_demo("rope-walk")
    usual = usual_wirings(roof, (8,) * 5)
    spots, terminals = roof_terminals(roof)
    number = {spot: at for at, spot in enumerate(spots, start=1)}
    box = (roof.array.cables.box_x_m, roof.array.cables.box_y_m)
    starts = [[[number[spot] for spot in string] for string in wiring] for wiring in usual.values()]
    found = shortest_wiring(terminals, box, (8,) * 5, starts=starts, time_s=20.0, goal="cable")
    rows = route_as(roof, usual["row by row"]).bought_m
    assert spots_of(roof) == usual["row by row"]
    assert 1.9 < rows / route_as(roof, usual["leapfrog"]).bought_m < 2.0
    assert 2.0 < rows / found.bought_m <= rows / found.least_bought_m < 2.2


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("format = 2", "format = 1", "surfaces"),
        ("format = 2", "format = 4", "format"),
        ("A/1/1-3", "A/1/1-4", "does not exist"),
        ("A/1/1-3", "A/1/9-1", "does not exist"),
        ("A/1/1-3", "A/1/1-999", "place of the spot|does not exist|place"),
        ("A/1/1-3", "1/1/1", "no place on a roof"),
        ('"A/2/3-2"', '"A/1/3-2"', "both mounted"),
        ("places = 3", "places = 0", "places"),
        ("places = 3", "plces = 3", "plces"),
        ("spots = [", "count = 2, spots = [", "count"),
        ('type = "full-60"\nrows', 'type = "full-6"\nrows', "full-6"),
    ],
)
def test_what_is_wrong_in_a_file_is_told_where_it_stands(old: str, new: str, said: str) -> None:
    assert old in FILE
    with pytest.raises(FileError, match=said) as found:
        read_scenario(FILE.replace(old, new, 1), "roof.toml")
    assert "roof.toml" in str(found.value)


def test_a_link_that_is_cut_in_half_is_told() -> None:
    word = pack(replace(mounted("A/1/1 A/1/2"), note="cut"))
    for end in (len(word) // 2, len(word) - 3):
        with pytest.raises(FileError, match="cut short or damaged"):
            unpack(word[:end])
