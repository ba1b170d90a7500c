"""What lessons say in words and no single step can compute, reckoned by hand; they name these tests."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pvsim.array.catalogue import BYPASS_DIODE, CATALOGUE
from pvsim.array.diode_heat import BOX_K, TO_CASE_K_W, TO_STILL_AIR_K_W, forward_heat_W, junction_rise_K
from pvsim.circuit.cell import CellType
from tests.course.by_hand import (
    Floats,
    cell_voltage,
    forward_voltage,
    greatest_power,
    pair_voltage,
    row_voltage,
    substring_voltage,
)

CELL: CellType = CATALOGUE["full-60"].cell
AMPS: Floats = np.linspace(0.0, CELL.photocurrent_A, 4_001)
NONE = np.zeros(1)
LEAF = 0.2  # of the light passes it, in the lessons


def row_with_a_leaf(cells: int) -> list[float]:
    return [LEAF] + [1.0] * (cells - 1)


def string(substrings: int, shade: float) -> Floats:
    """Voltage over AMPS of substrings of twenty cells, one cell of them shaded."""
    lit = substring_voltage(CELL, BYPASS_DIODE, AMPS, [1.0] * 20)
    return (substrings - 1) * lit + substring_voltage(CELL, BYPASS_DIODE, AMPS, [shade] + [1.0] * 19)


def jump(substrings: int) -> float:
    """The share of light at which the top of a string's power jumps to the bypassed side."""
    full_V = greatest_power(string(substrings, 1.0), AMPS)[1]
    for shade in np.arange(0.95, 0.4, -0.01):
        if greatest_power(string(substrings, shade), AMPS)[1] < (1 - 0.5 / substrings) * full_V:
            return float(shade)
    raise AssertionError("no jump")


def test_a_slit_of_light_gives_a_cell_most_of_its_voltage() -> None:
    full, slit = (cell_voltage(CELL, NONE, light)[0] for light in (1.0, 0.05))
    assert slit > 0.8 * full


def test_each_halving_of_the_light_takes_the_same_step_of_voltage() -> None:
    volts = [cell_voltage(CELL, NONE, light)[0] for light in (1.0, 0.5, 0.25)]
    first, second = volts[0] - volts[1], volts[1] - volts[2]
    assert second == pytest.approx(first, rel=0.1)


def test_too_much_voltage_costs_twice_what_too_little_costs() -> None:
    volts = cell_voltage(CELL, AMPS)
    top_W, top_V = greatest_power(volts, AMPS)
    low, high = (top_W - v * np.interp(-v, -volts, AMPS) for v in (0.9 * top_V, 1.1 * top_V))
    assert high > 2 * low > 0


def test_a_straight_characteristic_gives_its_maximum_in_the_middle() -> None:
    volts = np.linspace(0.0, 1.0, 1001)
    assert greatest_power(volts, 1.0 - volts)[1] == pytest.approx(0.5)


def test_the_longer_its_row_the_more_a_shaded_cell_eats() -> None:
    """At short circuit, without a diode."""
    eaten = []
    for cells in (10, 20, 30, 60):
        through = np.interp(0.0, -row_voltage(CELL, AMPS, row_with_a_leaf(cells)), AMPS)
        eaten.append(-through * cell_voltage(CELL, np.array([through]), LEAF)[0])
    assert np.all(np.diff(eaten) > 0)


def test_a_shaded_cell_is_worst_off_at_short_circuit() -> None:
    """Sixty cells without a diode; the terminals at every voltage that they can have."""
    volts = row_voltage(CELL, AMPS, row_with_a_leaf(60))
    at = np.interp(-np.linspace(0.0, 0.98 * volts[0], 80), -volts, AMPS)
    eaten = -at * cell_voltage(CELL, at, LEAF)
    assert np.all(np.diff(eaten) < 0)
    assert eaten[0] > 0


def test_back_contact_cells_break_down_at_a_fifth_of_the_voltage() -> None:
    ratio = CELL.breakdown_voltage_V / CATALOGUE["back-contact-72"].cell.breakdown_voltage_V
    assert 4.5 < ratio < 5.0


def test_an_open_diode_leaves_no_trace_in_even_light() -> None:
    """What a blocking diode leaks at the voltage of its substring is lost in the current."""
    across = 20 * cell_voltage(CELL, NONE)[0]
    leak_A = BYPASS_DIODE.saturation_current_A + across / BYPASS_DIODE.leakage_resistance_ohm
    assert leak_A < 1e-4 * CELL.photocurrent_A


def test_deeper_shade_costs_next_to_nothing_once_the_diode_conducts() -> None:
    tops = [greatest_power(string(3, shade), AMPS)[0] for shade in (0.5, 0.35, 0.2, 0.05)]
    assert max(tops) < 1.005 * min(tops)


def test_the_power_does_not_jump_where_the_voltage_does() -> None:
    tops = [greatest_power(string(3, shade), AMPS) for shade in np.arange(0.7, 0.5, -0.005)]
    watts, volts = np.array(tops).T
    assert np.max(np.abs(np.diff(watts))) < 0.015 * watts[0]
    assert np.max(-np.diff(volts)) > 0.3 * volts[0]


def test_the_jump_comes_in_deeper_shade_than_the_rule_of_shares_says() -> None:
    assert jump(3) < 2 / 3


def test_the_longer_the_string_the_lighter_the_shade_that_opens_a_diode() -> None:
    assert jump(3) < jump(6) < jump(24)
    assert jump(3) < 0.7 < jump(24), "the shade of the lesson opens a diode in the string, not on the bench"


def test_to_follow_a_lightly_shaded_cell_would_cost_a_string_nearly_a_fifth() -> None:
    full = greatest_power(string(24, 1.0), AMPS)[0]
    below = AMPS < 0.72 * CELL.photocurrent_A
    followed = greatest_power(string(24, 0.7)[below], AMPS[below])[0]
    assert 0.15 < 1 - followed / full < 0.22


def test_a_warm_breeze_costs_nearly_what_a_leaf_costs() -> None:
    """Six kelvin against one cell of 960; a quarter as many kelvin more, and the two are alike."""
    lit, leaf = string(24, 1.0), string(24, LEAF)
    volts = np.linspace(0.5 * lit[0], lit[0], 4_001)
    both = np.interp(-volts, -lit, AMPS) + np.interp(-volts, -leaf, AMPS)
    leaf_loss = 1 - greatest_power(volts, both)[0] / (2 * greatest_power(lit, AMPS)[0])
    cold = greatest_power(cell_voltage(CELL, AMPS), AMPS)[0]
    six, seven_and_a_half = (
        1 - greatest_power(cell_voltage(CELL, AMPS, 1.0, kelvin), AMPS)[0] / cold for kelvin in (6.0, 7.5)
    )
    assert six < leaf_loss < 1.4 * six
    assert seven_and_a_half == pytest.approx(leaf_loss, rel=0.1)


def test_a_seventh_of_one_cells_light_opens_a_diode_of_twenty_four() -> None:
    assert 1 - jump(24) == pytest.approx(1 / 7, abs=0.015)


def test_a_twentieth_of_the_light_leaves_nearly_nine_tenths_of_the_voltage() -> None:
    full, dim = (cell_voltage(CELL, NONE, light)[0] for light in (1.0, 0.05))
    assert 0.86 < dim / full < 0.9


def test_the_higher_a_cells_voltage_the_less_it_loses_for_each_kelvin() -> None:
    """Some two millivolts for every kind in the catalogue; De Soto's law over 40 K."""
    kinds = ("full-36", "full-60", "back-contact-72", "hetero-120")
    cells = sorted((CATALOGUE[name].cell for name in kinds), key=lambda cell: cell_voltage(cell, NONE)[0])
    lost_V = [(cell_voltage(cell, NONE)[0] - cell_voltage(cell, NONE, 1.0, 40.0)[0]) / 40 for cell in cells]
    assert np.all(np.diff(lost_V) < 0)
    assert min(lost_V) > 1.6e-3
    assert max(lost_V) < 2.2e-3


def test_a_diode_on_its_leads_is_past_its_limit_under_the_whole_current() -> None:
    """150 degrees C, the junction's limit in the data sheet; in a box of 75 degrees C."""
    whole_A = CELL.photocurrent_A
    in_air, on_plate = (
        BOX_K + junction_rise_K(BYPASS_DIODE, whole_A, resistance) - 273.15
        for resistance in (TO_STILL_AIR_K_W, TO_CASE_K_W)
    )
    assert on_plate < 105.0
    assert in_air > 160.0
    row = row_voltage(CELL, AMPS, row_with_a_leaf(20))  # some of the current goes through the cells
    around_A = AMPS[-1] - np.interp(forward_voltage(BYPASS_DIODE, np.array([7.7]))[0], -row, AMPS)
    with_leaf = BOX_K + junction_rise_K(BYPASS_DIODE, around_A, TO_STILL_AIR_K_W) - 273.15
    assert 140.0 < with_leaf < 150.0


def test_a_hot_diode_that_blocks_heats_itself_as_much_as_one_that_conducts() -> None:
    """Just after the shade has gone, at the voltage of its substring; leak by the A T^2 law."""
    across_V = 20 * greatest_power(cell_voltage(CELL, AMPS), AMPS)[1]
    shares = []
    for resistance in (TO_STILL_AIR_K_W, TO_CASE_K_W):
        kelvin = BOX_K + junction_rise_K(BYPASS_DIODE, 7.74, resistance)
        barrier_K = BYPASS_DIODE.barrier_eV / BYPASS_DIODE.ideality / 8.617333e-5
        rising = (kelvin / 298.15) ** 2 * np.exp(barrier_K / 298.15 - barrier_K / kelvin)
        leak_A = BYPASS_DIODE.saturation_current_A * rising + across_V / BYPASS_DIODE.leakage_resistance_ohm
        shares.append(across_V * leak_A / forward_heat_W(BYPASS_DIODE, 7.74, kelvin))
    assert 0.8 < shares[0] < 1.25
    assert shares[1] < 0.06


def test_a_shaded_half_cell_eats_half_and_gets_as_warm_as_a_whole_one() -> None:
    """Under a diode that conducts: as much heat for each square metre."""
    half = CATALOGUE["half-120"].cell
    eaten = []
    for cell, amps in ((CELL, AMPS), (half, AMPS / 2)):
        row = row_voltage(cell, amps, row_with_a_leaf(20))
        through = np.interp(0.35, -row, amps)
        eaten.append(-through * cell_voltage(cell, np.array([through]), LEAF)[0])
    assert eaten[1] == pytest.approx(eaten[0] / 2, rel=0.025)  # its ribbons drop a little less


def test_half_cells_save_a_module_whose_lower_half_is_shaded() -> None:
    """A fifth of the light on the lower half: ten cells of each row of whole ones, one chain of each pair."""
    full = greatest_power(string(3, 1.0), AMPS)[0]
    whole = greatest_power(3 * substring_voltage(CELL, BYPASS_DIODE, AMPS, [LEAF] * 10 + [1.0] * 10), AMPS)[0]
    pair = pair_voltage(CATALOGUE["half-120"].cell, AMPS, [LEAF] * 20, [1.0] * 20)
    assert whole < 0.3 * full
    assert greatest_power(3 * pair, AMPS)[0] > 0.55 * full


def test_a_cell_takes_its_short_circuit_current_up_for_some_hundredths_of_a_volt() -> None:
    above = cell_voltage(CELL, np.array([-CELL.photocurrent_A]))[0] - cell_voltage(CELL, NONE)[0]
    assert 0.03 < above < 0.09


def test_without_resistance_more_light_would_give_more_than_its_share_of_power() -> None:
    """The white wall of the railing: the voltage grows with the light, and resistance takes that back."""
    cell = CATALOGUE["hetero-120"].cell
    amps = np.linspace(0.0, 6.0, 6_001)
    black, white = 0.65, 0.65 + 0.9 * 0.26
    gain = {}
    for name, kind in (("without", replace(cell, series_resistance_ohm=0.0)), ("with", cell)):
        volts = [cell_voltage(kind, amps, light, 5.0) for light in (black, white)]
        few, many = (greatest_power(one, amps)[0] for one in volts)
        gain[name] = many / few
    assert gain["without"] > 1.01 * white / black
    assert gain["with"] == pytest.approx(white / black, rel=1e-3)
