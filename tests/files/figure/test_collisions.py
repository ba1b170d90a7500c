"""Nothing written in a figure lies on anything else: many faults, narrow sheets, long words, large type."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvsim.array import Place, paint, solve_array
from pvsim.array.solve import part_curve
from pvsim.circuit import PowerPoint
from pvsim.files import demo_names, read_demo
from pvsim.files.curve import Curve, curve_of
from pvsim.files.figure.characteristic import draw_curves
from pvsim.files.figure.drawing import Text
from pvsim.files.figure.roof import draw_roof
from pvsim.files.figure.sheet import Sheet
from pvsim.numbers import significant
from pvsim.words import speaking
from tests.files.figure.letters import faults, short_leaders

LANGUAGES = ("en", "de", "qps")  # the last one is longer by two fifths
SHEETS = {
    "usual": Sheet(),
    "narrow": Sheet(width=420.0),
    "large-type": Sheet(type_scale=1.9),
    "narrow-in-large-type": Sheet(width=460.0, type_scale=1.6),
}


@cache
def many_faults() -> list[Curve]:
    """A string in which substring after substring gets less light: a maximum of power for each of them."""
    scenario = before = read_demo("workshop")
    for module in range(1, 9):
        for cell, share in ((2, 0.0), (25, 0.02), (45, 0.05)):
            scenario = paint(scenario, (Place(1, module, cell=cell),), 1.0 - 0.11 * module + share)
    now, then = solve_array(scenario), solve_array(before)
    place = Place(1)
    return [
        curve_of(part_curve(now, place), "string 1 of the workshop"),
        curve_of(part_curve(then, place), "before", before=True),
    ]


def crowded() -> list[Curve]:
    """Large numbers, and maxima that lie close beside one another."""
    voltage_V = np.linspace(-20.0, 1500.0, 400)
    current_A = np.clip(900.0 - 0.55 * voltage_V, -50.0, None)
    power_W = voltage_V * current_A
    at = (700.0, 730.0, 760.0, 790.0, 820.0, 850.0, 900.0, 1000.0)
    mpps = tuple(
        PowerPoint(voltage_V=V, current_A=900.0 - 0.55 * V, power_W=V * (900.0 - 0.55 * V)) for V in at
    )
    main = Curve(label="all", voltage_V=voltage_V, current_A=current_A, power_W=power_W, mpps=mpps)
    names = ("Wechselrichtereingang", "MPPMPPMPPMPPMPPMPP", "string 3", "WWWWWWWWWWWWWWWWWW", "string 5")
    return [
        main,
        *(
            replace(main, label=name, current_A=current_A * share, power_W=power_W * share, mpps=())
            for name, share in zip(names, (0.9, 0.8, 0.7, 0.6, 0.5), strict=True)
        ),
    ]


def measured() -> list[Curve]:
    """A computed curve, with a measured one that is described beside it."""
    one, _before = many_faults()
    return [one, replace(one, label="tracer, second try.csv", mpps=(), measured=True)]


FIGURES = {"many-faults": many_faults, "crowded": crowded, "measured": measured}


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("name", FIGURES)
def test_nothing_written_lies_on_anything_else_or_leaves_the_sheet(name: str, sheet: str) -> None:
    curves = FIGURES[name]()
    for language in LANGUAGES:
        with speaking(language):
            drawing = draw_curves(curves, title="Workshop", sheet=SHEETS[sheet])
        assert faults(drawing) == [], language
        assert short_leaders(drawing) == [], language


def test_the_greatest_power_keeps_its_label_and_most_others_find_room() -> None:
    curves = many_faults()
    bold = [one for one in draw_curves(curves, title="x").marks if isinstance(one, Text) and one.bold]
    labels = bold[1:]  # behind the heading
    assert len(curves[0].mpps) >= 8
    assert labels[0].text == f"{significant(max(one.power_W for one in curves[0].mpps))} W"
    assert len(labels) == len(curves[0].mpps)


@pytest.mark.parametrize("title", ["W" * 84, "Verschattungsverlust " * 6, "x"])
def test_a_long_title_is_cut_where_the_sheet_ends(title: str) -> None:
    assert faults(draw_curves(crowded()[:1], title=title)) == []
    assert faults(draw_roof(replace(read_demo("workshop"), title=title[:80]))) == []


@pytest.mark.parametrize("name", demo_names())
def test_nothing_written_on_a_roof_lies_on_anything_else(name: str) -> None:
    assert faults(draw_roof(read_demo(name))) == []


@given(
    st.lists(st.tuples(st.floats(0.05, 1.0), st.floats(0.05, 1.0)), min_size=1, max_size=14),
    st.floats(1e-3, 1e5),
    st.floats(1e-3, 2e3),
    st.sampled_from(sorted(SHEETS)),
    st.sampled_from(LANGUAGES),
)
def test_whatever_is_drawn_no_text_lies_on_another_one_or_on_a_point(shares, amperes, volts, sheet, language):
    x = np.linspace(-0.1, 1.1, 60) * volts
    y = np.interp(x / volts, [0.0, 0.8, 1.0, 1.1], np.array([1.0, 0.9, 0.0, -0.5])) * amperes
    at = [(a * volts, b * amperes) for a, b in shares]
    mpps = tuple(PowerPoint(voltage_V=V, current_A=I, power_W=V * I) for V, I in at)
    one = Curve(label="string 2", voltage_V=x, current_A=y, power_W=x * y, mpps=mpps)
    with speaking(language):
        curves = [one, replace(one, label="before", before=True)]
        drawing = draw_curves(curves, title="x", sheet=SHEETS[sheet])
    assert faults(drawing) == []
