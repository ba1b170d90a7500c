"""What is sent to the drawing: exact enough to print, small enough to drag with."""

from __future__ import annotations

import base64
import json
from dataclasses import replace

import numpy as np
import pytest

from pvsim.app.roof.cells_payload import BYPASSED, EATS, MANY_CELLS, SHADED
from pvsim.app.roof.colours import cell_values
from pvsim.app.roof.scene import scene_payload
from pvsim.app.roof.state_payload import light_alone, state_payload
from pvsim.array import (
    Array,
    Fault,
    Module,
    Place,
    Scenario,
    Shadow,
    String,
    add_fault,
    add_shadow,
    paint,
)
from pvsim.array.solve import solve_array

DARK_CELL = Place(1, 2, cell=14)


@pytest.fixture
def scenario() -> Scenario:
    """Two strings of two modules of 60 cells."""
    string = String(modules=(Module("full-60"),) * 2)
    return Scenario(title="A shed", array=Array(strings=(string, string)))


def decode(cells: dict, quantity: str = "values") -> np.ndarray:
    """Values or flags as they come out of the message."""
    raw = base64.b64decode(cells[quantity])
    return np.frombuffer(raw, "<i2") * cells["quantum"] if quantity == "values" else np.frombuffer(raw, "u1")


def shown(
    scenario: Scenario, *, quantity: str = "voltage", level: str = "array", focus: Place | None = None
) -> dict:
    """What is sent of a scenario."""
    found = solve_array(scenario)
    return state_payload(scenario, found, quantity=quantity, level=level, focus=focus or Place())


@pytest.mark.parametrize("quantity", ["irradiance", "voltage", "power", "temperature"])
def test_the_values_sent_are_those_the_solver_found(scenario: Scenario, quantity: str) -> None:
    scenario = paint(scenario, [DARK_CELL], 0.2)
    solution = solve_array(scenario)
    out = state_payload(scenario, solution, quantity=quantity, level="array", focus=Place())
    expected = cell_values(solution, quantity)
    # 16 bits over the whole range: half a step is off by at most 1/64000 of the largest value
    np.testing.assert_allclose(decode(out["cells"]), expected, atol=np.abs(expected).max() / 60_000)


def test_flags_tell_who_eats_who_is_bypassed_and_who_gets_less_light(scenario: Scenario) -> None:
    scenario = paint(scenario, [DARK_CELL], 0.2)
    solution = solve_array(scenario)
    flags = decode(shown(scenario)["cells"], "flags")
    dark = solution.cell_index(DARK_CELL)
    assert flags[dark] == EATS | BYPASSED | SHADED
    assert np.flatnonzero(flags & EATS).tolist() == [dark]
    assert np.flatnonzero(flags & SHADED).tolist() == [dark]
    first = solution.cell_index(Place(1, 2, cell=1))
    assert np.flatnonzero(flags & BYPASSED).tolist() == list(range(first, first + 20))


def test_a_string_that_faces_another_way_is_not_called_shaded(scenario: Scenario) -> None:
    strings = (scenario.array.strings[0], replace(scenario.array.strings[1], irradiance_factor=0.5))
    other = replace(scenario, array=replace(scenario.array, strings=strings))
    assert not (decode(shown(other)["cells"], "flags") & SHADED).any()


def test_a_conducting_diode_is_named_by_its_substring_with_its_current(scenario: Scenario) -> None:
    out = shown(paint(scenario, [DARK_CELL], 0.0))
    assert out["diodes"]["on"] == [3]  # module 1 has substrings 0 to 2, module 2 begins at 3
    assert out["diodes"]["current"][0] > 5.0


def test_modules_without_diodes_leave_the_count_of_substrings_alone() -> None:
    string = String(modules=(Module("bare-60"), Module("full-60")))
    scenario = paint(Scenario(title="A shed", array=Array(strings=(string,))), [DARK_CELL], 0.0)
    assert shown(scenario)["diodes"]["on"] == [3]


def test_only_a_near_view_carries_the_currents_of_a_module(scenario: Scenario) -> None:
    assert "detail" not in shown(scenario, level="array", focus=DARK_CELL)
    detail = shown(scenario, level="module", focus=DARK_CELL)["detail"]
    assert detail["module"] == 1
    assert detail["current"] == pytest.approx(solve_array(scenario).cells.current_A[60:120], abs=1e-5)


def test_faults_are_told_by_the_part_they_sit_in(scenario: Scenario) -> None:
    for fault in (
        Fault("cell-open", DARK_CELL),
        Fault("diode-open", Place(2, 1, diode=3)),
        Fault("connector-resistive", Place(2, 2)),
        Fault("cable-open", Place(1)),
        Fault("earth-fault", Place(1, 1)),
    ):
        scenario = add_fault(scenario, fault)
    faults = shown(scenario)["faults"]
    assert faults["cell"][0][:2] == [60 + 13, "cell-open"]
    assert faults["diode"][0][:2] == [6 + 2, "diode-open"]
    assert faults["module"][0][:2] == [3, "connector-resistive"]
    assert faults["string"][0][:2] == [0, "cable-open"]
    assert faults["other"][0][:2] == ["1/1", "earth-fault"]


def test_a_place_that_a_fault_has_left_out_is_told_in_words_only(scenario: Scenario) -> None:
    scenario = add_fault(scenario, Fault("cell-open", DARK_CELL))
    scenario = add_fault(scenario, Fault("modules-too-few", Place(1), 1.0))
    faults = shown(scenario)["faults"]
    assert faults["cell"] == []
    assert ["1/2/14", "cell-open", None] in faults["other"]
    assert len(scene_payload(scenario)["modules"]) == 3


def test_paint_is_told_layer_by_layer(scenario: Scenario) -> None:
    scenario = paint(scenario, [DARK_CELL, Place(2, 1, cell=1)], 0.5)
    scenario = paint(scenario, [Place(2, 2)], 0.8)
    assert sorted(shown(scenario)["painted"]) == [[73, 1, 0.5], [120, 1, 0.5], [180, 60, 0.8]]


def test_shadows_carry_the_fields_the_handles_change(scenario: Scenario) -> None:
    shadow = Shadow(kind="leaf", x_m=1.0, y_m=0.5, width_m=0.2, height_m=0.1, angle_deg=30)
    (leaf,) = shown(add_shadow(scenario, shadow))["shadows"]
    assert leaf == {
        "kind": "leaf",
        "x": 1.0,
        "y": 0.5,
        "width": 0.2,
        "height": 0.1,
        "angle": 30,
        "through": 0.0,
        "name": "",
    }


def test_a_large_array_sends_the_cells_of_near_modules_only() -> None:
    string = String(modules=(Module("half-144"),) * 10)
    scenario = Scenario(title="A barn", array=Array(strings=(string,) * 3))
    assert 30 * 144 > MANY_CELLS
    assert not scene_payload(scenario)["whole"]
    far = shown(scenario, level="array", focus=Place(2, 4))
    assert far["cells"]["ranges"] == []
    assert len(far["modules"]["value"]) == 30
    near = shown(scenario, level="module", focus=Place(2, 4))
    assert near["cells"]["ranges"] == [[1440, 1440]]
    assert len(decode(near["cells"])) == 1440


def test_one_update_of_960_cells_is_small_enough_to_drag_with() -> None:
    string = String(modules=(Module("full-60"),) * 8)
    scenario = paint(Scenario(title="A shed", array=Array(strings=(string, string))), [DARK_CELL], 0.2)
    size = len(json.dumps(shown(scenario, level="module", focus=DARK_CELL)))
    assert size < 12_000  # bytes; 60 of them a second are 0.7 MB/s


def test_what_is_kept_back_leaves_no_figure_of_the_solver(scenario: Scenario) -> None:
    scenario = paint(scenario, [DARK_CELL], 0.2)
    out = shown(scenario, quantity="irradiance", level="module", focus=DARK_CELL)
    kept = out | light_alone(out)
    assert kept["detail"] is None
    modules = [kept["modules"][name] for name in ("power", "voltage")]
    figures = [*kept["strings"].values(), *modules, *kept["trackers"]]
    assert all(value is None for values in figures for value in values)
    assert decode(kept["cells"]).tolist() == decode(out["cells"]).tolist(), "light is no answer"
