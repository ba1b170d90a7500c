"""A text is read as its mapping says, or refused with one sentence; never anything else."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvsim.errors import FileError
from pvsim.traced.columns import BROKEN, propose, propose_again
from pvsim.traced.mapping import Use
from pvsim.traced.traced_curve import TracedCurve, read_traced

TEXT = "U [V];I [A]\n" + "".join(f"{k / 2};{8 - k / 10}\n" for k in range(40))


def test_repeated_voltages_are_averaged():
    text = TEXT + "0;10\n"
    curve = read_traced(text, propose(text).mapping)
    assert curve.voltage_V.size == 40
    assert curve.current_A[0] == 9.0
    assert (np.diff(curve.voltage_V) > 0.0).all()


def test_a_sweep_and_its_way_back_are_one_curve():
    rows = TEXT.splitlines()
    text = "\n".join([*rows, *rows[:0:-1]])
    found = propose(text)
    assert found.direction == "both ways"
    np.testing.assert_array_equal(
        read_traced(text, found.mapping).current_A, read_traced(TEXT, propose(TEXT).mapping).current_A
    )


@pytest.mark.parametrize("spoilt", ["nan", "inf", "1e400", "1e300", "OVL", "", "8,1.2"])
def test_a_broken_row_is_refused_by_its_line_until_a_person_lets_it_go(spoilt):
    rows = TEXT.splitlines()
    rows[10] = f"4.5;{spoilt}"
    text = "\n".join(rows)
    mapping = propose(text).mapping
    with pytest.raises(FileError, match="line 11 holds no usable number in column 2"):
        read_traced(text, mapping)
    assert read_traced(text, replace(mapping, leave_out_broken=True)).voltage_V.size == 39


def test_columns_can_be_chosen_by_hand():
    mapping = propose(TEXT).mapping
    swapped = replace(mapping, voltage=Use(column=2, unit="mV"), current=Use(column=1, unit="mA"))
    curve = read_traced(TEXT, swapped)
    assert curve.voltage_V[-1] == pytest.approx(0.008)
    assert curve.current_A.max() == pytest.approx(0.0195)


def test_a_mapping_changed_by_hand_is_counted_anew():
    rows = TEXT.splitlines()
    text = "\n".join(row + (";x" if k == 5 else f";{-k}") for k, row in enumerate(rows))
    mapping = propose(text).mapping
    again = propose_again(text, replace(mapping, current=Use(column=3, unit="mA"), current_sign=1))
    assert (again.rows, again.mapping.current_sign) == (39, 1)
    assert [(one.why, one.count) for one in again.left_out][1:] == [(BROKEN, 1)]
    with pytest.raises(FileError, match="no column 9"):
        propose_again(text, replace(mapping, current=Use(column=9, unit="A")))


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"voltage": Use(column=9, unit="V")}, "no column 9"),
        ({"voltage": Use(column=2, unit="V")}, "is not known"),
        ({"voltage": Use(column=1, unit="A")}, "read in 'A'"),
        ({"current": Use(column=2, unit="furlong")}, "read in 'furlong'"),
        ({"irradiance_W_m2": float("nan")}, "measured at nan W/m2"),
        ({"temperature_C": 4000.0}, "measured at 4000 degC"),
    ],
)
def test_a_mapping_that_does_not_fit_is_refused(change, says):
    with pytest.raises(FileError, match=says):
        read_traced(TEXT, replace(propose(TEXT).mapping, **change))


def test_rows_that_are_not_there_are_refused():
    mapping = propose(TEXT).mapping
    for first, last in ((0, 10), (10, 5), (2, 10_000)):
        with pytest.raises(FileError, match="has no lines"):
            read_traced(
                TEXT, replace(mapping, layout=replace(mapping.layout, first_line=first, last_line=last))
            )


@pytest.mark.parametrize(
    ("voltage_V", "current_A", "says"),
    [
        ([0.0, 1.0], [1.0, 0.0], "2 voltages"),
        ([0.0, 1.0, 1.0, 2.0, 3.0], [1.0] * 5, "do not rise"),
        ([0.0, 1.0, 2.0, 3.0, np.inf], [1.0] * 5, "cannot have been measured"),
        ([0.0, 1.0, 2.0, 3.0, 4.0], [1.0, 1.0, np.nan, 1.0, 1.0], "cannot have been measured"),
        ([0.0, 1.0, 2.0, 3.0, 4.0], [1.0, 1.0, 1e30, 1.0, 1.0], "cannot have been measured"),
    ],
)
def test_a_curve_holds_finite_points_in_order(voltage_V, current_A, says):
    with pytest.raises(FileError, match=says):
        TracedCurve(voltage_V=np.array(voltage_V), current_A=np.array(current_A))


PIECES = st.sampled_from(
    [
        "0",
        "1.5",
        "2,5",
        "-3",
        "1e3",
        "nan",
        "inf",
        "1e999",
        "9" * 400,
        ";",
        ",",
        "\t",
        "\n",
        "\r\n",
        '"',
        "#",
        " ",
        "V",
        "U [V]",
        "I [mA]",
        "W/m2",
        "Irradiance: 900 W/m2",
        "OVL",
        "\ufeff",
        "\u2212",
        "\x0b",
        "\u2028",
        "🙂",
        "=1+1",
    ]
)
SPOIL = st.tuples(st.integers(0, len(TEXT)), st.integers(0, 60), st.lists(PIECES, max_size=8).map("".join))


def curve_or_refusal(text):
    try:
        found = propose(text)
        curve = read_traced(text, replace(found.mapping, leave_out_broken=True))
    except FileError as error:
        assert 20 < len(str(error)) < 3_000
        return
    assert np.isfinite(curve.voltage_V).all()
    assert np.isfinite(curve.current_A).all()
    assert (np.diff(curve.voltage_V) > 0.0).all()


@settings(max_examples=150, deadline=None)
@given(spoils=st.lists(SPOIL, min_size=1, max_size=4))
def test_a_spoilt_file_gives_a_curve_or_one_sentence(spoils):
    text = TEXT
    for at, length, piece in spoils:
        text = text[:at] + piece + text[at + length :]
    curve_or_refusal(text)


@settings(max_examples=100, deadline=None)
@given(pieces=st.lists(PIECES, max_size=60))
def test_whatever_stands_in_a_file_it_gives_a_curve_or_one_sentence(pieces):
    curve_or_refusal("".join(pieces))


@pytest.mark.parametrize(("points", "told"), [(1, "at 1 voltage;"), (2, "at 2 voltages;")])
def test_too_few_points_are_counted_in_words_that_fit(points, told):
    text = "U [V];I [A]\n" + "20;5\n" * 8 + "30;4\n" * (points - 1)
    with pytest.raises(FileError, match=told):
        read_traced(text, propose(text).mapping)
