"""The numbers of the first lessons, from a few lines of numpy and from the solver: the same."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array.catalogue import BYPASS_DIODE, CATALOGUE
from pvsim.course.folder.course_reader import own_course
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.expression import parse_expression
from pvsim.course.number.solved_scenario import solved
from tests.course.by_hand import (
    cell_voltage,
    forward_voltage,
    greatest_power,
    row_voltage,
    substring_voltage,
)

CELL = CATALOGUE["full-60"].cell
AMPS = np.linspace(0.0, 1.0005 * CELL.photocurrent_A, 16_001)
TOLERANCE = 2e-3  # tables of some thousand points, read by interpolation
SHADED = [0.2] + [1.0] * 19
LIT = substring_voltage(CELL, BYPASS_DIODE, AMPS, [1.0] * 20)


def told(step: str, expression: str) -> float:
    """What a lesson says after the solution of a step."""
    slug, name = step.split("/")
    lesson = next(one for one in own_course().lessons if one.slug == slug)
    found = next(one for one in lesson.steps if one.id == name)
    return value_of(parse_expression(expression), Readings(solved(found.finish), solved(found.start)))


def module(shade: float) -> np.ndarray:
    return 2 * LIT + substring_voltage(CELL, BYPASS_DIODE, AMPS, [shade] + [1.0] * 19)


def test_a_leaf_on_sixty_cells_without_diodes() -> None:
    volts = row_voltage(CELL, AMPS, [0.2] + [1.0] * 59)
    top_W, _ = greatest_power(volts, AMPS)
    assert told("hungry-cell/one-in-sixty", "now[1/1].power_W") == pytest.approx(top_W, rel=TOLERANCE)
    at = AMPS[int(np.argmax(volts * AMPS))]
    eaten = -at * cell_voltage(CELL, np.array([at]), 0.2)[0]
    assert told("hungry-cell/one-in-sixty", "now[1/1/14].eaten_W") == pytest.approx(eaten, rel=0.02)  # flat


def test_a_leaf_on_sixty_cells_at_short_circuit() -> None:
    volts = row_voltage(CELL, AMPS, [0.2] + [1.0] * 59)
    at = np.interp(0.0, -volts, AMPS)
    eaten = -at * cell_voltage(CELL, np.array([at]), 0.2)[0]
    assert told("hungry-cell/the-worst-load", "now[1/1/14].eaten_W") == pytest.approx(eaten, rel=TOLERANCE)


def test_a_leaf_on_a_module_with_diodes() -> None:
    top_W, _ = greatest_power(module(0.2), AMPS)
    assert told("diode/with-diodes", "now[1/1].power_W") == pytest.approx(top_W, rel=TOLERANCE)


def test_the_heat_of_the_diode_at_short_circuit() -> None:
    at = np.interp(0.0, -module(0.2), AMPS)
    row = row_voltage(CELL, AMPS, SHADED)
    amps = np.linspace(1e-6, at, 20_001)  # of the diode; the row carries the rest at minus its voltage
    around = np.interp(0.0, forward_voltage(BYPASS_DIODE, amps) + np.interp(at - amps, AMPS, row), amps)
    heat_W = around * forward_voltage(BYPASS_DIODE, np.array([around]))[0]
    assert told("diode/own-heat", "-now[1/1/d1].power_W") == pytest.approx(heat_W, rel=TOLERANCE)


@pytest.mark.parametrize(("rise", "resistance_K_W"), [("rise_to_case_K", 7.0), ("rise_to_air_K", 40.0)])
def test_how_warm_the_diode_gets_in_a_box_of_75_degrees(rise: str, resistance_K_W: float) -> None:
    """By the heat that it makes at that warmth, not by that of a cold one."""
    kelvins, amps = (
        told("diode/own-heat", f"now[1/1/d1].{rise}"),
        told("diode/own-heat", "now[1/1/d1].current_A"),
    )
    volts = forward_voltage(BYPASS_DIODE, np.array([amps]), 50.0 + kelvins)[0]
    assert kelvins == pytest.approx(resistance_K_W * amps * volts, rel=TOLERANCE)


def test_how_many_lit_cells_feed_the_shaded_one() -> None:
    """Each of the fifty-nine at the current that is forced through it, not as they were before."""
    volts = row_voltage(CELL, AMPS, [0.2] + [1.0] * 59)
    at = AMPS[int(np.argmax(volts * AMPS))]
    lit, shaded = (at * cell_voltage(CELL, np.array([at]), light)[0] for light in (1.0, 0.2))
    expression = "now[weakest].eaten_W * (now[1/1].cells - 1) / (now[1/1].power_W + now[weakest].eaten_W)"
    assert told("hungry-cell/one-in-sixty", expression) == pytest.approx(-shaded / lit, rel=0.02)


@pytest.mark.parametrize(("step", "shade"), [("light-shade", 0.7), ("the-jump", 0.5)])
def test_the_tops_of_a_module_with_one_shaded_cell(step: str, shade: float) -> None:
    top_W, top_V = greatest_power(module(shade), AMPS)
    assert told(f"two-tops/{step}", "now[1/1].power_W") == pytest.approx(top_W, rel=TOLERANCE)
    assert told(f"two-tops/{step}", "now[1/1].voltage_V") == pytest.approx(top_V, rel=1e-2)  # flat top


def test_what_light_and_heat_do_to_a_voltage() -> None:
    none = np.zeros(1)
    half = cell_voltage(CELL, none, 0.5)[0]
    assert told("one-cell/half-the-light", "now[1/1/1].voc_V") == pytest.approx(half, rel=TOLERANCE)
    warm = cell_voltage(CELL, none, 1.0, 40.0)[0]
    assert told("one-cell/hot-cell", "now[1/1/1].voc_V") == pytest.approx(warm, rel=TOLERANCE)


def test_a_dark_cell_at_open_circuit() -> None:
    """The diode's leakage flows on through the dark cell and takes some millivolts more."""
    lost = told("read-the-label/cardboard", "-delta[1/1].voc_V")
    assert lost == pytest.approx(cell_voltage(CELL, np.zeros(1))[0], abs=5e-3)
