"""Marks of single answers: numbers with their units, partial credit, misconceptions, own readings."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, sqrt

import pytest

from pvsim.course.number.units import UNITS
from pvsim.exercise import ItemReading, mark_answer
from pvsim.words import speaking
from tests.exercise.samples import choice_item, number_item, power_item


@pytest.mark.parametrize(
    ("text", "verdict", "points", "unit"),
    [
        pytest.param("100", "right", 2.0, "fits", id="bare"),
        pytest.param("101,5 W", "right", 2.0, "fits", id="decimal-comma"),
        pytest.param("101.5W", "right", 2.0, "fits", id="decimal-point-no-space"),
        pytest.param("0.1 kW", "right", 2.0, "fits", id="kilo"),
        pytest.param("100000 mW", "right", 2.0, "fits", id="milli"),
        pytest.param("0,0001 MW", "right", 2.0, "fits", id="mega"),
        pytest.param("1e8 µW", "right", 2.0, "fits", id="micro-and-a-power"),
        pytest.param("100 Watt", "right", 2.0, "fits", id="in-words"),
        pytest.param("102", "right", 2.0, "fits", id="the-edge-itself"),
        pytest.param("102.1", "part", 1.0, "fits", id="near"),
        pytest.param("95", "part", 1.0, "fits", id="the-edge-of-the-band"),
        pytest.param("106", "wrong", 0.0, "fits", id="off"),
        pytest.param("149", "part", 0.5, "fits", id="misconception-worth-a-quarter"),
        pytest.param("100 V", "wrong", 0.0, "other-kind", id="volts"),
        pytest.param("100 Wh", "wrong", 0.0, "other-kind", id="energy"),
        pytest.param("100 wotts", "wrong", 0.0, "unknown", id="no-unit-at-all"),
        pytest.param("0.1 MW", "wrong", 0.0, "fits", id="wrong-prefix"),
        pytest.param("", "empty", 0.0, "", id="nothing"),
        pytest.param("  \t", "empty", 0.0, "", id="blanks"),
        pytest.param("about a hundred", "unreadable", 0.0, "", id="words"),
        pytest.param("nan", "unreadable", 0.0, "", id="nan"),
        pytest.param("1e999", "unreadable", 0.0, "", id="too-large"),
        pytest.param("1" * 5_000, "unreadable", 0.0, "", id="far-too-long"),
        pytest.param("100/1", "unreadable", 0.0, "", id="arithmetic"),
    ],
)
def test_a_number_is_worth_what_its_distance_and_unit_say(text, verdict, points, unit):
    mark = mark_answer(number_item(), text)
    assert (mark.verdict, mark.points, mark.of, mark.unit) == (verdict, pytest.approx(points), 2.0, unit)


def test_a_number_that_can_be_read_two_ways_is_left_to_the_lecturer():
    item = number_item(value=1250.0, tolerance=50.0, bands=(), misconceptions=())
    assert mark_answer(item, "1,250").verdict == "unreadable"
    assert mark_answer(item, "1.250").verdict == "wrong"
    with speaking("de"):
        assert mark_answer(item, "1.250").verdict == "unreadable"
        assert mark_answer(item, "1250").verdict == "right"


@pytest.mark.parametrize(
    ("text", "idea"),
    [
        pytest.param("150", "forgot the diode", id="of-the-item"),
        pytest.param("-100", "the wrong sign", id="sign"),
        pytest.param("100 mW", "a prefix slipped", id="too-small"),
        pytest.param("100 kW", "a prefix slipped", id="too-large"),
        pytest.param("7", "", id="nothing-known"),
        pytest.param("100", "", id="right"),
    ],
)
def test_a_misconception_is_named(text, idea):
    mark = mark_answer(number_item(), text)
    assert mark.idea == idea
    assert bool(mark.feedback) == bool(idea)


def test_a_share_of_one_is_told_where_per_cent_were_asked_for():
    item = number_item(value=34.5, unit=UNITS["%"], bands=(), misconceptions=())
    assert "per cent" in mark_answer(item, "0.345").idea
    assert mark_answer(item, "34.5 %").verdict == "right"


def test_a_share_of_one_is_not_taken_for_a_misconception_near_no_per_cent():
    near_none = replace(number_item().misconceptions[0], value=0.6, tolerance=3.0, share=0.0)
    item = number_item(value=33.8, tolerance=3.0, unit=UNITS["%"], bands=(), misconceptions=(near_none,))
    assert "per cent" in mark_answer(item, "0.338").idea
    assert mark_answer(item, "0,6").idea == near_none.idea


def test_a_missing_unit_costs_half_where_it_is_asked_for():
    item = number_item(unit_needed=True)
    assert (mark_answer(item, "100").unit, mark_answer(item, "100").points) == ("missing", 1.0)
    assert (mark_answer(item, "100 W").unit, mark_answer(item, "100 W").points) == ("fits", 2.0)
    assert mark_answer(item, "7").points == 0.0


def test_of_two_misconceptions_the_nearer_one_is_meant():
    wrong = replace(number_item().misconceptions[0], tolerance=20.0)
    item = number_item(
        tolerance=20.0, bands=(), misconceptions=(wrong, replace(wrong, value=165.0, idea="other"))
    )
    assert mark_answer(item, "160").idea == "other"
    assert mark_answer(item, "155").idea == "forgot the diode"


@pytest.mark.parametrize(
    ("text", "verdict", "points"),
    [("b", "right", 1.0), ("B)", "right", 1.0), ("2", "right", 1.0), ("a", "wrong", 0.0),
     ("(c)", "part", 0.5), ("d", "unreadable", 0.0),
     ("0", "unreadable", 0.0), ("ab", "unreadable", 0.0), ("", "empty", 0.0)],
)  # fmt: skip
def test_a_choice_is_named_by_its_letter_or_its_number(text, verdict, points):
    mark = mark_answer(choice_item(), text)
    assert (mark.verdict, mark.points) == (verdict, points)


def test_an_answer_from_own_readings_is_held_against_them():
    item = power_item()
    own = {"U": "40,2 V", "I": "8100 mA"}
    assert mark_answer(item, "325.62", readings=own).verdict == "right"
    # By hand, GUM 5.1.6: u(P)/P = sqrt((u(U)/U)^2 + (u(I)/I)^2), u = limit / sqrt(3), twice that.
    expanded = 2.0 * 40.2 * 8.1 * hypot(0.4 / sqrt(3) / 40.2, 0.16 / sqrt(3) / 8.1)
    assert mark_answer(item, f"{40.2 * 8.1 + 0.99 * expanded:.4f}", readings=own).verdict == "right"
    assert mark_answer(item, f"{40.2 * 8.1 + 1.01 * expanded:.4f}", readings=own).verdict == "wrong"
    assert mark_answer(item, "4.963", readings=own).idea == "divided"  # computed from the same readings


def test_readings_that_no_meter_would_show_leave_half_of_the_points_and_are_told():
    mark = mark_answer(power_item(), "6", readings={"U": "2", "I": "3"})
    assert (mark.verdict, mark.points) == ("part", 1.0)
    assert any("U, I" in one for one in mark.feedback)


@pytest.mark.parametrize("readings", [{}, {"U": "40"}, {"U": "40", "I": "eight"}, {"U": "40 A", "I": "8"}])
def test_without_readings_an_answer_is_held_against_what_is_there(readings):
    mark = mark_answer(power_item(), "320", readings=readings)
    assert mark.verdict == "right"
    assert any("held against what is there" in one for one in mark.feedback)
    assert mark_answer(power_item(), "330", readings=readings).verdict == "wrong"


def test_readings_that_divide_by_nothing_are_told():
    item = power_item(formula="$U / $I", value=5.0)
    mark = mark_answer(item, "5", readings={"U": "40", "I": "0"})
    assert mark.verdict == "right"
    assert "Nothing can be computed" in mark.feedback[0]


def test_a_meters_stated_limits_are_the_readings_uncertainty():
    # 0.5 % and 2 digits of 0.01 V, a step of 0.01 V, noise of 0.005 V; by hand after the GUM, 4.3.7.
    meter = ItemReading(name="U", ask="Voltage", unit=UNITS["mV"], value=40_000.0, meter="voltmeter")
    u = hypot(0.005 * 40.0 / sqrt(3), 0.02 / sqrt(3), 0.005 / sqrt(3), 0.005)
    at = 80.0 + 2.0 * 2.0 * u
    given = {"U": "40 V"}
    item = power_item(
        readings=(meter,), formula="2 * $U", value=80.0, unit=UNITS["V"], misconceptions=(), tolerance=0.001
    )
    assert mark_answer(item, f"{at - 1e-4:.5f}", readings=given).verdict == "right"
    assert mark_answer(item, f"{at + 1e-3:.5f}", readings=given).verdict == "wrong"
