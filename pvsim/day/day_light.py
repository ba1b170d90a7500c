"""What every cell of a roof gets in the course of a clear day.

Front of cell k at one time, with s the lit share of its area (solid things and surfaces in front of its
own take the beam away, by true projection) and p what paint, dirt and things on the glass leave:

    G = p_k (s_k beam + sky + ground)

The back of a bifacial module gets what `pvsim.sky.finite_row` says for rows on level ground, by its
bifaciality: module by module along its row, brighter towards the ends, and cell by cell up the slope.
Shadows that were drawn by hand as cast from afar have no place in a day: its own are thrown by what stands
there. The factors by which strings and surfaces get more or less light are not looked at either: the sun's
way says that.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from pvsim.array.day import Day
from pvsim.array.index import array_index
from pvsim.array.layout import Roof, cells_on_roof, place_boxes_of, roof_of
from pvsim.array.light import CAST_KINDS, REAR_KINDS
from pvsim.array.mounting import surface_box
from pvsim.array.rewire import on_surfaces
from pvsim.array.scenario import Scenario
from pvsim.array.shading import cell_irradiance, lit_share, shadow_share
from pvsim.circuit import budget
from pvsim.circuit.floats import Floats
from pvsim.day.site_planes import facing_deg, rack_rows, surface_planes, surface_solids
from pvsim.errors import ScenarioError
from pvsim.prompt import summary
from pvsim.sky.clear_sky import SkyLight, clear_sky
from pvsim.sky.finite_row import FiniteRowView, finite_row_light, finite_row_view
from pvsim.sky.module_rows import ModuleRows
from pvsim.sky.plane import PlaneLight, plane_light
from pvsim.sky.projection import shadow_polygons
from pvsim.sky.site import clock_hours
from pvsim.sky.sun import Sun, sun_path, sun_vectors
from pvsim.words import _

__all__ = ["DayLight", "cells_light", "day_light"]

REAR_POINTS = 12  # along a slope; cells lie between them
REAR_FIELD_m = 0.4  # along a row; within its ends' reach, which is about the modules' size
MOST_REAR_FIELDS = 40
LONGEST_ROW_m = 1000.0
REAR_STEP_W_m2 = 1.0  # the back's light in such steps, a thousandth of the sun: cells alike are solved once
STEP_min = 5.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DayLight:
    """Sun, sky and shadows over a roof, at the times of a day when the sun is up.

    Parameters
    ----------
    scenario : Scenario
        On surfaces.
    hour : (n,)
        Of the site's clock.
    sun : Sun
    sky : SkyLight
    planes : tuple of PlaneLight
        Of each surface.
    polygons : tuple of tuple of tuple of (corners, 2)
        By surface, by thing that throws a shadow, by time: on the drawing, m.
    rear_W_m2 : tuple of (n, across, points)
        By surface, from its left to its right end and from its lower to its upper edge: middles of equal
        fields; none where nothing is bifacial.
    """

    scenario: Scenario
    hour: Floats
    sun: Sun
    sky: SkyLight
    planes: tuple[PlaneLight, ...]
    polygons: tuple[tuple[tuple[Floats, ...], ...], ...]
    rear_W_m2: tuple[Floats, ...]

    __repr__ = summary


def day_light(scenario: Scenario, *, step_min: float = STEP_min, shadows: bool = True) -> DayLight:
    """Sun, sky and shadows of the scenario's day.

    Parameters
    ----------
    scenario : Scenario
        With a day. Without surfaces its rows are taken for one surface, facing south.
    step_min : float
        Between two times.
    shadows : bool
        Without, nothing throws any: a roof as nobody has one, to compare with.

    Raises
    ------
    ScenarioError
        If the scenario has no day, or the sun does not rise on it.
    """
    day = scenario.day
    if day is None:
        raise ScenarioError(
            _("the scenario has no day"),
            expected=_("a site and a date"),
            mend=_("Choose them, such as 21 June at 54 degrees north"),
        )
    scenario = on_surfaces(scenario)
    hours = clock_hours(step_min)
    sun = sun_path(day.site, day.date, hours)
    up = sun.apparent_zenith_deg < 90.0
    if not up.any():
        raise ScenarioError(
            _("the sun does not rise at the site on {date}").format(date=day.date.isoformat()),
            expected=_("a day with light"),
            mend=_("Choose another date, or a site farther from the pole"),
        )
    hours = hours[up]
    sun = sun_path(day.site, day.date, hours)
    sky = clear_sky(sun, height_m=day.site.height_m)
    facing = facing_deg(scenario)
    toward = sun_vectors(sun.apparent_zenith_deg, sun.azimuth_deg, facing_deg=facing)
    planes = surface_planes(scenario)
    light = tuple(
        plane_light(plane, sun, sky, ground_reflectance=day.ground_reflectance) for plane, _corner in planes
    )
    rows = surface_solids(scenario)
    polygons = []
    for number, (plane, corner) in enumerate(planes):
        things = [*day.solids, *(row for other, row in enumerate(rows) if other != number)] if shadows else []
        polygons.append(
            tuple(
                tuple(
                    shape + corner if len(shape) else shape
                    for shape in shadow_polygons(thing, plane, toward, facing_deg=facing)
                )
                for thing in things
            )
        )
    return DayLight(
        scenario=scenario,
        hour=hours,
        sun=sun,
        sky=sky,
        planes=light,
        polygons=tuple(polygons),
        rear_W_m2=tuple(_rear(scenario, day, number, sun, sky) for number in range(len(planes))),
    )


def cells_light(light: DayLight) -> NDArray[np.float32]:
    """What each cell turns into current at each time.

    Returns
    -------
    (times, cells)
        In W/m2, front plus the rear's share by bifaciality; float32, for a day of many cells is large.
    """
    scenario = light.scenario
    roof = roof_of(scenario)
    sizes = np.diff(roof.index.cell_start)
    surface = np.repeat(np.maximum(roof.surface, 0), sizes)
    left_over = _on_the_glass(scenario)
    out = np.empty((len(light.hour), len(surface)), dtype=np.float32)
    beam = np.stack([plane.beam_W_m2 for plane in light.planes])
    steady = np.stack([plane.sky_W_m2 + plane.ground_W_m2 for plane in light.planes])
    rectangles = cells_on_roof(roof, np.arange(len(roof.rectangle)))
    rear = _rear_of_cells(light, roof, rectangles, surface)
    for at in range(len(light.hour)):
        budget.check()
        share = _beam_share(light, rectangles, surface, at)
        front = (beam[surface, at] * share + steady[surface, at]) * left_over
        out[at] = front if rear is None else front + rear[at]
    return out


def _beam_share(light: DayLight, rectangles: Floats, surface: np.ndarray, at: int) -> Floats:
    """Share of each cell's area that the sun reaches."""
    share = np.ones(len(rectangles))
    for number, things in enumerate(light.polygons):
        shapes = [thing[at] for thing in things if len(thing[at])]
        if shapes and light.planes[number].beam_W_m2[at] > 0.0:
            mine = np.flatnonzero(surface == number)
            share[mine] = lit_share(rectangles[mine], shapes)
    return share


def _on_the_glass(scenario: Scenario) -> Floats:
    """What paint, dirt and things on the glass leave of the front's light, 0 to 1."""
    array = scenario.array
    strings = tuple(replace(string, irradiance_factor=1.0) for string in array.strings)
    surfaces = tuple(replace(surface, irradiance_factor=1.0) for surface in array.surfaces)
    kept = tuple(
        one for one in scenario.light.shadows if one.kind not in CAST_KINDS and one.kind not in REAR_KINDS
    )
    plain = replace(
        scenario,
        array=replace(array, strings=strings, surfaces=surfaces),
        light=replace(scenario.light, irradiance_W_m2=1000.0, rear_irradiance_W_m2=0.0, shadows=kept),
    )
    return cell_irradiance(plain) / 1000.0


def _rear(scenario: Scenario, day: Day, number: int, sun: Sun, sky: SkyLight) -> Floats:
    """What falls on the back of a surface: by time, from left to right, from its lower edge up."""
    index = array_index(scenario)
    if not any(kind.kind.bifaciality > 0.0 for kind in index.kinds):
        return np.zeros((len(sun.zenith_deg), 0, 0))
    surface = scenario.array.surfaces[number]
    rows, row = rack_rows(scenario, number)
    toward = sun_vectors(sun.apparent_zenith_deg, sun.azimuth_deg, facing_deg=surface.azimuth_deg)
    left, _top, right, _bottom = surface_box(place_boxes_of(scenario), number + 1)
    length = min(right - left, LONGEST_ROW_m)
    across = min(MOST_REAR_FIELDS, max(2, round(length / REAR_FIELD_m)))
    view = _rear_view(rows, length, row, across)
    return finite_row_light(view, toward, sky, ground_reflectance=day.ground_reflectance).total_W_m2


@lru_cache(maxsize=16)
def _rear_view(rows: ModuleRows, length_m: float, row: int, across: int) -> FiniteRowView:
    """What a row's back sees: the same all day and all year, whatever shades or breaks its modules."""
    return finite_row_view(rows, length_m, row=row, across=across, points=REAR_POINTS)


def _rear_of_cells(light: DayLight, roof: Roof, rectangles: Floats, surface: np.ndarray) -> Floats | None:
    """The back's light that counts, by time and cell; None where nothing is bifacial."""
    kinds = np.array([kind.kind.bifaciality for kind in roof.index.kinds])
    factor = np.repeat(kinds[roof.index.module_kind], np.diff(roof.index.cell_start))
    if not factor.any():
        return None
    factor = factor * shadow_share(light.scenario, rear=True)
    out = np.zeros((len(light.hour), len(surface)))
    boxes = place_boxes_of(light.scenario)
    # Along the row the cells of a module are taken as alike, each at its height: far fewer unlike cells to
    # be solved, and power within 0.2 % of what each cell's own place gives (tests/day/test_day.py).
    middle = np.repeat((roof.rectangle[:, 0] + roof.rectangle[:, 2]) / 2.0, np.diff(roof.index.cell_start))
    for number, falls in enumerate(light.rear_W_m2):
        mine = np.flatnonzero(surface == number)
        left, top, right, bottom = surface_box(boxes, number + 1)
        x = (middle[mine] - left) / (right - left)
        y = (bottom - (rectangles[mine, 1] + rectangles[mine, 3]) / 2.0) / (bottom - top)
        at_x, next_x, part_x = _between_fields(x, falls.shape[1])
        at_y, next_y, part_y = _between_fields(y, falls.shape[2])
        lower = falls[:, at_x, at_y] * (1.0 - part_x) + falls[:, next_x, at_y] * part_x
        upper = falls[:, at_x, next_y] * (1.0 - part_x) + falls[:, next_x, next_y] * part_x
        out[:, mine] = lower * (1.0 - part_y) + upper * part_y
    counts: Floats = np.rint(out / REAR_STEP_W_m2) * REAR_STEP_W_m2 * factor
    return counts


def _between_fields(share: Floats, count: int) -> tuple[NDArray[np.intp], NDArray[np.intp], Floats]:
    """Two fields for each place, a share of a length, and where it lies from one to the other.

    Beyond the middles of the outermost fields what grows there grows on: light does towards an edge.
    """
    at = share * count - 0.5
    low = np.clip(np.floor(at), 0, count - 2).astype(np.intp)
    return low, low + 1, at - low
