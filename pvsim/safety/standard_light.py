"""An array as labels speak of it: sound, evenly lit with 1000 W/m2, every cell at one temperature."""

from __future__ import annotations

from dataclasses import replace

from pvsim.array.build import Built, circuits, part_circuit
from pvsim.array.operating_point import characteristic
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario
from pvsim.circuit.solution import Characteristic

FRONT_W_m2 = 1000.0
LENGTHS = ("modules-too-few", "modules-too-many")  # kinds of fault that a string is built with
POINTS = 60  # of a characteristic: its ends are all that is read


def evenly_lit(scenario: Scenario, temperature_C: float) -> Scenario:
    """The array without shadow, dirt and faults, at 1000 W/m2; light from behind stays, lengths as built."""
    strings = tuple(replace(one, irradiance_factor=1.0) for one in scenario.array.strings)
    surfaces = tuple(replace(one, irradiance_factor=1.0) for one in scenario.array.surfaces)
    return replace(
        scenario,
        array=replace(scenario.array, strings=strings, surfaces=surfaces),
        light=replace(scenario.light, irradiance_W_m2=FRONT_W_m2, painted=(), shadows=()),
        weather=replace(scenario.weather, heat="fixed", cell_temperature_C=temperature_C),
        faults=tuple(fault for fault in scenario.faults if fault.kind in LENGTHS),
    )


def string_curves(scenario: Scenario, temperature_C: float) -> list[Characteristic]:
    """The characteristic of each string as built, alone, evenly lit."""
    lit = evenly_lit(scenario, temperature_C)
    built = circuits(lit)
    known: dict[object, Characteristic] = {}
    found = []
    for number, string in enumerate(built.index.strings, start=1):
        alike = tuple(module.type for module in string.modules)
        if alike not in known:
            known[alike] = _curve(lit, number, built)
        found.append(known[alike])
    return found


def _curve(scenario: Scenario, number: int, built: Built) -> Characteristic:
    return characteristic(part_circuit(scenario, Place(number), built), points=POINTS)
