"""Curves as CSV: every digit comes back, the origin is named, and bad rows are refused."""

from __future__ import annotations

import numpy as np
import pytest

import pvsim
from pvsim.array import CATALOGUE
from pvsim.circuit import Cell, Series, solve
from pvsim.errors import FileError
from pvsim.files.curve_file import MAX_POINTS, is_curve, read_curve, write_curve
from pvsim.files.provenance import MODEL_LIMITS


@pytest.fixture(scope="module")
def characteristic():
    return solve(Series((Cell(type=CATALOGUE["full-60"].cell),) * 20))


def test_a_curve_reads_back_to_the_last_digit(characteristic):
    curve = read_curve(write_curve(characteristic, title="Bench", label="string 1"))
    np.testing.assert_array_equal(curve.voltage_V, characteristic.voltage_V)
    np.testing.assert_array_equal(curve.current_A, characteristic.current_A)
    np.testing.assert_array_equal(curve.power_W, characteristic.power_W)
    assert curve.label == "string 1"


def test_a_curve_names_version_scenario_limits_and_units(characteristic):
    text = write_curve(characteristic, title="Bench")
    comments = [line for line in text.splitlines() if line.startswith("#")]
    assert f"# pvsim {pvsim.__version__}" in comments
    assert "# Scenario: Bench" in comments
    assert all(f"# {limit}" in comments for limit in MODEL_LIMITS)
    assert "voltage_V,current_A,power_W" in text.splitlines()


def test_a_title_with_line_breaks_cannot_leave_its_comment(characteristic):
    text = write_curve(characteristic, title="a\nvoltage_V,current_A\n=1+1,2\u2028x\r=2", label="b\n3,4")
    rows = [line for line in text.splitlines() if not line.startswith("#")]
    assert rows[0] == "voltage_V,current_A,power_W"
    assert len(rows) == characteristic.voltage_V.size + 1


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("voltage_V,current_A\n0,5\n10.5,0\n", id="commas"),
        pytest.param("\ufeffvoltage_V;current_A\r\n0;5\r\n10,5;0\r\n", id="semicolons-and-decimal-commas"),
        pytest.param('# note\n\n"current_A"\t"voltage_V"\n5\t0\n\n0\t10,5\n', id="tabs-and-another-order"),
    ],
)
def test_curves_from_other_programs_are_understood(text):
    curve = read_curve(text)
    assert curve.voltage_V.tolist() == [0.0, 10.5]
    assert curve.current_A.tolist() == [5.0, 0.0]
    assert curve.power_W.tolist() == [0.0, 0.0]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        pytest.param("", "0 points", id="empty"),
        pytest.param("voltage_V,current_A\n1,2\n", "1 points", id="one-point"),
        pytest.param("V,I\n1,2\n", "line 1 does not name the column voltage_V", id="columns"),
        pytest.param("voltage_V,current_mA\n1,2\n", "numbers in A (1000 mA is 1 A)", id="unit"),
        pytest.param("Voltage (V),Current (A)\n1,2\n", "Rename 'Voltage (V)' to voltage_V", id="spelling"),
        pytest.param("voltage_V,current_A\n1,2\n1\n", "line 3 has 1 fields", id="short-row"),
        pytest.param("voltage_V,current_A\n1,2\n1,x\n", "line 3 holds 'x'", id="text"),
        pytest.param("voltage_V,current_A\n1,2\n1,inf\n", "line 3 holds 'inf'", id="infinity"),
        pytest.param("voltage_V,current_A\n" + "1,2\n" * (MAX_POINTS + 1), "more than 100,000", id="long"),
        pytest.param(
            "voltage_V,current_A,current_A\n1,2,3\n", "does not name the column current_A once", id="twice"
        ),
        pytest.param("voltage_V,current_A,x,x\n1,2,3,4\n", "names a column twice", id="other-twice"),
    ],
)
def test_what_is_no_curve_is_refused_with_its_line(text, says):
    with pytest.raises(FileError) as caught:
        read_curve(text, "c.csv")
    assert says in str(caught.value)
    assert "c.csv" in str(caught.value)


@pytest.mark.parametrize(
    ("text", "curve"),
    [
        pytest.param("voltage_V,current_A\n0,5.1\n1,5.0\n", True, id="ours"),
        pytest.param("# a tracer\nU;I\n0,5;5,1\n", True, id="of-an-instrument"),
        pytest.param("\ufeffV\tI\n0.5\t5.1\n", True, id="tabs"),
        pytest.param('title = "A shed"\n[array]\n', False, id="a-scenario"),
        pytest.param("at = [\n1, 2,\n3, 4\n]\n", False, id="an-array-over-lines"),
        pytest.param("voltage_V,current_A\nhigh,low\n", False, id="words"),
        pytest.param("", False, id="nothing"),
    ],
)
def test_a_table_of_a_curve_is_told_from_other_files(text, curve):
    assert is_curve(text) is curve


def test_what_is_exported_is_known_as_a_curve(characteristic):
    assert is_curve(write_curve(characteristic, title="Bench"))
