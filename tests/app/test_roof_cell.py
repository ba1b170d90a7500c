"""The cell as a circuit: what the branches carry adds up to what the solver found."""

from __future__ import annotations

import pytest

from pvsim.app.views.roof_cell import cell_circuit
from pvsim.app.views.roof_read import reading
from pvsim.array import Array, Fault, Module, Place, Scenario, String, add_fault, paint, set_weather
from pvsim.array.solve import solve_array

CELL = Place(1, 2, cell=14)
BRANCHES = ("diode", "second_diode", "shunt", "breakdown", "added_shunt")


@pytest.fixture
def scenario() -> Scenario:
    """One string of two modules of 60 cells."""
    return Scenario(title="A shed", array=Array(strings=(String(modules=(Module("full-60"),) * 2),)))


def balance(found: dict) -> float:
    """By how much the branches miss the cell's current, in A."""
    return found["source"] - sum(found[name] or 0.0 for name in BRANCHES) - found["current"]


@pytest.mark.parametrize(
    ("transmission", "fault"),
    [
        pytest.param(1.0, None, id="sound"),
        pytest.param(0.2, None, id="shaded-in-reverse"),
        pytest.param(0.0, None, id="dark"),
        pytest.param(1.0, Fault("cell-shunt", CELL, 0.5), id="shunted"),
        pytest.param(1.0, Fault("cell-cracked", CELL, 0.4), id="cracked"),
        pytest.param(0.6, Fault("cell-resistive", CELL, 0.05), id="resistive"),
    ],
)
def test_the_branches_add_up_to_the_cells_current(
    scenario: Scenario, transmission: float, fault: Fault | None
) -> None:
    scenario = paint(scenario, [CELL], transmission)
    if fault is not None:
        scenario = add_fault(scenario, fault)
    found = cell_circuit(solve_array(scenario), CELL)
    assert balance(found) == pytest.approx(0.0, abs=1e-6)  # the law is met to 1e-9 of 10 A
    drop = found["current"] * (found["series"] + found["added_series"])
    assert found["voltage"] == pytest.approx(found["junction"] - drop, abs=1e-9)
    assert found["power"] == pytest.approx(found["voltage"] * found["current"], abs=1e-9)


def test_a_cell_in_deep_reverse_shows_its_breakdown(scenario: Scenario) -> None:
    found = cell_circuit(solve_array(paint(scenario, [CELL], 0.2)), CELL)
    assert found["breakdown"] < -0.05
    assert found["junction"] < -5.0
    assert "eats" in found["summary"]


def test_a_sound_cell_has_no_branch_it_does_not_need(scenario: Scenario) -> None:
    found = cell_circuit(solve_array(scenario), CELL)
    assert found["breakdown"] is None
    assert found["second_diode"] is None
    assert found["added_shunt_ohm"] is None
    assert "gives" in found["summary"]


@pytest.mark.parametrize("kind", ["cell-open", "cell-short"])
def test_an_open_or_short_cell_has_no_junction_left_to_show(scenario: Scenario, kind: str) -> None:
    found = cell_circuit(solve_array(add_fault(scenario, Fault(kind, CELL))), CELL)
    assert found["condition"] == kind.removeprefix("cell-")
    assert found["source"] == found["diode"] == 0.0


def test_the_reading_says_what_each_level_does(scenario: Scenario) -> None:
    solution = solve_array(paint(scenario, [CELL], 0.0))
    assert reading(solution, CELL).startswith("Cell 1/2/14 · 0\u00a0W/m² · −")
    assert "conducts" in reading(solution, Place(1, 2, diode=1))
    assert "blocks" in reading(solution, Place(1, 2, diode=2))
    assert reading(solution, Place(1, 2)).endswith("1 diode conducts · 1 cell eats power")
    assert reading(solution, Place(1)).startswith("String 1 · ")
    assert reading(solution, Place()).startswith("Array · ")
    assert "V" in reading(solution, Place(1, 2, substring=3))


def test_an_open_diode_reads_open_and_not_blocking(scenario: Scenario) -> None:
    place = Place(1, 2, diode=1)
    broken = add_fault(paint(scenario, [CELL], 0.0), Fault("diode-open", place))
    said = reading(solve_array(broken), place)
    assert "open" in said
    assert "blocks" not in said
    assert "conducts" not in said
    bridged = solve_array(add_fault(scenario, Fault("diode-short", place)))
    assert "short-circuited" in reading(bridged, place)


def test_the_reading_of_a_cell_tells_the_temperature_solved_with_from_the_one_it_would_reach(
    scenario: Scenario,
) -> None:
    assert "25.0\u00a0°C given, settles at" in reading(solve_array(scenario), CELL)
    steady = set_weather(scenario, heat="feedback")
    assert "settle" not in reading(solve_array(steady), CELL)


def test_the_reading_of_a_module_left_out_says_so(scenario: Scenario) -> None:
    short = add_fault(scenario, Fault("modules-too-few", Place(1), 1.0))
    assert reading(solve_array(short), CELL) == "Cell 1/2/14 is not built"
