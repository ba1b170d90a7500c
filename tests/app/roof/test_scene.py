"""The roof that is sent to the drawing once."""

from __future__ import annotations

import pytest

from pvsim.app.roof.scene import scene_payload
from pvsim.array import Array, Module, Scenario, String


@pytest.fixture
def scenario() -> Scenario:
    """Two strings of two modules of 60 cells."""
    string = String(modules=(Module("full-60"),) * 2)
    return Scenario(title="A shed", array=Array(strings=(string, string)))


def test_the_scene_places_modules_in_millimetres_row_by_row(scenario: Scenario) -> None:
    scene = scene_payload(scenario)
    assert len(scene["shapes"]) == 1
    strings, numbers, lefts, tops, _shapes, rows = zip(*scene["modules"], strict=True)
    assert strings == (1, 1, 2, 2)
    assert numbers == (1, 2, 1, 2)
    assert rows == (0, 0, 1, 1)
    assert lefts[1] - lefts[0] == pytest.approx(scene["shapes"][0]["width"] + 20.0, abs=0.2)  # module_gap_m
    assert tops[2] - tops[0] == pytest.approx(scene["shapes"][0]["height"] + 100.0, abs=0.2)  # row_gap_m
