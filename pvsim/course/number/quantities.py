"""The fixed table of quantities a lesson can name, each a pure function of a solved scenario."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import nan

import numpy as np
from numpy.typing import NDArray

from pvsim.array.diode_heat import TO_CASE_K_W, TO_STILL_AIR_K_W, junction_rise_K
from pvsim.array.heat import HOT_K, ZERO_CELSIUS_K
from pvsim.array.index import array_index, cell_at
from pvsim.array.module import ModuleType, cell_area_m2, cell_count
from pvsim.array.part_place import cells_of, diodes_of
from pvsim.array.place import Level, Place, level_of, parse_place
from pvsim.array.scenario import Scenario, as_built, module_type
from pvsim.circuit.solution import Characteristic
from pvsim.course.number.meter_reading import beside_neighbour, beside_prediction
from pvsim.course.number.roof_reading import cables_read, day_read, noon_lost
from pvsim.course.number.solved_scenario import Situation
from pvsim.course.number.units import PLAIN, UNITS, Dimension
from pvsim.errors import LessonError, nearest
from pvsim.reading.eating import eating_cells
from pvsim.reading.own_curve import greatest_power, own_curve
from pvsim.reading.terminals import point_of, power_of

CURVED: tuple[Level, ...] = ("array", "string", "module", "substring", "cell")
GROUPS: tuple[Level, ...] = ("array", "string", "module", "substring")
LIVE: tuple[Level, ...] = (*CURVED, "diode")
DIODE: tuple[Level, ...] = ("diode",)
CELL: tuple[Level, ...] = ("cell",)
ARRAY: tuple[Level, ...] = ("array",)
STRINGS: tuple[Level, ...] = ("array", "string")
STRING: tuple[Level, ...] = ("string",)
METERED: tuple[Level, ...] = ("string", "module")
WARMING_W = 0.01  # what a diode takes up below this is a leak, or a short's own
SYMBOLIC = ("darkest", "weakest", "hottest")  # cells found by the solver, wherever they are

Read = Callable[[Situation, Place], float]
Spread = Callable[[Situation, Place], "tuple[float, float] | None"]


@dataclass(frozen=True, slots=True)
class Quantity:
    """A named quantity.

    Parameters
    ----------
    dimension : Dimension
        Of the value, which is in SI units (temperatures in degrees Celsius).
    levels : tuple of Level
        What it can be asked of.
    meaning : str
        For teachers; the list in the guide is made from it.
    read : callable
        (Situation, Place) -> float.
    spread : callable or None
        (Situation, Place) -> the least and the most it may be, or None where it stands for itself.
        Texts then write the range; answers and comparisons take the value.
    """

    dimension: Dimension
    levels: tuple[Level, ...]
    meaning: str
    read: Read
    spread: Spread | None = None


def find_quantity(name: str, place: str) -> Quantity:
    """The quantity of that name, if it can be asked of a place written like this.

    Raises
    ------
    LessonError
        If there is no such quantity, or not for that level.
    """
    if name not in QUANTITIES:
        raise LessonError(
            f"'{name}' is no quantity",
            expected="a name from the table of quantities",
            mend=nearest(name, QUANTITIES),
        )
    found = QUANTITIES[name]
    level = "cell" if place in SYMBOLIC else level_of(parse_place(place))
    if level not in found.levels:
        raise LessonError(
            f"'{name}' cannot be asked of the {level} '{place}'",
            expected="a place of level " + " or ".join(found.levels),
            mend="Write 1 for a string, 1/2 for a module, 1/2/s1 for a substring, 1/2/14 for a cell",
        )
    return found


def locate(place: str, situation: Situation) -> Place:
    """The place meant: as written, or the cell the solver finds for a symbolic one."""
    if place not in SYMBOLIC:
        return parse_place(place)
    cells = situation.solution.cells
    values = {
        "darkest": cells.irradiance_W_m2,
        "weakest": cells.power_W,
        "hottest": -cells.steady_temperature_K,
    }[place]
    return cell_at(array_index(situation.scenario), int(np.argmin(values)))


def _curve(read: Callable[[Characteristic], float]) -> Read:
    def value(situation: Situation, place: Place) -> float:
        return float(read(own_curve(situation.solution, place)))

    return value


def _total(name: str) -> Callable[[Situation, Place], float]:
    """Sum of a per-cell array over a place; of one cell, its value."""

    def value(situation: Situation, place: Place) -> float:
        values = getattr(situation.solution.cells, name)
        return float(np.sum(values[cells_of(situation.scenario, place)]))

    return value


def _temperature(name: str) -> Read:
    total = _total(name)
    return lambda situation, place: total(situation, place) - ZERO_CELSIUS_K


def _hot_range(situation: Situation, place: Place) -> tuple[float, float] | None:
    cells = situation.solution.cells
    at = cells_of(situation.scenario, place).start
    if cells.steady_temperature_K[at] < HOT_K:
        return None
    least, most = float(cells.steady_least_K[at]), float(cells.steady_most_K[at])
    return least - ZERO_CELSIUS_K, most - ZERO_CELSIUS_K


def _greatest_mpp(situation: Situation, place: Place) -> float:
    return greatest_power(situation.solution, place)


def _voltage(situation: Situation, place: Place) -> float:
    point = point_of(situation.solution, place)
    return nan if point is None else point.voltage_V  # several trackers, several voltages


def _current(situation: Situation, place: Place) -> float:
    point = point_of(situation.solution, place)
    return nan if point is None else point.current_A


def _power(situation: Situation, place: Place) -> float:
    return power_of(situation.solution, place)


def _rise(resistance_K_W: float) -> Read:
    def value(situation: Situation, place: Place) -> float:
        diode = _type_of(situation, place).substrings[(place.diode or 1) - 1].diode
        if diode is None or -_power(situation, place) < WARMING_W:
            return 0.0
        return junction_rise_K(diode, abs(_current(situation, place)), resistance_K_W)

    return value


def _conducting(situation: Situation, place: Place) -> float:
    on = situation.solution.diodes.conducting[diodes_of(situation.scenario, place)]
    return float(np.count_nonzero(on))


def _eating(situation: Situation, place: Place) -> float:
    return float(np.count_nonzero(eating_cells(situation.solution)[cells_of(situation.scenario, place)]))


def _eaten(situation: Situation, place: Place) -> float:
    powers = situation.solution.cells.power_W[cells_of(situation.scenario, place)]
    return float(-np.sum(np.minimum(powers, 0.0)))


def _sunlight(situation: Situation, place: Place) -> float:
    index = cells_of(situation.scenario, place)
    areas = _areas(situation.scenario)[index]
    return float(np.sum(situation.solution.cells.irradiance_W_m2[index] * areas))


def _area(situation: Situation, place: Place) -> float:
    return float(np.sum(_areas(situation.scenario)[cells_of(situation.scenario, place)]))


@lru_cache(maxsize=16)
def _areas(scenario: Scenario) -> NDArray[np.float64]:
    areas: list[float] = []
    for string in as_built(scenario):
        for module in string.modules:
            kind = module_type(scenario, module.type)
            areas += [cell_area_m2(kind)] * cell_count(kind)
    return np.array(areas)


def _length(part: slice) -> float:
    return float(part.stop - part.start)


def _count(what: str) -> Read:
    def value(situation: Situation, place: Place) -> float:
        if what == "cells":
            return _length(cells_of(situation.scenario, place))
        if what == "diodes":
            return _length(diodes_of(situation.scenario, place))
        strings = as_built(situation.scenario)
        if what == "strings":
            return float(len(strings))
        chosen = strings if place.string is None else (strings[place.string - 1],)
        return float(sum(len(string.modules) for string in chosen))

    return value


def _type_of(situation: Situation, place: Place) -> ModuleType:
    strings = as_built(situation.scenario)
    module = strings[(place.string or 1) - 1].modules[(place.module or 1) - 1]
    return module_type(situation.scenario, module.type)


def _wires(situation: Situation, place: Place) -> float:
    """What the modules give and the trackers do not get, whichever way the strings are joined."""
    solution = situation.solution
    return float(np.sum(solution.modules.power_W)) - solution.power_W


def _times(size: float, read: Read) -> Read:
    """The same in SI units."""
    return lambda situation, place: size * read(situation, place)


def _energy(field: str) -> Read:
    return _times(UNITS["kWh"].size, day_read(field))


def _quantity(
    unit: str, levels: tuple[Level, ...], meaning: str, read: Read, spread: Spread | None = None
) -> Quantity:
    return Quantity(UNITS[unit].dimension if unit else PLAIN, levels, meaning, read, spread)


QUANTITIES: dict[str, Quantity] = {
    # Of a part's own characteristic, as if it were taken out and measured alone
    "p_mp_W": _quantity("W", CURVED, "greatest power the part could give on its own", _greatest_mpp),
    "v_mp_V": _quantity("V", CURVED, "voltage at that power", _curve(lambda c: c.mpp.voltage_V)),
    "i_mp_A": _quantity("A", CURVED, "current at that power", _curve(lambda c: c.mpp.current_A)),
    "isc_A": _quantity("A", CURVED, "short-circuit current", _curve(lambda c: c.isc_A)),
    "voc_V": _quantity("V", CURVED, "open-circuit voltage", _curve(lambda c: c.voc_V)),
    "fill_factor": _quantity("", CURVED, "fill factor", _curve(lambda c: c.fill_factor)),
    "mpps": _quantity("", CURVED, "how many maxima the P-V curve has", _curve(lambda c: len(c.mpps))),
    # While the array runs at its operating point
    "voltage_V": _quantity("V", LIVE, "voltage while the array runs", _voltage),
    "current_A": _quantity("A", LIVE, "current while the array runs", _current),
    "power_W": _quantity("W", LIVE, "power while the array runs; negative when eaten", _power),
    "eaten_W": _quantity("W", CURVED, "power that cells of the part eat, all added", _eaten),
    "eating": _quantity("", CURVED, "how many cells eat power", _eating),
    "wires_W": _quantity("W", ARRAY, "heat in cables, connectors, fuses and blocking diodes", _wires),
    "conducting": _quantity("", (*GROUPS, "diode"), "how many bypass diodes conduct", _conducting),
    "rise_to_case_K": _quantity(
        "K", DIODE, "how much warmer than its case of 75 °C a typical junction gets", _rise(TO_CASE_K_W)
    ),
    "rise_to_air_K": _quantity(
        "K", DIODE, "how much warmer than still air of 75 °C it gets on bare leads", _rise(TO_STILL_AIR_K_W)
    ),
    # Light and heat
    "irradiance_W_m2": _quantity("W/m2", CELL, "light on the cell", _total("irradiance_W_m2")),
    "temperature_C": _quantity(
        "degC", CELL, "temperature the cell is solved with", _temperature("temperature_K")
    ),
    "steady_temperature_C": _quantity(
        "degC",
        CELL,
        "temperature the cell settles at by light, wind and power; from 85 degrees C written as a range",
        _temperature("steady_temperature_K"),
        _hot_range,
    ),
    "weather_C": _quantity(
        "degC",
        ARRAY,
        "cell temperature the scenario sets",
        lambda s, p: s.scenario.weather.cell_temperature_C,
    ),
    "sunlight_W": _quantity("W", CURVED, "light on the part, as power", _sunlight),
    "area_m2": _quantity("m2", CURVED, "area of the part's cells", _area),
    "light_W_m2": _quantity(
        "W/m2", ARRAY, "light the scenario sets", lambda s, p: s.scenario.light.irradiance_W_m2
    ),
    "rear_light_W_m2": _quantity(
        "W/m2",
        ARRAY,
        "light the scenario sets on the rear side",
        lambda s, p: s.scenario.light.rear_irradiance_W_m2,
    ),
    # Of the cables of a mounted array
    "cable_m": _quantity(
        "m", STRINGS, "cable that is bought: extensions and runs to the box", cables_read("bought_m")
    ),
    "extension_m": _quantity("m", STRINGS, "cable in extensions", cables_read("extension_m")),
    "extensions": _quantity("", STRINGS, "how many leads need an extension", cables_read("extensions")),
    "joints": _quantity("", STRINGS, "how many pairs of connectors", cables_read("joints")),
    "loop_m2": _quantity(
        "m2", STRINGS, "loop that the string spans; of the array the largest", cables_read("loop_area_m2")
    ),
    "cable_drop_V": _quantity(
        "V", STRINGS, "voltage drop in bought cable and connectors; the largest", cables_read("drop_V")
    ),
    "cable_W": _quantity("W", STRINGS, "heat in bought cable and connectors", cables_read("loss_W")),
    # Of the scenario's day
    "day_kWh": _quantity("kWh", ARRAY, "energy of the day", _energy("power_kWh")),
    "day_open_kWh": _quantity(
        "kWh", ARRAY, "the same if nothing threw a shadow and nothing were broken", _energy("open_kWh")
    ),
    "day_followed_kWh": _quantity(
        "kWh", ARRAY, "the same with trackers that follow the nearest peak", _energy("followed_kWh")
    ),
    "day_lost": _quantity("", ARRAY, "share of the open day's energy that is lost", day_read("lost")),
    "noon_lost": _quantity(
        "", ARRAY, "share of the open array's power that is lost at the highest sun", noon_lost
    ),
    "worst_lost": _quantity("", ARRAY, "the greatest such share at any hour", day_read("lost_most")),
    "worst_off_noon_h": _quantity(
        "h", ARRAY, "how far that hour is from the highest sun", _times(3600.0, day_read("off_noon_h"))
    ),
    # Of readings with the kit's meters
    "voltage_unsure_V": _quantity(
        "V",
        METERED,
        "standard uncertainty of the voltmeter's reading beside what is reckoned for it",
        beside_prediction("voltage"),
    ),
    "voltage_apart_V": _quantity(
        "V",
        METERED,
        "the same of the difference to a sound neighbour, read with the same meter",
        beside_neighbour("voltage"),
    ),
    "current_unsure_A": _quantity(
        "A",
        STRING,
        "standard uncertainty of the clamp meter's reading beside what is reckoned for it",
        beside_prediction("current"),
    ),
    "current_apart_A": _quantity(
        "A",
        STRING,
        "the same of the difference to a sound neighbour, read with the same meter",
        beside_neighbour("current"),
    ),
    # Of the type
    "breakdown_V": _quantity(
        "V",
        CELL,
        "breakdown voltage of the cell's type",
        lambda s, p: _type_of(s, p).cell.breakdown_voltage_V,
    ),
    "bifaciality": _quantity(
        "",
        ("module", "cell"),
        "share of the light on its rear side that the module's type uses",
        lambda s, p: _type_of(s, p).bifaciality,
    ),
    # Counts
    "cells": _quantity("", GROUPS, "how many cells", _count("cells")),
    "diodes": _quantity("", GROUPS, "how many bypass diodes", _count("diodes")),
    "modules": _quantity("", ("array", "string"), "how many modules", _count("modules")),
    "strings": _quantity("", ARRAY, "how many strings", _count("strings")),
}
