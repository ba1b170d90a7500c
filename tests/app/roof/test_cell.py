"""The cell as a circuit: what the branches carry adds up to what the solver found."""

from __future__ import annotations

import re
from base64 import b64decode
from dataclasses import replace
from math import ceil, floor

import numpy as np
import pytest

from pvsim.app.roof.cell import cell_circuit
from pvsim.app.roof.cells_payload import EATS
from pvsim.app.roof.read_out import reading
from pvsim.app.roof.state_payload import state_payload
from pvsim.array import Array, Fault, Module, Place, Scenario, String, add_fault, paint, set_weather
from pvsim.array.heat import HOT_K
from pvsim.array.solve import solve_array
from pvsim.course.number.quantities import find_quantity
from pvsim.course.number.solved_scenario import Situation
from pvsim.files.demo import read_demo
from pvsim.files.figure.roof import draw_roof
from pvsim.reading import EATING_W, eating_cells
from pvsim.shipped import shipped

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


def test_how_hot_a_cell_gets_is_told_as_a_range(scenario: Scenario) -> None:
    bare = Scenario(title="A shed", array=Array(strings=(String(modules=(Module("bare-60"),) * 2),)))
    solution = solve_array(paint(bare, [CELL], 0.5))
    at = solution.cell_index(CELL)
    assert solution.cells.steady_temperature_K[at] > HOT_K
    ends = [float(end[at]) - 273.15 for end in (solution.cells.steady_least_K, solution.cells.steady_most_K)]
    told = f"{5 * floor(ends[0] / 5)} to {5 * ceil(ends[1] / 5)}\u202f°C"
    assert reading(solution, CELL).endswith(f"25.0\u00a0°C given, settles at {told}")
    settled = solve_array(set_weather(solution.scenario, heat="feedback"))
    assert re.search(r" · \d+ to \d+\u202f°C$", reading(settled, CELL))  # solved with it: nothing is given
    assert " to " not in reading(solution, Place(1, 2, cell=15))


def test_the_drawing_and_the_model_agree_from_where_on_a_cell_is_hot() -> None:
    script = (shipped("static") / "roof" / "detail.js").read_text(encoding="utf-8")
    hot = re.search(r"^const HOT_C = (\d+)", script, re.MULTILINE)
    assert hot is not None
    assert float(hot[1]) == pytest.approx(HOT_K - 273.15)


def test_a_cell_eats_power_from_one_threshold_on_wherever_it_is_told(scenario: Scenario) -> None:
    sound = solve_array(scenario)
    power = sound.cells.power_W.copy()
    first = sound.cell_index(Place(1, 2, cell=14))
    power[first], power[first + 1] = -1.5 * EATING_W, -0.5 * EATING_W  # one eats, one idles
    solution = replace(sound, cells=replace(sound.cells, power_W=power))
    assert np.flatnonzero(eating_cells(solution)).tolist() == [first]
    situation = Situation(scenario, solution)
    assert find_quantity("eating", "array").read(situation, Place()) == 1.0
    assert reading(solution, Place(1, 2)).endswith("1 cell eats power")
    assert "1 hatched cell eats" in draw_roof(scenario, solution).description
    drawn = state_payload(scenario, solution, quantity="power", level="module", focus=Place(1, 2))
    flags = np.frombuffer(b64decode(drawn["cells"]["flags"]), dtype=np.uint8)
    assert int((flags & EATS > 0).sum()) == 1
    assert drawn["modules"]["eats"] == [1]
    assert [cell_circuit(solution, Place(1, 2, cell=cell))["does"] for cell in (13, 14, 15)] == [
        "gives", "eats", "idles",
    ]  # fmt: skip


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


def test_beside_no_current_stands_no_power() -> None:
    """A blocking bypass diode leaks some 1e-4 A: that is written 0 A, and its milliwatt 0 W."""
    diode = Place(1, 2, diode=1)
    solution = solve_array(read_demo("workshop"))
    leak_W = float(solution.diodes.power_W[solution.diode_index(diode)])
    assert 5e-4 < abs(leak_W) < 5e-3
    assert reading(solution, diode).endswith("V · 0\u00a0A · 0\u00a0W")
