"""Reverse characteristic and hot spots against Bishop's term and the analytic maximum.

Sources: J. W. Bishop, Solar Cells 25 (1988) 73-89, doi 10.1016/0379-6787(88)90059-2; the
parameter sets are recalled with it and serve as input only.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from pvsim.circuit import Cell, CellType, Series, operate, solve
from pvsim.circuit.junctions import Laws
from pvsim.circuit.leaf import leaf_of
from tests.outside.test_module_of_54 import CELLS, MODULE_2009

CELL = MODULE_2009.cell(in_series=CELLS)
CELL_PMP_W = 3.706384  # 200.1447 W over 54 cells
CELL_IMP_A = 7.59591
BYPASS_DROP_V = 0.5
SHUNT_ohm = 1e4


def reverse_cell(fraction: float, voltage_V: float, exponent: float) -> Cell:
    """A dark cell whose junction is all shunt."""
    return Cell(
        type=CellType(
            photocurrent_A=0.0,
            saturation_current_A=1e-30,
            ideality=1.0,
            series_resistance_ohm=0.0,
            shunt_resistance_ohm=SHUNT_ohm,
            breakdown_fraction=fraction,
            breakdown_voltage_V=voltage_V,
            breakdown_exponent=exponent,
        ),
        irradiance_W_m2=0.0,
    )


@pytest.mark.parametrize(
    ("fraction", "exponent", "Vd", "multiplier", "tolerance"),
    [
        # 1 + a (1 - Vd/Vbr)^-m at Vbr = -15 V; exact fractions.
        pytest.param(0.002, 3.0, -5.0, 1.00675, 1e-12, id="exact-5"),
        pytest.param(0.002, 3.0, -7.5, 1.016, 1e-12, id="exact-7.5"),
        pytest.param(0.002, 3.0, -10.0, 1.054, 1e-12, id="exact-10"),
        pytest.param(0.002, 3.0, -12.0, 1.25, 1e-12, id="exact-12"),
        pytest.param(0.002, 3.0, -14.0, 7.75, 1e-12, id="exact-14"),
        # Recomputed by another program to the digits printed.
        pytest.param(0.1, 3.7, -5.0, 1.44826792, 5e-9, id="steep-5"),
        pytest.param(0.1, 3.7, -7.5, 1.0 + 0.1 * 2.0**3.7, 1e-12, id="steep-7.5"),
        pytest.param(0.1, 3.7, -10.0, 6.82570706, 1e-9, id="steep-10"),
        pytest.param(0.1, 3.7, -12.0, 39.56461642, 1e-9, id="steep-12"),
        pytest.param(0.1, 3.7, -14.0, 2247.66157987, 1e-9, id="steep-14"),
        # The term acts forward too.
        pytest.param(0.1, 3.7, 0.5, 1.0 + 0.1 * (1.0 + 0.5 / 15.0) ** -3.7, 1e-12, id="forward"),
    ],
)
def test_the_shunt_current_is_multiplied_as_bishop_has_it(
    fraction: float, exponent: float, Vd: float, multiplier: float, tolerance: float
) -> None:
    leaf = leaf_of(reverse_cell(fraction, -15.0, exponent))
    f, _ = Laws([leaf.junction]).evaluate(np.array([[Vd]]))
    assert f[0, 0] == pytest.approx(Vd / SHUNT_ohm * multiplier, rel=tolerance)


def test_the_reverse_current_grows_without_bound_towards_breakdown() -> None:
    cell = reverse_cell(0.1, -15.0, 3.7)
    currents = [operate(cell, voltage_V=V).current_A for V in (-10.0, -13.0, -14.0, -14.5)]
    assert currents == sorted(currents)
    assert currents[-1] / currents[0] > 1000.0
    assert operate(cell, current_A=60.0).voltage_V > -15.0


@pytest.mark.parametrize(
    ("cells", "drop_V", "greatest_W"),
    [
        # max over I of I ((n - 1) V(I) + Vf), recomputed by another program.
        pytest.param(18, 0.0, 63.008527, id="18-cells-ideal-diode"),
        pytest.param(18, 0.5, 66.8140, id="18-cells"),
        pytest.param(20, 0.5, 74.2260, id="20-cells"),
        pytest.param(27, 0.5, 100.1689, id="27-cells"),
    ],
)
def test_the_greatest_heat_in_one_cell_is_the_analytic_one(
    cells: int, drop_V: float, greatest_W: float
) -> None:
    def heat(I: float) -> float:
        return I * ((cells - 1) * operate(CELL, current_A=I).voltage_V + drop_V)

    best = minimize_scalar(lambda I: -heat(I), bounds=(5.0, 8.2), method="bounded", options={"xatol": 1e-7})
    assert -best.fun == pytest.approx(greatest_W, abs=5e-5)  # digits printed
    # At least what the others give at their maximum, and equal to it without a drop.
    pmp = solve(CELL).mpp
    assert pmp.power_W == pytest.approx(CELL_PMP_W, abs=5e-7)
    assert -best.fun >= (cells - 1) * pmp.power_W + drop_V * pmp.current_A - 1e-9
    assert best.x == pytest.approx(CELL_IMP_A, rel=5e-3)


@pytest.mark.parametrize(
    ("fraction", "lit_share"),
    [
        pytest.param(0.0, 0.79, id="without-breakdown"),
        pytest.param(0.1, 0.44, id="with-breakdown"),
    ],
)
def test_breakdown_moves_the_worst_shade_but_not_the_greatest_heat(fraction: float, lit_share: float) -> None:
    # 18 cells behind a diode that conducts at 0.5 V; recomputed 66.8 W at 79 % and 44 % light.
    type_ = CELL.type
    leaky = CellType(
        photocurrent_A=type_.photocurrent_A,
        saturation_current_A=type_.saturation_current_A,
        ideality=type_.ideality,
        series_resistance_ohm=type_.series_resistance_ohm,
        shunt_resistance_ohm=type_.shunt_resistance_ohm,
        breakdown_fraction=fraction,
        breakdown_voltage_V=-15.0,
        breakdown_exponent=3.7,
    )
    shares = np.linspace(0.0, 1.0, 201)
    heat, current = [], []
    for share in shares:
        shaded = Cell(type=leaky, irradiance_W_m2=1000.0 * share)
        point = operate(Series((shaded, *(Cell(type=leaky),) * 17)), voltage_V=-BYPASS_DROP_V)
        heat.append(-point.leaf_power_W[0])
        current.append(point.current_A)
    worst = int(np.argmax(heat))
    assert heat[worst] == pytest.approx(66.8140, rel=5e-3)  # steps of the scan
    assert current[worst] == pytest.approx(7.6255, rel=5e-3)
    assert shares[worst] == pytest.approx(lit_share, abs=0.0101)


def test_cells_enough_behind_one_diode_reach_the_stated_reverse_voltages() -> None:
    # Physics: (n - 1) V(I) + Vf on one dark cell of n; 0.6 V a cell is common practice, no source.
    for cells, reverse_V in ((20, 11.9), (24, 14.3)):
        assert (cells - 1) * 0.6 + BYPASS_DROP_V == pytest.approx(reverse_V, abs=0.05)
        dark = Cell(type=CELL.type, irradiance_W_m2=0.0)
        point = operate(Series((dark, *(CELL,) * (cells - 1))), voltage_V=-BYPASS_DROP_V)
        assert -reverse_V <= point.leaf_voltage_V[0] <= -0.75 * reverse_V
