"""What the lesson on joined strings says, against ngspice and against a string written out in numpy.

Two strings that lie side by side with nothing drawn from them: an open cell keeps the current of
one out of the other, a shorted bypass diode lets it in.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest

from pvsim.array import (
    CATALOGUE,
    Fault,
    FirstView,
    Place,
    Scenario,
    add_fault,
    parse_place,
    part_circuit,
    part_curve,
    set_operation,
    set_string_length,
    solve_array,
)
from pvsim.benchmark import ngspice
from pvsim.circuit import CellType
from pvsim.circuit.floats import Floats
from pvsim.circuit.leaf import thermal_voltage
from pvsim.circuit.mesh import Mesh
from pvsim.circuit.netlist import write_netlist
from pvsim.course.folder.course_reader import own_course
from pvsim.files import read_demo

UNLOADED = replace(set_operation(read_demo("workshop"), "current", 0.0), first_view=FirstView())
STEPS = {step.id: step for lesson in own_course().lessons for step in lesson.steps}

needs_ngspice = pytest.mark.skipif(
    not ngspice.is_here(),
    reason="NOT CHECKED against ngspice: the program is missing (Debian package ngspice)",
)


def broken(scenario: Scenario, *faults: tuple[str, str]) -> Scenario:
    for place, kind in faults:
        scenario = add_fault(scenario, Fault(kind, parse_place(place)))  # type: ignore[arg-type]
    return scenario


CASES = {
    "a-shorted-diode": STEPS["a-shorted-diode"].finish,
    "nine-shorted-diodes": broken(
        UNLOADED, *((f"1/{m}/d{d}", "diode-short") for m in (1, 2, 3) for d in (1, 2, 3))
    ),
    "switched-off": STEPS["switched-off"].finish,  # five strings, nine shorted diodes in one
}
# ngspice does not settle on the whole string above its open circuit: next to nothing passes it.
ONE_MODULE = set_string_length(UNLOADED, 1)
ONE_MODULE_OPEN = broken(ONE_MODULE, ("1/1/14", "cell-open"))
STEP_V = 0.01
UP_FROM = 10  # steps below: there ngspice finds the string's point in a second, at its open circuit in 40


@lru_cache
def by_ngspice(scenario: Scenario, string: int, around_V: float) -> Floats:
    """Current that a string delivers a little below a voltage, at it and a little above."""
    circuit = part_circuit(scenario, Place(string))
    assert not isinstance(circuit, Mesh)
    _, I, _ = ngspice.sweep(write_netlist(circuit, around_V + STEP_V * np.arange(-UP_FROM, 2.0)))
    return I[-3:]


def joined_V(scenario: Scenario) -> float:
    """pvsim's voltage at the joined leads."""
    return solve_array(scenario).trackers[0].point.voltage_V


def joined_by_ngspice_V(scenario: Scenario) -> float:
    """Where the strings, each solved by ngspice with leads of its own, deliver nothing together."""
    at_V = joined_V(scenario)
    numbers = range(1, len(scenario.array.strings) + 1)
    total_A = np.sum([by_ngspice(scenario, number, at_V) for number in numbers], axis=0)
    assert total_A[0] > 0.0 > total_A[-1]
    return float(np.interp(0.0, -total_A, at_V + STEP_V * np.arange(-1.0, 2.0)))


def alone_V(scenario: Scenario) -> float:
    """What ngspice has string 1 read on its own, unloaded."""
    at_V = part_curve(solve_array(scenario), Place(1)).voc_V
    I = by_ngspice(scenario, 1, at_V)
    assert I[0] > 0.0 > I[-1]
    return float(np.interp(0.0, -I, at_V + STEP_V * np.arange(-1.0, 2.0)))


@needs_ngspice
@pytest.mark.parametrize(
    "scenario", [*(pytest.param(one, id=name) for name, one in CASES.items()), ONE_MODULE_OPEN]
)
def test_ngspice_reads_the_same_at_the_joined_leads_and_in_each_string(scenario: Scenario) -> None:
    assert joined_by_ngspice_V(scenario) == pytest.approx(joined_V(scenario), abs=1e-4)
    for string in (1, 2):
        ours_A = solve_array(scenario).strings.current_A[string - 1]
        assert by_ngspice(scenario, string, joined_V(scenario))[1] == pytest.approx(ours_A, abs=1e-4)


@needs_ngspice
def test_a_break_hides_and_a_short_shows_where_strings_are_joined() -> None:
    """The lesson's sentences, every voltage in them from ngspice alone."""
    sound_V = 8 * joined_by_ngspice_V(ONE_MODULE)  # without a current its leads take nothing
    shorted_V = joined_by_ngspice_V(CASES["a-shorted-diode"])
    weak_V = alone_V(CASES["a-shorted-diode"])
    assert sound_V - shorted_V == pytest.approx(0.5 * (sound_V - weak_V), rel=0.1)  # about their mean
    assert sound_V == pytest.approx(joined_V(UNLOADED), abs=1e-3)
    assert joined_by_ngspice_V(ONE_MODULE) - joined_by_ngspice_V(ONE_MODULE_OPEN) < 1e-3
    assert abs(by_ngspice(ONE_MODULE_OPEN, 1, joined_V(ONE_MODULE))[1]) < 1e-3  # nothing gets in
    nine_V, much_weaker_V = (see(CASES["nine-shorted-diodes"]) for see in (joined_by_ngspice_V, alone_V))
    assert nine_V - much_weaker_V < 0.25 * (sound_V - much_weaker_V)  # no mean: near the weak one


def lit_cells_V(kind: CellType, cells: int, current_A: Floats) -> Floats:
    """Voltage of equal cells in full light at 25 degrees C, the cell's equation in plain numpy."""
    Vd = np.linspace(0.0, 0.85, 200_001)
    leak = 1.0 + kind.breakdown_fraction * (1.0 - Vd / kind.breakdown_voltage_V) ** -kind.breakdown_exponent
    I = (
        kind.photocurrent_A
        - kind.saturation_current_A * np.expm1(Vd / (kind.ideality * thermal_voltage(298.15)))
        - Vd / kind.shunt_resistance_ohm * leak
    )
    assert I[0] > current_A.max()
    assert I[-1] < current_A.min()
    return cells * (np.interp(current_A, I[::-1], Vd[::-1]) - current_A * kind.series_resistance_ohm)


def test_an_open_cell_hides_in_strings_of_any_length() -> None:
    for start, place in ((ONE_MODULE, "1/1"), (UNLOADED, "1/4")):
        opened = broken(start, (f"{place}/14", "cell-open"))
        shorted = broken(start, (f"{place}/d1", "diode-short"))
        alone = [part_curve(solve_array(one), Place(1)).voc_V for one in (opened, shorted)]
        assert alone[0] == pytest.approx(alone[1], abs=0.01)  # measured alone, one is as the other
        assert joined_V(start) - joined_V(opened) < 0.01
        assert abs(solve_array(opened).strings.current_A[0]) < 1e-3
        assert joined_V(start) - joined_V(shorted) > 1.0


@pytest.mark.parametrize(("name", "shorted"), [("a-shorted-diode", 1), ("nine-shorted-diodes", 9)])
def test_two_strings_written_out_in_numpy_agree_where_pvsim_says(name: str, shorted: int) -> None:
    kind = CATALOGUE["full-60"].cell
    most_A = 0.999 * kind.photocurrent_A
    I = np.linspace(0.0, most_A, 100_001)
    leads_ohm = 0.1 + 9 * 0.0005
    strong_V = lit_cells_V(kind, 480, I) - leads_ohm * I
    weak_V = lit_cells_V(kind, 480 - 20 * shorted, -I) + leads_ohm * I
    meet_A = float(np.interp(0.0, weak_V - strong_V, I))
    # A shorted diode is a milliohm or so, and the cells beside it leak a little.
    assert joined_V(CASES[name]) == pytest.approx(float(np.interp(meet_A, I, weak_V)), abs=0.15)
    assert solve_array(CASES[name]).strings.current_A[0] == pytest.approx(-meet_A, abs=0.05)


def test_the_others_drive_at_most_their_short_circuit_currents_into_one() -> None:
    """(n - 1) times Isc, and with nine of its 24 substrings shorted nine tenths of that are reached."""
    scenario = STEPS["switched-off"].finish
    assert len(scenario.array.strings) == 5
    short_A = part_curve(solve_array(scenario), Place(2)).isc_A
    for strings in (2, 3, 4, 5):
        array = replace(scenario.array, strings=scenario.array.strings[:strings])
        fewer = replace(scenario, array=array, first_view=UNLOADED.first_view)
        driven_A = -solve_array(fewer).strings.current_A[0]
        assert 0.88 * (strings - 1) < driven_A / short_A < strings - 1
