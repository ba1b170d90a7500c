"""The colours of cells: scales with round ends."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.app.roof.colours import cell_values, scale_of
from pvsim.array.solve import solve_array
from pvsim.errors import ScenarioError
from pvsim.files.demo import read_demo


@pytest.mark.parametrize(
    ("quantity", "values", "low", "high"),
    [
        pytest.param("voltage", [0.55, 0.62], -1.0, 0.8, id="sound-cells"),
        pytest.param("voltage", [-12.9, 0.66], -15.0, 0.8, id="one-in-reverse"),
        pytest.param("power", [-43.0, 4.9], -50.0, 5.0, id="one-that-eats"),
        pytest.param("irradiance", [0.0, 1000.0], 0.0, 1000.0, id="full-sun"),
        pytest.param("irradiance", [0.0, 1120.0], 0.0, 1200.0, id="more-than-full-sun"),
        pytest.param("temperature", [47.0, 51.0], 40.0, 80.0, id="a-warm-day"),
    ],
)
def test_a_scale_has_round_ends_that_hold_all_values(
    quantity: str, values: list[float], low: float, high: float
) -> None:
    scale = scale_of(quantity, np.array(values))
    assert (scale["low"], scale["high"]) == (low, high)
    assert scale["low"] <= min(values)
    assert max(values) <= scale["high"]


def test_only_signed_quantities_have_a_scale_with_a_middle() -> None:
    kinds = {name: scale_of(name, np.array([-1.0, 1.0]))["kind"] for name in ("voltage", "power")}
    assert set(kinds.values()) == {"signed"}
    assert scale_of("temperature", np.array([20.0]))["kind"] == "heat"


def test_an_unknown_quantity_is_refused() -> None:
    with pytest.raises(ScenarioError, match="cannot show 'colour'"):
        cell_values(solve_array(read_demo("workshop")), "colour")
