"""Figures of a lesson: their axes, and that nothing written in them lies on anything else."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations

import pytest

from pvsim.array import paint, parse_place, set_light
from pvsim.course.number.evaluation import Readings
from pvsim.course.number.solved_scenario import solved
from pvsim.course.text.drawing import HEIGHT, WIDTH, curve_panel, draw_figure
from pvsim.course.text.figure import Figure
from pvsim.files.figure.placer import Box
from pvsim.words import speaking
from tests.course.samples import find
from tests.files.figure.letters import face

TEXT = re.compile(
    r'<text class="(\w+)( strong)?" x="([\d.]+)" y="([\d.]+)"(?: text-anchor="(\w+)")?>([^<]*)<'
)
LARGE = {False: 16.4, True: 17.4}  # px of its type, as lesson.css sets it at the largest --type-scale


def boxes(svg: str) -> list[tuple[str, Box]]:
    """What is written in a figure with the letters' boxes, in large type."""
    found = []
    for _role, strong, x, y, anchor, text in TEXT.findall(svg):
        size = LARGE["<rect" in svg]
        wide = face(bool(strong)).getlength(text) * size / 1000
        left = float(x) - {"middle": wide / 2, "end": wide}.get(anchor, 0.0)
        found.append((text, Box(x=left, y=float(y) - 0.68 * size, width=wide, height=0.68 * size)))
    return found


@pytest.mark.parametrize("language", ["en", "de", "qps"])
@pytest.mark.parametrize("kind", ["current", "power", "levels"])
@pytest.mark.parametrize("place", ["1/4/14", "1/4/s1", "1/4", "1", "array"])
def test_nothing_written_in_a_figure_lies_on_anything_else(place: str, kind: str, language: str) -> None:
    clean = find("workshop")
    for scenario in (paint(clean, [parse_place("1/4/14")], 0.2), set_light(clean, irradiance_W_m2=37.0)):
        readings = Readings(solved(scenario), solved(clean))
        with speaking(language):
            svg = draw_figure(Figure(kind=kind, place=place, caption="x"), readings)
        found = boxes(svg)
        assert len(found) >= (1 if kind == "levels" else 5)
        high = float(re.search(r'viewBox="0 0 \d+ ([\d.]+)"', svg)[1])
        for text, box in found:
            assert 0 <= box.x, text
            assert box.x + box.width <= WIDTH, text
            assert 0 <= box.y, text
            assert box.y + box.height <= high, text
        assert [(a, b) for (a, one), (b, other) in combinations(found, 2) if one.meets(other)] == []


def test_a_curve_is_drawn_over_the_axes_that_every_figure_has() -> None:
    clean = find("workshop")
    readings = Readings(solved(paint(clean, [parse_place("1/4/14")], 0.2)), solved(clean))
    panel = curve_panel(Figure(kind="power", place="1/4", caption="x"), readings)
    assert [trace.role for trace in panel.traces] == ["before", "power"]
    assert (panel.across.title, panel.up.title) == ("V", "W")
    assert [tick.text for tick in panel.across.ladder[0]] == ["0", "10", "20", "30", "40"]
    same = curve_panel(Figure(kind="power", place="1/4", caption="x"), replace(readings, now=readings.before))
    assert [trace.role for trace in same.traces] == ["power"]


def test_where_a_cell_works_is_marked_within_the_figure_alone() -> None:
    clean = find("workshop")
    readings = Readings(solved(clean), solved(clean))
    cell = draw_figure(Figure(kind="current", place="1/4/14", caption="x"), readings)
    x, y = map(float, re.search(r'<circle class="ink hollow" cx="([\d.]+)" cy="([\d.]+)"', cell).groups())
    assert 0 < x < WIDTH
    assert 0 < y < HEIGHT
    assert "<circle" not in draw_figure(Figure(kind="current", place="1/4", caption="x"), readings)
    shaded = Readings(solved(paint(clean, [parse_place("1/4/14")], 0.2)), solved(clean))
    assert "<circle" not in draw_figure(Figure(kind="current", place="1/4/14", caption="x"), shaded)
