"""The reverse voltage and power of a shaded cell, beside a scan of the whole circuit."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array import Place, paint, set_operation, solve_array
from pvsim.errors import SheetError
from pvsim.sheet import Assumptions, hot_spot_findings, module_from_sheet, sentence, sheet_scenario
from tests.sheet.samples import HALVES, sheet


def test_twenty_cells_of_0_6_V_and_half_a_volt_of_diode_are_11_9_V() -> None:
    # The rule (n - 1) V + Vf: 19 x 0.6 + 0.5 V.
    spot = module_from_sheet(sheet(voc_V=36.0, vmp_V=29.5)).hot_spot
    assert spot.cells == 20
    assert spot.most_V - spot.diode_drop_V == pytest.approx(11.4, rel=1e-12)
    assert 0.3 < spot.diode_drop_V < 0.6  # at 8 to 10 A; common practice, no source
    assert 0.2 < spot.held_drop_V < spot.diode_drop_V


@pytest.mark.parametrize("changes", [{}, HALVES], ids=["whole", "halves"])
def test_the_circuit_gives_a_dark_cell_the_reverse_voltage_that_was_said(changes) -> None:
    made = module_from_sheet(sheet(**changes), Assumptions(shunt="high", reverse="none"))
    scenario = set_operation(sheet_scenario(made), "current", 9.15)
    cell = Place(1, 1, cell=4)
    solution = solve_array(paint(scenario, [cell], 0.0))
    reverse_V = -solution.cells.voltage_V[solution.cell_index(cell)]
    spot = made.hot_spot
    assert spot.at_mpp_V < reverse_V < spot.most_V + 0.1  # the diode drops a little more at other currents


def test_the_most_power_is_what_a_scan_of_the_shading_finds() -> None:
    made = module_from_sheet(sheet(), Assumptions(shunt="usual", reverse="early"))
    cell = Place(1, 1, cell=4)
    worst = 0.0
    for share in np.linspace(0.5, 1.0, 51):
        scenario = set_operation(paint(sheet_scenario(made), [cell], float(share)), "voltage", 0.0)
        solution = solve_array(scenario)
        worst = max(worst, -solution.cells.power_W[solution.cell_index(cell)])
    # At short circuit the other substrings hold the diode on; 0.5 % for the grid of the scan.
    assert worst == pytest.approx(made.hot_spot.power_W, rel=5e-3)


def test_without_a_diode_the_whole_module_stands_against_the_cell() -> None:
    spot = module_from_sheet(sheet(bypass_diodes=0)).hot_spot
    assert spot.cells == 60
    assert spot.diode_drop_V == 0.0
    assert spot.most_V == pytest.approx(59 * 0.66, rel=1e-12)
    assert "no diode" in sentence(hot_spot_findings(spot)[0])


@pytest.mark.parametrize(
    ("breakdown_V", "bearing", "words"),
    [(-20.0, "open", "promises nothing"), (-12.0, "doubt", "deep shade"), (-9.0, "doubt", "breaks down")],
)
def test_words_promise_nothing_and_send_to_the_maker(breakdown_V, bearing, words) -> None:
    made = module_from_sheet(sheet(), Assumptions(reverse="early", breakdown_voltage_V=breakdown_V))
    assert made.hot_spot.at_mpp_V < 12.0 < made.hot_spot.most_V
    _met, finding = hot_spot_findings(made.hot_spot)
    assert finding.bearing == bearing
    assert words in sentence(finding)
    assert "maker" in sentence(finding)
    assert "safe" not in sentence(finding)


def test_a_breakdown_voltage_above_zero_is_refused() -> None:
    with pytest.raises(SheetError, match="breakdown_voltage_V"):
        Assumptions(breakdown_voltage_V=15.0)
