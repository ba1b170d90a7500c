"""Columns: what they read, and the unit their name has to end with."""

from __future__ import annotations

import pytest

from pvsim.array import parse_place
from pvsim.course.number.expression import Path
from pvsim.errors import PvsimError
from pvsim.study import Column
from pvsim.study.column import check_column, compares, read_at
from tests.array.samples import scenario

LEVELS = {"cell": "cell", "panel": "module"}


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("lost_W", "-delta[array].p_mp_W"),
        ("left", "now[array].p_mp_W / before[array].p_mp_W"),
        ("left_fraction", "now[array].p_mp_W / before[array].p_mp_W"),
        ("hot_C", "now[hottest].steady_temperature_C"),
        ("warmer_K", "delta[cell].steady_temperature_C"),
        ("warmer_K", "now[cell].steady_temperature_C - now[1/1/2].steady_temperature_C"),
        ("light_W_m2", "now[cell].irradiance_W_m2"),
        ("area_m2", "now[panel].area_m2"),
        ("internal_ohm", "now[panel].voltage_V / now[panel].current_A"),
        ("diodes", "now[string of panel].conducting"),
        ("diode_A", "now[diode of panel].current_A"),
    ],
)
def test_a_name_that_ends_with_the_unit_is_taken(name, text):
    check_column(Column(name, text), LEVELS)


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("lost", "-delta[array].p_mp_W", "Write it as lost_W"),
        ("lost_kW", "-delta[array].p_mp_W", "Write it as lost_W"),
        ("lost_V", "-delta[array].p_mp_W", "Write it as lost_W"),
        ("light_m2", "now[cell].irradiance_W_m2", "Write it as light_W_m2"),
        ("left_percent", "now[array].p_mp_W / before[array].p_mp_W", "a name without a unit"),
        ("warmer_C", "delta[cell].steady_temperature_C", "Write it as warmer_K"),
        ("hot_K", "now[hottest].steady_temperature_C", "Write it as hot_C"),
        ("odd_W", "now[array].p_mp_W * now[array].p_mp_W", "a name without a unit"),
        ("x_W", "now[cel].power_W", "Did you mean 'cell'"),
        ("x_W", "now[string of roof].power_W", "axis that goes through places"),
        ("x_W", "now[array].p_mpp_W", "Did you mean 'p_mp_W'"),
        ("x_W_m2", "now[panel].irradiance_W_m2", "cannot be asked of the module"),
        ("x_W", "now[array].power_W +", "out of place"),
        ("2x_W", "now[array].power_W", "letters, digits"),
    ],
)
def test_a_column_that_says_something_else_is_refused(name, text, says):
    with pytest.raises(PvsimError) as caught:
        check_column(Column(name, text), LEVELS)
    assert says in str(caught.value)


def test_the_places_of_a_case_stand_in_for_the_names():
    places = {"cell": parse_place("1/2/25")}
    found = read_at(Column("x_W", "delta[substring of cell].p_mp_W"), scenario(2), places)
    assert found == Path("delta", "1/2/s2", "p_mp_W")


def test_only_columns_with_a_before_need_one():
    assert compares(Column("x_W", "1 + delta[array].p_mp_W"))
    assert compares(Column("x_W", "now[array].p_mp_W - before[array].p_mp_W"))
    assert not compares(Column("x_W", "now[array].p_mp_W"))
