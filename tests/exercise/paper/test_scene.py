"""Axes that hold what is to be drawn, and tell nothing of it."""

from __future__ import annotations

import pytest

from pvsim.array import Place, paint, set_light
from pvsim.exercise.paper.scene import Scene, changed_cell, part_shown, scale_of
from pvsim.files.demo import read_demo


@pytest.fixture(scope="module")
def module():
    return read_demo("single-module")


def test_axes_are_the_same_whatever_the_shade_is(module):
    found = {
        scale_of(Scene(start=module, finish=paint(module, [Place(1, 1, cell=9)], light), focus=Place(1, 1)))
        for light in (0.0, 0.3, 0.9)
    }
    assert len(found) == 1


def test_axes_end_at_round_values_above_what_is_drawn(module):
    axes = scale_of(Scene(start=None, finish=module, focus=Place(1, 1)))
    assert (axes.voltage_V, axes.current_A, axes.power_W) == ((0.0, 50.0), (0.0, 14.0), (0.0, 400.0))


def test_axes_grow_where_more_light_would_leave_them(module):
    more = set_light(module, irradiance_W_m2=1800.0)
    axes = scale_of(Scene(start=module, finish=more, focus=Place(1, 1)))
    assert axes.current_A[1] > 1.8 * 10.9  # Isc of the module at 1000 W/m2, which follows the light


def test_a_cell_is_shown_by_its_module_and_trackers_by_a_string(module):
    assert part_shown(Scene(start=None, finish=module, focus=Place(1, 1, cell=9))) == Place(1, 1)
    assert part_shown(Scene(start=None, finish=read_demo("ferry-terminal"))) == Place(1)


def test_the_cell_that_changed_most_is_found_among_equal_arrays(module):
    shaded = paint(module, [Place(1, 1, cell=9)], 0.2)
    assert changed_cell(Scene(start=module, finish=shaded)) == Place(1, 1, cell=9)
