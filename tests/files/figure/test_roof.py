"""The roof as a figure: cells where they lie, by light or power, and in words."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from pvsim.array import Place, paint, roof_rectangles, solve_array
from pvsim.files import demo_names, read_demo, write_svg
from pvsim.files.figure.drawing import Box
from pvsim.files.figure.roof import MOST_CELLS, draw_roof
from pvsim.files.provenance import MODEL_LIMITS
from pvsim.reading import eating_cells


def cell_boxes(drawing, scenario):
    cells = [mark for mark in drawing.marks if isinstance(mark, Box) and not mark.rim]
    assert len(cells) == len(roof_rectangles(scenario))
    return cells


@pytest.mark.parametrize("name", demo_names())
def test_every_roof_is_drawn_inside_its_frame_and_names_its_limits(name):
    scenario = read_demo(name)
    drawing = draw_roof(scenario)
    for box in (mark for mark in drawing.marks if isinstance(mark, Box)):
        assert box.x >= 0
        assert box.y >= 0
        assert box.x + box.width <= drawing.width
        assert box.y + box.height <= drawing.height
    text = " ".join(" ".join(ET.fromstring(write_svg(drawing)).itertext()).split())
    assert all(limit in text for limit in MODEL_LIMITS)


def test_a_shaded_cell_is_darker_than_the_others():
    scenario = paint(read_demo("single-module"), (Place(1, 1, cell=7),), 0.2)
    fills = [box.fill for box in cell_boxes(draw_roof(scenario), scenario)]
    assert fills[6] != fills[0]
    assert int(fills[6][1:], 16) < int(fills[0][1:], 16)
    assert len(set(fills)) == 2


def test_cells_that_eat_power_are_hatched_and_counted_in_words():
    scenario = paint(read_demo("workshop"), (Place(1, 4, cell=17),), 0.2)
    solution = solve_array(scenario)
    drawing = draw_roof(scenario, solution)
    hatched = [bool(box.hatch) for box in cell_boxes(drawing, scenario)]
    assert hatched == eating_cells(solution).tolist()
    assert hatched[solution.cell_index(Place(1, 4, cell=17))]
    assert f"{sum(hatched)} hatched cell" in drawing.description


def test_a_very_large_array_is_drawn_by_a_sample_of_its_cells():
    from dataclasses import replace

    scenario = read_demo("workshop")
    array = replace(scenario.array, strings=scenario.array.strings * 50)
    drawing = draw_roof(replace(scenario, array=array))
    boxes = sum(isinstance(mark, Box) for mark in drawing.marks)
    assert boxes <= MOST_CELLS + 800  # and a box for each of the 800 modules
    assert "48000 cells" in drawing.description
