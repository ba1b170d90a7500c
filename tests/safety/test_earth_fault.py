"""Earth faults: the arithmetic both ways, by hand, and against the circuit with the fault in it."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array.change import add_fault, paint, set_array, set_operation
from pvsim.array.fault import Fault
from pvsim.array.place import parse_place
from pvsim.array.scenario import Scenario
from pvsim.array.solve import solve_array
from pvsim.errors import ScenarioError
from pvsim.files import read_demo
from pvsim.safety import (
    EarthReadings,
    earth_voltages,
    fault_after,
    fault_resistance_ohm,
    locate_earth_fault,
    own_earth_fault,
)
from pvsim.safety.earth_fault import METER_ohm

ROOF = read_demo("workshop")


def test_the_position_by_hand() -> None:
    """Eight modules of 40 V: three of them, 120 V, lie between minus and the fault; 200 V beyond it."""
    readings = EarthReadings(minus_V=-120.0, plus_V=200.0)
    assert fault_after(readings, 8) == pytest.approx(3.0)
    assert fault_resistance_ohm(readings, 320.0) == 0.0
    # Both halved by a fault as large as the meter: the place stays, the sum tells the resistance.
    halved = EarthReadings(minus_V=-60.0, plus_V=100.0)
    assert fault_after(halved, 8) == pytest.approx(3.0)
    assert fault_resistance_ohm(halved, 320.0, meter_ohm=1e7) == pytest.approx(1e7)


@pytest.mark.parametrize("resistance_ohm", [0.0, 1e3, 3e6, 4e7])
def test_every_joint_is_found_again_from_its_voltages(resistance_ohm: float) -> None:
    for roof in (ROOF, read_demo("ferry-terminal"), paint(ROOF, [parse_place("2/3")], 0.3)):
        modules = len(roof.array.strings[1].modules)
        for after in range(modules + 1):
            readings = earth_voltages(roof, 2, after, resistance_ohm=resistance_ohm)
            found = locate_earth_fault(roof, 2, readings)
            assert (found.joint, found.modules, found.clear) == (after, modules, True)
            assert found.after == pytest.approx(after, abs=0.02)
            assert found.resistance_ohm == pytest.approx(resistance_ohm, rel=0.02, abs=METER_ohm * 0.01)


def shown_by_the_circuit(roof: Scenario, fault: str, resistance_ohm: float, at: str) -> float:
    """A meter from a module's plus lead to earth: a second path to earth in the solver's mesh."""
    now = add_fault(roof, Fault("earth-fault", parse_place(fault), resistance_ohm))
    now = add_fault(now, Fault("earth-fault", parse_place(at), METER_ohm))
    solution = solve_array(set_operation(now, "current", 0.0), points=8)
    volts = np.concatenate([one.point.leaf_voltage_V for one in solution.trackers])
    across = sorted(float(volts[leaf]) for leaf in solution.built.fault_leaf)
    return max(across, key=abs)


@pytest.mark.parametrize("resistance_ohm", [1.0, 5e5])
@pytest.mark.parametrize("after", [1, 3, 6])
def test_the_arithmetic_agrees_with_the_circuit_that_has_the_fault_and_the_meter_in_it(
    after: int, resistance_ohm: float
) -> None:
    readings = earth_voltages(ROOF, 1, after, resistance_ohm=resistance_ohm)
    plus = shown_by_the_circuit(ROOF, f"1/{after}", resistance_ohm, "1/8")
    assert abs(plus) == pytest.approx(readings.plus_V, rel=1e-4)
    # No lead of a module is the minus pole: the plus lead of module 1 is one module above it.
    if after > 1:
        first = solve_array(set_operation(ROOF, "current", 0.0), points=8).modules.voltage_V[0]
        low = shown_by_the_circuit(ROOF, f"1/{after}", resistance_ohm, "1/1")
        share = METER_ohm / (METER_ohm + resistance_ohm)
        assert abs(low) == pytest.approx(-readings.minus_V - first * share, rel=1e-4)


def test_the_arrays_own_fault_shows_what_leads_back_to_it() -> None:
    assert own_earth_fault(ROOF) is None
    once = add_fault(ROOF, Fault("earth-fault", parse_place("2/6"), 2e5))
    found = own_earth_fault(once)
    assert found is not None
    fault, readings = found
    assert (fault.place, readings) == (parse_place("2/6"), earth_voltages(ROOF, 2, 6, resistance_ohm=2e5))
    assert locate_earth_fault(once, 2, readings).joint == 6
    assert own_earth_fault(set_array(once, grounded="negative")) is None
    assert own_earth_fault(add_fault(once, Fault("earth-fault", parse_place("1/2"), 1.0))) is None


def test_a_fault_within_a_module_is_not_taken_for_one_at_a_joint() -> None:
    at_3, at_4 = (earth_voltages(ROOF, 1, after) for after in (3, 4))
    between = EarthReadings(minus_V=(at_3.minus_V + at_4.minus_V) / 2, plus_V=(at_3.plus_V + at_4.plus_V) / 2)
    found = locate_earth_fault(ROOF, 1, between)
    assert found.after == pytest.approx(3.5)
    assert not found.clear


def test_what_cannot_be_the_reading_of_one_fault_is_refused() -> None:
    for minus_V, plus_V in ((120.0, 200.0), (-120.0, -200.0), (float("nan"), 10.0)):
        with pytest.raises(ScenarioError, match="to earth is"):
            EarthReadings(minus_V=minus_V, plus_V=plus_V)
    with pytest.raises(ScenarioError, match="neither pole"):
        fault_after(EarthReadings(minus_V=0.0, plus_V=0.0), 8)
    for minus_V, plus_V in ((-300.0, 300.0), (-1.0, 1.0)):
        with pytest.raises(ScenarioError, match="add up to"):
            locate_earth_fault(ROOF, 1, EarthReadings(minus_V=minus_V, plus_V=plus_V))
    good = EarthReadings(minus_V=-100.0, plus_V=200.0)
    for wrong in (0, 3):
        with pytest.raises(ScenarioError, match="no string"):
            locate_earth_fault(ROOF, wrong, good)
    with pytest.raises(ScenarioError, match="no joint after 9"):
        earth_voltages(ROOF, 1, 9)
    with pytest.raises(ScenarioError, match="is earthed"):
        earth_voltages(set_array(ROOF, grounded="negative"), 1, 2)


def test_a_string_with_a_module_turned_round_has_its_joints_where_the_voltages_say() -> None:
    turned = add_fault(ROOF, Fault("module-reversed", parse_place("1/3")))
    readings = earth_voltages(turned, 1, 8)
    assert readings.plus_V == pytest.approx(0.0, abs=1.5), "the string's plus end, but for the leads"
