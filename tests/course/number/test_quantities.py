"""Quantities that are more than a number read off: each against what it must be by hand."""

from __future__ import annotations

import re
from math import ceil, floor

import pytest

from pvsim.array import (
    Fault,
    Scenario,
    add_fault,
    add_shadow,
    paint,
    parse_place,
    set_array,
    set_light,
    set_module_type,
)
from pvsim.array.light import Shadow
from pvsim.array.losses import loss_account
from pvsim.course.folder.course_reader import read_course
from pvsim.course.number.evaluation import Readings, parse_number, show, value_of
from pvsim.course.number.expression import parse_expression
from pvsim.course.number.solved_scenario import solved
from pvsim.course.number.units import UNITS, write_range
from pvsim.course.text.text_check import computed
from pvsim.words import speaking
from tests.course.samples import find


def value(scenario: Scenario, text: str) -> float:
    here = solved(scenario)
    return value_of(parse_expression(text), Readings(here, here))


def test_a_bare_bench_has_no_heat_in_its_wires() -> None:
    assert value(find("single-module"), "now[array].wires_W") == pytest.approx(0.0, abs=1e-9)


def test_a_bad_connector_turns_current_squared_times_its_resistance_into_heat() -> None:
    bad = add_fault(find("single-module"), Fault("connector-resistive", parse_place("1/1"), 0.7))
    current = value(bad, "now[1].current_A")
    assert value(bad, "now[array].wires_W") == pytest.approx(0.7 * current**2, rel=1e-9)


def test_heat_in_the_wires_of_a_roof_is_that_of_each_of_its_resistances() -> None:
    roof = find("workshop")
    one, both = value(roof, "now[1].current_A"), value(roof, "now[array].current_A")
    string, array = roof.array.strings[0], roof.array
    leads = string.cable_resistance_ohm + 9 * string.connector_resistance_ohm
    heat = 2 * leads * one**2 + array.main_cable_resistance_ohm * both**2
    assert value(roof, "now[array].wires_W") == pytest.approx(heat, rel=1e-9)


def test_heat_in_the_wires_does_not_ask_how_the_strings_are_joined() -> None:
    for roof in (set_array(find("workshop"), wiring="cross-tied"), find("ferry-terminal")):
        expected = loss_account(solved(roof).solution).cable_W
        assert value(roof, "now[array].wires_W") == pytest.approx(expected, rel=1e-6)


def test_light_from_behind_counts_by_the_bifaciality_and_a_beam_takes_it_away() -> None:
    railing = set_light(find("railing"), shadows=(), rear_irradiance_W_m2=200.0)
    assert value(railing, "now[array].rear_light_W_m2") == 200.0
    lit = "now[array].light_W_m2 + now[1/2/14].bifaciality * now[array].rear_light_W_m2"
    assert value(railing, "now[1/2/14].irradiance_W_m2") == pytest.approx(value(railing, lit))
    behind = Shadow(kind="rear-beam", x_m=3.0, y_m=1.0, width_m=9.0, height_m=3.0)
    dark = add_shadow(railing, behind)
    assert value(dark, "now[1/2/14].irradiance_W_m2") == pytest.approx(650.0)


def test_a_module_without_a_lit_rear_side_has_no_bifaciality() -> None:
    assert value(find("single-module"), "now[1/1].bifaciality") == 0.0


def test_what_is_known_within_a_range_is_written_as_one() -> None:
    hot = paint(set_module_type(find("workshop"), "bare-60"), [parse_place("1/4/17")], 0.5)
    readings = Readings(solved(hot), solved(find("workshop")))
    cells = readings.now.solution.cells
    at = readings.now.solution.cell_index(parse_place("1/4/17"))
    ends = (cells.steady_least_K[at] - 273.15, cells.steady_most_K[at] - 273.15)
    number = parse_number("now[weakest].steady_temperature_C | degC 0")
    said = re.fullmatch(r"(\d+) to (\d+)\u202f°C", show(number, readings))
    assert said is not None
    assert [int(one) for one in said.groups()] == [5 * floor(ends[0] / 5), 5 * ceil(ends[1] / 5)]
    assert value(hot, "now[1/4/17].steady_temperature_C") == pytest.approx(
        cells.steady_temperature_K[at] - 273.15
    )  # answers and comparisons take the value
    with speaking("de"):
        assert " bis " in show(number, readings, "de")
    cool = parse_number("before[1/4/17].steady_temperature_C | degC 0")
    assert re.fullmatch(r"\d+\u202f°C", show(cool, readings))
    assert "to" not in show(parse_number("delta[1/4/17].steady_temperature_C | K 0"), readings)


def test_a_range_around_the_freezing_point_keeps_its_signs() -> None:
    assert write_range(-12.0, 3.0, UNITS["degC"]) == "\u221215 to 5\u202f°C"


def test_every_hot_cell_in_the_lessons_is_written_with_its_range() -> None:
    ranges = 0
    for lesson in read_course().lessons:
        for step in lesson.steps:
            readings = Readings(now=solved(step.finish), before=solved(step.start))
            for _line, inside in computed(step.explain.text):
                number = parse_number(inside)
                hot = inside.strip().startswith("now[") and "].steady_temperature_C |" in inside
                if hot and " - " not in inside and value_of(number.expression, readings) >= 85.0:
                    assert " to " in show(number, readings), inside
                    ranges += 1
    assert ranges >= 8
