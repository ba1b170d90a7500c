"""Numbers as people type them, with either decimal mark and a unit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvsim.app.number_field import read_number
from pvsim.errors import ScenarioError
from pvsim.numbers import THIN_SPACE, format_setting


def read(text: object, **limits: float) -> float:
    return read_number(text, name="Irradiance", least=limits.get("least", -1e9), most=limits.get("most", 1e9))


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("812,5", 812.5),
        ("812.5", 812.5),
        (" 7 ", 7.0),
        ("-40", -40.0),
        ("\u221240", -40.0),
        (".5", 0.5),
        (",5", 0.5),
        ("1e3", 1000.0),
        ("0,150", 0.15),
        ("1" + THIN_SPACE + "000", 1000.0),
        (3, 3.0),
        (0.25, 0.25),
    ],
)
def test_numbers_are_read_with_point_or_comma(text: object, value: float) -> None:
    assert read(text) == value


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("1000000001", "1000000001"),
        ("9" * 20, "9" * 20),
        ("9" * 40, "9" * 20 + "…"),
        ("9" * 400, "9" * 20 + "…"),
        ("-1e30", "-1e30"),
        ("1e999", "1e999"),
    ],
)
def test_a_number_too_large_is_told_as_it_was_typed(text: str, shown: str) -> None:
    with pytest.raises(ScenarioError) as refused:
        read(text)
    assert str(refused.value).startswith(f"Irradiance cannot be {shown}; expected a number from ")


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("600 W/m²", "W/m²", 600.0),
        ("800W/m2", "W/m²", 800.0),
        ("800 w/m^2", "W/m²", 800.0),
        ("25°C", "°C", 25.0),
        ("25 C", "°C", 25.0),
        ("-10 degrees", "°C", -10.0),
        ("0,05 ohm", "Ω", 0.05),
        ("50 mΩ", "Ω", None),
        ("400V", "V", 400.0),
        ("400 mV", "V", 0.4),
        ("3.5 m/s", "m/s", 3.5),
        ("60 per cent", "%", 60.0),
        ("60%", "%", 60.0),
        ("298 K", "°C", None),
        ("8 A", "V", None),
        ("1e3 W/m2", "W/m²", 1000.0),
    ],
)
def test_the_unit_may_follow_the_number_as_people_write_it(text: str, unit: str, value: float | None) -> None:
    if value is None:
        with pytest.raises(ScenarioError, match="not the unit asked for"):
            read_number(text, name="It", least=-1e4, most=1e4, unit=unit)
    else:
        found = read_number(text, name="It", least=-1e4, most=1e4, unit=unit)
        assert found == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    "text", ["", "bright", "1 2 3 x", "1,2,3", "1.2.3", "nan", "inf", "--3", None, "9" * 400]
)
def test_what_is_no_number_is_refused(text: object) -> None:
    with pytest.raises(ScenarioError, match="Irradiance"):
        read(text)


@pytest.mark.parametrize(("text", "readings"), [("1,000", ("1000", "1.0")), ("12,345", ("12345", "12.345"))])
def test_a_thousand_or_one_is_asked_back(text: str, readings: tuple[str, str]) -> None:
    with pytest.raises(ScenarioError, match="two ways") as refused:
        read(text)
    assert all(reading in str(refused.value) for reading in readings)


def test_a_number_out_of_range_names_the_range() -> None:
    with pytest.raises(ScenarioError, match=r"from 0 to 1400"):
        read(1500, least=0, most=1400)


@given(st.floats(min_value=-1e6, max_value=1e6))
def test_a_setting_reads_back_as_itself(value: float) -> None:
    assert read(format_setting(value)) == pytest.approx(value, abs=5.1e-7)  # six decimals are written
