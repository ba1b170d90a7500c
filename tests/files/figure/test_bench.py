"""The array beside its characteristics: all of it inside the sheet, cables where they are."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from pvsim.array import WHOLE_ARRAY, solve_array
from pvsim.array.change import set_array
from pvsim.array.solve import part_curve
from pvsim.files import demo_names, read_demo, write_svg
from pvsim.files.curve import curve_of
from pvsim.files.figure.bench import ROOF_px, draw_bench
from pvsim.files.figure.drawing import Line, Text
from pvsim.files.provenance import MODEL_LIMITS


def drawn(scenario, theme: str = "light"):
    solution = solve_array(scenario, points=80)
    return draw_bench(solution, [curve_of(part_curve(solution, WHOLE_ARRAY), "array")], theme=theme)


@pytest.mark.parametrize("name", demo_names())
def test_drawing_and_curves_lie_side_by_side_and_inside(name: str) -> None:
    scenario = set_array(read_demo(name), tracking="one")
    drawing = drawn(scenario, "dark")
    left, right = 0, 0
    for mark in drawing.marks:
        points = mark.points if isinstance(mark, Line) else ((mark.x, mark.y),)
        for x, y in points:
            assert -1.0 <= x <= drawing.width + 1.0
            assert -1.0 <= y <= drawing.height + 1.0
        left += points[0][0] < ROOF_px
        right += points[0][0] >= ROOF_px
    assert left >= 3
    assert right > 10
    said = " ".join(" ".join(ET.fromstring(write_svg(drawing)).itertext()).split())
    assert all(limit in said for limit in MODEL_LIMITS)


def test_a_mounted_roof_shows_its_cables_and_the_numbers_of_its_strings() -> None:
    scenario = read_demo("rope-walk")
    drawing = drawn(scenario)
    numbers = [mark.text for mark in drawing.marks if isinstance(mark, Text) and mark.x < ROOF_px]
    strings = len(scenario.array.strings)
    assert numbers[:strings] == [str(number) for number in range(1, strings + 1)]
    # Each string's cable has a corner at every lead of its modules, and a casing below it.
    cables = [mark for mark in drawing.marks if isinstance(mark, Line) and len(mark.points) > 20]
    on_roof = [mark for mark in cables if max(x for x, _y in mark.points) < ROOF_px]
    assert len(on_roof) == 2 * strings
