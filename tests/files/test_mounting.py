"""Surfaces and spots in a scenario file; files from before there were any."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import pvsim
from pvsim.array.mounting import Row, Spot, Surface
from pvsim.errors import FileError
from pvsim.files import read_scenario, write_scenario
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


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("format = 2", "format = 1", "surfaces"),
        ("format = 2", "format = 3", "format"),
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
