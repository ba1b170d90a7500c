"""Heat with feedback settles in ordinary states, however many cells are hot and the air is still."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array import (
    CATALOGUE,
    Place,
    Scenario,
    cell_count,
    heat_feedback,
    paint,
    set_light,
    set_operation,
    set_weather,
    solve_array,
)
from pvsim.array.heat_feedback import SETTLED_K
from pvsim.circuit.floats import Floats
from tests.array.samples import scenario

NINE = [
    (1, 16, 0.5), (4, 19, 0.7), (6, 23, 0.2), (1, 70, 0.7), (6, 44, 0.5), (5, 22, 0.7), (4, 12, 0.5),
    (2, 29, 0.5), (5, 88, 0.7),
]  # fmt: skip


def cold_and_still() -> Scenario:
    """Six modules of 96 cells, nine of them in partial shade, at -20 degrees C without wind."""
    start = scenario(6, type="full-96")
    for module, cell, transmission in NINE:
        start = paint(start, [Place(1, module, cell=cell)], transmission)
    return set_weather(start, heat="feedback", ambient_temperature_C=-20.0, wind_m_s=0.0)


def off_K(start: Scenario) -> float:
    solution = solve_array(start)
    return float(np.abs(solution.cells.steady_temperature_K - solution.cells.temperature_K).max())


def test_nine_shaded_cells_in_cold_still_air_settle() -> None:
    assert off_K(cold_and_still()) < SETTLED_K


def test_they_settle_too_where_heat_climbs_in_a_straight_line(monkeypatch: pytest.MonkeyPatch) -> None:
    # Two to three times as steep for a hot cell: here a secant leaves what the balance can give.
    def line(weather, G: Floats, p: Floats) -> Floats:
        U = 25.0 + 6.84 * weather.wind_m_s
        rise = (0.9 * G - p) / 0.77 / U
        return np.clip(weather.ambient_temperature_C + 273.15 + rise, 180.0, 550.0)

    monkeypatch.setattr(heat_feedback, "steady_temperature", line)
    solution = solve_array(cold_and_still())
    assert 150.0 < solution.cells.temperature_K.max() <= 550.0


@pytest.mark.parametrize("seed", range(12))
def test_ordinary_states_settle(seed: int) -> None:
    rng = np.random.default_rng(seed)
    name = str(rng.choice(sorted(CATALOGUE)))
    modules = int(rng.choice([1, 4, 8]))
    start = scenario(modules, type=name)
    for _ in range(int(rng.integers(1, 12))):
        place = Place(
            1, int(rng.integers(1, modules + 1)), cell=int(rng.integers(1, cell_count(CATALOGUE[name]) + 1))
        )
        start = paint(start, [place], float(rng.choice([0.0, 0.2, 0.5, 0.7, 0.9])))
    start = set_light(start, irradiance_W_m2=float(rng.choice([200.0, 700.0, 1000.0, 1200.0])))
    start = set_operation(start, *[("mpp",), ("voltage", 0.0), ("load", 5.0)][int(rng.integers(3))])
    weather = {"ambient_temperature_C": float(rng.choice([-20.0, 0.0, 40.0]))}
    assert (
        off_K(set_weather(start, heat="feedback", wind_m_s=float(rng.choice([0.0, 2.0])), **weather))
        < SETTLED_K
    )
