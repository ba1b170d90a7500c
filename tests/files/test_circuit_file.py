"""Bare circuits: the documented layout is understood, and everything else refused in its place."""

from __future__ import annotations

import json
import re
import tomllib
import tracemalloc

import pytest

from pvsim.circuit import Cell, CellType, Diode, Parallel, Resistor, Series, Turned, leaves
from pvsim.errors import FileError
from pvsim.files import circuit_file
from pvsim.files.circuit_file import MAX_LEAVES, read_circuit

EXAMPLE = re.search(r"    format = 1\n.*?(?=\nA part is)", circuit_file.__doc__, re.DOTALL)[0]
EXAMPLE = "\n".join(line[4:] for line in EXAMPLE.splitlines())

PLAIN = CellType(
    photocurrent_A=9.5,
    saturation_current_A=1e-9,
    ideality=1.0,
    series_resistance_ohm=0.005,
    shunt_resistance_ohm=10.0,
)


def test_the_example_in_the_documentation_is_the_circuit_it_describes():
    found = read_circuit(EXAMPLE)
    cells = (Cell(type=PLAIN),) * 19 + (Cell(type=PLAIN, irradiance_W_m2=200.0),)
    assert found.circuit == Parallel((Series(cells), Diode(saturation_current_A=1e-5)))
    assert found.title == "A substring with one shaded cell and its bypass diode"


def test_json_with_the_same_keys_is_the_same_circuit():
    assert read_circuit(json.dumps(tomllib.loads(EXAMPLE))) == read_circuit(EXAMPLE)


def test_every_kind_of_part_is_understood():
    text = """
format = 1
[cell_types.a]
photocurrent_A = 9.5
saturation_current_A = 1e-9
ideality = 1
series_resistance_ohm = 0.005
shunt_resistance_ohm = 10.0
shunt_follows_irradiance = true
[diode_types.b]
saturation_current_A = 1e-5
[circuit]
series = [
  { turned = { parallel = [{ cell = "a", temperature_K = 320.0, condition = "short" }, { diode = "b" }] } },
  { resistor_ohm = 0.1, count = 2 },
  { diode = "b", condition = "resistive", contact_resistance_ohm = 0.5 },
]
"""
    circuit = read_circuit(text).circuit
    turned, first, second, diode = circuit.children
    assert isinstance(turned, Turned)
    assert turned.child.children[0].temperature_K == 320.0
    assert turned.child.children[0].condition == "short"
    assert turned.child.children[0].type.shunt_follows_irradiance is True
    assert first == second == Resistor(resistance_ohm=0.1)
    assert diode == Diode(saturation_current_A=1e-5, condition="resistive", contact_resistance_ohm=0.5)
    assert len(leaves(circuit)) == 5


@pytest.mark.parametrize(
    ("old", "new", "line", "says"),
    [
        pytest.param("irradiance_W_m2", "irradiance_kW_m2", 15, "1 kW/m2 is 1000 W/m2", id="unit"),
        pytest.param(
            "irradiance_W_m2 = 200.0", "temperature_C = 25", 15, "degrees C plus 273.15", id="celsius"
        ),
        pytest.param("ideality = 1.0", "ideality = -1.0", 7, "a number from 0.5 to 200", id="range"),
        pytest.param("ideality = 1.0\n", "", 4, "'ideality' is missing", id="missing"),
        pytest.param("count = 19", "count = 0", 15, "from 1 to 100,000", id="count"),
        pytest.param('{ diode = "bypass" }', '{ diode = "bypas" }', 18, "Did you mean 'bypass'", id="name"),
        pytest.param('{ diode = "bypass" }', "{}", 18, "no part", id="nothing"),
        pytest.param(
            '{ diode = "bypass" }', '{ diode = "bypass", cell = "plain" }', 18, "cell and diode", id="two"
        ),
        pytest.param('{ diode = "bypass" }', "3", 18, "a table of keys", id="number"),
        pytest.param("parallel = [", "count = 2\nparallel = [", 18, "'count' is not known", id="count-alone"),
        pytest.param('{ part = "cells" }', '{ part = "later" }', 18, "one of cells", id="unknown-part"),
    ],
)
def test_a_wrong_line_is_refused_with_its_number_and_how_to_mend_it(old, new, line, says):
    assert old in EXAMPLE
    with pytest.raises(FileError) as caught:
        read_circuit(EXAMPLE.replace(old, new, 1), "c.toml")
    assert f"c.toml, line {line}" in str(caught.value)
    assert says in str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("format = 1", id="no-circuit"),
        pytest.param("format = 1\ncircuit = 3", id="circuit-is-a-number"),
        pytest.param("format = 1\n[circuit]\nseries = []", id="empty-series"),
        pytest.param('{"format": 1, "circuit": {"resistor_ohm": NaN}}', id="nan"),
        pytest.param('{"format": 1, "circuit": {"resistor_ohm": 1e999}}', id="infinity"),
        pytest.param('{"format": 1, "format": 1, "circuit": {"resistor_ohm": 1}}', id="key-twice"),
        pytest.param('{"format": 1, "circuit": {"resistor_ohm": ' + "1" * 5000 + "}}", id="long-number"),
        pytest.param('{"format": 1, "circuit": {', id="json-cut-off"),
        pytest.param('{"a":' * 100_000, id="json-deep"),
        pytest.param('{"format":1,"circuit":' + '{"turned":' * 100 + "0" + "}" * 101, id="turned-too-often"),
    ],
)
def test_what_is_no_circuit_is_refused_in_one_sentence(text):
    with pytest.raises(FileError) as caught:
        read_circuit(text, "c.json")
    assert "c.json" in str(caught.value)
    assert len(str(caught.value)) < 500


def test_parts_of_parts_are_counted_before_they_are_made():
    parts = "\n".join(f"[parts.p{k}]\nseries = [{{ part = 'p{k - 1}', count = 10 }}]" for k in range(1, 20))
    text = f"format = 1\n[parts.p0]\nresistor_ohm = 1\n{parts}\n[circuit]\npart = 'p19'"
    tracemalloc.start()
    try:
        with pytest.raises(FileError, match=f"at most {MAX_LEAVES:,}"):
            read_circuit(text)
        assert tracemalloc.get_traced_memory()[1] < 10_000_000  # 10^19 resistors would take more
    finally:
        tracemalloc.stop()


def test_a_chain_of_parts_cannot_hide_its_depth():
    parts = "\n".join(f"[parts.p{k}.turned]\npart = 'p{k - 1}'" for k in range(1, 60))
    text = f"format = 1\n[parts.p0]\nresistor_ohm = 1\n{parts}\n[circuit]\npart = 'p59'"
    with pytest.raises(FileError, match="makes the circuit too large"):
        read_circuit(text)
