"""The same array with nothing wrong."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pvsim.array import (
    Fault,
    Place,
    Scenario,
    add_fault,
    level_curve,
    paint,
    set_array,
    set_light,
    set_operation,
    set_weather,
    solve_array,
)
from pvsim.array.place import WHOLE_ARRAY
from pvsim.errors import ScenarioError
from pvsim.files.demo import read_demo
from pvsim.reading import (
    breakdown_voltage,
    held_scale,
    unbroken_curve,
    unbroken_if_there,
    unbroken_scenario,
    unbroken_strings,
)

CELL = Place(1, 4, cell=14)


@pytest.fixture
def scenario() -> Scenario:
    return read_demo("workshop")


def worn(scenario: Scenario) -> Scenario:
    """Dim, warm, shaded, with a fault, held off its maximum."""
    dim = set_weather(set_light(scenario, irradiance_W_m2=400.0), cell_temperature_C=60.0)
    broken = add_fault(paint(dim, [CELL], 0.2), Fault("diode-short", Place(1, 4, diode=1)))
    return set_operation(broken, "voltage", 120.0)


def test_whatever_is_wrong_the_scale_is_the_same_object(scenario: Scenario) -> None:
    assert unbroken_scenario(worn(scenario)) is unbroken_scenario(scenario)
    for place in (WHOLE_ARRAY, Place(1), Place(1, 4), CELL):
        assert unbroken_curve(worn(scenario), place) is unbroken_curve(scenario, place)


def test_it_is_what_the_part_gives_at_reference_conditions(scenario: Scenario) -> None:
    reference = set_weather(set_light(scenario, irradiance_W_m2=1000.0), cell_temperature_C=25.0)
    for place in (WHOLE_ARRAY, Place(2, 1), CELL):
        found, known = unbroken_curve(worn(scenario), place), level_curve(reference, place)
        assert found.mpp.power_W == pytest.approx(known.mpp.power_W, rel=1e-9)


def test_a_module_too_many_is_like_the_first(scenario: Scenario) -> None:
    longer = add_fault(scenario, Fault("modules-too-many", Place(1), 1.0))
    assert unbroken_curve(longer, Place(1, 9)).voc_V == unbroken_curve(scenario, Place(1, 1)).voc_V


def test_equal_strings_are_there_once(scenario: Scenario) -> None:
    assert len(unbroken_strings(scenario)) == 1
    first, *others = scenario.array.strings
    shorter = replace(first, modules=first.modules[:-1])
    uneven = set_array(scenario, strings=(shorter, *others), tracking="per-string")
    assert len(unbroken_strings(uneven)) == 2
    longest = max(one.voc_V for one in unbroken_strings(uneven))
    assert held_scale(solve_array(uneven)).voc_V == longest


def test_what_the_earlier_array_did_not_have_is_not_compared(scenario: Scenario) -> None:
    small = solve_array(read_demo("single-module"))
    assert unbroken_if_there(small, Place(2)) == ()
    assert unbroken_if_there(None, Place(1)) == ()
    assert len(unbroken_if_there(small, Place(1, 1))) == 1
    with pytest.raises(ScenarioError):
        unbroken_curve(small.scenario, Place(2, 1))


def test_a_cell_is_driven_to_the_breakdown_of_its_type(scenario: Scenario) -> None:
    kind = solve_array(scenario).index.kinds[0].kind
    assert breakdown_voltage(scenario, CELL) == kind.cell.breakdown_voltage_V < 0.0
