"""Axes: what goes together, and what is refused with how to mend it."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array import WHOLE_ARRAY, Place, parse_place
from pvsim.errors import PvsimError
from pvsim.study import VARIATIONS, Axis, Every
from pvsim.study.case import cases_of, changed
from tests.array.samples import scenario
from tests.study.samples import study

CELL = parse_place("1/1/5")
SIZE = {"vary": "fault_size", "at": CELL}


def test_a_name_left_out_is_what_varies_with_its_unit():
    assert Axis(vary="irradiance_W_m2", values=(1, 2)).name == "irradiance_W_m2"
    assert Axis(vary="fault_size", fault="cell-shunt", at=CELL, values=(1, 2)).name == "size_ohm"
    assert Axis(vary="fault_size", fault="soiling", at=CELL, values=(0.1,)).name == "size"


def test_values_are_kept_as_floats_in_their_order():
    axis = Axis(vary="irradiance_W_m2", values=[1000, 0, 500])
    assert axis.values == (1000.0, 0.0, 500.0)
    assert all(type(value) is float for value in axis.values)
    assert Axis(vary="irradiance_W_m2", values=np.arange(3)).values == (0.0, 1.0, 2.0)


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        pytest.param({"vary": "irradience_W_m2", "values": (1,)}, "mean 'irradiance_W_m2'", id="vary"),
        pytest.param({"vary": "irradiance_W_m2", "values": (5000,)}, "from 0 to 2000", id="range"),
        pytest.param({"vary": "transmission", "values": (20,), "at": CELL}, "from 0 to 1", id="percent"),
        pytest.param({"vary": "transmission", "values": (0.2,)}, "at of an axis is left out", id="no-place"),
        pytest.param({"vary": "wind_m_s", "values": (1,), "at": CELL}, "no place with", id="place"),
        pytest.param({"vary": "wind_m_s", "values": ()}, "1 to 100,000", id="no-values"),
        pytest.param({"vary": "wind_m_s", "values": (1, 1.0)}, "each value once", id="twice"),
        pytest.param({"vary": "wind_m_s", "values": (float("nan"),)}, "finite numbers", id="nan"),
        pytest.param({"vary": "wind_m_s", "values": ("1",)}, "finite numbers", id="text"),
        pytest.param({"vary": "wind_m_s", "values": (10**400,)}, "finite numbers", id="huge"),
        pytest.param({"vary": "wind_m_s", "values": 3}, "a row of numbers", id="no-row"),
        pytest.param({"vary": "place", "values": "every cell"}, "a row of places", id="words"),
        pytest.param({"vary": "wind_m_s", "values": (1,), "name": "wind_km_h"}, "ends with _m_s", id="unit"),
        pytest.param({"vary": "wind_m_s", "values": (1,), "name": "a b"}, "letters, digits", id="name"),
        pytest.param({"vary": "place", "values": ("1/1",)}, "places", id="no-places"),
        pytest.param({"vary": "wind_m_s", "values": Every("cell")}, "Vary a place", id="every"),
        pytest.param({"vary": "heat", "values": ("hot",)}, "one of fixed", id="word"),
        pytest.param({"vary": "fault", "values": ("cell-opn",), "at": CELL}, "'cell-open'", id="fault"),
        pytest.param({"vary": "fault", "values": ("string-bridge",), "at": CELL}, "wire ends", id="bridge"),
        pytest.param({**SIZE, "values": (1,)}, "that has a size", id="no-fault"),
        pytest.param({**SIZE, "fault": "cell-open", "values": (1,)}, "has a size", id="sizeless"),
        pytest.param({**SIZE, "fault": "cell-shunt", "values": (-1,)}, "from 0.0001", id="size"),
        pytest.param({"vary": "wind_m_s", "values": (1,), "fault": "soiling"}, "no fault", id="field"),
        pytest.param({"vary": "shadow_x_m", "values": (1,), "shadow": 0}, "from 1 to 40", id="shadow"),
        pytest.param({"vary": "shadow_x_m", "values": (1e9,)}, "from -10000", id="shadow-range"),
        pytest.param({"vary": "strings", "values": (0,)}, "whole number from 1 to 500", id="no-strings"),
        pytest.param({"vary": "modules", "values": (1.5,)}, "whole number from 1 to 200", id="half-a-module"),
        pytest.param({"vary": "modules", "values": (1e9,)}, "whole number from 1 to 200", id="many-modules"),
        pytest.param({"vary": "load_ohm", "values": (0,)}, "from 1e-06", id="load"),
    ],
)
def test_what_does_not_go_together_is_refused(fields, says):
    with pytest.raises(PvsimError) as caught:
        Axis(**fields)
    assert says in str(caught.value)
    assert len(str(caught.value)) < 600


NUMBER = {
    "fault_size": 0.5, "shadow_x_m": 0.3, "irradiance_W_m2": 321.0, "load_ohm": 3.0, "scatter_seed": 7.0,
    "strings": 3.0, "modules": 3.0,
}  # fmt: skip


@pytest.mark.parametrize("vary", VARIATIONS)
def test_everything_that_can_be_varied_changes_the_scenario_and_nothing_else(vary):
    row = VARIATIONS[vary]
    words = row.known[-1:] if vary != "fault" else ("cell-open",)
    words = ("full-72",) if vary == "module_type" else words
    values = {"numbers": (NUMBER.get(vary, 0.5),), "words": words, "places": (CELL,)}[row.values]
    axis = Axis(
        vary=vary,
        values=values,
        at=CELL if row.at == "always" else None,
        fault="ribbon-broken" if vary == "fault_size" else "",
        **({"other": Place(1, 2)} if vary == "fault" else {}),
    )
    base = shaded()
    one = study(axis, base=base)
    (case,) = cases_of(one)
    found = changed(one, 0, base, case)
    assert (found == base) == (vary == "place")
    assert base == shaded()
    back = changed(one, 0, found, case)
    assert back == found  # the same change twice is one change


def shaded():
    from pvsim.array import Shadow, add_shadow

    return add_shadow(scenario(2, 2), Shadow(kind="pole", x_m=0.1, transmission=0.1))


def test_strings_and_types_change_where_they_are_asked_to():
    base = scenario(2, 2)
    axis = Axis(vary="irradiance_factor", at=parse_place("2/1/3"), values=(0.5,))
    found = changed(study(axis, base=base), 0, base, (0.5,))
    assert [string.irradiance_factor for string in found.array.strings] == [1.0, 0.5]
    axis = Axis(vary="module_type", at=Place(1, 2), values=("full-72",))
    found = changed(study(axis, base=base), 0, base, ("full-72",))
    types = [[module.type for module in string.modules] for string in found.array.strings]
    assert types == [["full-60", "full-72"], ["full-60", "full-60"]]
    assert Axis(vary="module_type", values=("full-72",)).at in (None, WHOLE_ARRAY)


def test_a_change_goes_to_the_part_it_belongs_to():
    base = scenario(2, 2)
    axis = Axis(vary="transmission", at=parse_place("2/1/d3"), values=(0.5,))
    (painted,) = changed(study(axis, base=base), 0, base, (0.5,)).light.painted
    assert painted.place == parse_place("2/1/s3")
    axis = Axis(vary="module_type", at=parse_place("2/1/3"), values=("full-72",))
    strings = changed(study(axis, base=base), 0, base, ("full-72",)).array.strings
    assert [[module.type for module in string.modules] for string in strings][1] == ["full-72", "full-60"]


@pytest.mark.parametrize(
    ("kind", "place"),
    [
        ("cell-open", "1/2/21"),
        ("diode-open", "1/2/d2"),
        ("module-reversed", "1/2"),
        ("cable-open", "1"),
        ("soiling", "1/2/s2"),
    ],
)
def test_a_fault_goes_to_the_part_of_its_kind(kind, place):
    base = scenario(2)
    axis = Axis(vary="fault", values=(kind,), at=parse_place("1/2/s2"))
    (fault,) = changed(study(axis, base=base), 0, base, (kind,)).faults
    assert (fault.kind, fault.place) == (kind, parse_place(place))
