"""Fill factor against Green's empirical formulas and against exact values.

Source: M. A. Green, Solar Cells 7 (1982) 337, doi 10.1016/0379-6787(82)90057-6; stated
accuracies as quoted elsewhere. The plus sign in the shunt formula is from memory; the
copy read has a minus, which misses the exact value by ten times as much. Exact values:
recomputed by another program for cells whose Isc and Voc are those of the whole cell.
"""

from __future__ import annotations

from math import exp, inf, log

import pytest

from pvsim.circuit import Cell, CellType, solve
from pvsim.circuit.leaf import thermal_voltage


def normalised(voc: float, rs: float = 0.0, rsh: float = inf) -> Cell:
    """A cell of 1 A with Voc = voc Vt, Rs = rs Voc / Isc and Rsh = rsh Voc / Isc."""
    Vt = thermal_voltage(298.15)
    Voc = voc * Vt
    Rsh = min(rsh * Voc, 1e7)  # the greatest a cell may have: it takes 1e-7 of the current
    shunted = (Voc - rs * Voc) / Rsh
    I0 = (1.0 - shunted) / (exp(voc) - exp(rs * voc))
    return Cell(
        type=CellType(
            photocurrent_A=I0 * (exp(voc) - 1.0) + Voc / Rsh,
            saturation_current_A=I0,
            ideality=1.0,
            series_resistance_ohm=rs * Voc,
            shunt_resistance_ohm=Rsh,
        )
    )


def formula(voc: float, rs: float = 0.0, rsh: float = inf) -> float:
    ff = (voc - log(voc + 0.72)) / (voc + 1.0)
    ff = ff * (1.0 - 1.1 * rs) + rs**2 / 5.4
    return ff * (1.0 - (voc + 0.7) / voc * ff / rsh)


CASES = [
    # voc, rs, rsh, formula, its accuracy, exact
    pytest.param(10.0, 0.0, inf, 0.693444, 2e-4, 0.693633, id="ideal-10"),
    pytest.param(15.0, 0.0, inf, 0.765317, 1e-4, 0.765268, id="ideal-15"),
    pytest.param(20.0, 0.0, inf, 0.808043, 1e-4, 0.807956, id="ideal-20"),
    pytest.param(25.0, 0.0, inf, 0.836644, 1e-4, 0.836556, id="ideal-25"),
    pytest.param(30.0, 0.0, inf, 0.857261, 1e-4, 0.857181, id="ideal-30"),
    pytest.param(23.35, 0.05, inf, 0.783204, 4e-3, 0.783032, id="series-0.05"),
    pytest.param(25.0, 0.2, inf, 0.659989, 4e-3, 0.658101, id="series-0.2"),
    pytest.param(25.0, 0.4, inf, 0.498150, 4e-3, 0.496551, id="series-0.4"),
    pytest.param(23.35, 0.0, 20.0, 0.792965, 1.5e-3, 0.792518, id="shunt-20"),
    pytest.param(25.0, 0.0, 10.0, 0.76469, 1.5e-3, 0.76397, id="shunt-10"),
    pytest.param(23.35, 0.05, 20.0, 0.751614, 1e-2, 0.752852, id="series-and-shunt"),
]


@pytest.mark.parametrize(("voc", "rs", "rsh", "published", "accuracy", "exact"), CASES)
def test_fill_factor_is_the_exact_one_and_near_the_formula(
    voc: float, rs: float, rsh: float, published: float, accuracy: float, exact: float
) -> None:
    found = solve(normalised(voc, rs, rsh))
    assert found.isc_A == pytest.approx(1.0, abs=1e-9)
    assert found.voc_V == pytest.approx(voc * thermal_voltage(298.15), abs=1e-9)
    assert found.fill_factor == pytest.approx(exact, abs=5e-6 if rsh == 10.0 else 1e-6)  # digits printed
    assert formula(voc, rs, rsh) == pytest.approx(published, abs=5e-6)
    assert found.fill_factor == pytest.approx(published, abs=accuracy)  # the formula's stated accuracy
