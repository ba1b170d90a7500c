"""Sun, sky and shadows over a site: geometry and light, without any array or circuit.

Directions are those of a compass: from north clockwise. Site coordinates are metres, x to the right, y away
and z up for somebody who looks at what they face; a plane's own are x to the right and y DOWN its slope
from its upper left corner, as roof coordinates are.
"""

from __future__ import annotations

from pvsim.sky.clear_sky import SkyLight, air_mass, clear_sky
from pvsim.sky.finite_row import FiniteRowView, finite_row_light, finite_row_view
from pvsim.sky.module_rows import ModuleRows, ground_sky, shadow_strips
from pvsim.sky.plane import Plane, PlaneLight, incidence_deg, plane_axes, plane_light
from pvsim.sky.projection import shadow_polygons
from pvsim.sky.rear_light import (
    RearLight,
    RearView,
    equivalent_irradiance,
    least_bifaciality,
    rear_light,
    rear_view,
)
from pvsim.sky.site import Site, clock_hours, clock_of, hour_of
from pvsim.sky.solid import Box, Parapet, Pole, Solid, TiltedRectangle
from pvsim.sky.sun import Sun, SunTimes, sun_path, sun_times, sun_vectors
from pvsim.sky.view_factor import view_factor

__all__ = [
    "Box",
    "FiniteRowView",
    "ModuleRows",
    "Parapet",
    "Plane",
    "PlaneLight",
    "Pole",
    "RearLight",
    "RearView",
    "Site",
    "SkyLight",
    "Solid",
    "Sun",
    "SunTimes",
    "TiltedRectangle",
    "air_mass",
    "clear_sky",
    "clock_hours",
    "clock_of",
    "equivalent_irradiance",
    "finite_row_light",
    "finite_row_view",
    "ground_sky",
    "hour_of",
    "incidence_deg",
    "least_bifaciality",
    "plane_axes",
    "plane_light",
    "rear_light",
    "rear_view",
    "shadow_polygons",
    "shadow_strips",
    "sun_path",
    "sun_times",
    "sun_vectors",
    "view_factor",
]
