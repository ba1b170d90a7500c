"""A study: its parts fit each other and the scenario, or the message says which does not."""

from __future__ import annotations

import pickle

import pytest

from pvsim.array import Place, parse_place
from pvsim.errors import PvsimError
from pvsim.study import Axis, Column, Every, Study
from tests.array.samples import scenario
from tests.study.samples import CELLS, LOST, SHADE, SMALL, place_axis, study


def test_a_study_is_a_value_that_can_be_sent():
    one = study()
    assert pickle.loads(pickle.dumps(one)) == one
    assert hash(one) == hash(study())
    assert one != study(CELLS)


@pytest.mark.parametrize(
    ("axes", "columns", "says"),
    [
        pytest.param((SHADE,), (LOST,), "Write an axis with vary = 'place' before it", id="at-nothing"),
        pytest.param((SHADE, CELLS), (LOST,), "an axis before it", id="at-later"),
        pytest.param((CELLS, CELLS), (LOST,), "name 'cell' is taken", id="axis-twice"),
        pytest.param((CELLS,), (LOST, LOST), "column 'lost_W' is taken", id="column-twice"),
        pytest.param((CELLS,), (Column("problem", "now[array].mpps"),), "is taken", id="problem"),
        pytest.param((place_axis("1/1", name="hottest"),), (LOST,), "'hottest' is taken", id="hottest"),
        pytest.param((place_axis("1/9"),), (LOST,), "values of the axis 'part'", id="no-place"),
        pytest.param((place_axis("1/1/37"),), (LOST,), "a cell from 1 to 36", id="no-cell"),
        pytest.param(
            (Axis(vary="transmission", at=Place(2), values=(0.5,)),), (LOST,), "at of the axis", id="at"
        ),
        pytest.param(
            (Axis(name="a", vary="place", values=Every("cell", Place(3))),), (LOST,), "string 3", id="within"
        ),
        pytest.param(
            (Axis(vary="fault", at=Place(1), other=Place(4, 1), values=("string-bridge",)),),
            (LOST,),
            "other of the axis",
            id="other",
        ),
        pytest.param(
            (Axis(vary="module_type", values=("full-37",)),), (LOST,), "or 'full-36'", id="module-type"
        ),
        pytest.param((CELLS,), (Column("x_W", "now[1/3].power_W"),), "module 3 does not exist", id="column"),
        pytest.param((CELLS,), (Column("x_W", "now[sell].power_W"),), "Did you mean 'cell'", id="name"),
        pytest.param(
            (CELLS, Axis(vary="transmission", at="cell", values=(0.5,), setup=True)),
            (LOST,),
            "setup = true there too",
            id="setup",
        ),
        pytest.param((), (), "from 1 to 60", id="no-columns"),
    ],
)
def test_parts_that_do_not_fit_are_refused(axes, columns, says):
    with pytest.raises(PvsimError) as caught:
        study(*axes, columns=columns)
    assert says in str(caught.value)


def test_a_study_needs_an_axis_and_a_scenario():
    with pytest.raises(PvsimError, match="from 1 to 8"):
        Study(title="none", base=SMALL, axes=(), columns=(LOST,))
    with pytest.raises(PvsimError, match="Read one with read_scenario"):
        Study(title="none", base="workshop", axes=(CELLS,), columns=(LOST,))


def test_a_place_needs_to_be_in_one_of_the_module_types_only():
    types = Axis(vary="module_type", values=("full-36", "full-72"))
    study(types, place_axis("1/1/70"))
    with pytest.raises(PvsimError, match="a cell from 1 to 72"):
        study(types, place_axis("1/1/73"))


def test_places_of_several_levels_on_one_axis_all_have_to_suit_the_columns():
    parts = place_axis("1/1/3", "1/1", "array")
    study(parts, columns=(Column("x_W", "now[part].power_W"),))
    with pytest.raises(PvsimError, match="cannot be asked of the module"):
        study(parts, columns=(Column("x_W_m2", "now[part].irradiance_W_m2"),))
    assert parse_place("array") in parts.values
    assert scenario(2, type="full-36") == SMALL
