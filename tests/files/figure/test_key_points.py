"""What has a name in a figure of a characteristic: the same points, words and sides wherever it is drawn."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pvsim.array import CATALOGUE
from pvsim.circuit import Cell, Characteristic, PowerPoint, solve
from pvsim.files.curve import curve_of
from pvsim.files.figure.axis import make_axis
from pvsim.files.figure.characteristic import characteristic_panel
from pvsim.files.figure.drawing import Text
from pvsim.files.figure.key_points import (
    earlier_point,
    greatest_change,
    held_point,
    key_points,
    maxima,
    named,
    point_parts,
)
from pvsim.files.figure.model import Label, Panel
from pvsim.files.figure.placer import Box
from pvsim.files.figure.plot import Manner, draw_panel
from pvsim.reading.axes import Axes
from pvsim.reading.difference import Difference
from pvsim.words import speaking

AXES = Axes(voltage_V=(-2.0, 44.0), current_A=(-1.0, 12.0), power_W=(-20.0, 400.0))


def at(V: float, I: float) -> PowerPoint:
    return PowerPoint(voltage_V=V, current_A=I, power_W=V * I)


def curve() -> Characteristic:
    """Two steps, drawn by hand: 10 A to 20 V, then 4 A to 36 V, and nothing at 40 V."""
    voltage_V = np.array([-2.0, 0.0, 20.0, 21.0, 36.0, 40.0, 41.0])
    current_A = np.array([10.0, 10.0, 10.0, 4.0, 4.0, 0.0, -1.0])
    tops = (at(20.0, 10.0), at(36.0, 4.0))
    return replace(
        solve(Cell(type=CATALOGUE["full-60"].cell)),  # whose circuit and slopes nobody looks at
        voltage_V=voltage_V,
        current_A=current_A,
        power_W=voltage_V * current_A,
        isc_A=10.0,
        voc_V=40.0,
        mpps=tops,
        mpp=tops[0],
    )


def held(V: float, I: float, lead: str = "held ") -> object:
    point = at(V, I)
    return held_point(point, point_parts(point, curve()), lead)


def words(labels: tuple[Label, ...]) -> list[str]:
    return [one.words.replace("\u00a0", " ") for one in labels]


def test_isc_and_voc_choose_first_then_the_point_held_then_maxima_and_the_name_of_before_last() -> None:
    points = [earlier_point(at(25.0, 6.0)), *key_points(curve()), held(30.0, 4.0)]
    current, power = (named(points, quantity, axes=AXES) for quantity in ("current", "power"))
    assert words(current.labels) == [
        "Isc 10.00 A",
        "Voc 40.00 V",
        "held 30.00 V · 4.00 A",
        "MPP 20.00 V · 10.00 A",
        "before",
    ]
    assert words(power.labels) == ["held 120.0 W", "MPP 200.0 W", "144.0 W", "before"]
    assert [one.role for one in power.labels] == ["held", "power", "power", "before"]
    assert [one.must for one in power.labels] == [True, True, False, False]


def test_points_are_those_of_the_curve_and_the_greatest_alone_is_filled() -> None:
    points = [*key_points(curve()), held(30.0, 4.0), earlier_point(at(25.0, 6.0))]
    current, power = (named(points, quantity).points for quantity in ("current", "power"))
    assert {(one.x, one.y) for one in current} == {(0.0, 10.0), (40.0, 0.0), (20.0, 10.0), (36.0, 4.0)}
    assert {(one.x, one.y) for one in power} == {(20.0, 200.0), (36.0, 144.0)}
    for found in (current, power):
        assert [(one.x, one.y) for one in found if not one.hollow] == [(20.0, found[-2].y)]


def test_points_that_say_nothing_have_no_label() -> None:
    points = key_points(curve(), said=False)
    assert len(points) == 4
    assert named(points, "current").labels == named(points, "power").labels == ()


@pytest.mark.parametrize(
    ("point", "stands"),
    [
        ((-9.0, 10.0), (-2.0, 10.0)),
        ((50.0, -3.0), (44.0, -1.0)),
        ((30.0, 4.0), (30.0, 4.0)),
    ],
)
def test_what_is_held_beyond_the_axes_is_named_at_their_edge_on_the_inner_side(point, stands) -> None:
    (label,) = named([held(*point)], "current", axes=AXES).labels
    assert (label.x, label.y) == stands
    right_or_left = {side for side in label.prefer if side in (6, 7)}  # right of its point, left of it
    assert right_or_left == ({6} if stands[0] == -2.0 else {7} if stands[0] == 44.0 else {6, 7})


def alone(points: list, quantity: str) -> list[str]:
    return words(tuple(one for one in named(points, quantity, axes=AXES).labels if one.alone))


def test_where_both_figures_share_a_frame_nothing_is_said_twice() -> None:
    points = key_points(curve())
    assert alone(points, "current") == ["MPP 20.00 V · 10.00 A"]
    assert alone(points, "power") == []
    assert alone([*points, held(19.5, 10.0)], "power") == ["MPP 200.0 W"]  # beside it
    assert alone([*points, held(30.0, 4.0)], "power") == []
    assert alone([held(40.0, 0.0)], "power") == ["held 0.0 W"]
    assert alone([held(40.0, 0.0)], "current") == []
    several = [held(20.0, 10.0, "a "), held(30.0, 4.0, "b ")]
    assert alone(several, "current") == ["a 20.00 V · 10.00 A", "b 30.00 V · 4.00 A"]
    assert alone(several, "power") == []
    assert alone([earlier_point(at(25.0, 6.0))], "power") == ["before"]
    assert not any(one.alone for one in named(points, "current").labels)


def test_a_figure_that_is_written_out_labels_the_same_maxima_on_the_same_sides() -> None:
    live = {(one.x, one.y): one for one in named(key_points(curve()), "power", axes=AXES).labels}
    axes = (make_axis(AXES.voltage_V), make_axis(AXES.power_W))
    one = curve_of(curve())
    panel = characteristic_panel([one], "power", *axes, labelled=[one])
    assert words(panel.labels) == ["200.0 W", "144.0 W"]
    for label in panel.labels:
        twin = live[label.x, label.y]
        assert (label.role, label.prefer, label.must) == (twin.role, twin.prefer, twin.must)
        assert twin.words.endswith(label.words.replace(" ", "\u00a0"))
    assert [(one.x, one.y, one.radius, one.hollow) for one in panel.points] == [
        (one.x, one.y, one.radius, one.hollow) for one in named(key_points(curve()), "power").points
    ]


def test_what_lies_beneath_has_the_smaller_point_at_the_same_place() -> None:
    now, before = (named(maxima(curve().mpps), "power", role=role).points for role in ("power", "before"))
    assert before[0].radius < now[0].radius


def test_a_symbol_is_written_before_its_value_where_no_index_is_set() -> None:
    with speaking("de"):
        labels = named(key_points(curve()), "current").labels
        assert words(labels)[:2] == ["Isc 10,00 A", "Uoc 40,00 V"]
        panel = Panel(across=make_axis(AXES.voltage_V), up=make_axis(AXES.current_A), labels=labels)
        marks = draw_panel(panel, Box(x=0.0, y=0.0, width=600.0, height=300.0), Manner())
    said = {one.text for one in marks if isinstance(one, Text) and one.bold}
    assert {"Isc 10,00\u00a0A", "Uoc 40,00\u00a0V"} <= said


def test_a_difference_is_named_where_it_is_greatest_and_not_where_nothing_changed() -> None:
    none = np.zeros(2)
    change = Difference(voltage_V=none, value=none, peak_V=25.4, peak=-77.4, least=-77.4, most=0.0)
    points, (label,) = greatest_change(change, "power", "-77.4 W at 25.4 V")
    assert [(one.x, one.y) for one in points] == [(label.x, label.y)] == [(25.4, -77.4)]
    assert label.must
    still = Difference(voltage_V=none, value=none, peak_V=0.0, peak=0.0, least=0.0, most=0.0)
    assert greatest_change(still, "power", "0 W") == ((), ())
