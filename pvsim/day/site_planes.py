"""Surfaces of a roof in the world: planes that the sun shines on, and solid things to each other.

The drawing is taken as the plan: a surface's lower left corner stands where it is drawn, at its height.
Site coordinates face where the first surface faces; see `Day`.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import cos, radians, sin

from pvsim.array.layout import place_boxes_of
from pvsim.array.mounting import surface_box
from pvsim.array.scenario import Scenario
from pvsim.sky.module_rows import ModuleRows
from pvsim.sky.plane import Plane, plane_axes
from pvsim.sky.solid import Solid, TiltedRectangle

__all__ = ["facing_deg", "rack_rows", "surface_planes", "surface_solids"]

Corner = tuple[float, float]
EVEN_m = 0.05  # within which lengths count as equal


def facing_deg(scenario: Scenario) -> float:
    """Where site coordinates face: where the first surface does."""
    return scenario.array.surfaces[0].azimuth_deg


def surface_planes(scenario: Scenario) -> tuple[tuple[Plane, Corner], ...]:
    """The plane of each surface, and its upper left corner on the drawing.

    Returns
    -------
    tuple of (Plane, (x_m, y_m))
        A point of the plane's own coordinates lies on the drawing at the corner plus that point.
    """
    boxes = place_boxes_of(scenario)
    facing = facing_deg(scenario)
    planes = []
    for number, surface in enumerate(scenario.array.surfaces, start=1):
        left, top, _right, bottom = surface_box(boxes, number)
        lying = Plane(tilt_deg=surface.tilt_deg, azimuth_deg=surface.azimuth_deg)
        down = plane_axes(lying, facing_deg=facing)[1] * (bottom - top)
        origin = (left - float(down[0]), -bottom - float(down[1]), surface.height_m - float(down[2]))
        planes.append(
            (Plane(tilt_deg=surface.tilt_deg, azimuth_deg=surface.azimuth_deg, origin_m=origin), (left, top))
        )
    return tuple(planes)


def surface_solids(scenario: Scenario) -> tuple[Solid, ...]:
    """Each surface as a leaning rectangle that throws a shadow on those behind it."""
    boxes = place_boxes_of(scenario)
    facing = facing_deg(scenario)
    solids = []
    for number, surface in enumerate(scenario.array.surfaces, start=1):
        left, top, right, bottom = surface_box(boxes, number)
        turn = (facing - surface.azimuth_deg + 180.0) % 360.0 - 180.0
        half = (right - left) / 2.0
        solids.append(
            TiltedRectangle(
                x_m=left + half * cos(radians(turn)),
                y_m=-bottom + half * sin(radians(turn)),
                width_m=right - left,
                slope_m=bottom - top,
                tilt_deg=surface.tilt_deg,
                foot_m=surface.height_m,
                turn_deg=turn,
            )
        )
    return tuple(solids)


def rack_rows(scenario: Scenario, number: int) -> tuple[ModuleRows, int]:
    """The rows of racks that a surface (from 0) belongs to, and which of them it is, from 1 in front.

    Surfaces of one slope, tilt, azimuth and height at equal distances count as rows of one field; any
    other stands alone.
    """
    boxes = place_boxes_of(scenario)
    surfaces = scenario.array.surfaces
    mine = surfaces[number]
    outlines = [surface_box(boxes, at) for at in range(1, len(surfaces) + 1)]
    slope = outlines[number][3] - outlines[number][1]
    alike = [
        (bottom, at)
        for at, (_left, top, _right, bottom) in enumerate(outlines)
        if abs(bottom - top - slope) < EVEN_m
        and (surfaces[at].tilt_deg, surfaces[at].azimuth_deg, surfaces[at].height_m)
        == (mine.tilt_deg, mine.azimuth_deg, mine.height_m)
    ]
    alike.sort(reverse=True)
    pitches = [a - b for (a, _one), (b, _other) in pairwise(alike)]
    alone = ModuleRows(slope_m=slope, tilt_deg=mine.tilt_deg, height_m=mine.height_m)
    depth = slope * cos(radians(mine.tilt_deg))
    if not pitches or max(pitches) - min(pitches) > EVEN_m or min(pitches) <= depth:
        return alone, 1
    order = [at for _bottom, at in alike]
    return replace(alone, pitch_m=pitches[0], rows=len(alike)), order.index(number) + 1
