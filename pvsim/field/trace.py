"""A characteristic as an I-V tracer takes it: so many points, noise on both axes, light and warmth beside.

The tracer goes from short circuit to open circuit, and both its meters stay in one range the while. What it
shows comes from its points, not from the circuit.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from pvsim.array.checks import whole
from pvsim.array.place import Place, level_of
from pvsim.array.solution import ArraySolution
from pvsim.circuit import operate
from pvsim.circuit.floats import Floats
from pvsim.errors import ScenarioError
from pvsim.field.kit import TRACER_CURRENT, TRACER_VOLTAGE
from pvsim.field.meter import Meter, budget_of, range_of
from pvsim.field.probe import Probe, measure, refuse_many_trackers
from pvsim.field.reading import Reading, read_often
from pvsim.prompt import summary
from pvsim.reading.curve import circuit_of
from pvsim.reading.own_curve import own_curve
from pvsim.words import _

__all__ = ["MOST_POINTS", "Trace", "trace_curve"]

MOST_POINTS = 1_000
USUAL_POINTS = 100
_TAKEN = 2**20  # numbers of readings that one trace takes up
_KNEE_SHARE = 0.8  # of Voc: half of all points lie above it, where the current falls


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trace:
    """A characteristic as read, and what else was read beside it.

    Parameters
    ----------
    place : Place
    voltage_V, current_A : (points,)
        As shown, in the order taken: from short circuit to open circuit.
    voltage_uncertainty_V, current_uncertainty_A : (points,)
        Standard uncertainties.
    over_range : bool
        Whether a point was beyond the tracer.
    irradiance, temperature : Reading
        In the plane of the part, and on its back.
    """

    place: Place
    voltage_V: Floats
    current_A: Floats
    voltage_uncertainty_V: Floats
    current_uncertainty_A: Floats
    over_range: bool
    irradiance: Reading
    temperature: Reading

    __repr__ = summary

    @property
    def power_W(self) -> Floats:
        """Of every point."""
        return self.voltage_V * self.current_A


def trace_curve(
    solution: ArraySolution,
    place: Place,
    *,
    serial: int,
    time_min: float = 0.0,
    number: int = 0,
    points: int = USUAL_POINTS,
) -> Trace:
    """What an I-V tracer shows of a module, a string or the array, taken out and measured alone.

    Parameters
    ----------
    serial, time_min, number
        As of `read_meter`; one serial for the tracer and the two sensors that come with it.
    points : int
        3 to MOST_POINTS.

    Raises
    ------
    ScenarioError
        If the array does not have the place, or it is no module, string or array.
    """
    if level_of(place) not in ("array", "string", "module"):
        raise ScenarioError(
            _("a characteristic is to be taken of {level}").format(level=level_of(place)),
            expected=_("a module, a string or the array"),
            mend=_("Name the part that holds it"),
        )
    refuse_many_trackers(solution, place)
    asked = Sweep(points=points)
    light = Probe(what="irradiance", place=place)
    warmth = Probe(what="back", place=place)
    irradiance, temperature = (
        measure(solution, one, serial=serial, time_min=time_min, number=number) for one in (light, warmth)
    )
    V, I = _swept(solution, place, asked.points)
    numbers = np.uint64(number) * np.uint64(_TAKEN) + np.arange(points, dtype=np.uint64)
    shown = {}
    over = False
    for name, kind, values in (("V", TRACER_VOLTAGE, V), ("A", TRACER_CURRENT, I)):
        meter = _one_range(kind, values)
        read = read_often(meter, values, serial=serial, time_min=time_min, number=numbers)
        known = [budget_of(meter, value, time_min).combined for value in read.value.tolist()]
        shown[name] = read.value, np.array(known)
        over = over or bool(read.over_range.any())
    return Trace(
        place=place,
        voltage_V=shown["V"][0],
        current_A=shown["A"][0],
        voltage_uncertainty_V=shown["V"][1],
        current_uncertainty_A=shown["A"][1],
        over_range=over,
        irradiance=irradiance,
        temperature=temperature,
    )


def _swept(solution: ArraySolution, place: Place, points: int) -> tuple[Floats, Floats]:
    """Where the sweep stops: denser beyond the knee, the currents exact and not from between two points."""
    circuit, voc_V = circuit_of(solution, place), own_curve(solution, place).voc_V
    below = points // 2
    V = np.concatenate(
        [
            np.linspace(0.0, _KNEE_SHARE, below, endpoint=False),
            np.linspace(_KNEE_SHARE, 1.0, points - below),
        ]
    ) * max(voc_V, 0.0)
    return V, np.array([operate(circuit, voltage_V=v).current_A for v in V.tolist()])


def _one_range(meter: Meter, values: Floats) -> Meter:
    """The meter with the one range that holds the whole sweep, a tenth over it left for its errors."""
    at = int(range_of(meter, np.array([1.1 * float(np.abs(values).max())]))[0])
    return replace(meter, ranges=(meter.ranges[at],))


@dataclass(frozen=True, slots=True, kw_only=True)
class Sweep:
    """How many points are asked for."""

    points: int

    def __post_init__(self) -> None:
        whole(self, "points", least=3, most=MOST_POINTS)
