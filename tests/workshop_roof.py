"""A roof for tests of arrays: invented, and like the one that the page opens with."""

from __future__ import annotations

from pvsim.array.array import Array, Module, String
from pvsim.array.catalogue import INVENTED
from pvsim.array.light import Light
from pvsim.array.place import Place
from pvsim.array.scenario import FirstView, Scenario
from pvsim.array.weather import Weather


def workshop_roof() -> Scenario:
    """Two strings of eight modules of 60 cells on the roof of a training workshop."""
    string = String(
        modules=(Module("full-60"),) * 8,
        cable_resistance_ohm=0.2,  # some 40 m of 4 mm2, there and back
        fuse=True,
    )
    return Scenario(
        title="Boat-builders' training workshop",
        note=f"{INVENTED} The roof of a boat-builders' training workshop in a small harbour town: "
        "two strings of eight modules on one tracker, a clear day in May.",
        array=Array(strings=(string, string), main_cable_resistance_ohm=0.02),
        light=Light(irradiance_W_m2=900.0, diffuse_fraction=0.15),
        weather=Weather(ambient_temperature_C=18.0, wind_m_s=2.0, cell_temperature_C=35.0),
        first_view=FirstView(focus=Place(2, 5), quantity="irradiance"),
    )
