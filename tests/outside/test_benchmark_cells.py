"""The benchmark cell and module of Easwarakhanthan et al. 1986: published errors come back.

Two definitions of the root mean square error are in use. Implicit: the measured current
stands on the right side of the equation too. Solved: the equation is solved for the
current, as a circuit solver does. Calasan, Abdel Aleem and Zobaa (Energy Convers.
Manage. 210 (2020) 112716) found most published values to be computed wrongly, so each
row below says which one it is and where it is from.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from pvsim.circuit import Series, operate, solve
from pvsim.circuit.junctions import Laws
from pvsim.circuit.leaf import leaf_of
from tests.outside.benchmark import (
    CELL_1986,
    CELL_FIT_1986,
    CELL_IMPLICIT,
    CELL_SOLVED,
    CELL_TWO_DIODES,
    MODULE_1986,
    MODULE_IMPLICIT,
    MODULE_SOLVED,
    Fit,
)

USUAL_25 = MODULE_1986[1:]


def implicit_error(fit: Fit, rows: Sequence[tuple[float, float]]) -> float:
    V, I = np.array(rows).T
    leaf = leaf_of(fit.cell())
    f, _ = Laws([leaf.junction]).evaluate((V + I * leaf.resistance_ohm)[None])
    return float(np.sqrt(np.mean((leaf.source_A - f[0] - I) ** 2)))


def solved_error(fit: Fit, rows: Sequence[tuple[float, float]]) -> float:
    cell = fit.cell()
    missed = [operate(cell, voltage_V=V).current_A - I for V, I in rows]
    return float(np.sqrt(np.mean(np.square(missed))))


@pytest.mark.parametrize(
    ("fit", "rows", "published_A", "tolerance_A"),
    [
        # 9.860e-4: Neural Comput. Appl. 36 (2024) 8757, Table 3; last digits recomputed.
        pytest.param(CELL_IMPLICIT, CELL_1986, 9.860218783e-4, 5e-9, id="cell-one-diode"),
        pytest.param(CELL_SOLVED, CELL_1986, 9.89111e-4, 5e-9, id="cell-one-diode-solved-optimum"),
        # 9.82e-4: same paper, Table 6; last digits recomputed. Parameters have six digits.
        pytest.param(CELL_TWO_DIODES, CELL_1986, 9.824859e-4, 5e-9, id="cell-two-diodes"),
        # 2.4251e-3: from memory, many papers; last digits recomputed.
        pytest.param(MODULE_IMPLICIT, USUAL_25, 2.425074886e-3, 5e-9, id="module"),
        pytest.param(MODULE_SOLVED, MODULE_1986, 2.606962e-3, 5e-9, id="module-solved-optimum"),
        # 9.70e-3: same paper, Table 2, of the fit of 1986.
        pytest.param(CELL_FIT_1986, CELL_1986, 9.70e-3, 5e-6, id="cell-fit-of-1986"),
    ],
)
def test_the_implicit_error_is_the_published_one(
    fit: Fit, rows: Sequence[tuple[float, float]], published_A: float, tolerance_A: float
) -> None:
    assert implicit_error(fit, rows) == pytest.approx(published_A, abs=tolerance_A)  # digits printed


@pytest.mark.parametrize(
    ("fit", "rows", "published_A", "tolerance_A"),
    [
        pytest.param(CELL_IMPLICIT, CELL_1986, 7.7539e-4, 1e-8, id="cell-one-diode"),
        # 7.7301e-4: Laudani et al. 2014, from memory; last digits recomputed.
        pytest.param(CELL_SOLVED, CELL_1986, 7.730062690e-4, 1e-9, id="cell-one-diode-solved-optimum"),
        pytest.param(CELL_TWO_DIODES, CELL_1986, 7.575902e-4, 1e-9, id="cell-two-diodes"),
        pytest.param(MODULE_IMPLICIT, USUAL_25, 2.138527e-3, 5e-9, id="module"),
        # 2.0400e-3: from memory; last digits recomputed.
        pytest.param(MODULE_SOLVED, MODULE_1986, 2.039992273e-3, 5e-9, id="module-solved-optimum"),
        pytest.param(CELL_FIT_1986, CELL_1986, 5.85564e-3, 5e-9, id="cell-fit-of-1986"),
    ],
)
def test_the_solved_error_is_the_published_one(
    fit: Fit, rows: Sequence[tuple[float, float]], published_A: float, tolerance_A: float
) -> None:
    assert solved_error(fit, rows) == pytest.approx(published_A, abs=tolerance_A)  # digits printed


def test_no_change_of_a_parameter_lowers_the_error_at_its_optimum() -> None:
    least = solved_error(CELL_SOLVED, CELL_1986)
    for name in ("photocurrent_A", "saturation_current_A", "ideality", "series_ohm", "shunt_ohm"):
        for factor in (0.999, 1.001):
            other = CELL_SOLVED._replace(**{name: getattr(CELL_SOLVED, name) * factor})
            assert solved_error(other, CELL_1986) > least


@pytest.mark.parametrize(
    ("fit", "isc_A", "voc_V", "vmp_V", "imp_A", "pmp_W", "fill_factor"),
    [
        # Recomputed by another program, of the module from parameters with more digits than printed.
        pytest.param(CELL_IMPLICIT, 0.760260, 0.572785, 0.45064, 0.68935, 0.310652, 0.71338, id="cell"),
        pytest.param(
            MODULE_IMPLICIT, 1.029250, 16.778194, 12.6459, 0.912517, 11.539591, 0.66823, id="module"
        ),
    ],
)
def test_the_key_points_are_those_of_the_parameters(
    fit: Fit, isc_A: float, voc_V: float, vmp_V: float, imp_A: float, pmp_W: float, fill_factor: float
) -> None:
    found = solve(fit.cell())
    assert found.isc_A == pytest.approx(isc_A, abs=5e-7)
    assert found.voc_V == pytest.approx(voc_V, abs=1e-6)
    assert found.mpp.voltage_V == pytest.approx(vmp_V, abs=5e-5)
    assert found.mpp.current_A == pytest.approx(imp_A, abs=5e-6)
    assert found.mpp.power_W == pytest.approx(pmp_W, rel=1.6e-6)
    assert found.fill_factor == pytest.approx(fill_factor, abs=5e-6)


def test_thirty_six_equal_cells_have_the_curve_of_the_module() -> None:
    whole, cells = MODULE_IMPLICIT.cell(), Series((MODULE_IMPLICIT.cell(in_series=36),) * 36)
    for voltage_V, _ in MODULE_1986:
        one, many = (operate(part, voltage_V=voltage_V).current_A for part in (whole, cells))
        assert one == pytest.approx(many, abs=1e-9)  # the solver's tolerance
