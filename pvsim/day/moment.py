"""One time of a day in full: every cell and diode of the array in the light of that time.

A film knows the light of each time, and whoever has played it where each tracker then stands: what is left
to do for one time is to build the circuits once and to ask them at that voltage.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from pvsim.array.cell_scatter import scatter_of
from pvsim.array.layout import place_boxes_of, roof_of
from pvsim.array.light import CAST_KINDS
from pvsim.array.mounting import surface_box
from pvsim.array.operation import Operation
from pvsim.array.scenario import Scenario
from pvsim.array.solution import ArraySolution
from pvsim.array.solve import solve_in_light
from pvsim.circuit.floats import Floats
from pvsim.day.film import DayFilm, still
from pvsim.prompt import summary

__all__ = ["DayMoment", "DayScene", "moment_at", "scene_of"]

BRIGHTEST_W_m2 = 2000.0  # that a scenario's light can be
BESIDE_m = 0.4  # a shadow is drawn as far as this beyond the edge of its surface


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DayScene:
    """What all moments of a film have in common.

    Parameters
    ----------
    film : DayFilm
    scenario : Scenario
        What is solved at each of them: at its MPP, without shadows that were drawn by hand as cast from
        afar, in light that is as strong as the day's strongest, so that axes drawn for it hold all day.
    surface : (cells,)
        Number of each cell's surface, from 0.
    """

    film: DayFilm
    scenario: Scenario
    surface: np.ndarray

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DayMoment:
    """The array at one time of the day.

    Parameters
    ----------
    at : int
        Number of the time, from 0.
    hour : float
        Of the site's clock.
    solution : ArraySolution
    full_W_m2 : (cells,)
        What the front of each cell would get if nothing stood in its way.
    shadows : tuple of (corners, 2)
        Of what stands there, on the drawing in m, cut off a little beyond the edges of its surface.
    azimuth_deg, elevation_deg : float
        Where the sun stands: from north clockwise, and over the horizon as it is seen.
    """

    at: int
    hour: float
    solution: ArraySolution
    full_W_m2: Floats
    shadows: tuple[Floats, ...]
    azimuth_deg: float
    elevation_deg: float

    __repr__ = summary


def scene_of(film: DayFilm) -> DayScene:
    """What all moments of a film have in common."""
    scenario = still(film.light.scenario)
    front = max(float(_front(film, number).max()) for number in range(len(film.light.planes)))
    most = min(BRIGHTEST_W_m2, max(front, float(film.cells_W_m2.max())))
    near = tuple(one for one in scenario.light.shadows if one.kind not in CAST_KINDS)
    light = replace(scenario.light, irradiance_W_m2=most, rear_irradiance_W_m2=0.0, shadows=near)
    roof = roof_of(scenario)
    surface = np.repeat(np.maximum(roof.surface, 0), np.diff(roof.index.cell_start))
    return DayScene(
        film=film, scenario=replace(scenario, light=light, operation=Operation()), surface=surface
    )


def moment_at(scene: DayScene, at: int, *, voltage_V: Sequence[float] = ()) -> DayMoment:
    """The array at one time of a film.

    Parameters
    ----------
    scene : DayScene
    at : int
        From 0, less than the film has times.
    voltage_V : sequence of float
        Where each tracker stands then (`DayFrame.voltage_V`); without, its highest peak is looked for.

    Raises
    ------
    ConvergenceError
        As `solve_in_light`.
    """
    film, light = scene.film, scene.film.light
    solution = solve_in_light(scene.scenario, film.cells_W_m2[at].astype(np.float64), voltage_V=voltage_V)
    front = np.array([_front(film, number)[at] for number in range(len(light.planes))])[scene.surface]
    scattered = scatter_of(scene.scenario.scatter, solution.index)
    return DayMoment(
        at=at,
        hour=float(light.hour[at]),
        solution=solution,
        full_W_m2=front if scattered is None else front * scattered.light,
        shadows=_shadows(scene, at),
        azimuth_deg=float(light.sun.azimuth_deg[at]),
        elevation_deg=90.0 - float(light.sun.apparent_zenith_deg[at]),
    )


def _front(film: DayFilm, number: int) -> Floats:
    """What falls on the front of a surface, by time, where nothing stands in its way."""
    plane = film.light.planes[number]
    total: Floats = plane.beam_W_m2 + plane.sky_W_m2 + plane.ground_W_m2
    return total


def _shadows(scene: DayScene, at: int) -> tuple[Floats, ...]:
    boxes = place_boxes_of(scene.scenario)
    found = []
    for number, things in enumerate(scene.film.light.polygons, start=1):
        left, top, right, bottom = surface_box(boxes, number)
        bounds = (left - BESIDE_m, top - BESIDE_m, right + BESIDE_m, bottom + BESIDE_m)
        for thing in things:
            shape = cut_to_box(thing[at], bounds)
            if len(shape):
                found.append(shape)
    return tuple(found)


def cut_to_box(shape: Floats, bounds: tuple[float, float, float, float]) -> Floats:
    """What of a convex polygon lies within a box, side by side.

    Parameters
    ----------
    shape : (corners, 2)
    bounds : (left, top, right, bottom)

    Notes
    -----
    I. E. Sutherland and G. W. Hodgman, Communications of the ACM 17 (1974) 32-42.
    """
    left, top, right, bottom = bounds
    for axis, edge, sign in ((0, left, 1.0), (1, top, 1.0), (0, right, -1.0), (1, bottom, -1.0)):
        if not len(shape):
            return shape
        inside = sign * (shape[:, axis] - edge)
        kept: list[Floats] = []
        for k in range(len(shape)):
            a, b, da, db = shape[k - 1], shape[k], inside[k - 1], inside[k]
            if (da < 0.0) != (db < 0.0):
                kept.append(a + (b - a) * (da / (da - db)))
            if db >= 0.0:
                kept.append(b)
        shape = np.array(kept) if len(kept) > 2 else np.zeros((0, 2))
    return shape
