"""Scenario files: what is written reads back equal, and what is wrong is refused in its place."""

from __future__ import annotations

import tomllib
import tracemalloc

import pytest
from hypothesis import given

import pvsim
from pvsim.array import Array, Fault, Module, Painted, Place, Scenario, String, set_light
from pvsim.array.light import Light
from pvsim.errors import FileError
from pvsim.files.demo import read_demo
from pvsim.files.provenance import MODEL_LIMITS
from pvsim.files.scenario_file import read_scenario, write_scenario
from tests.files.strategies import scenarios
from tests.workshop_roof import workshop_roof

SMALL = """\
format = 1
title = "Two strings"

[array]
[[array.strings]]
count = 2
modules = [{ type = "full-60", count = 3 }]

[light]
irradiance_W_m2 = 800
[[light.painted]]
transmission = 0.2
places = ["1/2/17", "2/1"]

[[faults]]
kind = "diode-open"
place = "1/2/d3"

[[faults]]
kind = "connector-resistive"
place = "2/1"
size_ohm = 2.5
"""


@given(scenarios())
def test_a_scenario_reads_back_equal(scenario):
    assert read_scenario(write_scenario(scenario)) == scenario


@given(scenarios())
def test_writing_is_repeatable(scenario):
    text = write_scenario(scenario)
    assert write_scenario(read_scenario(text)) == text


def test_a_file_written_by_hand_is_read_with_defaults_for_what_it_leaves_out():
    scenario = read_scenario(SMALL)
    assert [len(string.modules) for string in scenario.array.strings] == [3, 3]
    assert scenario.light == Light(
        irradiance_W_m2=800.0,
        painted=(Painted(Place(1, 2, cell=17), 0.2), Painted(Place(2, 1), 0.2)),
    )
    assert scenario.faults == (
        Fault("diode-open", Place(1, 2, diode=3)),
        Fault("connector-resistive", Place(2, 1), 2.5),
    )
    assert scenario.operation.kind == "mpp"


def test_repeated_modules_and_strings_are_counted_not_repeated():
    strings = (String(modules=(Module("full-60"),) * 8),) * 100
    text = write_scenario(Scenario(title="Many", array=Array(strings=strings)))
    assert tomllib.loads(text)["array"]["strings"][0]["count"] == 100
    assert len(text) < 2000


@pytest.mark.parametrize(
    ("old", "new", "line", "says"),
    [
        pytest.param("irradiance_W_m2", "irradiance_kW_m2", 10, "Write it as irradiance_W_m2", id="unit"),
        pytest.param("irradiance_W_m2", "irradience_W_m2", 10, "Did you mean 'irradiance_W_m2'", id="typo"),
        pytest.param("irradiance_W_m2 = 800", "irradiance_W_m2 = 80000", 10, "from 0 to 2000", id="range"),
        pytest.param("irradiance_W_m2 = 800", 'irradiance_W_m2 = "800"', 10, "without quotes", id="text"),
        pytest.param("irradiance_W_m2 = 800", "irradiance_W_m2 = nan", 10, "a finite number", id="nan"),
        pytest.param("irradiance_W_m2 = 800", "irradiance_W_m2 = true", 10, "a number", id="truth"),
        pytest.param("transmission = 0.2", "transmission_percent = 20", 12, "transmission", id="percent"),
        pytest.param('"2/1"]', '"2/9"]', 13, "module 9", id="no-such-module"),
        pytest.param('"2/1"]', '"2//1"]', 13, "is not a place", id="no-place"),
        pytest.param("size_ohm = 2.5", "size = 2.5", 22, "Write it as size_ohm", id="size-without-unit"),
        pytest.param('"diode-open"', '"diode-opened"', 16, "Did you mean 'diode-open'", id="fault-kind"),
        pytest.param('kind = "diode-open"', 'kind = "diode-open"\nsize = 1', 17, "only kind", id="no-size"),
        pytest.param('"full-60"', '"full-61"', 7, "or 'full-60'", id="module-type"),
        pytest.param("count = 3", "count = 3000000000", 7, "from 1 to 200", id="modules"),
        pytest.param("count = 2", "count = 501", 6, "from 1 to 500", id="strings"),
        pytest.param("format = 1", "format = 4", 1, "A file with a later format", id="later-format"),
        pytest.param("[light]", "[lihgt]", 9, "Did you mean 'light'", id="table"),
        pytest.param("[light]", "[[light]]", 9, "Write it as [table]", id="no-table"),
    ],
)
def test_a_wrong_line_is_refused_with_its_number_and_how_to_mend_it(old, new, line, says):
    assert old in SMALL
    with pytest.raises(FileError) as caught:
        read_scenario(SMALL.replace(old, new, 1), "roof.toml")
    message = str(caught.value)
    assert f"roof.toml, line {line}, " in message
    assert says in message
    assert "\n" not in message


def test_a_wrong_unit_says_how_the_units_relate():
    with pytest.raises(FileError, match="1 kW/m2 is 1000 W/m2"):
        read_scenario(SMALL.replace("irradiance_W_m2", "irradiance_kW_m2"))


def test_a_missing_format_is_asked_for():
    with pytest.raises(FileError, match="Add the line: format = 3"):
        read_scenario(SMALL.replace("format = 1\n", ""))


def test_a_missing_title_is_asked_for():
    with pytest.raises(FileError, match="the key 'title' is missing"):
        read_scenario(SMALL.replace('title = "Two strings"\n', ""))


@pytest.mark.parametrize("end", range(1, len(SMALL), 7))
def test_a_file_cut_off_anywhere_is_read_or_refused_but_never_fails_otherwise(end):
    try:
        read_scenario(SMALL[:end], "cut.toml")
    except FileError as error:
        assert "cut.toml" in str(error)


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("format = ", id="value-missing"),
        pytest.param("x = " + "[" * 100_000, id="deep-list"),
        pytest.param("a." * 20_000 + "b = 1", id="deep-key"),
        pytest.param("format = " + "1" * 10_000, id="long-number"),
        pytest.param("\x00", id="control-sign"),
        pytest.param("# " + "x" * 3_000_000, id="too-long"),
    ],
)
def test_broken_toml_is_refused_in_one_sentence(text):
    with pytest.raises(FileError) as caught:
        read_scenario(text, "broken.toml")
    assert len(str(caught.value)) < 400
    assert "broken.toml" in str(caught.value)


def test_hostile_texts_are_kept_as_texts_and_shortened_in_messages():
    hostile = "<script>alert(1)</script>'; DROP TABLE lessons;--\\u202e" + "A" * 100
    scenario = read_scenario(SMALL.replace("Two strings", hostile))
    assert scenario.title.startswith("<script>alert(1)</script>")
    with pytest.raises(FileError) as caught:
        read_scenario(SMALL.replace("irradiance_W_m2", '"' + "<b>" * 500 + '"'))
    assert len(str(caught.value)) < 600


def test_an_absurd_array_is_refused_before_it_is_built():
    text = SMALL.replace("count = 2", "count = 500").replace("count = 3", "count = 200")
    tracemalloc.start()
    try:
        with pytest.raises(FileError, match="at most 500 strings and 5,000 modules"):
            read_scenario(text)
        assert tracemalloc.get_traced_memory()[1] < 5_000_000  # 100,000 modules would take more
    finally:
        tracemalloc.stop()


def test_an_absurd_module_type_is_refused_before_it_is_built():
    own = """
[[module_types]]
name = "huge"
title = "Huge"
rows = 100000
columns = 100000
cell_width_m = 0.1
cell_height_m = 0.1
[module_types.cell]
photocurrent_A = 9
saturation_current_A = 1e-9
ideality = 1.0
series_resistance_ohm = 0.005
shunt_resistance_ohm = 10
[[module_types.substrings]]
chains = [[1]]
"""
    with pytest.raises(FileError, match=r"module_types\[1\].rows"):
        read_scenario(SMALL + own)
    small = own.replace("100000", "2")
    with pytest.raises(FileError, match="wires positions never 2, 3, 4"):
        read_scenario(SMALL + small)
    with pytest.raises(FileError, match="twice 1; never 4"):
        read_scenario(SMALL + small.replace("[[1]]", "[[1, 2, 3, 1]]"))
    assert read_scenario(SMALL + small.replace("[[1]]", "[[1, 2], [3, 4]]")).module_types[0].rows == 2


def test_a_text_no_file_can_hold_is_refused_when_written():
    scenario = Scenario(title="half \ud800", array=Array(strings=(String(modules=(Module("full-60"),)),)))
    with pytest.raises(FileError, match="half a character"):
        write_scenario(scenario)


def test_a_file_names_the_version_and_the_limits_of_the_model():
    head = write_scenario(read_scenario(SMALL)).split("format = ")[0]
    assert f"written by pvsim {pvsim.__version__}" in head
    assert all(f"# {limit}" in head for limit in MODEL_LIMITS)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        pytest.param("irradiance_W_m2 = 1000,5", "with a point: 1000.5", id="decimal-comma"),
        pytest.param('irradiance_W_m2 = "1000,5"', "without quotes: irradiance_W_m2 = 1000.5", id="quoted"),
        pytest.param("irradiance_W_m2 = 1 000", "Write its digits without spaces", id="space"),
        pytest.param("irradiance_W_m2 = 1000 W/m2", "has a unit.*Write the number alone", id="unit"),
        pytest.param("irradiance_W_m2 = full", 'no quotes.*between quotes: "full"', id="no-quotes"),
        pytest.param("irradiance_W_m2 = True", "true or false in small letters", id="capitals"),
        pytest.param(
            "irradiance_W_m2 = 1.0\nirradiance_W_m2 = 2.0",
            "irradiance_W_m2 stands there a second time; expected each key .* once. Take one of the two out",
            id="twice",
        ),
        pytest.param(
            "irradiance_W_m2 = 1.0\n[light]", r"\[light\] stands there a second time", id="table-twice"
        ),
        pytest.param("irradiance_W_m2 = nan", "not nan or inf. Write one such as", id="nan"),
        pytest.param("irradiance_W_m2 = true", "is true; expected a number", id="truth"),
        pytest.param("irradiance_W_m2 = 2026-01-01", "is 2026-01-01; expected a number", id="date"),
        pytest.param("irradiance_W_m2 = 9e3", "irradiance_W_m2 is 9000.0; .* is in W/m2", id="range"),
    ],
)
def test_the_mend_fits_what_was_wrong(line: str, says: str) -> None:
    text = write_scenario(set_light(workshop_roof(), irradiance_W_m2=777.0))
    text = text.replace("irradiance_W_m2 = 777.0", line, 1)
    with pytest.raises(FileError, match=says):
        read_scenario(text, "shed.toml")


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        pytest.param(
            'wiring = "strings"',
            "wiring = true",
            'array.wiring is true; expected one of strings, cross-tied. Write it like wiring = "strings"',
            id="word",
        ),
        pytest.param(
            'kind = "mpp"',
            'kind = "voltage"\nvoltage_V = 1e99',
            "operation.voltage_V: voltage of the operation is 1e\\+99 V; expected a number from -100000 to "
            "100000 V. Check the number and that it is in V",
            id="voltage",
        ),
        pytest.param(
            'kind = "mpp"', 'kind = "mpp"\nvoltage_V = 30.0', "expected only kind. Take it out", id="mpp"
        ),
        pytest.param('tracking = "one"', 'traking = "one"', "Did you mean 'tracking'\\?$", id="near"),
    ],
)
def test_a_slip_is_named_with_its_line_key_and_way_out(old: str, new: str, says: str) -> None:
    text = write_scenario(workshop_roof()).replace(old, new, 1)
    with pytest.raises(FileError, match=rf"^shed.toml, line \d+, .*{says}"):
        read_scenario(text, "shed.toml")


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('tracking = "one"', 'traking = "one"', r"Did you mean 'tracking'\?"),
        ('wiring = "strings"', "wiring = true", r"array\.wiring is true; expected one of strings, "),
        ('wiring = "strings"', 'wiring = "cross-tid"', r"wiring is 'cross-tid'; .* mean 'cross-tied'\?"),
        ('kind = "mpp"', 'kind = "voltage"', r"'voltage_V' is missing; .* such as voltage_V = "),
        ('kind = "mpp"', 'kind = "voltage"\nvoltage_V = 1e99', r"voltage .* is 1e\+99 V; .* 100000 V"),
        ("format = 1", 'format = "1"', r"Write format = 3\."),
        ("[[array.strings]]", "[array.strings]", r"between two brackets: \[\[array\.strings\]\]"),
        ("modules_per_row = 8", "modules_per_row = 8.0", "expected a whole number. Write it without a point"),
        ("modules_per_row = 8", "modules_per_row = 2020-01-01", "is 2020-01-01; expected a whole number"),
        ("diffuse_fraction = 0.15", "diffuse_fraction = 20", r"Write it as a share: 0\.2 for 20 %"),
        ("fuse = false", "fuse = 0", "expected true or false"),
    ],
)  # fmt: skip
def test_a_slip_is_named_by_its_key_with_what_would_be_right(old: str, new: str, says: str) -> None:
    text = write_scenario(read_demo("workshop"))
    assert old in text
    with pytest.raises(FileError, match=says):
        read_scenario(text.replace(old, new, 1), "shed.toml")


@pytest.mark.parametrize(
    ("fault", "says"),
    [
        ('kind = "crack"\nplace = "1/1/1"', "Did you mean 'cell-cracked'"),
        ('kind = "cell-shunt"\nplace = "1/1/1"\nsize_ohm = 0', r"size_ohm is 0\.0; .* from 0\.0001"),
        ('kind = "cell-cracked"\nplace = "1/1/1"\nother = "1/2"', "has a second place"),
        ('kind = "string-bridge"\nplace = "1/1"', "ends at no place"),
        ('kind = "fuse-blown"\nplace = "1"\nsize = 1.0', "Take it out"),
        ('kind = "cell-cracked"\nplace = "0/1/1"', "there is no string 0"),
    ],
)
def test_a_fault_that_cannot_be_says_how_to_mend_it(fault: str, says: str) -> None:
    text = write_scenario(read_demo("workshop")) + f"\n[[faults]]\n{fault}\n"
    with pytest.raises(FileError, match=says):
        read_scenario(text, "shed.toml")
