"""One time of a day in full, and films that are alike solved once."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from pvsim.array.change import add_fault
from pvsim.array.day import Day
from pvsim.array.fault import Fault
from pvsim.array.place import Place
from pvsim.array.rewire import on_surfaces
from pvsim.array.scenario import Scenario
from pvsim.array.solve import part_curve, solve_array, solve_in_light
from pvsim.day import day_films, film_of, moment_at, play, scene_of
from pvsim.day.moment import cut_to_box
from pvsim.files import read_demo
from pvsim.sky.site import Site
from pvsim.sky.solid import Box

SITE = Site(latitude_deg=54.0, longitude_deg=15.0, utc_offset_h=1.0)
STEP_min = 60.0


def roof(*solids: Box, name: str = "workshop") -> Scenario:
    return replace(on_surfaces(read_demo(name)), day=Day(site=SITE, date=date(2026, 6, 21), solids=solids))


CHIMNEY = Box(x_m=4.0, y_m=-5.0, width_m=0.8, depth_m=0.6, height_m=7.0)


def test_at_each_time_a_moment_has_the_power_that_the_film_has_found() -> None:
    film = film_of(roof(CHIMNEY), step_min=STEP_min)
    scene = scene_of(film)
    for frame in film.frames():
        searched = moment_at(scene, frame.at)
        held = moment_at(scene, frame.at, voltage_V=frame.voltage_V)
        assert searched.solution.power_W == pytest.approx(frame.power_W, rel=1e-9)
        assert held.solution.power_W == pytest.approx(frame.power_W, rel=1e-9)
        assert held.hour == frame.hour


def test_light_that_is_the_scenarios_own_is_solved_as_the_scenario_is() -> None:
    scenario = read_demo("workshop")
    own = solve_array(scenario)
    found = solve_in_light(scenario, own.cells.irradiance_W_m2)
    assert found.power_W == pytest.approx(own.power_W, rel=1e-12)
    assert found.cells.voltage_V == pytest.approx(own.cells.voltage_V, abs=1e-9)


def test_a_cell_is_below_its_full_light_where_a_shadow_is_drawn_and_nowhere_else() -> None:
    from pvsim.array.layout import roof_rectangles

    now = roof(CHIMNEY)
    scene = scene_of(film_of(now, step_min=STEP_min))
    rectangles = roof_rectangles(now)
    seen = 0
    for at in range(len(scene.film.light.hour)):
        moment = moment_at(scene, at)
        dark = moment.solution.cells.irradiance_W_m2 < 0.999 * moment.full_W_m2
        seen += int(dark.sum())
        boxes = [(*shape.min(axis=0), *shape.max(axis=0)) for shape in moment.shadows]
        for left, top, right, bottom in rectangles[dark]:
            assert any(left < b[2] and right > b[0] and top < b[3] and bottom > b[1] for b in boxes)
        if not moment.shadows:
            assert not dark.any()
    assert seen > 20


def test_axes_that_are_made_for_a_scene_hold_all_day() -> None:
    scene = scene_of(film_of(roof(CHIMNEY), step_min=STEP_min))
    bright = part_curve(solve_array(scene.scenario), Place()).isc_A
    for at in range(len(scene.film.light.hour)):
        moment = moment_at(scene, at)
        assert moment.solution.scenario is scene.scenario
        assert moment.solution.characteristic.isc_A <= bright * (1.0 + 1e-6)


def test_the_sun_is_highest_at_noon_and_stands_in_the_south_then() -> None:
    scene = scene_of(film_of(roof(), step_min=STEP_min))
    moments = [moment_at(scene, at) for at in range(len(scene.film.light.hour))]
    noon = max(moments, key=lambda one: one.elevation_deg)
    assert noon.hour == 12.0  # 15 degrees east, a clock one hour ahead of UTC
    assert abs(noon.azimuth_deg - 180.0) < 2.0
    assert noon.elevation_deg == pytest.approx(90.0 - 54.0 + 23.44, abs=0.1)  # declination at the solstice


def test_films_that_would_be_alike_are_solved_once() -> None:
    plain = day_films(roof(), step_min=STEP_min)
    assert plain.power is plain.shaded is plain.open
    shaded = day_films(roof(CHIMNEY), step_min=STEP_min)
    assert shaded.power is shaded.shaded is not shaded.open
    broken = add_fault(roof(CHIMNEY), Fault("cell-open", Place(1, 2, cell=3)))
    films = day_films(broken, step_min=STEP_min)
    assert len({id(one) for one in (films.power, films.shaded, films.open)}) == 3
    heard: list[str] = []
    found = play(films, heard=lambda name, _frame: heard.append(name))
    assert len(heard) == films.to_solve == 3 * len(found.hour)
    assert found.power_kWh < found.shaded_kWh < found.open_kWh


@pytest.mark.parametrize(
    ("corners", "area"),
    [
        pytest.param([(1, 1), (2, 1), (2, 2), (1, 2)], 1.0, id="within"),
        pytest.param([(-5, -5), (9, -5), (9, 9), (-5, 9)], 12.0, id="around-all"),
        pytest.param([(3, 1), (5, 1), (5, 2), (3, 2)], 1.0, id="over-an-edge"),
        pytest.param([(-2, 0), (0, -2), (2, 0), (0, 2)], 2.0, id="over-a-corner"),
        pytest.param([(8, 8), (9, 8), (9, 9)], 0.0, id="outside"),
    ],
)
def test_a_shadow_is_cut_off_at_the_edges_of_its_surface(
    corners: list[tuple[float, float]], area: float
) -> None:
    """A box of 4 by 3 from the origin; areas by hand."""
    shape = cut_to_box(np.array(corners, dtype=float), (0.0, 0.0, 4.0, 3.0))
    x, y = shape.T if len(shape) else (np.zeros(0), np.zeros(0))
    found = 0.5 * abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))))
    assert found == pytest.approx(area)
    assert (shape >= -1e-12).all()
    assert (shape <= (4.0 + 1e-12, 3.0 + 1e-12)).all()
