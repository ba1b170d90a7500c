"""What is typed into the fields of a data sheet, and how a slip is told."""

from __future__ import annotations

import pytest

from pvsim.app.sheet.form import form_layout, label_of, typed_values
from pvsim.app.sheet.typed import SheetRefused, read_typed, told_at_fields
from pvsim.errors import SheetError
from pvsim.sheet import (
    Assumptions,
    Coefficient,
    DataSheet,
    SheetFile,
    module_from_sheet,
    own_sheets,
    read_own_sheet,
)
from pvsim.words import speaking
from tests.sheet.samples import PLAIN

FILE = SheetFile(sheet=DataSheet(**PLAIN))
FIELDS = [*DataSheet.__dataclass_fields__, *Assumptions.__dataclass_fields__]


def typed(**changes: str) -> dict[str, str]:
    return typed_values(FILE) | changes


def told(**changes: str) -> dict[str, str]:
    """By field, what is said of a sheet that was typed with slips."""
    with pytest.raises(SheetRefused) as caught:
        read_typed(typed(**changes))
    return {one["field"]: one["text"] for one in caught.value.problems}


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("name", own_sheets())
def test_what_the_fields_show_of_a_sheet_is_that_sheet_when_it_is_read(name: str, language: str) -> None:
    with speaking(language):
        file = read_own_sheet(name)
        assert read_typed(typed_values(file)) == file
        assert ("," in typed_values(file)["isc_A"]) == (language == "de")


def test_every_value_of_a_sheet_has_its_field() -> None:
    shown = [field["id"] for group in form_layout()["groups"] for field in group["fields"]]
    assert sorted(shown) == sorted(FIELDS)
    for name in FIELDS:
        assert label_of(name)


def test_a_form_nobody_has_begun_asks_for_what_is_needed_and_no_more() -> None:
    with pytest.raises(SheetRefused) as caught:
        read_typed(typed_values(None))
    assert [one["field"] for one in caught.value.problems] == [
        "title", "isc_A", "voc_V", "imp_A", "vmp_V", "alpha", "beta", "gamma",
        "cells", "rows", "columns", "bypass_diodes",
    ]  # fmt: skip
    for one in caught.value.problems:
        assert "expected" in one["text"]


@pytest.mark.parametrize(
    ("text", "unit", "held"),
    [
        ("-0.27", "%/K", Coefficient(value=-0.27, unit="%/K")),
        ("−0,27", "%/K", Coefficient(value=-0.27, unit="%/K")),
        ("-101 mV/K", "%/K", Coefficient(value=-101.0, unit="mV/K")),
        ("-101mV/°C", "%/K", Coefficient(value=-101.0, unit="mV/K")),
        ("-0.27 % / °C", "V/K", Coefficient(value=-0.27, unit="%/K")),
        ("-0.12", "V/K", Coefficient(value=-0.12, unit="V/K")),
    ],
)
def test_a_coefficient_is_taken_in_the_unit_chosen_or_typed(text: str, unit: str, held: Coefficient) -> None:
    assert read_typed(typed(beta=text, beta_unit=unit)).sheet.beta == held


def test_decimal_comma_point_and_units_behind_are_understood() -> None:
    sheet = read_typed(typed(isc_A="9,7", voc_V="39.6 V", imp_A="9150 mA", bifaciality="70 %")).sheet
    assert (sheet.isc_A, sheet.voc_V, sheet.imp_A, sheet.bifaciality) == (9.7, 39.6, 9.15, 0.7)


@pytest.mark.parametrize(
    ("text", "share"), [("70", 0.7), ("70 %", 0.7), ("0,7", 0.7), ("1", 1.0), ("0.5 %", 0.005), ("", 0.0)]
)
def test_bifaciality_is_a_percentage_or_a_share(text: str, share: float) -> None:
    assert read_typed(typed(bifaciality=text)).sheet.bifaciality == pytest.approx(share, rel=1e-15)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"isc_A": "nine"}, {"isc_A": "is not a number"}),
        ({"isc_A": "300"}, {"isc_A": "from 0.01 to 200"}),
        ({"vmp_V": "41"}, {"vmp_V": "less than 39.6 V, which is Voc"}),
        ({"imp_A": "4"}, {"imp_A": "half of Isc"}),
        ({"rows": "10.5"}, {"rows": "a whole number"}),
        ({"cells": "61"}, {"cells": "60, for 10 rows of 6"}),
        ({"bypass_diodes": "4"}, {"bypass_diodes": "divides the 6 columns"}),
        ({"alpha": "-0.05"}, {"alpha": "above 0"}),
        ({"beta": "-0.3 A/K"}, {"beta": "one of %/K, mV/K, V/K"}),
        ({"gamma": ""}, {"gamma": "is missing"}),
        ({"beta_unit": "V/C"}, {"beta": "one of"}),
        ({"bifaciality": "170"}, {"bifaciality": "0 to 100"}),
        ({"cell_width_mm": ""}, {"cell_width_mm": "or neither"}),
        ({"title": "  "}, {"title": "is missing"}),
        ({"shunt_ohm_cm2": "5"}, {"shunt_ohm_cm2": "from 3000 to 30000"}),
        ({"shunt": "none"}, {"shunt": "one of low, usual, high"}),
        ({"breakdown_voltage_V": "-50"}, {"breakdown_voltage_V": "from −30 to −15"}),
        (
            {"vmp_V": "41", "rows": "x", "alpha": "-0.05", "breakdown_exponent": "1"},
            {"vmp_V": "Voc", "rows": "is not a number", "alpha": "above 0", "breakdown_exponent": "2 to 6"},
        ),
    ],
)
def test_each_slip_is_told_at_its_field_all_of_them_at_once(changes, said) -> None:
    found = told(**changes)
    assert list(found) == sorted(said, key=FIELDS.index)
    for name, part in said.items():
        assert part in found[name]


def test_no_key_of_the_file_is_told_on_the_page() -> None:
    wrong = {"vmp_V": "41", "imp_A": "4", "cells": "61", "bypass_diodes": "4", "cell_width_mm": ""}
    for text in told(**wrong).values():
        assert not any(name in text for name in FIELDS if "_" in name)


def test_fields_that_are_wrong_together_are_named_together() -> None:
    with pytest.raises(SheetRefused) as caught:
        read_typed(typed(imp_A="9.69", vmp_V="38"))
    (one,) = caught.value.problems
    assert one["field"] == "imp_A"
    assert one["beside"] == ["vmp_V", "isc_A", "voc_V"]
    assert "fill factor" in one["text"]


def test_a_refusal_of_the_fit_has_its_fields() -> None:
    sheet = DataSheet(**PLAIN | {"imp_A": 9.0, "vmp_V": 33.0})
    with pytest.raises(SheetError) as caught:
        module_from_sheet(sheet, Assumptions(shunt="high"))
    (problem,) = told_at_fields(caught.value)
    assert problem["field"] == "shunt"
    assert problem["beside"] == ["shunt_ohm_cm2"]


@pytest.mark.parametrize(
    "fields", [{}, {"isc_A": 3}, {"isc_A": ["9"]}, {"title": None}, {1: "x"}, {"alpha": "9" * 10_000}]
)
def test_what_no_page_sends_is_refused_like_any_other_slip(fields) -> None:
    with pytest.raises(SheetRefused):
        read_typed(fields)
