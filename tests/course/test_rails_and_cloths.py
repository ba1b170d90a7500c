"""Two tables of the own lessons once more without the solver: a rail behind modules, a cloth half laid on."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pvsim.array.catalogue import BYPASS_DIODE, CATALOGUE
from pvsim.course.folder.course_reader import own_course
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.expression import parse_expression
from pvsim.course.number.solved_scenario import solved
from tests.course.by_hand import Floats, cell_voltage, row_voltage, substring_voltage

STEPS = {step.id: step for lesson in own_course().lessons for step in lesson.steps}

HALF = CATALOGUE["hetero-120"].cell
FULL = replace(
    HALF,
    photocurrent_A=2 * HALF.photocurrent_A,
    saturation_current_A=2 * HALF.saturation_current_A,
    series_resistance_ohm=HALF.series_resistance_ohm / 2,
    shunt_resistance_ohm=HALF.shunt_resistance_ohm / 2,
)
WARMER_K = 5.0
REAR = 0.26 * 0.9  # of full sun: what the wall throws, times the bifaciality
BEAM_m, HALF_m, FULL_m, GAP_m = 0.05, 0.083, 0.166, 0.002
BEHIND_A_ROW = 0.65 + REAR * (1 - BEAM_m / HALF_m)
AT_A_JOINT = 0.65 + REAR * (1 - (BEAM_m - GAP_m) / 2 / HALF_m)
BEHIND_FULL = 0.65 + REAR * (1 - BEAM_m / FULL_m)
FREE = 0.65 + REAR


def chain(odd: int, light: float) -> list[float]:
    """Twenty cells of a chain, so many of them with less light; a row of a module crosses it twice."""
    return [light] * odd + [FREE] * (20 - odd)


def pair_W(upper: list[float], lower: list[float]) -> float:
    """Most that two chains of half-cells side by side give, which stand at one voltage."""
    amps = np.linspace(0.0, 6.0, 6_001)
    V = np.linspace(0.0, 15.0, 15_001)
    total: Floats = np.zeros_like(V)
    for lights in (upper, lower):
        volts = row_voltage(HALF, amps, lights, WARMER_K)
        total += np.interp(V, volts[::-1], amps[::-1])
    return float((V * total).max())


@pytest.mark.parametrize(
    ("string", "upper", "lower"),
    [
        pytest.param(2, chain(0, FREE), chain(2, BEHIND_A_ROW), id="behind-a-row"),
        pytest.param(3, chain(2, AT_A_JOINT), chain(2, AT_A_JOINT), id="behind-the-middle"),
        pytest.param(4, chain(0, FREE), chain(4, AT_A_JOINT), id="behind-a-joint"),
    ],
)
def test_what_a_beam_costs_at_three_heights(string: int, upper: list[float], lower: list[float]) -> None:
    by_hand = 1 - pair_W(upper, lower) / pair_W(chain(0, FREE), chain(0, FREE))
    assert lost_of(string) == pytest.approx(by_hand, abs=0.0015)  # the leads of a pair are left out


def test_what_the_same_beam_costs_full_cells() -> None:
    amps = np.linspace(0.0, 12.0, 12_001)
    most = [
        float((amps * row_voltage(FULL, amps, lights, WARMER_K)).max())
        for lights in (chain(2, BEHIND_FULL), chain(0, FREE))
    ]
    assert lost_of(5) == pytest.approx(1 - most[0] / most[1], abs=0.0015)


def lost_of(string: int) -> float:
    step = STEPS["three-heights"]
    here = Readings(solved(step.finish), solved(step.start))
    return value_of(parse_expression(f"1 - now[{string}].power_W / now[1].power_W"), here)


def test_what_five_dark_cells_without_a_diode_eat_while_the_cloth_slides_on() -> None:
    cell = CATALOGUE["full-60"].cell
    amps = np.linspace(0.0, 10.89, 10_001)
    lit = substring_voltage(cell, BYPASS_DIODE, amps, [1.0] * 20)
    leads_V = amps * (0.1 + 9 * 0.0005)
    covered_V = 23 * lit + row_voltage(cell, amps, [0.0] * 5 + [1.0] * 15) - leads_V
    sound_V = 24 * lit - leads_V
    V = np.linspace(150.0, 330.0, 18_001)
    one, two = (np.interp(V, volts[::-1], amps[::-1]) for volts in (covered_V, sound_V))
    at = int(np.argmax((V - 0.05 * (one + two)) * (one + two)))
    eaten_W = -float(cell_voltage(cell, one[at : at + 1], 0.0)[0] * one[at])
    step = STEPS["the-cloth"]
    start = Readings(solved(step.start), solved(step.start))
    assert value_of(parse_expression("now[1/4/1].eaten_W"), start) == pytest.approx(eaten_W, rel=0.02)
    assert eaten_W > 100.0
