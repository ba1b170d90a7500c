"""Power against the time of a day as a figure."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.errors import FileError
from pvsim.files.figure.day import DayCurve, day_figure, draw_day
from pvsim.files.figure.drawing import Line, Text
from pvsim.files.figure.png import write_png
from pvsim.files.figure.sheet import Sheet
from pvsim.files.figure.svg import write_svg
from pvsim.words import speaking
from tests.files.figure.letters import faults

HOUR = np.arange(4.0, 20.0, 0.25)
OPEN_W = 5000.0 * np.sin(np.pi * (HOUR - 4.0) / 16.0)
NAMES = ("open", "shaded", "power", "followed")


def curves(*shares: float) -> list[DayCurve]:
    return [
        DayCurve(name=name, label=f"the case {name}", power_W=share * OPEN_W, energy_kWh=50.0 * share)
        for name, share in zip(NAMES, shares, strict=False)
    ]


def draw(**more):
    return draw_day(HOUR, curves(1.0, 0.9, 0.8, 0.7), title="A roof", when="2026-06-21, a harbour", **more)


def texts(drawing):
    return [mark.text for mark in drawing.marks if isinstance(mark, Text)]


def test_it_tells_the_energy_of_each_curve_and_numbers_the_clock() -> None:
    found = texts(draw())
    assert {"the case open: 50.00 kWh", "the case followed: 35.00 kWh"} <= {*found}
    assert "06:00" in found
    assert "12:00" in found
    assert any("2026-06-21" in one for one in found)
    assert "Clock of the site" in found
    assert "Power in W" in found
    assert any(one.endswith("4000 W") for one in found), "the highest power of the array as it is"


def test_no_two_curves_look_alike() -> None:
    figure = day_figure(HOUR, curves(1.0, 0.9, 0.8, 0.7), title="A roof", when="2026-06-21")
    looks = {(one.role, one.dash) for one in figure.panels[0].traces}
    assert len(looks) == len(NAMES)
    assert [(one.role, one.dash) for one in figure.legend] == [
        (one.role, one.dash) for one in figure.panels[0].traces
    ]


def test_what_is_not_known_yet_is_left_out_of_its_curve() -> None:
    half = np.where(HOUR < 12.0, OPEN_W, np.nan)
    one = DayCurve(name="power", label="as it is", power_W=half, energy_kWh=20.0)
    figure = day_figure(HOUR, [one], title="A roof", when="today")
    (trace,) = figure.panels[0].traces
    assert trace.x.max() < 12.0
    assert len(trace.x) == len(trace.y)
    assert draw_day(HOUR, [one], title="A roof", when="today").marks


def test_a_day_without_any_power_is_drawn_as_well() -> None:
    drawing = draw_day(HOUR, curves(0.0), title="A roof", when="today")
    assert any(isinstance(mark, Line) for mark in drawing.marks)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        pytest.param([], "no power", id="none"),
        pytest.param(
            [DayCurve(name="power", label="x", power_W=np.zeros(3), energy_kWh=0.0)], "3 powers", id="too-few"
        ),
        pytest.param(
            [DayCurve(name="odd", label="x", power_W=np.zeros(len(HOUR)), energy_kWh=0.0)],
            "'odd'",
            id="unknown",
        ),
    ],
)
def test_curves_that_are_none_of_this_day_are_refused(given: list[DayCurve], said: str) -> None:
    with pytest.raises(FileError, match=said):
        draw_day(HOUR, given, title="A roof", when="today")


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_it_is_written_as_svg_and_as_png(theme: str) -> None:
    drawing = draw(theme=theme)
    assert "Power against time: A roof" in write_svg(drawing)
    assert write_png(drawing).startswith(b"\x89PNG")


@pytest.mark.parametrize("spoken", ["en", "de", "qps"])
@pytest.mark.parametrize(
    "sheet",
    [Sheet(), Sheet(width=420.0), Sheet(type_scale=1.9), Sheet(width=460.0, type_scale=1.6)],
    ids=["usual", "narrow", "large-type", "narrow-in-large-type"],
)
def test_nothing_written_in_it_lies_on_anything_else(spoken: str, sheet: Sheet) -> None:
    with speaking(spoken):
        assert faults(draw(sheet=sheet)) == []
