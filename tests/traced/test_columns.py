"""Tables as tracers and spreadsheets write them are recognised, and what is left out is counted."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.errors import FileError
from pvsim.files import write_curve
from pvsim.traced.columns import ANOTHER, BESIDE, BROKEN, REPEATED, propose
from pvsim.traced.layout import MAX_LINE, MAX_LINES, number_in
from pvsim.traced.quantity import read_heading
from pvsim.traced.traced_curve import read_traced
from tests.traced.samples import curve_of_bench

V = np.arange(0.0, 20.5, 0.5)
I = np.round(8.0 - 0.01 * V - 8.0 * (V / 20.0) ** 12, 4)


def table(delimiter, decimal, heading, *, scale_V=1.0, scale_A=1.0, more=(), reverse=False):
    rows = [heading] if heading else []
    order = range(V.size - 1, -1, -1) if reverse else range(V.size)
    for k in order:
        fields = [f"{V[k] * scale_V:.4f}", f"{I[k] * scale_A:.4f}", *more]
        rows.append(
            delimiter.join(fields).replace(".", decimal) if decimal == "," else delimiter.join(fields)
        )
    return "\n".join(rows) + "\n"


@pytest.mark.parametrize(
    ("text", "direction"),
    [
        pytest.param(table(",", ".", "Voltage (V),Current (A)"), "rising", id="commas"),
        pytest.param(table(";", ",", "Spannung [V];Strom [A]"), "rising", id="semicolons-decimal-commas"),
        pytest.param(table("\t", ",", "U/V\tI/A", reverse=True), "falling", id="tabs-falling"),
        pytest.param(table(";", ".", "U in mV;I in mA", scale_V=1e3, scale_A=1e3), "rising", id="milli"),
        pytest.param(table(";", ",", "voltage_V;current_A"), "rising", id="units-in-names"),
        pytest.param(table("\t", ".", "Voltage\tCurrent\nmV\tA", scale_V=1e3), "rising", id="line-of-units"),
        pytest.param(table(";", ".", "V;I", scale_A=-1.0), "rising", id="current-into-the-module"),
        pytest.param(table(",", ".", ""), "rising", id="no-heading"),
        pytest.param(
            "Tracer 3;serial 17\n\n" + table(";", ",", "U [V];I [A]") + "end;of;file\n", "rising", id="junk"
        ),
        pytest.param(
            "\ufeff" + table(",", ".", '"Voltage (V)","Current (A)"').replace("\n", "\r\n"),
            "rising",
            id="bom",
        ),
        pytest.param(table(";", ",", "V;I;Status", more=("OK",)), "rising", id="a-column-of-words"),
    ],
)
def test_a_table_reads_back_to_the_same_numbers(text, direction):
    found = propose(text)
    curve = read_traced(text, found.mapping)
    assert found.direction == direction
    np.testing.assert_allclose(curve.voltage_V, V, atol=1e-9)
    np.testing.assert_allclose(curve.current_A, I, atol=1e-9)


def test_light_and_temperature_are_read_from_columns():
    text = table(";", ",", "U [V];I [A];G [W/m²];T [°C]", more=("812,5", "45,3"))
    curve = read_traced(text, propose(text).mapping)
    assert (curve.irradiance_W_m2, curve.temperature_C) == (812.5, 45.3)


@pytest.mark.parametrize(
    "junk",
    [
        "Irradiance: 812.5 W/m2\nModule temperature: 45.3 °C\n",
        "Irradiance (W/m2): 812.5\nModule temperature (degC): 45.3\n",
        "Einstrahlung (W/m²);812,5\nZelltemperatur (°C);45,3\n",
        "Irradiance;0,8125;kW/m2\nTemperature;318,45;K\n",
    ],
)
def test_light_and_temperature_are_read_from_above_the_table(junk):
    text = junk + table(";", ",", "U [V];I [A]")
    curve = read_traced(text, propose(text).mapping)
    assert curve.irradiance_W_m2 == pytest.approx(812.5)
    assert curve.temperature_C == pytest.approx(45.3)


def test_a_curve_that_pvsim_wrote_reads_back():
    characteristic = curve_of_bench()
    text = write_curve(characteristic, title="Bench")
    curve = read_traced(text, propose(text).mapping)
    np.testing.assert_array_equal(curve.voltage_V, characteristic.voltage_V)
    np.testing.assert_array_equal(curve.current_A, characteristic.current_A)


def test_every_line_left_out_is_counted_with_its_reason():
    rows = table(";", ".", "U [V];I [A]").splitlines()
    rows[5] = "2.0;OVL"
    rows.insert(9, rows[8])
    found = propose("\n".join(["a tracer", *rows, "end"]))
    left_out = {one.why: (one.count, one.first_line) for one in found.left_out}
    assert left_out == {BESIDE: (3, 1), BROKEN: (1, 7), REPEATED: (1, 11)}
    assert found.rows == V.size  # one broken, one twice


def test_what_is_assumed_is_said():
    bare = propose(table(";", ".", ""))
    assert [(one.quantity, one.sure) for one in bare.columns] == [("voltage", False), ("current", False)]
    named = propose(table(";", ".", "U [V];I"))
    assert [one.sure for one in named.columns] == [True, False]


def test_unknown_columns_are_left_to_a_person():
    text = table(";", ".", "x;y;z", more=("3.0",))
    found = propose(text)
    assert found.mapping.voltage is None
    with pytest.raises(FileError, match="voltage and current is not known"):
        read_traced(text, found.mapping)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "no table of numbers"),
        ("one line of words\nand another\n", "no table of numbers"),
        ("U,I\n" + "0,5,8,2\n1,5,8,1\n", "commas between its columns and in its numbers"),
        ("a\0b;1\n1;2\n", "not text"),
        ("1;2\n" * (MAX_LINES + 1), "lines"),
        ("1" * (MAX_LINE + 1) + "\n1;2\n2;3\n", "too long"),
        (";" * 500 + "\n1;2\n2;3\n", "too long"),
        (("1," * 400 + "1\n") * 5, "too long"),
        ("1;2\n" * 600_000, "more than 2000000 characters"),
    ],
)
def test_what_is_no_table_or_too_large_is_refused(text, says):
    with pytest.raises(FileError, match=says):
        propose(text)


@pytest.mark.parametrize(
    ("field", "decimal", "value"),
    [
        ("12.5", ".", 12.5),
        ("-1,25e-3", ",", -1.25e-3),
        ("1.234,5", ",", 1234.5),
        ("1,234.5", ".", 1234.5),
        ("\u22120.5", ".", -0.5),
        ("1,5", ".", np.nan),
        ("nan", ".", np.nan),
        ("inf", ".", np.nan),
        ("1e999", ".", np.nan),
        ("0x10", ".", np.nan),
        ("1_000", ".", np.nan),
        ("12 V", ".", np.nan),
        ("", ".", np.nan),
    ],
)
def test_only_plain_finite_numbers_are_numbers(field, decimal, value):
    assert number_in(field, decimal) == pytest.approx(value, nan_ok=True)


@pytest.mark.parametrize(
    ("heading", "quantity", "unit"),
    [
        ("Voltage (V)", "voltage", "V"),
        ("U / mV", "voltage", "mV"),
        ("Ipv [mA]", "current", "mA"),
        ("Current in A", "current", "A"),
        ("power_W", "power", "W"),
        ("irradiance_W_m2", "irradiance", "W/m2"),
        ("G (W/m^2)", "irradiance", "W/m2"),
        ("Irr. [mW/cm²]", "irradiance", "mW/cm2"),
        ("Tcell [°C]", "temperature", "degC"),
        ("Ambient temperature [°C]", None, ""),
        ("Time [s]", None, ""),
        ("mA", "current", "mA"),
        ("Voltage (MV)", "voltage", ""),
        ("serial", None, ""),
    ],
)
def test_a_heading_says_quantity_and_unit(heading, quantity, unit):
    found = read_heading(heading)
    assert (found.quantity, found.unit) == (quantity, unit)


@pytest.mark.parametrize("shorter", ["first", "second"])
def test_a_second_curve_in_a_file_is_not_passed_over_in_silence(shorter):
    def curve(rows):
        return "U [V];I [A]\n" + "".join(f"{k};{8 - k / 10}\n" for k in range(rows))

    text = curve(12) + "\n" + curve(30) if shorter == "first" else curve(30) + "\n" + curve(12)
    found = propose(text)
    assert found.rows == 30
    told = {one.why: (one.count, one.first_line) for one in found.left_out}
    assert told[ANOTHER] == (12, 2 if shorter == "first" else 34)
    assert told[BESIDE][0] == 2
