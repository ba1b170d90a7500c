"""A day on the roof: sun and shadows from morning to evening, what each cell gets, what the array gives."""

from __future__ import annotations

from pvsim.day.day_light import DayLight, day_light
from pvsim.day.energy import DayEnergy, DayFilms, day_energy, day_films, play
from pvsim.day.film import DayFilm, DayFrame, film_of
from pvsim.day.moment import DayMoment, DayScene, moment_at, scene_of
from pvsim.day.site_planes import surface_planes, surface_solids

__all__ = [
    "DayEnergy",
    "DayFilm",
    "DayFilms",
    "DayFrame",
    "DayLight",
    "DayMoment",
    "DayScene",
    "day_energy",
    "day_films",
    "day_light",
    "film_of",
    "moment_at",
    "play",
    "scene_of",
    "surface_planes",
    "surface_solids",
]
