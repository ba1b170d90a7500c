"""A data sheet refuses what cannot be, each time naming the field, what was expected and how to mend it."""

from __future__ import annotations

import math

import pytest

from pvsim.errors import SheetError
from pvsim.sheet import (
    Coefficient,
    absolute_per_K,
    assumption_problems,
    cell_size_mm,
    fill_factor,
    rated_power_W,
    relative_per_K,
    sheet_problems,
    size_text,
)
from pvsim.sheet.coefficient import in_unit_of
from pvsim.sheet.data_sheet import ideal_fill_factor
from tests.sheet.samples import HALVES, PLAIN, sheet


def percent(value: float) -> Coefficient:
    return Coefficient(value=value, unit="%/K")


@pytest.mark.parametrize(
    ("changes", "field", "expected"),
    [
        ({"vmp_V": 39.6}, "vmp_V", "less than 39.6"),
        ({"vmp_V": 41.0}, "vmp_V", "less than 39.6"),
        ({"imp_A": 9.7}, "imp_A", "less than 9.7"),
        ({"imp_A": 10.2}, "imp_A", "less than 9.7"),
        ({"vmp_V": 19.0}, "vmp_V", "more than 19.8"),
        ({"imp_A": 4.8}, "imp_A", "more than 4.85"),
        ({"imp_A": 9.5, "vmp_V": 36.5}, "imp_A", "without any resistance"),
        ({"isc_A": 0.0}, "isc_A", "from 0.01 to 200 A"),
        ({"isc_A": math.nan}, "isc_A", "from 0.01 to 200 A"),
        ({"voc_V": -39.6}, "voc_V", "from 0.1 to 1000 V"),
        ({"voc_V": "39.6 V"}, "voc_V", "from 0.1 to 1000 V"),
        ({"imp_A": True}, "imp_A", "from 0.01 to 200 A"),
        ({"alpha": percent(-0.05)}, "alpha", "above 0"),
        ({"alpha": percent(0.0)}, "alpha", "above 0"),
        ({"beta": percent(0.3)}, "beta", "below 0"),
        ({"gamma": percent(0.37)}, "gamma", "below 0"),
        ({"alpha": percent(0.5)}, "alpha", "to 0.2"),
        ({"beta": percent(-0.9)}, "beta", "-0.6"),
        ({"beta": percent(-0.01)}, "beta", "-0.1"),
        ({"gamma": percent(-2.0)}, "gamma", "-0.9"),
        ({"beta": Coefficient(value=-2.0, unit="mV/K")}, "beta", "-0.6"),  # one cell's, not the module's
        ({"beta": Coefficient(value=-2.0, unit="A/K")}, "beta", "%/K, mV/K, V/K"),
        ({"alpha": 0.05}, "alpha", "%/K, mA/K, A/K"),
        ({"cells": 72}, "cells", "60, for 10 rows of 6"),
        ({"rows": 0}, "rows", "from 1"),
        ({"columns": 6.0}, "columns", "whole number"),
        ({"cells": 721, "rows": 103, "columns": 7}, "cells", "720"),
        ({"bypass_diodes": 4}, "bypass_diodes", "divides the 6 columns"),
        ({"bypass_diodes": 2}, "bypass_diodes", "even number of columns"),
        ({"bypass_diodes": 6}, "bypass_diodes", "even number of columns"),
        ({"bypass_diodes": -1}, "bypass_diodes", "from 0"),
        ({"bifaciality": 70.0}, "bifaciality", "from 0 to 1"),
        ({"cell_width_mm": 0.157}, "cell_width_mm", "mm"),
        ({"cell_height_mm": math.inf}, "cell_height_mm", "mm"),
        ({"title": ""}, "title", "plain text"),
        ({"title": "bell\a"}, "title", "plain text"),
        ({"note": 3}, "note", "plain text"),
    ],
)
def test_what_cannot_be_is_refused_and_says_which_field(changes, field, expected) -> None:
    with pytest.raises(SheetError) as caught:
        sheet(**changes)
    assert caught.value.wrong.startswith(f"{field} of the data sheet is ")
    assert expected in caught.value.expected
    assert len(caught.value.mend) > 10


def test_a_coefficient_refuses_what_is_no_number_and_no_unit() -> None:
    with pytest.raises(SheetError, match="unit of the temperature coefficient"):
        Coefficient(value=0.05, unit="%/C")
    with pytest.raises(SheetError, match="value of the temperature coefficient"):
        Coefficient(value=math.nan, unit="%/K")


@pytest.mark.parametrize(
    ("value", "unit", "rated", "share"),
    [(0.05, "%/K", 9.7, 0.0005), (4.85, "mA/K", 9.7, 0.0005), (0.00485, "A/K", 9.7, 0.0005),
     (-118.8, "mV/K", 39.6, -0.003), (-0.1188, "V/K", 39.6, -0.003), (-1.2, "W/K", 300.0, -0.004)],
)  # fmt: skip
def test_a_coefficient_is_the_same_in_every_unit(value, unit, rated, share) -> None:
    coefficient = Coefficient(value=value, unit=unit)
    assert relative_per_K(coefficient, rated) == pytest.approx(share, rel=1e-12)
    assert absolute_per_K(coefficient, rated) == pytest.approx(share * rated, rel=1e-12)
    assert in_unit_of(coefficient, share, rated) == pytest.approx(value, rel=1e-12)


def test_power_and_fill_factor_are_those_of_the_four_points() -> None:
    assert rated_power_W(sheet()) == 9.15 * 32.6
    assert fill_factor(sheet()) == pytest.approx(9.15 * 32.6 / (9.7 * 39.6), rel=1e-15)


# M. A. Green, Solar Cells 7 (1982) 337: exact values by reckoning the ideal diode.
@pytest.mark.parametrize(("v", "exact"), [(15, 0.765268), (20, 0.807956), (25, 0.836556), (30, 0.857181)])
def test_the_ideal_fill_factor_is_greens(v: float, exact: float) -> None:
    assert ideal_fill_factor(v * 0.0256925791) == pytest.approx(exact, abs=1e-4)  # his formula's own accuracy


def test_the_ideal_fill_factor_of_small_voltages_is_the_maximum_of_v_i() -> None:
    import numpy as np

    for v in (0.5, 3.0, 9.0):
        x = np.linspace(0.0, v, 200_001)
        most = (x * (np.exp(v) - np.exp(x))).max() / (v * np.expm1(v))
        assert ideal_fill_factor(v * 0.0256925791) == pytest.approx(most, rel=1e-6)  # the grid's


def test_a_module_without_diodes_and_one_with_halves_can_be() -> None:
    assert sheet(bypass_diodes=0).bypass_diodes == 0
    assert sheet(**HALVES).cells == 120


def test_numbers_are_stored_as_floats() -> None:
    assert type(sheet(isc_A=10).isc_A) is float


def fields_of(problems) -> list[tuple[str, ...]]:
    return [one.fields for one in problems]


def test_what_is_wrong_together_is_told_together() -> None:
    wrong = {"vmp_V": 45.0, "rows": 11, "alpha": percent(-0.05), "bifaciality": 70.0, "note": 3}
    found = sheet_problems(PLAIN | wrong)
    assert fields_of(found) == [
        ("note",), ("bifaciality",), ("vmp_V", "voc_V"), ("cells", "rows", "columns"), ("alpha",)
    ]  # fmt: skip
    assert sheet_problems(PLAIN) == ()


def test_what_follows_from_a_field_that_is_refused_is_not_told_as_well() -> None:
    assert fields_of(sheet_problems(PLAIN | {"voc_V": -1.0})) == [("voc_V",)]
    assert fields_of(sheet_problems(PLAIN | {"columns": 0})) == [("columns",)]


def test_fields_nobody_has_read_are_left_out() -> None:
    some = {name: value for name, value in PLAIN.items() if name not in ("isc_A", "cells")}
    assert sheet_problems(some) == ()
    assert fields_of(sheet_problems(some | {"vmp_V": 45.0})) == [("vmp_V", "voc_V")]


def test_assumptions_that_are_wrong_together_are_told_together() -> None:
    wrong = {"shunt": "low", "shunt_ohm_cm2": 1e6, "reverse": "late", "breakdown_exponent": 1.0}
    assert fields_of(assumption_problems(wrong)) == [("shunt_ohm_cm2",), ("breakdown_exponent",)]
    assert fields_of(assumption_problems({"shunt": "none", "shunt_ohm_cm2": 1.0})) == [("shunt",)]


def test_a_sheet_without_a_size_takes_one_from_its_current() -> None:
    nothing = {"cell_width_mm": None, "cell_height_mm": None}
    # 9.7 A at 40 mA/cm2 are 242.5 cm2, a square of 155.7 mm.
    assert cell_size_mm(sheet(**nothing)) == (155.7, 155.7)
    assert cell_size_mm(sheet(**HALVES | nothing)) == (155.7, 77.9)
    assert cell_size_mm(sheet()) == (156.75, 156.75)
    assert "40 mA/cm²" in size_text(sheet(**nothing))
    assert size_text(sheet()) == ""


def test_one_side_of_a_cell_alone_is_refused() -> None:
    with pytest.raises(SheetError, match="width and height") as caught:
        sheet(cell_height_mm=None)
    assert caught.value.fields == ("cell_height_mm", "cell_width_mm")
