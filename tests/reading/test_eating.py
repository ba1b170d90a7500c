"""From when on a cell eats power."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from pvsim.array import Place, paint, solve_array
from pvsim.files.demo import read_demo
from pvsim.reading import EATING_W, eating_cells

CELL = Place(1, 1, cell=14)


def test_it_eats_from_the_threshold_on_and_idles_up_to_it() -> None:
    sound = solve_array(read_demo("single-module"))
    power = sound.cells.power_W.copy()
    power[:4] = -1.001 * EATING_W, -EATING_W, -0.999 * EATING_W, 0.0
    solution = replace(sound, cells=replace(sound.cells, power_W=power))
    assert np.flatnonzero(eating_cells(solution)).tolist() == [0]


def test_in_even_light_none_eats_and_a_shaded_cell_whose_diode_conducts_does() -> None:
    scenario = read_demo("single-module")
    assert not eating_cells(solve_array(scenario)).any()
    shaded = solve_array(paint(scenario, [CELL], 0.2))
    assert np.flatnonzero(eating_cells(shaded)).tolist() == [shaded.cell_index(CELL)]
