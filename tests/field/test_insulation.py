"""Insulation: by hand, and the test voltages of the standard."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pvsim.array import Fault, Place, add_fault, module_size, set_array, set_string_length, solve_array
from pvsim.array.catalogue import CATALOGUE
from pvsim.errors import ScenarioError
from pvsim.field import Probe, earth_resistance_Mohm, insulation_test, measure
from pvsim.field.insulation import SOUND_Mohm_m2
from pvsim.files import read_demo
from pvsim.safety import EarthReadings, fault_resistance_ohm

ROOF = read_demo("workshop")


def area_m2() -> float:
    kind = next(one for one in CATALOGUE.values() if one.name == ROOF.array.strings[0].modules[0].type)
    width, height = module_size(kind)
    return width * height


def test_a_sound_array_has_its_area_alone() -> None:
    sound = solve_array(ROOF)
    assert earth_resistance_Mohm(sound) == pytest.approx(SOUND_Mohm_m2 / (16 * area_m2()))
    assert earth_resistance_Mohm(sound, Place(2)) == pytest.approx(SOUND_Mohm_m2 / (8 * area_m2()))


def test_earth_faults_lie_beside_it() -> None:
    one = add_fault(ROOF, Fault("earth-fault", Place(2, 6), 2e6))
    two = solve_array(add_fault(one, Fault("earth-fault", Place(2, 2), 1e6)))
    sound_S = 8 * area_m2() / SOUND_Mohm_m2
    assert earth_resistance_Mohm(two, Place(2)) == pytest.approx(1.0 / (1 / 2 + 1 / 1 + sound_S))
    assert earth_resistance_Mohm(two, Place(1)) == pytest.approx(1.0 / sound_S)
    assert earth_resistance_Mohm(two) == pytest.approx(1.0 / (1 / 2 + 1 / 1 + 2 * sound_S))


def test_a_bond_of_the_minus_pole_is_off_while_it_is_tested() -> None:
    fault = add_fault(ROOF, Fault("earth-fault", Place(2, 6), 2e6))
    bonded = solve_array(set_array(fault, grounded="negative"))
    assert earth_resistance_Mohm(bonded) == pytest.approx(earth_resistance_Mohm(solve_array(fault)))


def test_it_finds_the_resistance_that_the_voltages_to_earth_tell() -> None:
    # Eight modules of 40 V, both voltages halved by a fault as large as the meter: 10 Mohm.
    other = fault_resistance_ohm(EarthReadings(minus_V=-60.0, plus_V=100.0), 320.0, meter_ohm=1e7)
    fault = solve_array(add_fault(ROOF, Fault("earth-fault", Place(2, 3), other)))
    found = earth_resistance_Mohm(fault, Place(2))
    sound = earth_resistance_Mohm(fault, Place(1))
    assert 1.0 / (1.0 / found - 1.0 / sound) == pytest.approx(10.0)


@pytest.mark.parametrize("modules", [1, 7, 8, 10, 16])
def test_the_test_voltage_follows_the_system_voltage(modules: int) -> None:
    scenario = read_demo("single-module") if modules == 1 else set_string_length(ROOF, modules)
    found = insulation_test(scenario)
    open_V = solve_array(replace(scenario, light=replace(scenario.light, irradiance_W_m2=1000.0)))
    assert found.system_V == pytest.approx(1.25 * open_V.characteristic.voc_V, rel=1e-3)
    # IEC 62446-1, second-hand: 250 V below 120 V, 500 V up to 500 V, 1000 V above;
    # from memory: 0.5, 1, 1 Mohm.
    expected = {1: (250.0, 0.5), 7: (500.0, 1.0), 8: (500.0, 1.0), 10: (1000.0, 1.0), 16: (1000.0, 1.0)}[
        modules
    ]
    assert (found.test_V, found.least_Mohm) == expected


def test_the_array_is_tested_by_its_longest_string() -> None:
    uneven = set_string_length(ROOF, 5, Place(1))
    assert insulation_test(uneven).system_V == insulation_test(uneven, Place(2)).system_V
    assert insulation_test(uneven, Place(1)).system_V < 0.7 * insulation_test(uneven).system_V


def test_the_tester_shows_a_fault_and_says_when_it_is_at_its_end() -> None:
    low = solve_array(add_fault(ROOF, Fault("earth-fault", Place(2, 6), 1.0)))
    reading = measure(low, Probe(what="insulation"), serial=1)
    assert abs(reading.value) < 0.01
    single = solve_array(read_demo("single-cell"))
    assert measure(single, Probe(what="insulation"), serial=1).over_range


def test_a_string_that_is_not_there_is_refused() -> None:
    with pytest.raises(ScenarioError, match="does not exist"):
        insulation_test(ROOF, Place(3))
