"""Cells, diodes and networks refuse what cannot be, each in one clear sentence."""

from __future__ import annotations

from typing import Any

import pytest

from pvsim.circuit import Cell, CellType, Diode, Parallel, Resistor, Series
from pvsim.errors import CircuitError
from tests.circuit.samples import PLAIN

CELL_TYPE = {
    "photocurrent_A": 9.0,
    "saturation_current_A": 1e-10,
    "ideality": 1.1,
    "series_resistance_ohm": 0.005,
    "shunt_resistance_ohm": 20.0,
}


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("photocurrent_A", -1.0),
        ("photocurrent_A", float("inf")),
        ("saturation_current_A", 0.0),
        ("ideality", float("nan")),
        ("series_resistance_ohm", "0.1"),
        ("shunt_resistance_ohm", 0.0),
        ("breakdown_voltage_V", 15.0),
        ("breakdown_exponent", -2.0),
        ("photocurrent_coefficient_per_K", 0.5),
        ("ideality", True),
    ],
)
def test_a_cell_type_that_cannot_be_is_refused_by_field(field: str, value: Any) -> None:
    with pytest.raises(CircuitError, match=f"{field} of the cell type is") as told:
        CellType(**(CELL_TYPE | {field: value}))
    assert told.value.expected
    assert told.value.mend


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("irradiance_W_m2", -1.0),
        ("temperature_K", 25.0),
        ("condition", "dead"),
        ("active_fraction", 0.0),
        ("active_fraction", 1.5),
        ("parallel_resistance_ohm", 0.0),
        ("extra_series_resistance_ohm", -1.0),
    ],
)
def test_a_cell_that_cannot_be_is_refused_by_field(field: str, value: Any) -> None:
    with pytest.raises(CircuitError, match=field):
        Cell(type=PLAIN, **{field: value})


def test_an_unknown_condition_lists_the_known_ones() -> None:
    with pytest.raises(CircuitError, match=r"'shorted'.*Did you mean 'short'"):
        Cell(type=PLAIN, condition="shorted")  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("saturation_current_A", -1.0),
        ("leakage_resistance_ohm", 0.0),
        ("condition", "blown"),
        ("temperature_K", 1e4),
    ],
)
def test_a_diode_that_cannot_be_is_refused_by_field(field: str, value: Any) -> None:
    with pytest.raises(CircuitError, match=field):
        Diode(**({"saturation_current_A": 1e-6} | {field: value}))


@pytest.mark.parametrize("resistance_ohm", [-1.0, float("inf"), 1e13])
def test_a_resistance_that_cannot_be_is_refused(resistance_ohm: float) -> None:
    with pytest.raises(CircuitError, match="resistance_ohm of the resistor"):
        Resistor(resistance_ohm=resistance_ohm)


@pytest.mark.parametrize("kind", [Series, Parallel])
def test_a_network_without_elements_or_with_strange_ones_is_refused(kind: Any) -> None:
    with pytest.raises(CircuitError, match="has no elements"):
        kind(())
    with pytest.raises(CircuitError, match="is not a circuit element"):
        kind((0.5,))


def test_a_list_of_children_is_kept_as_a_tuple() -> None:
    assert Series([Cell(type=PLAIN)]).children == (Cell(type=PLAIN),)  # type: ignore[arg-type]
