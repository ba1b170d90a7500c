"""Computed numbers: the grammar, the units, and values that agree with the solver."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvsim.array import Fault, paint, parse_place
from pvsim.array.change import add_fault, set_light
from pvsim.course.lesson.giveaway import _OF_A_DAY, _OF_CABLES
from pvsim.course.number.evaluation import Readings, check_condition, holds, parse_number, show, value_of
from pvsim.course.number.expression import parse_condition, parse_expression, paths
from pvsim.course.number.quantities import QUANTITIES
from pvsim.course.number.solved_scenario import Situation, solved
from pvsim.course.number.units import UNITS, Format, write_number
from pvsim.errors import LessonError, PvsimError
from pvsim.numbers import MINUS, THIN_SPACE
from tests.course.samples import find


@pytest.fixture(scope="module")
def readings() -> Readings:
    clean = find("workshop")
    return Readings(solved(paint(clean, [parse_place("1/4/14")], 0.2)), solved(clean))


def number(text: str, readings: Readings) -> float:
    return value_of(parse_expression(text), readings)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1 + 2 * 3", 7.0),
        ("(1 + 2) * 3", 9.0),
        ("8 / 4 / 2", 1.0),
        ("7 - 2 - 1", 4.0),
        ("-2 * -3", 6.0),
        ("-(1 - 4)", 3.0),
        ("  0.5*4 ", 2.0),
    ],
)
def test_arithmetic_follows_the_usual_order(text: str, value: float, readings: Readings) -> None:
    assert number(text, readings) == value


def test_delta_is_now_minus_before(readings: Readings) -> None:
    difference = number("now[1/4].power_W - before[1/4].power_W", readings)
    assert number("delta[1/4].power_W", readings) == difference < 0


def test_the_running_powers_are_those_of_the_solution(readings: Readings) -> None:
    solution = readings.now.solution
    assert number("now[array].power_W", readings) == solution.power_W
    cell = solution.cell_index(parse_place("1/4/14"))
    assert number("now[1/4/14].power_W", readings) == pytest.approx(solution.cells.power_W[cell])
    assert number("now[1/4/14].voltage_V * now[1/4/14].current_A", readings) == pytest.approx(
        solution.cells.power_W[cell]
    )
    assert number("now[1/4].conducting", readings) == 1
    assert number("now[1/4/d1].current_A", readings) > 1


def test_the_power_of_the_parts_adds_up_to_the_whole(readings: Readings) -> None:
    parts = " + ".join(f"now[1/4/s{n}].power_W" for n in (1, 2, 3))
    assert number(parts, readings) == pytest.approx(number("now[1/4].power_W", readings))


def test_symbolic_places_find_the_cell_by_the_solver(readings: Readings) -> None:
    for place in ("darkest", "weakest"):
        assert number(f"now[{place}].power_W", readings) == number("now[1/4/14].power_W", readings)
    assert number("now[hottest].steady_temperature_C", readings) > 60


def test_delta_of_a_symbolic_place_stays_with_the_same_cell(readings: Readings) -> None:
    assert number("delta[weakest].power_W", readings) == number("delta[1/4/14].power_W", readings)


def test_every_quantity_has_a_value_at_every_level_it_names(readings: Readings) -> None:
    places = {
        "array": "array", "string": "1", "module": "1/4", "substring": "1/4/s1", "cell": "1/4/14",
        "diode": "1/4/d1",
    }  # fmt: skip
    here = solved(find("nursery"))
    mounted = Readings(here, here)
    for name, quantity in QUANTITIES.items():
        where = mounted if name in (*_OF_CABLES, *_OF_A_DAY) else readings
        for level in quantity.levels:
            assert math.isfinite(number(f"now[{places[level]}].{name}", where)), (name, level)
            if where is mounted:
                assert show(parse_number(f"now[{places[level]}].{name}"), readings) == "no value"


def test_several_trackers_have_no_voltage_in_common() -> None:
    here = solved(find("ferry-terminal"))
    both = Readings(here, here)
    assert show(parse_number("now[array].voltage_V"), both) == "no value"
    assert number("now[array].p_mp_W", both) == pytest.approx(
        sum(one.characteristic.mpp.power_W for one in here.solution.trackers)
    )


def test_numbers_follow_the_scenario() -> None:
    clean = find("workshop")
    text = parse_number("now[array].power_W | W 0")
    bright, dim = solved(clean), solved(set_light(clean, irradiance_W_m2=500.0))
    assert show(text, Readings(bright, bright)) != show(text, Readings(dim, bright))


def test_division_by_nothing_has_no_value(readings: Readings) -> None:
    assert show(parse_number("now[array].power_W / (now[1].cells - now[2].cells)"), readings) == "no value"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "the end"),
        ("now[array]", "out of place"),
        ("now[array].", "out of place"),
        ("now[array].power_W now[array].power_W", "out of place"),
        ("(1 + 2", "missing"),
        ("1 + * 2", "out of place"),
        ("__import__('os')", "out of place"),
        ("now[array].power_W.real", "out of place"),
        ("open[array].power_W", "no time"),
        ("2 ** 3", "out of place"),
        ("1" * 400, "long"),
        ("(" * 140 + "1" + ")" * 140, "out of place"),
    ],
)
def test_what_is_no_expression_is_refused(text: str, said: str) -> None:
    with pytest.raises(LessonError, match=said):
        parse_expression(text)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("now[array].wattage", "no quantity"),
        ("now[1/1].irradiance_W_m2", "cannot be asked"),
        ("now[9/9/9/9].power_W", "place"),
        ("now[array].power_W + now[array].voc_V", "added"),
        ("now[array].power_W | V", "cannot be shown in V"),
        ("now[array].voc_V * now[array].voc_V", "no unit"),
        ("now[array].power_W | watts", "how to write"),
        ("now[array].power_W | W 12", "how to write"),
    ],
)
def test_a_number_that_means_nothing_is_refused(text: str, said: str) -> None:
    with pytest.raises(PvsimError, match=said):
        parse_number(text)


@pytest.mark.parametrize(
    ("text", "true"),
    [
        ("now[1/4].conducting = 1", True),
        ("now[1/4].conducting > 1", False),
        ("now[1/4].power_W < before[1/4].power_W and now[2].power_W > 0", True),
        ("now[1/4].power_W < before[1/4].power_W and now[2].power_W < 0", False),
        ("0 >= now[weakest].power_W", True),
        ("now[array].strings <= 2", True),
    ],
)
def test_conditions_are_decided_by_the_solver(text: str, true: bool, readings: Readings) -> None:
    condition = parse_condition(text)
    check_condition(condition)
    assert holds(condition, readings) is true
    assert len(paths(condition)) >= 1


def test_a_condition_that_compares_unlike_things_is_refused() -> None:
    with pytest.raises(LessonError, match="compared with"):
        check_condition(parse_condition("now[array].power_W > now[array].voc_V"))


@pytest.mark.parametrize(
    ("value", "unit", "how", "written"),
    [
        (-4.2149, "W", Format(decimals=2), f"{MINUS}4.21{THIN_SPACE}W"),
        (4.2149, "W", Format(decimals=1, sign="signed"), f"+4.2{THIN_SPACE}W"),
        (-4.2149, "W", Format(decimals=1, sign="size"), f"4.2{THIN_SPACE}W"),
        (-0.001, "W", Format(decimals=1, sign="signed"), f"0.0{THIN_SPACE}W"),
        (0.3472, "%", Format(decimals=1), f"34.7{THIN_SPACE}%"),
        (5440.0, "kW", Format(), f"5.44{THIN_SPACE}kW"),
        (3.0, "plain", Format(word=True), "three"),
        (0.0, "plain", Format(word=True), "no"),
        (20.0, "plain", Format(word=True), "20"),
        (math.inf, "W", Format(), "no value"),
    ],
)
def test_numbers_are_written_as_people_read_them(value: float, unit: str, how: Format, written: str) -> None:
    assert write_number(value, UNITS[unit], how) == written


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused_in_words(text: str) -> None:
    try:
        parse_number(text)
    except PvsimError as error:
        assert error.mend


def test_a_situation_is_solved_once_while_it_is_in_use() -> None:
    scenario = add_fault(find("single-module"), Fault("diode-open", parse_place("1/1/d1")))
    first = solved(scenario)
    assert solved(find("single-module")) is not first
    assert solved(scenario) is first
    assert isinstance(first, Situation)
