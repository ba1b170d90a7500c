"""A module on paper: every cell has its number where it lies, every diode its name over its own cells."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pvsim.array import CATALOGUE, Module, Place, String, paint
from pvsim.array.module import substring_cells
from pvsim.files.demo import read_demo
from pvsim.files.figure.cell_shades import shades_of
from pvsim.files.figure.drawing import LIGHT, Drawing, Line, Text
from pvsim.files.figure.module_picture import module_picture
from tests.files.figure.letters import faults

WIDTH_px = 248.0
SHINGLED = "shingled-360"
POINTS = 482.0 / 680.0  # pt a px: an A4 page with margins of 20 mm is 482 pt wide, a drawing 680 px


def picture_of(kind, orientation="portrait", **more):
    base = read_demo("single-module")
    array = replace(base.array, strings=(String(modules=(Module(type=kind),)),), orientation=orientation)
    scenario = paint(replace(base, array=array), [Place(1, 1, cell=2)], 0.1)
    field = {"left": 1.0, "top": 20.0, "width": WIDTH_px, "most_height": 380.0} | more
    return module_picture(scenario, shades_of(scenario, None), Place(1, 1), **field)


@pytest.mark.parametrize("orientation", ["portrait", "landscape"])
@pytest.mark.parametrize("kind", sorted(set(CATALOGUE) - {SHINGLED}))
def test_every_cell_has_its_number_and_nothing_collides(kind, orientation):
    found = picture_of(kind, orientation)
    cells = sum(len(chain) for part in CATALOGUE[kind].substrings for chain in part.chains)
    numbers = [mark for mark in found.marks if isinstance(mark, Text) and mark.text.isdigit()]
    assert [int(one.text) for one in numbers] == list(range(1, cells + 1))
    assert min(one.size for one in numbers) * POINTS >= 6.0
    size = {"width": 250.0, "height": 20.0 + found.height + 2.0}
    drawing = Drawing(**size, title="", description="", marks=found.marks, palette=LIGHT)
    assert faults(drawing) == []


def test_shingles_are_too_narrow_for_numbers():
    found = picture_of(SHINGLED)
    assert not any(mark.text.isdigit() for mark in found.marks if isinstance(mark, Text))
    assert found.height < 420.0


def test_a_diode_stands_over_the_cells_of_its_substring():
    found = picture_of("full-60")
    at = {int(one.text): one.x for one in found.marks if isinstance(one, Text) and one.text.isdigit()}
    names = [one for one in found.marks if isinstance(one, Text) and one.text.startswith("D")]
    lines = [one.points for one in found.marks if isinstance(one, Line)]
    spans = [(start, end) for start, end in lines if start[1] == end[1]]
    assert [one.text for one in names] == ["D1", "D2", "D3"]
    for number, span in enumerate(spans, start=1):
        left, right = span[0][0], span[-1][0]
        inside = {cell for cell, x in at.items() if left < x < right}
        assert inside == set(substring_cells(CATALOGUE["full-60"], number))
    assert "D1 to D3" in found.caption


def test_a_number_on_a_dark_cell_is_white():
    roles = {one.text: one.role for one in picture_of("full-60").marks if isinstance(one, Text)}
    assert (roles["1"], roles["2"]) == ("ink", "ground")


def test_a_lying_module_whose_numbers_have_no_room_stands_upright_and_says_so():
    assert "upright" in picture_of("half-120", "landscape").caption
    assert "upright" not in picture_of("full-60", "landscape").caption
