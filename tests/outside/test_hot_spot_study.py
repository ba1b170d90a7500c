"""The hottest a shaded cell gets, found by a study over its light, against the analytic maximum.

Source: at short circuit a bypassed substring of n cells puts the voltage of the n - 1 lit ones and
the drop of its diode over the shaded cell, so it takes at most (n - 1) Pmp + Vf Imp: Kirchhoff's
laws; J. W. Bishop, Solar Cells 25 (1988) 73-89, has the case, from memory. How exact: the largest
value lies a little above, where (n - 1) V I + Vf I has its own maximum.
"""

from __future__ import annotations

import pytest

from pvsim.array import CATALOGUE, Place, set_operation
from pvsim.circuit import Cell, operate, solve
from pvsim.study import Axis, Column, Study, run_study
from tests.array.samples import scenario


@pytest.mark.parametrize("kind", ["full-60", "full-72", "full-96"])
def test_the_greatest_heat_over_all_light_is_what_the_other_cells_give_at_their_maximum(kind: str) -> None:
    module = CATALOGUE[kind]
    cells = len(module.substrings[0].chains[0])
    study = Study(
        title="Light on one cell of a short-circuited module",
        base=set_operation(scenario(1, type=kind), "voltage", 0.0),
        axes=(Axis(vary="transmission", at=Place(1, 1, cell=1), values=tuple(k / 200 for k in range(201))),),
        columns=(
            Column("eaten_W", "-now[1/1/1].power_W"),
            Column("diode_V", "-now[1/1/d1].voltage_V"),
        ),
    )
    table = run_study(study, workers=1)
    worst = int(table["eaten_W"].argmax())
    mpp = solve(Cell(type=module.cell)).mpp
    # The drop of the diode while it carries what the shaded cell does not.
    drop_V = float(table["diode_V"][worst])
    through_A = operate(Cell(type=module.cell), voltage_V=0.0).current_A - mpp.current_A
    diode = module.substrings[0].diode
    assert diode is not None
    assert drop_V == pytest.approx(-operate(diode, current_A=through_A).voltage_V, rel=0.05)
    analytic_W = (cells - 1) * mpp.power_W + drop_V * mpp.current_A
    assert table["eaten_W"][worst] == pytest.approx(analytic_W, rel=5e-3)
    assert 0 < worst < 200  # neither dark nor in full light
