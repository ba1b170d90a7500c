"""The closed form of the single-diode equation with the Lambert W function.

Source: A. Jain and A. Kapoor, Sol. Energy Mater. Sol. Cells 81 (2004) 269-277; formula
from memory. It has no breakdown term.
"""

from __future__ import annotations

from math import e, log

import numpy as np
import pytest
from scipy.special import lambertw

from pvsim.circuit import Cell, CellType, operate, solve
from pvsim.circuit.leaf import leaf_of, thermal_voltage
from tests.outside.benchmark import CELL_IMPLICIT, MODULE_IMPLICIT, Fit
from tests.outside.test_module_of_54 import MODULE_2009

PARTS = [
    pytest.param(CELL_IMPLICIT, id="cell-1986"),
    pytest.param(MODULE_IMPLICIT, id="module-1986"),
    pytest.param(MODULE_2009, id="module-2009"),
]
TOLERANCE = 1e-9  # the solver's, in A and, where dV/dI is small, in V


def product_of_log(x: float) -> float:
    """W(exp(x)) without exp(x): Newton's method on w + ln w = x where exp overflows."""
    if x < 500.0:
        return float(lambertw(np.exp(x)).real)
    w = x - log(x)
    for _ in range(20):
        w -= (w + log(w) - x) / (1.0 + 1.0 / w)
    return w


def closed_form_current(cell: Cell, V: float) -> float:
    law, Rs, Iph = leaf_of(cell).junction, leaf_of(cell).resistance_ohm, leaf_of(cell).source_A
    I0, a, Rsh = law.saturation_current_A, law.thermal_V, 1.0 / law.conductance_S
    x = log(Rs * Rsh * I0 / (a * (Rs + Rsh))) + Rsh * (Rs * (Iph + I0) + V) / (a * (Rs + Rsh))
    return (Rsh * (Iph + I0) - V) / (Rs + Rsh) - a / Rs * product_of_log(x)


def closed_form_voltage(cell: Cell, I: float) -> float:
    law, Rs, Iph = leaf_of(cell).junction, leaf_of(cell).resistance_ohm, leaf_of(cell).source_A
    I0, a, Rsh = law.saturation_current_A, law.thermal_V, 1.0 / law.conductance_S
    x = log(I0 * Rsh / a) + Rsh * (Iph + I0 - I) / a
    return (Iph + I0 - I) * Rsh - I * Rs - a * product_of_log(x)


@pytest.mark.parametrize("fit", PARTS)
def test_current_at_a_voltage_is_the_closed_form(fit: Fit) -> None:
    cell = fit.cell()
    voc_V = solve(cell).voc_V
    for V in np.linspace(-voc_V, 1.05 * voc_V, 60):
        assert operate(cell, voltage_V=V).current_A == pytest.approx(
            closed_form_current(cell, V), abs=TOLERANCE
        )


@pytest.mark.parametrize("fit", PARTS)
def test_voltage_at_a_current_is_the_closed_form(fit: Fit) -> None:
    cell = fit.cell()
    isc_A = solve(cell).isc_A
    for I in np.linspace(-0.2 * isc_A, 0.999 * isc_A, 60):
        # 1e-9 A over the shunt's slope is the solver's tolerance in V.
        slack_V = TOLERANCE * (1.0 / leaf_of(cell).junction.conductance_S + 1.0)
        assert operate(cell, current_A=I).voltage_V == pytest.approx(
            closed_form_voltage(cell, I), abs=slack_V
        )


@pytest.mark.parametrize("fit", PARTS)
def test_there_and_back_again_is_where_it_started(fit: Fit) -> None:
    cell = fit.cell()
    for V in np.linspace(0.5, 1.0, 11) * solve(cell).voc_V:
        I = operate(cell, voltage_V=V).current_A
        assert operate(cell, current_A=I).voltage_V == pytest.approx(V, abs=3.0 * TOLERANCE * fit.shunt_ohm)


def test_an_ideal_cell_has_its_maximum_at_the_closed_form() -> None:
    # Rs = 0, Rsh without bound: Vmp = n Vt (W(e (Iph + I0) / I0) - 1), exact.
    ideal = CellType(
        photocurrent_A=8.0,
        saturation_current_A=1e-9,
        ideality=1.2,
        series_resistance_ohm=0.0,
        shunt_resistance_ohm=1e7,
    )
    a = 1.2 * thermal_voltage(298.15)
    vmp_V = a * (float(lambertw(e * (8.0 + 1e-9) / 1e-9).real) - 1.0)
    found = solve(Cell(type=ideal)).mpp
    power_W = vmp_V * (8.0 - 1e-9 * np.expm1(vmp_V / a))
    # The shunt of 1e7 ohm, the greatest a cell may have, takes V^2 / Rsh, to first order.
    assert found.power_W == pytest.approx(power_W - vmp_V**2 / 1e7, rel=1e-10)
    # Power is flat at its maximum: a relative 1e-10 of it is 1e-5 of voltage.
    assert found.voltage_V == pytest.approx(vmp_V, rel=1e-5)
