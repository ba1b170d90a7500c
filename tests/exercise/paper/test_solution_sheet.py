"""The solution: the same axes with curves, answers with unit and tolerance, five levels, misconceptions."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array import solve_array
from pvsim.exercise import ExerciseCase, own_exercises
from pvsim.exercise.paper import parts_of_case, parts_of_scenario, solution_sheet
from pvsim.exercise.paper.document import Grid, Options
from pvsim.exercise.paper.picture import blank_panels, draw_solved, solved_panels
from pvsim.exercise.paper.scene import changed_cell, curves_of, part_shown
from pvsim.files.demo import read_demo
from pvsim.numbers import MINUS
from pvsim.reading.own_curve import own_curve
from pvsim.words import speaking
from tests.exercise.paper.contents import flat, texts


@pytest.fixture(scope="module")
def parts():
    return parts_of_case(own_exercises("diode"), ExerciseCase(seed=5))


@pytest.fixture(scope="module")
def document(parts):
    with speaking("en"):
        return solution_sheet(parts, title="A solution", language="en")


def number(text):
    return float(text.replace(MINUS, "-").replace("\u202f", "").removesuffix("%").strip("\u00a0"))


def test_axes_are_those_of_the_work_sheet(parts):
    for part in parts:
        for blank, solved in zip(blank_panels(part.scene), solved_panels(part.scene), strict=True):
            assert (blank.across, blank.up) == (solved.across, solved.up)
            assert len(solved.traces) == (1 if part.scene.start is None else 2)


def test_curves_are_those_that_the_solver_finds_before_and_after(parts):
    scene = parts[0].scene
    place = part_shown(scene)
    for curve, scenario in zip(curves_of(scene), (scene.finish, scene.start), strict=True):
        found = own_curve(solve_array(scenario), place)
        at = np.linspace(0.0, 0.98 * found.voc_V, 50)
        drawn = np.interp(at, curve.voltage_V, curve.current_A)
        there = np.interp(at, found.voltage_V, found.current_A)
        assert np.abs(drawn - there).max() < 0.01 * found.isc_A  # two samplings of one curve
    assert [curve.before for curve in curves_of(scene)] == [False, True]


def test_axes_hold_every_maximum(parts):
    for part in parts:
        for panel in solved_panels(part.scene):
            for point in panel.points:
                assert panel.across.least < point.x < panel.across.most
                assert panel.up.least <= point.y < panel.up.most


def test_answers_stand_there_with_unit_and_tolerance(document, parts):
    item = parts[0].asked
    assert f"**Answer: {item.value:.1f}\u00a0W ± {item.tolerance:.2f}\u00a0W" in "\n".join(texts(document))
    crossed = [one for one in flat(document) if isinstance(one, Options)]
    assert [one.right for one in crossed] == [1, 2]  # second and third, says lessons/exercises/diode.toml


def test_misconceptions_stand_there_with_their_idea_and_feedback(document, parts):
    rows = [row for one in flat(document) if isinstance(one, Grid) for row in one.rows]
    wrong = parts[0].asked.misconceptions[0]
    assert (f"{wrong.value:.1f}\u00a0W", wrong.idea, wrong.feedback) in rows


def test_five_levels_are_the_powers_of_the_solved_array(document, parts):
    scene = parts[0].scene
    grid = next(one for one in flat(document) if isinstance(one, Grid) and "Five levels" in one.caption)
    assert [row[0] for row in grid.rows] == ["cell", "substring", "module", "string", "array"]
    now, before = solve_array(scene.finish), solve_array(scene.start)
    array = grid.rows[-1]
    assert number(array[2]) == pytest.approx(before.cells.power_W.sum(), rel=1e-2)  # wires take the rest
    cell = changed_cell(scene).cell
    assert number(grid.rows[0][3]) == pytest.approx(min(now.cells.power_W), abs=0.01)
    assert int(np.argmin(now.cells.irradiance_W_m2)) == cell - 1 == int(np.argmin(now.cells.power_W))
    for row in grid.rows:
        assert number(row[4]) == pytest.approx(number(row[3]) - number(row[2]), abs=0.02)
        assert number(row[5]) == pytest.approx(100 * number(row[4]) / number(row[2]), rel=0.01)


def test_cells_that_eat_power_are_told_below_the_array(parts):
    _drawing, caption = draw_solved(parts[0].scene)
    assert "1 hatched cell eats power" in caption


def test_a_scenario_in_good_order_has_one_curve_and_no_levels():
    parts = parts_of_scenario(read_demo("workshop"))
    with speaking("en"):
        found = flat(solution_sheet(parts, title="A solution", language="en"))
    assert len(solved_panels(parts[0].scene)[0].traces) == 1
    assert not any(isinstance(one, Grid) and "Five" in one.caption for one in found)
