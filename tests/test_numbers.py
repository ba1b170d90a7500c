"""Numbers as people write them."""

from __future__ import annotations

import math

import pytest

from pvsim.course.number.units import UNITS as lesson_units
from pvsim.numbers import (
    MINUS,
    NO_BREAK,
    THIN_SPACE,
    beside,
    decimals_for,
    decimals_of,
    decimals_of_change,
    format_fixed,
    format_number,
    format_percent,
    format_setting,
    short_number,
    significant,
    unit_symbol,
)
from pvsim.traced.quantity import UNITS as tracer_units
from pvsim.words import speaking


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        (format_number(0.0), "0"),
        (format_number(5439.96, "W"), f"5440{NO_BREAK}W"),
        (format_number(12.345678, "V"), f"12.35{NO_BREAK}V"),
        (format_number(0.000123456), "0.000123"),
        (format_fixed(1234567.0, "W"), f"1{THIN_SPACE}234{THIN_SPACE}567{NO_BREAK}W"),
        (format_fixed(4312.0), "4312"),  # four digits need no group
        (format_fixed(-3.25, "A", decimals=1), f"{MINUS}3.2{NO_BREAK}A"),
        (format_fixed(0.04, decimals=1, sign=True), "0.0"),  # what rounds to nothing has no sign
        (format_fixed(2.0, "W", sign=True), f"+2{NO_BREAK}W"),
        (format_fixed(math.nan, "W"), "–"),
        (format_percent(0.0731), f"7.3{NO_BREAK}%"),
        (format_setting(600.0, "W/m²"), f"600{NO_BREAK}W/m²"),
        (format_setting(0.15), "0.15"),
        (format_setting(100000.0), "100000"),
    ],
)
def test_numbers_are_written_as_people_write_them(written: str, shown: str) -> None:
    assert written == shown


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.0, "0"), (312.44, "312.4"), (9.99999, "10.000"), (12345.6, "12350"), (-0.001234, "-0.001234")],
)
def test_numbers_have_four_digits(value: float, text: str) -> None:
    assert significant(value) == text


def test_very_large_and_very_small_numbers_take_a_power_of_ten() -> None:
    assert significant(1.23456e12) == "1.235e+12"
    assert significant(-1.23456e-7, digits=3) == "-1.23e-07"


def test_a_lesser_number_has_the_decimals_of_a_larger_one() -> None:
    assert (beside(85.82, 223.66), beside(9.9871, 10.9), beside(0.5, 0.0)) == ("85.8", "9.99", "0.5000")


def test_a_short_number_has_the_digits_it_needs_and_the_minus_that_is_asked_for() -> None:
    found = (short_number(0.15), short_number(-4.2), short_number(1234567.0, 3))
    assert found == ("0.15", "-4.2", "1.23e+06")
    assert short_number(-4.2, minus=MINUS) == f"{MINUS}4.2"


def test_every_way_of_writing_has_the_decimal_mark_of_the_language() -> None:
    with speaking("de"):
        found = (format_fixed(0.5, decimals=1), format_number(0.5), format_setting(0.5), significant(0.5))
        assert found == ("0,5", "0,5000", "0,5", "0,5000")
        assert (beside(0.5, 1.0), short_number(0.5)) == ("0,500", "0,5")


@pytest.mark.parametrize(
    ("scale", "decimals"), [(0.6, 3), (9.1, 3), (38.0, 2), (326.0, 1), (5440.0, 1), (0.0, 1)]
)
def test_numbers_keep_about_four_figures(scale: float, decimals: int) -> None:
    assert decimals_for(scale) == decimals


@pytest.mark.parametrize(
    ("value", "decimals"), [(0.0, 0), (123.4, 0), (12.3, 1), (-0.0123, 4), (1e-9, 6), (1e9, 0)]
)
def test_three_figures_need_so_many_decimals(value: float, decimals: int) -> None:
    assert decimals_of(value, 3) == decimals


@pytest.mark.parametrize(
    ("change", "whole", "decimals"), [(-48.0, 5440.0, 0), (3.2, 5440.0, 1), (0.04, 5440.0, 2), (0.0, 38.0, 1)]
)
def test_a_change_has_two_figures_and_the_whole_three(change: float, whole: float, decimals: int) -> None:
    assert decimals_of_change(change, whole) == decimals


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("W_m2", "W/m²"),
        ("W/m2", "W/m²"),
        ("Mohm", "MΩ"),
        ("ohm", "Ω"),
        ("C", "°C"),
        ("m_s", "m/s"),
        ("V", "V"),
    ],
)
def test_a_unit_typed_in_plain_letters_is_written_with_its_symbol(typed, written):
    assert unit_symbol(typed) == written


def test_a_unit_is_written_alike_in_lessons_and_of_measured_curves():
    for unit in lesson_units.values():
        assert unit_symbol(unit.name) in (unit.symbol, unit.name)
    assert {unit_symbol(one) for one in tracer_units} >= {"V", "mA", "kW/m²", "mW/cm²", "°C", "°F"}
