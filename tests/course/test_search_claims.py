"""What the last lesson says of readings, cloths and searches, reckoned with numpy alone where that can be."""

from __future__ import annotations

from math import ceil, log2, sqrt

import numpy as np
import pytest

from pvsim.array.catalogue import BYPASS_DIODE, CATALOGUE
from pvsim.array.place import Place
from pvsim.circuit.cell import CellType
from pvsim.course.folder.course_reader import own_course
from pvsim.course.lesson.lesson import Step
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.expression import parse_expression
from pvsim.course.number.solved_scenario import solved
from pvsim.field.search.foresight import Foresight
from pvsim.field.search.searchers import SEARCHERS, search
from tests.course.by_hand import Floats, forward_voltage, row_voltage

CELL: CellType = CATALOGUE["full-60"].cell
MODULES, CELLS = 8, 20
STEPS = {step.id: step for step in next(one for one in own_course().lessons if one.slug == "find-it").steps}
AMPS: Floats = np.linspace(0.0, CELL.photocurrent_A, 4_001)


def read(step: Step, path: str) -> float:
    """A path of the lesson language at the end of a step, its solution played."""
    return value_of(parse_expression(path), Readings(solved(step.finish), solved(step.start)))


def bypassed(current_A: Floats) -> Floats:
    """Voltage of a substring that gives nothing: that of its diode, the wrong way round."""
    return -forward_voltage(BYPASS_DIODE, current_A)


def substring(current_A: Floats, light: float = 1.0) -> Floats:
    return np.maximum(row_voltage(CELL, current_A, [light] * CELLS), bypassed(current_A))


def at_work(strings: list[Floats]) -> tuple[float, list[float]]:
    """Voltage at which strings side by side give most, and the current of each."""
    volts = np.linspace(0.6, 1.0, 4_001) * min(one[0] for one in strings)
    amps = [np.interp(-volts, -one, AMPS) for one in strings]
    best = int(np.argmax(volts * sum(amps)))
    return float(volts[best]), [float(one[best]) for one in amps]


WHOLE = 3 * MODULES * substring(AMPS)


def test_a_shorted_diode_is_told_by_the_other_string_and_not_by_what_is_reckoned() -> None:
    """Limits divided by the square root of 3, squares added (JCGM 100:2008); stated limits as the lesson has
    them."""
    _volts, (sound_A, _other) = at_work([WHOLE, WHOLE])
    _volts, (one_A, two_A) = at_work([WHOLE, WHOLE - substring(AMPS)])
    gap_A, lost_A = one_A - two_A, sound_A - two_A
    meter = 0.02 * two_A + 5 * 0.01 + 0.05
    reckoned = two_A * sqrt(0.05**2 + 0.03**2) / sqrt(3.0)
    unsure_A = sqrt((meter / sqrt(3.0)) ** 2 + reckoned**2)
    apart_A = sqrt((0.01 * two_A) ** 2 + 2 * 0.01**2)
    assert lost_A < 2 * unsure_A
    assert gap_A > 2 * apart_A
    assert gap_A > lost_A > 0.2
    step = STEPS["alike"]  # its cells differ, so its strings lie apart by some hundredths beforehand
    assert read(step, "now[1].current_A - now[2].current_A") == pytest.approx(gap_A, abs=0.2)
    assert read(step, "now[2].current_apart_A") == pytest.approx(apart_A, rel=0.1)
    assert read(step, "now[2].current_unsure_A") == pytest.approx(unsure_A, rel=0.1)


def test_a_cloth_on_a_working_substring_takes_its_voltage_and_on_the_idle_one_nothing() -> None:
    """Substring 2 has an open cell: its diode carries all, whether its cells are lit or dark."""
    idle, working = bypassed(AMPS), substring(AMPS)
    dark = substring(AMPS, 1e-9)
    broken = WHOLE - working + idle
    _volts, (_other, amps) = at_work([WHOLE, broken])
    before = float(np.interp(amps, AMPS, 2 * working + idle))
    _volts, (_other, covered) = at_work([WHOLE, broken - working + dark])
    after = float(np.interp(covered, AMPS, working + idle + dark))
    step = STEPS["cloth"]
    assert read(step, "before[2/6].voltage_V") == pytest.approx(before, abs=0.05)
    assert read(step, "delta[2/6].voltage_V") == pytest.approx(0.0, abs=1e-3)
    said = read(step, "before[2/6/s1].voltage_V - before[2/6/s2].voltage_V")
    assert before - after == pytest.approx(said, abs=0.2)


def test_a_shorted_diode_under_the_cloth_is_as_silent_as_an_open_cell() -> None:
    """Across a wire nothing stands, and dark cells behind it change that as little as lit ones; away from it
    the open cell's diode takes the half volt that tells the two apart."""
    amps = read(STEPS["cloth"], "now[2/6/d2].current_A")
    across = float(bypassed(np.array([amps]))[0])
    assert -0.7 < across < -0.3
    assert read(STEPS["two-strings"], "now[2/4/s2].voltage_V") == pytest.approx(0.0, abs=0.02)
    assert read(STEPS["halves"], "now[1/3/s2].voltage_V") < -0.3


def test_who_halves_needs_a_fraction_of_who_guesses_and_the_best_half_of_that() -> None:
    """The minutes that the text has as typed; how searchers search is pvsim's own."""
    halves = STEPS["halves"].search
    assert halves is not None
    know = Foresight(halves.case)
    found = {who: search(halves.case, who, know) for who in SEARCHERS}
    assert {who: one.transcript.minutes for who, one in found.items()} == {
        "guess": 113.0,
        "halve": 16.0,
        "best": 8.0,
    }
    assert all(one.solved for one in found.values())
    best = found["best"].transcript.lines
    assert [(line.act.kind, line.act.place) for line in best] == [
        ("picture", Place(1)),
        ("picture", Place(1, 3)),
    ]


def test_a_reading_of_two_outcomes_tells_one_bit_when_it_halves() -> None:
    told = [-(p * log2(p) + (1 - p) * log2(1 - p)) for p in np.arange(1, 6) / 6]
    assert told[2] == pytest.approx(1.0)
    assert max(told) == told[2]
    assert ceil(log2(6)) == 3  # readings that are enough for six modules, as the step asks
