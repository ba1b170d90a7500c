"""Figures: sound SVG and PNG that name what they show, and no foreign text that acts."""

from __future__ import annotations

import re
import struct
import xml.etree.ElementTree as ET
import zlib

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import pvsim
from pvsim.array import CATALOGUE
from pvsim.circuit import Cell, Parallel, PowerPoint, Series, solve
from pvsim.errors import FileError
from pvsim.files.curve import Curve, curve_of
from pvsim.files.figure.axis import make_axis, round_values
from pvsim.files.figure.characteristic import MAX_CURVES, draw_curves
from pvsim.files.figure.drawing import LIGHT, Dot, Drawing, Line, Text
from pvsim.files.figure.frame import Frame, clip
from pvsim.files.figure.placer import Box
from pvsim.files.figure.png import write_png
from pvsim.files.figure.svg import write_svg
from pvsim.files.provenance import MODEL_LIMITS
from pvsim.numbers import significant

SVG = "{http://www.w3.org/2000/svg}"


def curve(irradiance_W_m2=1000.0, **more):
    kind = CATALOGUE["full-60"].cell
    lit = (Cell(type=kind, irradiance_W_m2=irradiance_W_m2),) * 20
    return curve_of(solve(Series(lit), points=100), **more)


def texts(svg):
    return [element.text for element in ET.fromstring(svg).iter(f"{SVG}text")]


def test_a_figure_names_units_version_scenario_and_limits():
    shown = " ".join(texts(write_svg(draw_curves([curve(label="string 2")], title="Workshop"))))
    for words in (
        "Current in A",
        "Power in W",
        "Voltage in V",
        f"pvsim {pvsim.__version__}",
        "Scenario: Workshop",
    ):
        assert words in shown
    for limit in MODEL_LIMITS:
        assert limit in shown


def test_a_figure_says_its_key_points_to_those_who_cannot_see_it():
    one = curve(label="string 2")
    root = ET.fromstring(write_svg(draw_curves([one], title="Workshop")))
    assert root.get("role") == "img"
    described = root.find(f"{SVG}desc").text
    best = max(one.mpps, key=lambda point: point.power_W)
    assert described.startswith("string 2: Isc 10.9")
    assert f"MPP {significant(best.power_W)} W" in described


@given(st.text(max_size=60))
def test_any_title_gives_well_formed_svg_without_an_element_of_its_own(title):
    svg = write_svg(draw_curves([STRAIGHT], title=title))
    tags = {element.tag for element in ET.fromstring(svg).iter()}
    assert tags <= {f"{SVG}{tag}" for tag in ("svg", "title", "desc", "rect", "polyline", "circle", "text")}


STRAIGHT = Curve(
    label="<img src=x onerror=alert(1)>",
    voltage_V=np.array([-1.0, 11.0]),
    current_A=np.array([5.5, -0.5]),
    power_W=np.array([-5.5, -5.5]),
    mpps=(PowerPoint(voltage_V=5.0, current_A=2.5, power_W=12.5),),
)


def test_nothing_in_a_figure_points_outside_it():
    svg = write_svg(draw_curves([STRAIGHT], title="https://example.org <a href='x'>"))
    assert not re.search(r"(href|src|url\()\s*=?\s*[\"'(]", svg)


def test_curves_stay_inside_their_axes():
    drawing = draw_curves([curve(), curve(300.0, label="before", before=True)], title="x")
    for mark in drawing.marks:
        if isinstance(mark, Line):
            for x, y in mark.points:
                assert 0 <= x <= drawing.width
                assert 0 <= y <= drawing.height


def test_the_curve_before_is_told_apart_by_colour_and_dashes():
    drawing = draw_curves([curve(label="now"), curve(300.0, label="before", before=True)], title="x")
    lines = [mark for mark in drawing.marks if isinstance(mark, Line)]
    before = [mark for mark in lines if mark.role == "before"]
    assert before
    assert all(mark.dash for mark in before)
    assert {"now", "before"} <= {mark.text for mark in drawing.marks if isinstance(mark, Text)}


def test_several_curves_differ_in_dashes_not_in_colour_alone():
    drawing = draw_curves([curve(100.0 * k, label=str(k)) for k in range(1, 5)], title="x", theme="dark")
    styles = {
        (mark.role, mark.dash)
        for mark in drawing.marks
        if isinstance(mark, Line) and mark.role.startswith(("current", "more"))
    }
    assert len(styles) == len({dash for _, dash in styles}) == 4


def test_a_dark_curve_is_drawn_too():
    svg = write_svg(draw_curves([curve(0.0)], title="Night"))
    assert ET.fromstring(svg).findall(f"{SVG}polyline")
    assert "nan" not in svg


@pytest.mark.parametrize("count", [0, MAX_CURVES + 1])
def test_no_curve_and_too_many_are_refused(count):
    with pytest.raises(FileError, match="from 1 to 6"):
        draw_curves([STRAIGHT] * count, title="x")


def test_clipping_cuts_where_the_line_crosses_the_edge():
    axis = make_axis((0.0, 10.0))
    frame = Frame(box=Box(x=0.0, y=0.0, width=100.0, height=100.0), across=axis, up=axis)
    pieces = clip(frame, np.array([-5.0, 5.0, 15.0]), np.array([0.0, 10.0, 0.0]))
    # by hand: the roof enters at (0, 5), tops at (5, 10), leaves at (10, 5)
    assert pieces == [((0.0, 50.0), (50.0, 0.0), (100.0, 50.0))]
    assert clip(frame, np.array([-5.0, -1.0]), np.array([1.0, 9.0])) == []


@given(st.floats(-1e6, 1e6), st.floats(1e-6, 1e6))
def test_ticks_are_round_few_and_inside(least, span):
    found = round_values(least, least + span, 5)
    assert 2 <= len(found) <= 12
    slack = 1e-9 * (abs(least) + span)  # rounding of the ends
    assert all(least - slack <= value <= least + span + slack for value in found)


def chunks(data):
    at = 8
    while at < len(data):
        size, kind = struct.unpack(">I4s", data[at : at + 8])
        yield kind, data[at + 8 : at + 8 + size]
        at += 12 + size


def test_a_png_has_the_size_asked_for_and_holds_the_curve():
    drawing = draw_curves([curve(label="string 2")], title="Wörkshop")
    data = write_png(drawing, scale=1.0)
    assert data.startswith(b"\x89PNG\r\n\x1a\n")
    parts = list(chunks(data))
    width, height, depth, colour = struct.unpack(">IIBB", parts[0][1][:10])
    assert (width, height, depth, colour) == (900, round(drawing.height), 8, 2)
    # Undo no filter: enough to know that many rows differ from the ground
    rows = zlib.decompress(b"".join(body for kind, body in parts if kind == b"IDAT"))
    assert len(rows) == height * (3 * width + 1)
    about = b"".join(body for kind, body in parts if kind in (b"iTXt", b"tEXt"))
    assert f"pvsim {pvsim.__version__}".encode() in about
    assert "Wörkshop".encode() in about


def test_png_and_svg_show_the_same_curve():
    from io import BytesIO

    from PIL import Image

    drawing = draw_curves([STRAIGHT], title="x")
    image = np.asarray(Image.open(BytesIO(write_png(drawing, scale=1.0))).convert("RGB")).astype(int)
    blue = np.array([0x00, 0x72, 0xB2])  # the colour of currents
    drawn = np.abs(image - blue).sum(axis=2) < 60  # edges are smoothed
    for mark in drawing.marks:
        if isinstance(mark, Line) and mark.role == "current":
            (x0, y0), (x1, y1) = mark.points[0], mark.points[-1]
            for share in np.linspace(0.05, 0.95, 19):
                x, y = round(x0 + share * (x1 - x0)), round(y0 + share * (y1 - y0))
                assert drawn[y - 2 : y + 3, x - 2 : x + 3].any()


def ink(text):
    """A text alone on a small sheet, as its pixels."""
    from io import BytesIO

    from PIL import Image

    mark = Text(x=4.0, y=24.0, text=text, role="ink", size=20.0)
    drawing = Drawing(width=40.0, height=32.0, marks=(mark,), title="", description="", palette=LIGHT)
    return np.asarray(Image.open(BytesIO(write_png(drawing))).convert("L"))


@pytest.mark.parametrize("sign", "ΩΔΣαβγμη→≈√Šő")
def test_a_png_shows_every_sign_and_no_empty_box(sign):
    unknown = ink("\U0010fffd")
    assert (unknown < 128).any()
    assert (ink(sign) != unknown).any()


@pytest.mark.parametrize("separator", ["\u0085", "\u2028", "\u2029"])
def test_a_png_takes_a_title_with_a_separator_of_lines(separator):
    assert (ink(f"A{separator}B") < 128).any()


@pytest.mark.parametrize("scale", [0.0, 100.0, float("nan")])
def test_a_png_of_absurd_size_is_refused(scale):
    with pytest.raises(FileError, match="the scale is"):
        write_png(draw_curves([STRAIGHT], title="x"), scale=scale)


def shaded_pair():
    """Two substrings, one in a tenth of the light, and what they were before."""
    kind, diode = CATALOGUE["full-60"].cell, CATALOGUE["full-60"].substrings[0].diode
    parts = [
        Parallel((Series((Cell(type=kind, irradiance_W_m2=light),) * 20), diode)) for light in (1000, 100)
    ]
    before = Series((parts[0], parts[0]))
    return curve_of(solve(Series(tuple(parts))), label="now"), curve_of(
        solve(before), label="before", before=True
    )


def test_labels_of_power_cross_no_curve_and_have_equal_decimals():
    drawing = draw_curves(shaded_pair(), title="Workshop")
    labels = [mark for mark in drawing.marks if isinstance(mark, Text) and mark.bold and mark.size == 12]
    assert len(labels) == 2
    assert len({len(one.text.split()[0].partition(".")[2]) for one in labels}) == 1
    curves = [mark for mark in drawing.marks if isinstance(mark, Line) and len(mark.points) > 10]
    for label in labels:
        for line in curves:
            for x, y in line.points:
                beside = abs(x - label.x) > 22 or not label.y - 9 < y < label.y  # seven figures of 6 px
                assert beside, f"a curve runs through {label.text}"


def test_a_measured_curve_is_drawn_as_points_that_leave_the_computed_line_whole():
    one = curve(label="string 2")
    backwards = slice(None, None, -1)  # as some instruments take it, from Voc down
    measured = Curve(
        label="tracer.csv",
        voltage_V=one.voltage_V[backwards],
        current_A=0.9 * one.current_A[backwards],
        power_W=0.9 * one.power_W[backwards],
        measured=True,
    )
    drawing = draw_curves([one, measured], title="Workshop")
    dots = [mark for mark in drawing.marks if isinstance(mark, Dot) and mark.role == "more-1"]
    assert 60 < len(dots) < 2 * one.voltage_V.size
    lines = [mark for mark in drawing.marks if isinstance(mark, Line)]
    assert not any(line.role == "more-1" for line in lines)
    under = max(drawing.marks.index(dot) for dot in dots if dot.y < 352)
    over = max(k for k, mark in enumerate(drawing.marks) if isinstance(mark, Line) and len(mark.points) > 20)
    assert under < over
    best = max(one.mpps, key=lambda point: point.power_W)
    isc_A = float(np.interp(0.0, one.voltage_V, one.current_A))
    said = f"tracer.csv: Isc {significant(0.9 * isc_A)} A, Voc "
    assert said in drawing.description
    assert any(isinstance(mark, Text) and mark.text.startswith(said) for mark in drawing.marks)
    most_W = float(drawing.description.split("at most ")[1].split(" W")[0])
    assert most_W == pytest.approx(0.9 * best.power_W, rel=2e-3)


def test_a_hundred_thousand_measured_points_stay_a_small_figure():
    rng = np.random.default_rng(3)
    voltage_V = rng.uniform(0.0, 12.0, 100_000)
    noisy = Curve(
        label="noise",
        voltage_V=voltage_V,
        current_A=rng.uniform(0.0, 10.0, 100_000),
        power_W=voltage_V,
        measured=True,
    )
    assert len(write_svg(draw_curves([curve(), noisy], title="Workshop"))) < 1_000_000


def test_a_measured_curve_that_stops_short_of_voc_is_shown_to_its_end():
    short = Curve(
        label="short",
        voltage_V=np.array([0.0, 40.0]),
        current_A=np.array([9.0, 8.0]),
        power_W=np.array([0.0, 320.0]),
        measured=True,
    )
    dots = [
        mark
        for mark in draw_curves([curve(), short], title="Workshop").marks
        if isinstance(mark, Dot) and mark.role == "more-1" and mark.y > 100
    ]
    assert len(dots) == 4


def test_the_maximum_of_now_lies_over_the_one_of_before_and_never_beneath():
    drawing = draw_curves([curve(label="now"), curve(label="before", before=True)], title="x")
    dots = [mark for mark in drawing.marks if isinstance(mark, Dot)]
    roles = [mark.role for mark in dots]
    last_before = len(roles) - 1 - roles[::-1].index("before")
    now = [k for k, role in enumerate(roles) if role in ("current", "power")]
    assert len(now) == 2  # in either half of the figure, at the very same place as the grey one
    assert roles.count("before") == 2
    for k in now:
        beneath = [one for one in dots[:k] if (one.x, one.y) == (dots[k].x, dots[k].y)]
        assert [one.role for one in beneath] == ["before"]
        assert beneath[0].radius < dots[k].radius
    assert last_before < now[-1]
