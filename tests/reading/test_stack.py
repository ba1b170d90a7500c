"""Parts of a construction: what adds up, and by how much."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pvsim.circuit import Cell, Parallel, Series, operate
from pvsim.reading import cell_currents, stack_at, stages
from pvsim.reading.stack import MOST_ROWS
from tests.reading.shaded_substring import GOOD, TYPE, substring

LIGHT = st.floats(min_value=0.0, max_value=1200.0)


@given(st.lists(LIGHT, min_size=2, max_size=12), st.floats(min_value=0.0, max_value=12.0))
def test_voltages_of_parts_in_series_add_up_to_that_of_the_whole(
    lights: list[float], current_A: float
) -> None:
    stage = stages(substring(*lights), "substring")[0]
    sums = stack_at(stage, current_A)
    # The parts and the whole are solved apart; 1e-9 of the currents' scale, over the steepest 1e3 ohm.
    assert sums.rows[-1].end == pytest.approx(sums.total, abs=1e-6)
    assert sum(row.count for row in sums.rows) == len(lights)
    for before, after in zip(sums.rows, sums.rows[1:], strict=False):
        assert after.start == before.end


@given(st.lists(LIGHT, min_size=2, max_size=4), st.floats(min_value=-0.6, max_value=2.5))
def test_currents_of_parts_side_by_side_add_up_to_that_of_the_whole(
    lights: list[float], voltage_V: float
) -> None:
    chains = [Series((Cell(type=TYPE, irradiance_W_m2=light), *[GOOD] * 3)) for light in lights]
    circuit = Parallel(tuple(chains))
    (stage,) = stages(circuit, "array")
    sums = stack_at(stage, voltage_V)
    assert sums.rows[-1].end == pytest.approx(sums.total, rel=1e-8, abs=1e-8)  # stated solver tolerance


@given(LIGHT, st.floats(min_value=-13.0, max_value=0.75))
def test_light_junction_shunt_and_breakdown_make_up_the_current_of_a_cell(
    light: float, voltage_V: float
) -> None:
    cell = Cell(type=TYPE, irradiance_W_m2=light)
    total = operate(cell, voltage_V=voltage_V).current_A
    assert sum(cell_currents(cell, voltage_V)) == pytest.approx(total, rel=1e-7, abs=1e-7)  # solver tolerance


def test_many_different_parts_are_folded_and_still_add_up() -> None:
    lights = [1000.0 - 20.0 * k for k in range(20)]
    stage = stages(substring(*lights), "substring")[0]
    sums = stack_at(stage, 7.0)
    assert len(sums.rows) == MOST_ROWS
    assert sums.rows[-1].each is None
    assert sum(row.count for row in sums.rows) == 20
    assert sums.rows[-1].end == pytest.approx(sums.total, abs=1e-6)  # solver tolerance over a steep cell
    # The cells that do otherwise than most keep rows of their own.
    assert min(row.end - row.start for row in sums.rows[:-1]) < 0.0
