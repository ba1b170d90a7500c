"""A meter put somewhere: what it has there to measure, from the circuit's solution.

    "voltage"        voltmeter across array, string or module, as the array works
    "open-voltage"   voltmeter across a part taken out of the array, through the meter's own resistance
    "current"        clamp round the main, a string's cable or a module's lead
    "irradiance"     sensor in the plane of the array, a string or a module, unshaded
    "back"           temperature sensor on the back of modules: the mean of their cells
    "power", "display-voltage", "display-current"
                     inverter display: what its tracker draws
    "insulation"     tester between the joined poles of array or string, and earth

Sensors see the light that the scenario tells. A module's back is as warm as the cells that the circuit was
solved with; `pvsim.field.thermogram` shows cells as warm as light, wind and their power make them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pvsim.array.checks import one_of, refuse
from pvsim.array.heat import ZERO_CELSIUS_K
from pvsim.array.index import module_range
from pvsim.array.layout import roof_of
from pvsim.array.place import WHOLE_ARRAY, Place, describe_place, level_of
from pvsim.array.solution import ArraySolution
from pvsim.circuit import PowerPoint, operate
from pvsim.errors import ScenarioError
from pvsim.field.insulation import earth_resistance_Mohm
from pvsim.field.kit import (
    BACK_SENSOR,
    CLAMP_METER,
    DISPLAY_CURRENT,
    DISPLAY_POWER,
    DISPLAY_VOLTAGE,
    INSULATION_TESTER,
    IRRADIANCE_SENSOR,
    VOLTMETER,
    VOLTMETER_ohm,
)
from pvsim.field.meter import Meter
from pvsim.field.reading import Reading, read_meter
from pvsim.reading.curve import circuit_of
from pvsim.reading.terminals import point_of
from pvsim.words import _

__all__ = ["DISPLAYS", "PROBES", "Probe", "measure", "meter_of", "refuse_many_trackers", "true_value"]

_WORKING = ("array", "string", "module")
DISPLAYS = ("power", "display-voltage", "display-current")  # what the inverter shows of its tracker


@dataclass(frozen=True, slots=True, kw_only=True)
class Probe:
    """What is measured, and where.

    Parameters
    ----------
    what : str
        A key of PROBES.
    place : Place
        The whole array, a string or a module, as far as `what` can be measured there.
    """

    what: str
    place: Place = WHOLE_ARRAY

    def __post_init__(self) -> None:
        one_of(self, "what", PROBES)
        if not isinstance(self.place, Place):
            refuse(self, "place", self.place, _("a Place"))
        levels = PROBES[self.what].levels
        if level_of(self.place) not in levels:
            raise ScenarioError(
                _("'{what}' is to be measured at {place}").format(
                    what=self.what, place=describe_place(self.place)
                ),
                expected=_("one of {names}").format(names=", ".join(levels)),
                mend=_("Choose a place of that level"),
            )


@dataclass(frozen=True, slots=True)
class _Kind:
    """A meter, where it goes, and what it has there."""

    meter: Meter
    levels: tuple[str, ...]
    true: Callable[[ArraySolution, Place], float]


def measure(
    solution: ArraySolution,
    probe: Probe,
    *,
    serial: int,
    time_min: float = 0.0,
    number: int = 0,
    meter: Meter | None = None,
) -> Reading:
    """What a meter shows there.

    Parameters
    ----------
    solution : ArraySolution
    serial, time_min, number
        As of `read_meter`.
    meter : Meter or None
        Of the same unit; the kit's own if left out.

    Raises
    ------
    ScenarioError
        If the array does not have the place, or the meter does not fit.
    """
    own = meter_of(probe)
    if meter is not None and meter.unit != own.unit:
        raise ScenarioError(
            _("the meter '{key}' reads {unit}").format(key=meter.key, unit=meter.unit),
            expected=_("one that reads {unit}").format(unit=own.unit),
            mend=_("Take another meter"),
        )
    true = true_value(solution, probe)
    return read_meter(meter or own, true, serial=serial, time_min=time_min, number=number)


def meter_of(probe: Probe) -> Meter:
    """The kit's meter for it."""
    return PROBES[probe.what].meter


def true_value(solution: ArraySolution, probe: Probe) -> float:
    """What there is to be measured, in the unit of the probe's meter.

    Raises
    ------
    ScenarioError
        If the array, as built, does not have the place, or the array as a whole has several trackers and
        so no one voltage and current.
    """
    return PROBES[probe.what].true(solution, probe.place)


def refuse_many_trackers(solution: ArraySolution, place: Place) -> None:
    """Refuse the whole array where each string has a tracker: nothing joins its strings.

    Raises
    ------
    ScenarioError
    """
    if place == WHOLE_ARRAY and len(solution.trackers) > 1:
        raise ScenarioError(
            _("the array has a tracker for each string, and no one voltage or current"),
            expected=_("a string"),
            mend=_("Measure each string by itself"),
        )


def _at_work(solution: ArraySolution, place: Place) -> PowerPoint:
    refuse_many_trackers(solution, place)
    point = point_of(solution, place)
    assert point is not None
    return point


def _open_voltage_V(solution: ArraySolution, place: Place) -> float:
    refuse_many_trackers(solution, place)
    return operate(circuit_of(solution, place), load_ohm=VOLTMETER_ohm).voltage_V


def _irradiance_W_m2(solution: ArraySolution, place: Place) -> float:
    """Before anything shades it: of a place on several surfaces, where its first module lies."""
    scenario, index = solution.scenario, solution.index
    first, _last = module_range(index, place)
    surface = int(roof_of(scenario).surface[first])
    factor = 1.0 if surface < 0 else scenario.array.surfaces[surface].irradiance_factor
    if place.string is not None:
        factor *= index.strings[place.string - 1].irradiance_factor
    return scenario.light.irradiance_W_m2 * factor


def _back_C(solution: ArraySolution, place: Place) -> float:
    return float(solution.cells.temperature_K[solution.cell_slice(place)].mean()) - ZERO_CELSIUS_K


def _tracker(solution: ArraySolution, place: Place) -> PowerPoint:
    """What the tracker of a string draws, or the only one there is; the display knows nothing else."""
    if place == WHOLE_ARRAY:
        return _at_work(solution, place)
    number = solution.string_index(place) + 1
    point = next(one.point for one in solution.trackers if number in one.strings)
    return PowerPoint(voltage_V=point.voltage_V, current_A=point.current_A, power_W=point.power_W)


def _power_W(solution: ArraySolution, place: Place) -> float:
    return solution.power_W if place == WHOLE_ARRAY else _tracker(solution, place).power_W


PROBES: dict[str, _Kind] = {
    "voltage": _Kind(VOLTMETER, _WORKING, lambda s, p: _at_work(s, p).voltage_V),
    "open-voltage": _Kind(VOLTMETER, _WORKING, _open_voltage_V),
    "current": _Kind(CLAMP_METER, _WORKING, lambda s, p: _at_work(s, p).current_A),
    "irradiance": _Kind(IRRADIANCE_SENSOR, _WORKING, _irradiance_W_m2),
    "back": _Kind(BACK_SENSOR, _WORKING, _back_C),
    "power": _Kind(DISPLAY_POWER, ("array", "string"), _power_W),
    "display-voltage": _Kind(DISPLAY_VOLTAGE, ("array", "string"), lambda s, p: _tracker(s, p).voltage_V),
    "display-current": _Kind(DISPLAY_CURRENT, ("array", "string"), lambda s, p: _tracker(s, p).current_A),
    "insulation": _Kind(INSULATION_TESTER, ("array", "string"), earth_resistance_Mohm),
}
