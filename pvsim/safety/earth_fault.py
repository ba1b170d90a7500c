"""Where one earth fault is: from the voltages of plus and minus to earth, and the other way round.

The array is open (the switch off, proved to carry no current) and floats; one point of it touches earth. Then
the meter between minus and earth shows the voltage of the modules on one side of that point, the meter
between plus and earth that of the others. Read one after the other with a meter of finite resistance, both
are smaller in the same proportion, and their sum tells the resistance of the fault.

Source: Kirchhoff's voltage law, Ohm's law; the method is common practice of the trade, no single source.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

import numpy as np

from pvsim.array.change import set_operation
from pvsim.array.fault import Fault
from pvsim.array.index import array_index
from pvsim.array.scenario import Scenario
from pvsim.array.solve import solve_array
from pvsim.circuit.floats import Floats
from pvsim.errors import ScenarioError
from pvsim.words import _

__all__ = [
    "EarthFault",
    "EarthReadings",
    "METER_ohm",
    "earth_voltages",
    "fault_after",
    "fault_resistance_ohm",
    "locate_earth_fault",
    "own_earth_fault",
]

METER_ohm = 1e7  # of an ordinary digital voltmeter; common practice, no source
CLOSE = 0.35  # of a module's voltage: farther from every joint, the reading speaks of none
TOO_MUCH = 1.05  # times the open array's voltage: what the two readings may add up to
TOO_LITTLE = 0.02
POINTS = 8  # of characteristics that nobody reads


@dataclass(frozen=True, slots=True, kw_only=True)
class EarthReadings:
    """Voltages of the array's poles to earth, read one after the other.

    Parameters
    ----------
    minus_V, plus_V : float
        Of the minus pole, 0 or negative; of the plus pole, 0 or positive.
    """

    minus_V: float
    plus_V: float

    def __post_init__(self) -> None:
        for name, value, right in (
            ("minus_V", self.minus_V, self.minus_V <= 0.0),
            ("plus_V", self.plus_V, self.plus_V >= 0.0),
        ):
            if not isfinite(value) or not right:
                pole = _("minus") if name == "minus_V" else _("plus")
                raise ScenarioError(
                    _("the voltage of {pole} to earth is {value} V").format(pole=pole, value=f"{value:g}"),
                    expected=_("minus at 0 or below it, plus at 0 or above it"),
                    mend=_("Read with the meter's minus lead on earth, and keep the sign that it shows"),
                )


@dataclass(frozen=True, slots=True, kw_only=True)
class EarthFault:
    """Where an earth fault is, by its voltages.

    Parameters
    ----------
    string, modules : int
        The string that is looked at, and how many modules it has.
    after : float
        Modules between the minus end and the fault, by their voltages; a whole number at a joint.
    joint : int
        The nearest joint: so many modules lie between it and the minus end.
    resistance_ohm : float
        Of the fault.
    clear : bool
        Whether the reading lies close to that joint: elsewhere a cell or a ribbon touches earth, or there is
        more than one fault.
    """

    string: int
    modules: int
    after: float
    joint: int
    resistance_ohm: float
    clear: bool


def earth_voltages(
    scenario: Scenario,
    string: int,
    after: int,
    *,
    resistance_ohm: float = 0.0,
    meter_ohm: float = METER_ohm,
) -> EarthReadings:
    """What a voltmeter shows at the poles of the open array when one point of a string touches earth.

    Parameters
    ----------
    string : int
        Its number, from 1.
    after : int
        Modules between the minus end and the fault, 0 to all of them: 2 is the plus lead of module 2.
    resistance_ohm : float
        Of the fault.
    meter_ohm : float
        Of the voltmeter.

    Raises
    ------
    ScenarioError
        If the array is earthed, or has no such string or joint.
    """
    _check(scenario, string)
    joints, open_V = _opened(scenario, string)
    if not 0 <= after < len(joints):
        raise ScenarioError(
            _("string {number} has no joint after {count} modules").format(number=string, count=after),
            expected=_("from 0 to {most}").format(most=len(joints) - 1),
            mend=_("Count modules from the minus end"),
        )
    share = meter_ohm / (meter_ohm + resistance_ohm)
    minus, plus = -joints[after] * share, (open_V - joints[after]) * share
    return EarthReadings(minus_V=min(float(minus), 0.0), plus_V=max(float(plus), 0.0))


def own_earth_fault(scenario: Scenario) -> tuple[Fault, EarthReadings] | None:
    """The one earth fault that a floating array has, and what a voltmeter shows at its poles then.

    Returns
    -------
    Fault, EarthReadings
        None where the array is earthed, or has none or several; several drive currents.
    """
    faults = [one for one in scenario.faults if one.kind == "earth-fault"]
    if scenario.array.grounded != "none" or len(faults) != 1:
        return None
    (fault,) = faults
    string, after = fault.place.string or 1, fault.place.module or 1
    if after > len(array_index(scenario).strings[string - 1].modules):
        return None  # of a module that is not built
    return fault, earth_voltages(scenario, string, after, resistance_ohm=fault.size or 0.0)


def fault_after(readings: EarthReadings, modules: int) -> float:
    """Modules between the minus end and an earth fault, of so many equal ones: n |U-| / (|U-| + |U+|).

    Raises
    ------
    ScenarioError
        If neither pole has a voltage to earth.
    """
    both = readings.plus_V - readings.minus_V
    if both <= 0.0:
        raise ScenarioError(
            _("neither pole has a voltage to earth"),
            expected=_("two readings that add up to the array's open-circuit voltage"),
            mend=_("Without an earth fault a floating array shows nothing that stays: there is none to find"),
        )
    return modules * -readings.minus_V / both


def fault_resistance_ohm(readings: EarthReadings, open_V: float, meter_ohm: float = METER_ohm) -> float:
    """Resistance of the fault: the meter's, times what the readings lack of the array's voltage."""
    both = readings.plus_V - readings.minus_V
    return max(meter_ohm * (open_V / both - 1.0), 0.0)


def locate_earth_fault(
    scenario: Scenario, string: int, readings: EarthReadings, *, meter_ohm: float = METER_ohm
) -> EarthFault:
    """Where the fault is, if it is in this string: between which modules.

    Modules count by their own open-circuit voltages in the scenario's light, shaded and unlike ones too.

    Raises
    ------
    ScenarioError
        If the array is earthed, has no such string, or the readings cannot be those of its open circuit.
    """
    _check(scenario, string)
    joints, open_V = _opened(scenario, string)
    both = readings.plus_V - readings.minus_V
    fault_after(readings, 1)
    if not TOO_LITTLE * open_V <= both <= TOO_MUCH * open_V:
        raise ScenarioError(
            _("the two readings add up to {both} V, and the open array has {open} V").format(
                both=f"{both:.0f}", open=f"{open_V:.0f}"
            ),
            expected=_("a sum between {least} and {most} V").format(
                least=f"{TOO_LITTLE * open_V:.0f}", most=f"{TOO_MUCH * open_V:.0f}"
            ),
            mend=_(
                "Read both in the same light, with the array open, or set the light that they were read in"
            ),
        )
    at_V = open_V * -readings.minus_V / both
    joint = int(np.argmin(np.abs(joints - at_V)))
    rising = bool(np.all(np.diff(joints) > 0.0))  # not so where a module is turned round
    after = float(np.interp(at_V, joints, np.arange(len(joints)))) if rising else float(joint)
    return EarthFault(
        string=string,
        modules=len(joints) - 1,
        after=after,
        joint=joint,
        resistance_ohm=fault_resistance_ohm(readings, open_V, meter_ohm),
        clear=abs(after - joint) <= CLOSE,
    )


def _check(scenario: Scenario, string: int) -> None:
    if scenario.array.grounded != "none":
        raise ScenarioError(
            _("the array's minus pole is earthed"),
            expected=_("an array that floats"),
            mend=_("There an earth fault drives a current, and is found by that"),
        )
    count = len(array_index(scenario).strings)
    if not 1 <= string <= count:
        raise ScenarioError(
            _("there is no string {number}").format(number=string),
            expected=_("a string from 1 to {last}").format(last=count),
            mend=_("Choose one of them"),
        )


def _opened(scenario: Scenario, string: int) -> tuple[Floats, float]:
    """Voltages of a string's joints over its minus end, (modules + 1,), and of its array, switched off."""
    solution = solve_array(set_operation(scenario, "current", 0.0), points=POINTS)
    start = array_index(scenario).string_start
    mine = slice(int(start[string - 1]), int(start[string]))
    V = np.where(solution.built.reversed_modules[mine], -1.0, 1.0) * solution.modules.voltage_V[mine]
    tracker = next(one for one in solution.trackers if string in one.strings)
    return np.concatenate([[0.0], np.cumsum(V)]), float(tracker.point.voltage_V)
