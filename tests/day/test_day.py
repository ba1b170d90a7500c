"""A day on the roof: true shadows cell by cell, power against time, energy."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from functools import cache

import numpy as np
import pytest

from pvsim.array import CATALOGUE, module_size
from pvsim.array.array import Array, Module, String
from pvsim.array.change import add_fault, add_shadow, paint
from pvsim.array.day import Day
from pvsim.array.fault import Fault
from pvsim.array.layout import place_boxes_of, roof_of, roof_rectangles
from pvsim.array.light import Shadow
from pvsim.array.mounting import Row, Spot, Surface, surface_box
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.array.solve import solve_array, solve_in_light
from pvsim.array.weather import Weather
from pvsim.day import day_energy, day_light, film_of, surface_planes
from pvsim.day.day_light import DayLight, cells_light
from pvsim.day.film import climb
from pvsim.errors import FileError, PvsimError, ScenarioError
from pvsim.files import read_demo, read_scenario, write_scenario
from pvsim.files.link import pack, unpack
from pvsim.sky.clear_sky import SkyLight
from pvsim.sky.finite_row import FiniteRowView, finite_row_light, finite_row_view
from pvsim.sky.module_rows import ModuleRows
from pvsim.sky.plane import plane_axes
from pvsim.sky.site import Site
from pvsim.sky.solid import Box, Pole, TiltedRectangle
from pvsim.sky.sun import sun_vectors

SITE = Site(latitude_deg=54.0, longitude_deg=15.0, utc_offset_h=1.0)  # an invented harbour town
SUMMER = Day(site=SITE, date=date(2026, 6, 21))
STEP_min = 30.0


def roof(*solids, surfaces: tuple[Surface, ...] | None = None, kind: str = "full-60", **day) -> Scenario:
    """One string of four in a row, or one on each of the surfaces given."""
    surfaces = surfaces or (Surface(type=kind, rows=(Row(places=4),), tilt_deg=30.0, height_m=3.0),)
    modules = [
        [Module(kind, spot=Spot(number, 1, place + 1)) for place in range(surface.rows[0].places)]
        for number, surface in enumerate(surfaces, start=1)
    ]
    array = Array(strings=tuple(String(modules=tuple(one)) for one in modules), surfaces=surfaces)
    return Scenario(title="day", array=array, day=replace(SUMMER, solids=tuple(solids), **day))


def test_on_a_clear_day_the_middle_of_the_day_gives_most_and_both_halves_are_alike() -> None:
    light = day_light(roof(), step_min=STEP_min)
    got = cells_light(light)[:, 0]
    best = int(np.argmax(got))
    assert abs(light.hour[best] - 12.0) <= 0.5  # 15 degrees east with a clock one hour ahead of UTC
    assert 900.0 < got[best] < 1100.0
    mirrored = np.interp(24.0 - light.hour, light.hour, got)
    assert got[best - 8 : best + 9] == pytest.approx(mirrored[best - 8 : best + 9], rel=0.03)


@pytest.mark.parametrize("azimuth", [90.0, 180.0, 225.0])
def test_a_cell_is_dark_when_the_pole_stands_in_its_way_to_the_sun(azimuth: float) -> None:
    """Each cell's middle, followed along a ray to the sun, by hand and not by projection."""
    surface = Surface(type="full-60", rows=(Row(places=4),), tilt_deg=35.0, azimuth_deg=azimuth, height_m=2.0)
    pole = Pole(x_m=2.0, y_m=-4.0, radius_m=0.4, height_m=9.0)
    now = roof(pole, surfaces=(surface,))
    light = day_light(now, step_min=STEP_min)
    shaded = cells_light(light) < cells_light(day_light(now, step_min=STEP_min, shadows=False)) * 0.999
    ((plane, corner),) = surface_planes(now)
    right, down, _normal = plane_axes(plane, facing_deg=azimuth)
    rectangles = roof_rectangles(now)
    middles = (rectangles[:, :2] + rectangles[:, 2:]) / 2.0 - corner
    points = np.array(plane.origin_m) + middles[:, :1] * right + middles[:, 1:] * down
    assert points[:, 2].min() > 2.0, "the lower edge stands at its height"
    toward = sun_vectors(light.sun.apparent_zenith_deg, light.sun.azimuth_deg, facing_deg=azimuth)
    hit = 0
    for at, s in enumerate(toward):
        if light.planes[0].beam_W_m2[at] < 1.0:
            continue
        for k, p in enumerate(points):
            to_axis = np.array([pole.x_m, pole.y_m]) - p[:2]
            flat = s[:2] / np.hypot(*s[:2])
            along, aside = float(to_axis @ flat), abs(float(flat[0] * to_axis[1] - flat[1] * to_axis[0]))
            z = p[2] + along * s[2] / np.hypot(*s[:2])
            if along > 1.0 and aside < pole.radius_m - 0.12 and z < pole.height_m - 0.8:
                assert shaded[at, k]
                hit += 1
            if along < -1.0 or aside > pole.radius_m + 0.15:
                assert not shaded[at, k]
    assert hit > 5


def test_a_row_in_front_shades_the_one_behind_as_its_profile_angle_says() -> None:
    """Two racks facing south at noon: the shadow's height on the rear one is textbook trigonometry."""
    tilt, pitch = 30.0, 3.0
    behind = Surface(type="full-60", rows=(Row(places=12),), tilt_deg=tilt, height_m=0.5)
    front = replace(behind, y_m=pitch)
    winter = roof(surfaces=(behind, front), date=date(2026, 12, 21))
    light = day_light(winter, step_min=STEP_min)
    at = int(np.argmin(np.abs(light.hour - 12.0)))
    got = cells_light(light)[at]
    slope = module_size(CATALOGUE["full-60"])[1]
    elevation = math.radians(90.0 - float(light.sun.apparent_zenith_deg[at]))
    b = math.radians(tilt)
    # The ray over the front's upper edge meets the slope behind at this length up from its lower edge:
    top_y, top_z = slope * math.cos(b), slope * math.sin(b)
    shaded_m = (top_z - (pitch - top_y) * math.tan(elevation)) / (
        math.sin(b) + math.cos(b) * math.tan(elevation)
    )
    assert 0.2 < shaded_m < slope - 0.2
    middle = slice(6 * 60, 7 * 60)  # a module far from the ends of the row
    _left, upper, _right, lower = roof_rectangles(winter)[middle].T
    dark = np.clip((shaded_m - (slope - lower)) / (lower - upper), 0.0, 1.0)
    lit = (got[middle] - got[middle].min()) / np.ptp(got[middle])
    assert lit == pytest.approx(1.0 - dark, abs=0.05)
    assert got[12 * 60 :] == pytest.approx(got[12 * 60], rel=1e-6), "nothing stands before the front row"


def test_what_lies_on_the_glass_and_what_is_broken_counts_all_day() -> None:
    now = roof()
    half = paint(now, [Place(1, 1)], 0.5)
    ratio = cells_light(day_light(half, step_min=60.0)) / cells_light(day_light(now, step_min=60.0))
    assert ratio[:, :60] == pytest.approx(0.5, rel=1e-4)
    assert ratio[:, 60:] == pytest.approx(1.0, rel=1e-6)
    broken = add_fault(now, Fault("cable-open", Place(1)))
    assert day_energy(broken, step_min=60.0).power_kWh == pytest.approx(0.0, abs=1e-3)


def test_a_frame_is_what_the_array_gives_in_that_light() -> None:
    now = roof()
    film = film_of(now, step_min=60.0)
    frames = list(film.frames())
    at = len(frames) // 2
    G = float(film.cells_W_m2[at, 0])
    alone = replace(now, light=replace(now.light, irradiance_W_m2=G))
    assert frames[at].power_W == pytest.approx(solve_array(alone).power_W, rel=1e-4)
    warm = replace(now, weather=Weather(heat="steady", ambient_temperature_C=30.0))
    assert list(film_of(warm, step_min=60.0).frames())[at].power_W < frames[at].power_W


def test_energy_falls_with_each_thing_that_goes_wrong_and_adds_up() -> None:
    chimney = Box(x_m=2.0, y_m=-3.0, width_m=0.8, depth_m=0.8, height_m=6.5)
    now = add_fault(roof(chimney), Fault("diode-short", Place(1, 2, diode=1)))
    heard = []
    day = day_energy(now, step_min=STEP_min, heard=lambda name, frame: heard.append((name, frame.at)))
    assert day.open_kWh > day.shaded_kWh > day.power_kWh >= day.followed_kWh > 0.0
    assert day.power_kWh == pytest.approx(np.trapezoid(day.power_W, day.hour) / 1000.0, rel=0.01)
    assert heard[0] == ("power", 0)
    assert {name for name, _at in heard} == {"power", "shaded", "open"}
    assert (day.followed_W <= day.power_W + 1e-9).all()


def test_who_climbs_stays_on_the_nearest_peak() -> None:
    V = np.linspace(0.0, 10.0, 101)
    P = 3.0 * np.exp(-((V - 3.0) ** 2)) + 2.0 * np.exp(-((V - 8.0) ** 2))
    assert V[climb(V, P, 9.5)] == pytest.approx(8.0)
    assert V[climb(V, P, 1.0)] == pytest.approx(3.0)
    assert V[::-1][climb(V[::-1], P[::-1], 9.5)] == pytest.approx(8.0)


def test_rear_light_is_brighter_at_the_edges_and_counts_by_bifaciality() -> None:
    rack = Surface(type="half-144", rows=(Row(places=3),), tilt_deg=30.0, height_m=1.0)
    now = roof(surfaces=(rack,), kind="half-144", ground_reflectance=0.5)
    dark = replace(now, day=replace(now.day, ground_reflectance=0.0))
    light = day_light(now, step_min=60.0)
    noon = int(np.argmin(np.abs(light.hour - 12.0)))
    gain = (cells_light(light) - cells_light(day_light(dark, step_min=60.0)))[noon]
    rear = light.rear_W_m2[0][noon]
    middle = rear[rear.shape[0] // 2]
    assert middle[0] > middle[len(middle) // 2], "the lower edge sees more of the lit ground"
    ends = rear[[0, -1]].mean(axis=1)
    assert (ends > 1.02 * middle.mean()).all(), "so do the ends of the row"
    assert gain.min() > 0.0


@cache  # seconds, and the same at every hour
def finely_seen(rows: ModuleRows, length_m: float) -> FiniteRowView:
    return finite_row_view(rows, length_m, across=60, points=60)


def back_by_cells(now: Scenario, light: DayLight, at: int, x_m: np.ndarray) -> np.ndarray:
    """What `finite_row` has for each cell at its height and at a place along the row, more finely."""
    from scipy.interpolate import RegularGridInterpolator

    (surface,), rectangles = now.array.surfaces, roof_rectangles(now)
    left, top, width, height = surface_box(place_boxes_of(now), 1)
    assert (left, top) == (0.0, 0.0)
    rows = ModuleRows(slope_m=height, tilt_deg=surface.tilt_deg, height_m=surface.height_m)
    view = finely_seen(rows, width)
    sky = SkyLight(**{name: getattr(light.sky, name)[at : at + 1] for name in light.sky.__slots__})
    sun = sun_vectors(light.sun.apparent_zenith_deg, light.sun.azimuth_deg, facing_deg=surface.azimuth_deg)
    ground = now.day.ground_reflectance
    falls = finite_row_light(view, sun[at : at + 1], sky, ground_reflectance=ground).total_W_m2[0]
    places = (view.across_m, view.along_m)
    finely = RegularGridInterpolator(places, falls, bounds_error=False, fill_value=None)
    return finely(np.stack([x_m, height - (rectangles[:, 1] + rectangles[:, 3]) / 2.0], axis=1))


def test_the_light_on_a_cells_back_is_that_of_its_module_along_the_row_and_of_its_height() -> None:
    rack = Surface(type="half-144", rows=(Row(places=4),), tilt_deg=25.0, height_m=0.8)
    now = roof(surfaces=(rack,), kind="half-144", ground_reflectance=0.5)
    light = day_light(now, step_min=60.0)
    noon = int(np.argmin(np.abs(light.hour - 12.0)))
    back = (cells_light(light)[noon] - light.planes[0].total_W_m2[noon]) / CATALOGUE["half-144"].bifaciality
    modules = roof_of(now).rectangle
    middles = np.repeat((modules[:, 0] + modules[:, 2]) / 2.0, 144)
    own = back_by_cells(now, light, noon, middles)
    assert back == pytest.approx(own, abs=4.0)  # half a step, and what bends between two fields
    assert np.ptp(own) > 15.0 * 4.0


def test_cells_of_a_module_taken_as_alike_along_the_row_hardly_change_the_power() -> None:
    rack = Surface(type="half-144", rows=(Row(places=4),), tilt_deg=25.0, height_m=0.8)
    now = roof(surfaces=(rack,), kind="half-144", ground_reflectance=0.5)
    film = film_of(now, step_min=60.0)
    for at in range(2, len(film.light.hour), 4):
        x = roof_rectangles(now)[:, [0, 2]].mean(axis=1)
        back = back_by_cells(now, film.light, at, x) * CATALOGUE["half-144"].bifaciality
        by_cells = solve_in_light(film.light.scenario, film.light.planes[0].total_W_m2[at] + back)
        by_modules = solve_in_light(film.light.scenario, film.cells_W_m2[at].astype(float))
        assert by_modules.power_W == pytest.approx(by_cells.power_W, rel=2e-3)


def test_a_day_comes_back_from_file_and_link() -> None:
    solids = (
        Pole(x_m=1.0, y_m=-2.0, radius_m=0.05, height_m=6.0),
        Box(x_m=0.0, y_m=-3.0, width_m=1.0, depth_m=0.5, height_m=2.0, turn_deg=10.0),
        TiltedRectangle(x_m=0.0, y_m=-6.0, width_m=8.0, slope_m=2.0, tilt_deg=30.0),
    )
    now = roof(*solids)
    assert read_scenario(write_scenario(now)) == now
    assert unpack(pack(now)) == now


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('date = "2026-06-21"', 'date = "2026-06-31"', "is no date"),
        ('date = "2026-06-21"', 'date = "1066-06-21"', "a day from 1950"),
        ("latitude_deg = 54.0", "latitude_deg = 154.0", "latitude_deg is 154"),
        ("height_m = 6.0", "height_m = -6.0", "height_m is -6"),
        ('kind = "pole"', 'kind = "pylon"', "pylon"),
        ("radius_m = 0.05", "width_m = 0.05", "width_m"),
        ("ground_reflectance = 0.2", "ground_reflectance = 20", "as a share"),
        ("format = 2", "format = 1", "day"),
    ],
)
def test_a_day_that_cannot_be_is_told_where_it_stands(old: str, new: str, said: str) -> None:
    text = write_scenario(roof(Pole(x_m=1.0, y_m=-2.0, radius_m=0.05, height_m=6.0)))
    assert old in text
    with pytest.raises(FileError, match=said) as found:
        read_scenario(text.replace(old, new, 1), "roof.toml")
    assert "roof.toml" in str(found.value)


def test_a_day_without_sun_or_site_is_told() -> None:
    with pytest.raises(ScenarioError, match="has no day"):
        day_light(replace(roof(), day=None))
    polar = Day(site=Site(latitude_deg=80.0, longitude_deg=15.0), date=date(2026, 12, 21))
    with pytest.raises(PvsimError, match="does not rise"):
        day_light(replace(roof(), day=polar))


def test_the_mast_at_the_nursery_costs_a_substring_at_noon_and_four_times_that_share_of_the_day() -> None:
    """Along the columns its shadow meets one substring of 24; aslant it lies across several modules."""
    rack = read_demo("nursery")
    day = day_energy(rack, step_min=60.0)
    noon = int(np.argmin(np.abs(day.hour - 12.0)))
    at_noon = 1.0 - day.shaded_W[noon] / day.open_W[noon]
    in_all = 1.0 - day.shaded_kWh / day.open_kWh
    assert at_noon == pytest.approx(1.0 / 24.0, abs=0.005)
    assert 3.5 * at_noon < in_all < 4.5 * at_noon
    assert np.array_equal(day.shaded_W, day.power_W), "nothing is broken"


def test_beams_that_hide_the_whole_rear_leave_what_a_module_of_one_side_gives() -> None:
    two_sided = read_demo("nursery")
    kind = CATALOGUE["half-144"]
    assert kind.bifaciality > 0.0
    hidden = add_shadow(
        two_sided, Shadow(kind="rear-beam", x_m=0.0, y_m=0.0, width_m=1000.0, height_m=1000.0)
    )
    one_sided = replace(two_sided, module_types=(replace(kind, bifaciality=0.0),))
    both, beams, front = (day_energy(one, step_min=60.0) for one in (two_sided, hidden, one_sided))
    assert beams.power_kWh == pytest.approx(front.power_kWh, rel=1e-6)
    assert both.power_kWh > 1.05 * front.power_kWh
