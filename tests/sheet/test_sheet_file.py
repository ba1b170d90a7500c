"""Sheets as files: written and read back equal, and bad ones refused with file, line and key."""

from __future__ import annotations

import pytest

from pvsim.errors import FileError
from pvsim.sheet import (
    Assumptions,
    Coefficient,
    SheetFile,
    own_sheets,
    read_own_sheet,
    read_sheet,
    write_sheet,
)
from tests.sheet.samples import HALVES, sheet

TEXT = write_sheet(SheetFile(sheet=sheet()))


@pytest.mark.parametrize("name", own_sheets())
def test_sheets_that_come_along_read_back_equal(name: str) -> None:
    file = read_own_sheet(name)
    assert read_sheet(write_sheet(file)) == file


@pytest.mark.parametrize(
    "file",
    [
        SheetFile(sheet=sheet()),
        SheetFile(sheet=sheet(**HALVES, bifaciality=0.85, note='A note with "quotes"\nand lines')),
        SheetFile(
            sheet=sheet(
                alpha=Coefficient(value=4.0, unit="mA/K"),
                beta=Coefficient(value=-120.0, unit="mV/K"),
                gamma=Coefficient(value=-1.1, unit="W/K"),
            ),
            assumed=Assumptions(shunt="low", shunt_ohm_cm2=2222.2, reverse="back-contact"),
        ),
        SheetFile(
            sheet=sheet(
                alpha=Coefficient(value=0.004, unit="A/K"),
                beta=Coefficient(value=-0.12, unit="V/K"),
                bypass_diodes=0,
            )
        ),
    ],
    ids=["plain", "halves", "milli", "absolute"],
)
def test_every_sheet_reads_back_equal(file: SheetFile) -> None:
    assert read_sheet(write_sheet(file)) == file


def test_assumptions_left_out_are_the_usual_ones() -> None:
    text = TEXT[: TEXT.index("[assumed]")]
    assert read_sheet(text).assumed == Assumptions()


@pytest.mark.parametrize(
    ("old", "new", "told", "mend"),
    [
        ("format = 1\n", "", "has no format key", "format = 1"),
        ("format = 1\n", "format = 2\n", "format is 2", "later pvsim"),
        ("isc_A = 9.7\n", "", "'isc_A' is missing", "Add it"),
        ("isc_A = 9.7\n", "isc_mA = 9700\n", "'isc_mA' is not known", "isc_A"),
        ("isc_A = 9.7\n", 'isc_A = "9.7 A"\n', "isc_A is", "quotes"),
        ("isc_A = 9.7\n", "isc_A = 9,7\n", "has a comma", "point"),
        ("isc_A = 9.7\n", "isc_A = 9.7 A\n", "has a unit", "alone"),
        ("vmp_V = 32.6\n", "vmp_V = 41.0\n", "vmp_V is 41", "exchanged"),
        ("cells = 60\n", "cells = 72\n", "cells is 72", "Count"),
        ("cells = 60\n", "cells = 60.0\n", "cells is 60.0", "without a point"),
        ("beta_percent_per_K = -0.3\n", "", "beta is missing", "beta_percent_per_K = -0.28"),
        ("beta_percent_per_K = -0.3\n", "beta_percent_per_K = 0.3\n", "beta_percent_per_K", "sign"),
        (
            "beta_percent_per_K = -0.3\n",
            "beta_percent_per_K = -0.3\nbeta_mV_per_K = -119\n",
            "twice",
            "Keep the one",
        ),
        ("beta_percent_per_K = -0.3\n", "beta_percent_per_C = -0.3\n", "not known", "beta_percent_per_K"),
        ("alpha_percent_per_K = 0.05\n", "alpha_V_per_K = 0.05\n", "not known", "alpha_"),
        ('shunt = "usual"\n', 'shunt = "ususal"\n', "shunt is", "usual"),
        ('reverse = "late"\n', "reverse = 3\n", "reverse is 3", "quotes"),
        (
            "breakdown_voltage_V = -20.0\n",
            "breakdown_voltage_V = 20.0\n",
            "breakdown_voltage_V is 20",
            "unit",
        ),
        (
            "breakdown_voltage_V = -20.0\n",
            "breakdown_voltage_mV = -20.0\n",
            "not known",
            "breakdown_voltage_V",
        ),
        ('title = "An invented', 'title = "\\u0007An invented', "title is", "anew"),
    ],
)
def test_a_file_that_is_not_in_order_is_refused_in_its_place(old, new, told, mend) -> None:
    assert old in TEXT
    with pytest.raises(FileError) as caught:
        read_sheet(TEXT.replace(old, new), "mine.toml")
    assert caught.value.wrong.startswith("mine.toml")
    assert told in caught.value.wrong
    assert mend in caught.value.mend


def test_a_refusal_names_the_line() -> None:
    line = TEXT.split("\n").index("vmp_V = 32.6") + 1
    with pytest.raises(FileError, match=f"line {line}, vmp_V is 41"):
        read_sheet(TEXT.replace("vmp_V = 32.6", "vmp_V = 41.0"), "mine.toml")


def test_an_unknown_name_lists_those_that_come_along() -> None:
    with pytest.raises(FileError, match="slipway-halves"):
        read_own_sheet("slipway")
