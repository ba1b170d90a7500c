"""Values say the main of themselves at a prompt in a line or a few, whatever their size."""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass

import numpy as np
import pytest

from pvsim.array import WHOLE_ARRAY, Place, Scenario, paint, solve_array
from pvsim.array.losses import loss_account
from pvsim.array.scenario import module_type
from pvsim.circuit import Cell, CellType, Diode, Parallel, Series, operate
from pvsim.course import own_course
from pvsim.files import curve_of, read_demo
from pvsim.files.figure.roof import draw_roof
from pvsim.prompt import MOST_SIGNS, summary
from pvsim.study import read_own_study

SCENARIO = paint(read_demo("workshop"), [Place(1, 4, cell=17)], 0.2)
SOLUTION = solve_array(SCENARIO)


def everything() -> list[object]:
    """Every dataclass a person can come to from a solution, each class once."""
    curve = curve_of(SOLUTION.characteristic, "x")
    seen: dict[type, object] = {}
    kind = module_type(SCENARIO, "full-60")
    course = own_course()
    others = [curve, draw_roof(SCENARIO), kind, read_own_study("dearest-cell"), course, course.lessons[0]]
    todo: list[object] = [SOLUTION, loss_account(SOLUTION)]
    while todo:
        value = todo.pop()
        if isinstance(value, (tuple, list)):
            todo.extend(value[:50])
        elif is_dataclass(value) and type(value) not in seen:
            seen[type(value)] = value
            todo.extend(getattr(value, field.name) for field in fields(value))
    return [*seen.values(), *others]


@pytest.mark.parametrize("value", everything(), ids=lambda value: type(value).__name__)
def test_no_value_floods_a_prompt(value: object) -> None:
    assert type(value).__name__ in repr(value)
    assert len(repr(value)) <= 600


def test_a_solution_says_its_title_power_cells_and_diodes() -> None:
    text = repr(SOLUTION)
    assert text.startswith(
        f"<ArraySolution of \"Boat-builders' training workshop\": {SOLUTION.power_W:.6g} W, 960 cells"
    )
    assert "1 bypass diode conducts" in text


def test_a_scenario_says_what_is_not_as_usual() -> None:
    plain = Scenario(title="Shed", array=SCENARIO.array)
    string = "<String: modules=(8 Module)>"
    array = f"<Array: strings=({string}, {string}), modules_per_row=8>"
    assert repr(plain) == f"<Scenario: title='Shed', array={array}>"
    assert "light=<Light: painted=(Painted(place=Place(1, 4, cell=17), transmission=0.2),)>" in repr(SCENARIO)


def test_a_characteristic_and_an_operating_point_say_their_key_points() -> None:
    text = repr(SOLUTION.characteristic)
    assert f"isc_A={SOLUTION.characteristic.isc_A:.6g}" in text
    assert f"voc_V={SOLUTION.characteristic.voc_V:.6g}" in text
    assert "mpp=" in text
    kind = CellType(
        photocurrent_A=9.5,
        saturation_current_A=1e-9,
        ideality=1.0,
        series_resistance_ohm=0.005,
        shunt_resistance_ohm=10.0,
    )
    circuit = Parallel((Series((Cell(type=kind),) * 20), Diode(saturation_current_A=1e-5)))
    assert repr(circuit.children[0]) == "<Series: children=(20 Cell)>"
    assert "voltage_V=0, current_A=9.49525" in repr(operate(circuit, voltage_V=0.0))


def test_arrays_are_told_by_size_and_range_and_few_values_in_full() -> None:
    @dataclass(frozen=True)
    class Values:
        few: np.ndarray
        many: np.ndarray
        truths: np.ndarray
        text: str = "usual"

        __repr__ = summary

    value = Values(np.array([1.0, 2.5]), np.linspace(-1.0, 3.0, 50), np.arange(9) < 4)
    assert repr(value) == "<Values: few=[1, 2.5], many=(50 from -1 to 3), truths=(4 of 9 true)>"
    assert len(repr(Values(*[np.zeros(1)] * 3, text="x" * 1000))) <= MOST_SIGNS


PLACES = (WHOLE_ARRAY, Place(2), Place(2, 5), Place(2, 5, diode=3), Place(2, 5, cell=1))


@pytest.mark.parametrize("place", PLACES)
def test_a_place_is_written_as_one_would_type_it(place: Place) -> None:
    assert eval(repr(place)) == place
    assert "None" not in repr(place)
