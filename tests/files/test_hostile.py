"""Whatever stands in a file: it is read, or refused with a FileError, and nothing else happens."""

from __future__ import annotations

import copy

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pvsim.array import Scenario
from pvsim.errors import FileError
from pvsim.files.circuit_file import circuit_of, read_circuit
from pvsim.files.curve_file import read_curve
from pvsim.files.document import document_of
from pvsim.files.scenario_file import read_scenario, scenario_of, write_scenario
from pvsim.files.source import Source, line_of
from tests.files.strategies import scenarios

odd_texts = st.text(max_size=20) | st.sampled_from(
    ["1/1/1", "array", "2/9", "full-60", "mpp", "\u202e", "=cmd()"]
)
odd_numbers = st.one_of(
    st.floats(), st.integers(-(10**400), 10**400), st.sampled_from([0, -1, 1e308, 10**30, 2**63])
)
odd = st.recursive(
    st.none() | st.booleans() | odd_numbers | odd_texts,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(odd_texts, inner, max_size=3),
    max_leaves=8,
)


def places_in(value, path=()):
    """Every place in nested tables and lists, the whole first."""
    yield path
    children = (
        value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    )
    for key, below in children:
        yield from places_in(below, (*path, key))


def changed(value, path, new):
    """A copy with one place changed."""
    if not path:
        return new
    value = copy.deepcopy(value)
    inner = value
    for key in path[:-1]:
        inner = inner[key]
    inner[path[-1]] = new
    return value


@settings(max_examples=150)
@given(scenarios(), st.data(), odd)
def test_any_value_anywhere_in_a_scenario_is_taken_or_refused(scenario, data, new):
    document = document_of(scenario)
    path = data.draw(st.sampled_from(list(places_in(document))[1:]))
    try:
        found = scenario_of(changed(document, path, new), Source(name="x.toml"))
    except FileError as error:
        assert "x.toml" in str(error)
        assert len(str(error)) < 1500
    else:
        assert isinstance(found, Scenario)
        assert read_scenario(write_scenario(found)) == found


@settings(max_examples=120)
@given(scenarios(), st.data(), st.text(max_size=12))
def test_any_text_anywhere_in_a_scenario_file_is_taken_or_refused(scenario, data, new):
    text = write_scenario(scenario)
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, min(len(text), start + 40)))
    try:
        read_scenario(text[:start] + new + text[end:], "x.toml")
    except FileError as error:
        assert "x.toml" in str(error)


PARTS = {
    "format": 1,
    "title": "x",
    "cell_types": {
        "a": {
            "photocurrent_A": 9.5,
            "saturation_current_A": 1e-9,
            "ideality": 1.0,
            "series_resistance_ohm": 0.005,
            "shunt_resistance_ohm": 10.0,
        }
    },
    "diode_types": {"b": {"saturation_current_A": 1e-5}},
    "parts": {"p": {"series": [{"cell": "a", "count": 3}, {"resistor_ohm": 0.1}]}},
    "circuit": {"parallel": [{"part": "p"}, {"diode": "b", "condition": "open"}, {"turned": {"part": "p"}}]},
}


@settings(max_examples=120)
@given(st.sampled_from(list(places_in(PARTS))[1:]), odd)
def test_any_value_anywhere_in_a_circuit_is_taken_or_refused(path, new):
    try:
        circuit_of(changed(PARTS, path, new), Source(name="x.json"))
    except FileError as error:
        assert "x.json" in str(error)


@given(st.text(max_size=200))
def test_any_text_is_a_circuit_or_a_curve_or_refused(text):
    for read in (read_circuit, read_curve):
        try:
            read(text)
        except FileError as error:
            assert str(error)


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(lambda n: "[" + " " * (200 * n), id="spaces"),
        pytest.param(lambda n: "a = 1\n" + ("[" + " ." * 100 + "\n") * n, id="dots"),
        pytest.param(lambda n: "[a" + ".a" * (100 * n) + "]", id="long-header"),
        pytest.param(lambda n: ("[[x]]\n" + '"' * 50 + "\n") * (2 * n), id="quotes"),
    ],
)
def test_looking_for_a_line_grows_no_faster_than_hostile_text(text):
    from time import thread_time  # whatever else the machine does

    def seconds(n):
        times = []
        for _ in range(5):
            start = thread_time()
            line_of(text(n), ("light", "x"))
            times.append(thread_time() - start)
        return min(times)

    # Eight times the text: eight times as long; a search that backtracks takes 64 times or more.
    assert seconds(4000) < 32.0 * max(seconds(500), 1e-4)
