"""Meters on the roof: what they have there comes from the circuit and follows it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pvsim.array import (
    FAULT_KINDS,
    WHOLE_ARRAY,
    ArraySolution,
    Fault,
    Place,
    Scenario,
    add_fault,
    level_of,
    paint,
    set_array,
    set_light,
    set_operation,
    set_strings,
    solve_array,
)
from pvsim.circuit import OPEN_RESISTANCE_ohm
from pvsim.errors import ScenarioError
from pvsim.field import PROBES, Probe, measure, meter_of, true_value
from pvsim.field.kit import VOLTMETER, VOLTMETER_ohm
from pvsim.files import read_demo

ROOF = read_demo("workshop")
BROKEN = Fault("cell-open", Place(2, 3, cell=5))


@pytest.fixture(scope="module")
def sound() -> ArraySolution:
    return solve_array(ROOF)


def at(solution: ArraySolution, what: str, place: Place = WHOLE_ARRAY) -> float:
    return true_value(solution, Probe(what=what, place=place))


def test_the_main_carries_what_its_strings_carry() -> None:
    for scenario in (ROOF, add_fault(ROOF, BROKEN), paint(ROOF, [Place(1, 2)], 0.4)):
        solution = solve_array(scenario)
        both = sum(at(solution, "current", Place(string)) for string in (1, 2))
        assert at(solution, "current") == pytest.approx(both, abs=1e-6)  # Kirchhoff
        assert at(solution, "current", Place(2)) == solution.strings.current_A[1]
        assert at(solution, "power") == pytest.approx(at(solution, "voltage") * both, rel=1e-6)


def test_open_strings_show_their_modules_voltages_added(sound: ArraySolution) -> None:
    broken = solve_array(add_fault(ROOF, BROKEN))
    for solution in (sound, broken):
        modules = sum(at(solution, "open-voltage", Place(2, number)) for number in range(1, 9))
        # The string's voltage drives eight times a module's current through the meter, and the diode over the
        # open cell takes some millivolts more for it.
        assert at(solution, "open-voltage", Place(2)) == pytest.approx(modules, abs=0.05)


def test_a_fault_shows_at_its_strings_clamp_and_not_at_the_neighbours_held_at_one_voltage() -> None:
    held = set_operation(set_array(ROOF, main_cable_resistance_ohm=0.0), "voltage", 265.0)
    before, after = solve_array(held), solve_array(add_fault(held, BROKEN))
    there = Probe(what="current", place=Place(2))
    beside = Probe(what="current", place=Place(1))
    for serial in range(5):
        here = [measure(one, there, serial=serial).value for one in (before, after)]
        assert here[1] < here[0] - 0.3
        next_door = [measure(one, beside, serial=serial).value for one in (before, after)]
        assert next_door[0] == next_door[1]


def test_on_one_tracker_the_neighbour_works_elsewhere_once_the_fault_is_there(sound: ArraySolution) -> None:
    after = solve_array(add_fault(ROOF, BROKEN))
    assert at(after, "current", Place(2)) < at(sound, "current", Place(2)) - 0.1
    assert (
        at(after, "current", Place(1)) > at(sound, "current", Place(1)) + 0.1
    )  # a lower voltage lets more flow
    assert at(after, "open-voltage", Place(1)) == pytest.approx(at(sound, "open-voltage", Place(1)), abs=1e-6)


def test_a_string_with_its_fuse_blown_shows_what_the_meter_lets_through() -> None:
    fused = set_strings(ROOF, Place(2), fuse=True)
    blown = solve_array(add_fault(fused, Fault("fuse-blown", Place(2))))
    assert at(blown, "current", Place(2)) == pytest.approx(0.0, abs=1e-6)
    # A divider of the break and the meter's own resistance; Ohm's law.
    share = VOLTMETER_ohm / (VOLTMETER_ohm + OPEN_RESISTANCE_ohm)
    whole = at(blown, "open-voltage", Place(1))
    assert at(blown, "open-voltage", Place(2)) == pytest.approx(whole * share, rel=0.01)
    assert measure(blown, Probe(what="open-voltage", place=Place(2)), serial=1).value == pytest.approx(
        0, abs=0.01
    )


def test_a_turned_module_has_its_voltage_the_wrong_way_round_for_its_string() -> None:
    turned = solve_array(add_fault(ROOF, Fault("module-reversed", Place(2, 3))))
    one, eight = at(turned, "open-voltage", Place(2, 3)), at(turned, "open-voltage", Place(1))
    assert at(turned, "open-voltage", Place(2)) == pytest.approx(eight - 2 * one, rel=0.03)


def test_sensors_see_light_and_warmth_of_the_scenario() -> None:
    scenario = set_strings(set_light(ROOF, irradiance_W_m2=640.0), Place(2), irradiance_factor=0.5)
    scenario = replace(scenario, weather=replace(scenario.weather, heat="steady"))
    solution = solve_array(scenario)
    assert at(solution, "irradiance") == 640.0
    assert at(solution, "irradiance", Place(2)) == at(solution, "irradiance", Place(2, 8)) == 320.0
    backs = [at(solution, "back", Place(string)) for string in (1, 2)]
    assert backs[0] > backs[1] + 5.0
    assert at(solution, "back") == pytest.approx(np.mean(backs))


def test_the_display_knows_its_tracker_alone() -> None:
    scenario = set_array(add_fault(ROOF, BROKEN), tracking="per-string")
    solution = solve_array(scenario)
    for number in (1, 2):
        point = solution.trackers[number - 1].point
        assert at(solution, "display-voltage", Place(number)) == point.voltage_V
        assert at(solution, "display-current", Place(number)) == point.current_A
        assert at(solution, "power", Place(number)) == point.power_W
    assert at(solution, "power") == solution.power_W
    for what in ("voltage", "open-voltage", "current", "display-voltage", "display-current"):
        with pytest.raises(ScenarioError, match="a tracker for each string"):
            at(solution, what)


def test_every_probe_reads_in_the_unit_of_its_meter(sound: ArraySolution) -> None:
    for what in PROBES:
        probe = Probe(what=what, place=Place(1))
        reading = measure(sound, probe, serial=4, time_min=5.0, number=3)
        assert reading.unit == meter_of(probe).unit
        assert abs(reading.value - true_value(sound, probe)) < 4.0 * reading.standard_uncertainty


def test_another_meter_of_the_same_unit_may_be_taken(sound: ArraySolution) -> None:
    better = replace(VOLTMETER, gain_percent=0.05)
    probe = Probe(what="voltage")
    fine = measure(sound, probe, serial=1, meter=better).standard_uncertainty
    assert fine < 0.3 * measure(sound, probe, serial=1).standard_uncertainty
    with pytest.raises(ScenarioError, match="reads V"):
        measure(sound, Probe(what="current"), serial=1, meter=better)


@pytest.mark.parametrize(
    ("what", "place", "said"),
    [
        ("voltages", WHOLE_ARRAY, "what of the probe is 'voltages'"),
        ("current", Place(2, 3, cell=1), "string 2, module 3, cell 1"),
        ("power", Place(2, 3), "is to be measured at"),
        ("current", "2/3", "a Place"),
    ],
)
def test_what_can_be_no_probe_is_refused(what: str, place: object, said: str) -> None:
    with pytest.raises(ScenarioError, match=said):
        Probe(what=what, place=place)


@pytest.mark.parametrize("what", PROBES)
def test_a_place_that_is_not_built_is_refused(what: str, sound: ArraySolution) -> None:
    with pytest.raises(ScenarioError, match="does not exist"):
        at(sound, what, Place(3))


@pytest.mark.parametrize("kind", FAULT_KINDS)
def test_every_fault_leaves_something_to_read_everywhere(kind: str) -> None:
    place = next(
        one
        for one in (
            Place(1, 1, cell=1),
            Place(1, 1, substring=1),
            Place(1, 1, diode=1),
            Place(1, 1),
            Place(1),
        )
        if level_of(one) in FAULT_KINDS[kind].scopes
    )
    fault = Fault(kind, place, other=Place(2, 4) if kind == "string-bridge" else None)
    fused = set_strings(ROOF, fuse=True)
    solution = solve_array(add_fault(fused, fault), points=60)
    for what in PROBES:
        for where in (WHOLE_ARRAY, Place(1), Place(2)):
            reading = measure(solution, Probe(what=what, place=where), serial=1)
            assert np.isfinite(reading.value)
            assert not reading.over_range


def test_measuring_leaves_the_scenario_alone(sound: ArraySolution) -> None:
    before: Scenario = replace(sound.scenario)
    for what in PROBES:
        at(sound, what, Place(2))
    assert sound.scenario == before
