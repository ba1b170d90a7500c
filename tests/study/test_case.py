"""Cases: every combination, in order, counted before anything is solved."""

from __future__ import annotations

import pytest

from pvsim.array import Place
from pvsim.errors import StudyError
from pvsim.study import MAX_CASES, Axis, Every
from pvsim.study.case import cases_of
from tests.array.samples import scenario
from tests.study.samples import study


def test_every_combination_is_a_case_and_the_last_axis_changes_fastest():
    light = Axis(vary="irradiance_W_m2", values=(1000.0, 500.0))
    wind = Axis(vary="wind_m_s", values=(1.0, 2.0, 3.0))
    assert cases_of(study(light, wind)) == tuple((g, w) for g in (1000.0, 500.0) for w in (1.0, 2.0, 3.0))


def test_every_cell_is_counted_in_the_array_that_the_axes_before_have_made():
    types = Axis(vary="module_type", values=("full-36", "full-60", "half-120"))
    cells = Axis(name="cell", vary="place", values=Every("cell"))
    found = cases_of(study(types, cells, base=scenario(1)))
    assert [sum(case[0] == kind for case in found) for kind in types.values] == [36, 60, 120]
    assert found[-1] == ("half-120", Place(1, 1, cell=120))


def test_an_array_that_cannot_be_keeps_the_places_of_the_base():
    fuse = Axis(vary="fault", at=Place(1), values=("fuse-blown", "modules-too-few"))
    modules = Axis(name="module", vary="place", values=Every("module"))
    found = cases_of(study(fuse, modules, base=scenario(3)))
    assert [case[0] for case in found] == ["fuse-blown"] * 3 + ["modules-too-few"] * 2


@pytest.mark.parametrize("last", [Every("cell"), (Place(1),)])
def test_too_many_cases_are_refused_before_they_are_made(last):
    steps = tuple(k / 1000 for k in range(1000))
    axes = [Axis(name=name, vary="transmission", at=Place(1), values=steps) for name in ("a", "b")]
    with pytest.raises(StudyError, match=f"1,000,000 cases; expected at most {MAX_CASES:,}"):
        cases_of(study(*axes, Axis(name="c", vary="place", values=last)))
    with pytest.raises(StudyError, match="more than 100,000 cases"):
        cases_of(
            study(axes[0], Axis(name="c", vary="place", values=Every("cell")), base=scenario(2))
        )
