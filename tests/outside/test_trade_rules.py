"""What installers count on: rules of the trade, and faults of bypass diodes.

Sources: IEA-PVPS T13-30:2025, section 2.4.2 (open substring, diode faults); the others are
common practice, no source, and follow from adding voltages and currents.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from pvsim.circuit import (
    Cell,
    Diode,
    Element,
    Parallel,
    Resistor,
    Series,
    diode_from_forward_drop,
    operate,
    solve,
)
from tests.circuit.samples import PLAIN

LIT = Cell(type=PLAIN)
CHAIN = Series((LIT,) * 20)
DIODE = diode_from_forward_drop(0.5, 9.5)
OPEN_CHAIN = Series((replace(LIT, condition="open"), *(LIT,) * 19))


def module(first: Element = CHAIN, diode: Diode = DIODE) -> Element:
    """Three substrings of 20 cells, a diode across each."""
    return Series((Parallel((first, diode)), Parallel((CHAIN, DIODE)), Parallel((CHAIN, DIODE))))


def test_a_good_silicon_cell_has_about_600_mV() -> None:
    assert 0.55 <= solve(module()).voc_V / 60 <= 0.75  # common practice


def test_two_parallel_halves_look_like_300_mV_for_each_cell_counted() -> None:
    half_cells = Series((Parallel((Series((LIT,) * 20), Series((LIT,) * 20), DIODE)),) * 3)
    assert 0.28 <= solve(half_cells).voc_V / 120 <= 0.375  # common practice


def test_modules_multiply_the_voltage_and_strings_the_current() -> None:
    one, array = solve(module()), solve(Parallel((Series((module(),) * 5),) * 3))
    assert array.voc_V == pytest.approx(5.0 * one.voc_V, rel=1e-9)
    assert array.isc_A == pytest.approx(3.0 * one.isc_A, rel=1e-9)
    assert array.mpp.power_W == pytest.approx(15.0 * one.mpp.power_W, rel=1e-9)


def test_an_open_string_takes_its_share_of_the_current_and_leaves_the_voltage() -> None:
    string = Series((module(),) * 4)
    broken = Series((string, Resistor(resistance_ohm=1e12)))
    whole, less = solve(Parallel((string,) * 3)), solve(Parallel((string, string, broken)))
    assert less.isc_A == pytest.approx(2.0 / 3.0 * whole.isc_A, rel=1e-9)
    assert less.voc_V == pytest.approx(whole.voc_V, rel=1e-9)
    assert less.mpp.power_W == pytest.approx(2.0 / 3.0 * whole.mpp.power_W, rel=1e-9)


def test_an_open_substring_of_three_leaves_two_thirds_less_the_diode_drop() -> None:
    whole, less = solve(module()), solve(module(OPEN_CHAIN))

    def left(I: float) -> float:
        drop = -operate(DIODE, current_A=I).voltage_V
        return -I * (2.0 * operate(CHAIN, current_A=I).voltage_V - drop)

    best = -minimize_scalar(left, bounds=(7.0, 9.5), method="bounded", options={"xatol": 1e-7}).fun
    assert less.mpp.power_W == pytest.approx(best, rel=1e-5)  # leakage of the diodes
    # The report: voltage and power of 2/3; the drop of one diode in 39 V takes 1.5 % more.
    assert less.mpp.power_W / whole.mpp.power_W == pytest.approx(2.0 / 3.0, abs=0.025)
    ideal = module(OPEN_CHAIN, replace(DIODE, condition="short"))
    assert solve(ideal).mpp.power_W == pytest.approx(2.0 / 3.0 * whole.mpp.power_W, rel=1e-6)


def test_an_open_diode_shows_nothing_in_even_light() -> None:
    # Apart from the leakage of the diode, here 1e9 ohm.
    tight = replace(DIODE, leakage_resistance_ohm=1e9, saturation_current_A=1e-12)
    whole, missing = (module(diode=one) for one in (tight, replace(tight, condition="open")))
    for voltage_V in np.linspace(0.0, 39.0, 14):
        one, two = (operate(part, voltage_V=voltage_V).current_A for part in (whole, missing))
        assert one == pytest.approx(two, abs=2e-8)  # 13 V over 1e9 ohm, and the solver's 1e-9 of 9.5 A


def test_a_shorted_diode_of_three_takes_a_third_of_the_voltage() -> None:
    whole, shorted = solve(module()), solve(module(diode=replace(DIODE, condition="short")))
    assert shorted.voc_V == pytest.approx(2.0 / 3.0 * whole.voc_V, rel=1e-4)  # Isc over 1e-6 ohm
    assert shorted.mpp.power_W == pytest.approx(2.0 / 3.0 * whole.mpp.power_W, rel=1e-4)


def test_at_night_an_open_diode_shows_as_a_high_voltage_at_a_small_reverse_current() -> None:
    # The report: 3 to 5 % of Isc driven through the dark string, forward through its diodes.
    dark = Series((replace(LIT, irradiance_W_m2=0.0),) * 20)
    test_A = 0.04 * solve(LIT).isc_A
    good = Series((Parallel((dark, DIODE)),) * 3)
    broken = Series((Parallel((dark, DIODE)), Parallel((dark, DIODE)), dark))
    assert -2.0 <= operate(good, current_A=test_A).voltage_V < 0.0
    assert operate(broken, current_A=test_A).voltage_V < -50.0


def test_covering_a_bypassed_substring_changes_nothing() -> None:
    # How a substring that is already bypassed is found.
    missing = module(OPEN_CHAIN)
    covered = module(Series((replace(LIT, condition="open"), *(replace(LIT, irradiance_W_m2=0.0),) * 19)))
    assert solve(covered).mpp.power_W == pytest.approx(solve(missing).mpp.power_W, rel=1e-6)  # leakage
