"""How a search went: what was done, what it read and the minutes, line after line; and the answer.

Lines are added, never changed. All readings of a search are by one set of meters, whose errors and noise
come from the seed of the case and the number of the line, so the same acts read the same for ever.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Protocol

from pvsim.array.checks import tuple_of
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario, check_places, module_type
from pvsim.array.solution import ArraySolution
from pvsim.errors import ScenarioError
from pvsim.field.kit import CAMERA, TRACER_CURRENT, TRACER_VOLTAGE
from pvsim.field.probe import Probe, measure
from pvsim.field.reading import LONGEST_min, Reading, read_meter
from pvsim.field.search.act import Act, meter_of_act, minutes_of
from pvsim.field.search.picture import contrast_uncertainty_K, contrasts_of
from pvsim.field.search.plant import AS_FOUND, Plant, is_built, run_voltage_V, solved
from pvsim.field.search.safety import Refusal, after, refusal_of
from pvsim.field.trace import trace_curve
from pvsim.prompt import summary
from pvsim.words import _

__all__ = ["MAX_LINES", "ZERO_A", "Found", "Line", "Outcome", "Roof", "Transcript", "do", "plant_after"]

MAX_LINES = 500
ZERO_A = 0.3  # a clamp meter whose iron has drifted for hours may show that much of nothing; a judgement


class Roof(Protocol):
    """What is measured on: a case of a search, or an array in which nothing is hidden."""

    @property
    def scenario(self) -> Scenario:
        """What meters are put on."""

    @property
    def sound(self) -> Scenario:
        """Whose places there are."""

    @property
    def seed(self) -> int:
        """Which set of meters."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """One reading of a line.

    Parameters
    ----------
    what : str
        "" for what the act itself reads; "short-current" and "open-voltage" of a trace; "contrast" of a
        picture: the warmest cell less its module, in kelvin.
    place : Place
    reading : Reading
    """

    what: str
    place: Place
    reading: Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One act, done or refused.

    Parameters
    ----------
    begin_min, end_min : float
        Since the search was begun; equal where the act was refused.
    act : Act
    found : tuple of Found
    refused : str
        A key of REFUSALS; "" where it was done.
    plant : Plant
        As the act left it.
    """

    begin_min: float
    end_min: float
    act: Act
    found: tuple[Found, ...]
    refused: str
    plant: Plant

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True)
class Transcript:
    """Lines in the order of time.

    Parameters
    ----------
    lines : tuple of Line
    """

    lines: tuple[Line, ...] = ()

    __repr__ = summary

    def __post_init__(self) -> None:
        tuple_of(self, "lines", Line, most=MAX_LINES)
        end_min = 0.0
        for line in self.lines:
            if line.begin_min != end_min or line.end_min < line.begin_min:
                raise ScenarioError(
                    _("a line begins at minute {begin}, and the one before ends at {end}").format(
                        begin=f"{line.begin_min:g}", end=f"{end_min:g}"
                    ),
                    expected=_("each line to begin where the one before ends"),
                    mend=_("Add lines by doing something"),
                )
            end_min = line.end_min

    @property
    def minutes(self) -> float:
        """Used up so far."""
        return self.lines[-1].end_min if self.lines else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What came of an act.

    Parameters
    ----------
    transcript : Transcript
        With one more line.
    refusal : Refusal or None
        Why it was not done: then no minute has passed and the plant is as it was.
    """

    transcript: Transcript
    refusal: Refusal | None


def plant_after(transcript: Transcript) -> Plant:
    """The plant as the last line left it."""
    return transcript.lines[-1].plant if transcript.lines else AS_FOUND


def do(case: Roof, transcript: Transcript, act: Act) -> Outcome:
    """Do something, or be told why not; the transcript given stays as it was.

    Raises
    ------
    ScenarioError
        If the array does not have the place, or the transcript is full.
    """
    plant, begin_min = plant_after(transcript), transcript.minutes
    _check_place(case, act)
    refusal = refusal_of(plant, act)
    if refusal is not None:
        line = Line(
            begin_min=begin_min, end_min=begin_min, act=act, found=(), refused=refusal.reason, plant=plant
        )
        return Outcome(transcript=_with(transcript, line), refusal=refusal)
    end_min = begin_min + minutes_of(act)
    if end_min > LONGEST_min:
        raise ScenarioError(
            _("the search takes longer than {most} minutes").format(most=f"{LONGEST_min:g}"),
            expected=_("an answer before"),
            mend=_("Answer, or begin again"),
        )
    found = _read(case, plant, act, len(transcript.lines), end_min)
    zero = all(abs(one.reading.value) <= ZERO_A for one in found)
    line = Line(
        begin_min=begin_min,
        end_min=end_min,
        act=act,
        found=found,
        refused="",
        plant=after(plant, act, zero=zero),
    )
    return Outcome(transcript=_with(transcript, line), refusal=None)


def _with(transcript: Transcript, line: Line) -> Transcript:
    return replace(transcript, lines=(*transcript.lines, line))


def _check_place(case: Roof, act: Act) -> None:
    """Refuse a place, or the end of a run, that the array does not have."""
    last = [Place(act.place.string, act.last)] if act.last else []
    check_places(case.sound, [act.place, *last])


def _read(case: Roof, plant: Plant, act: Act, number: int, time_min: float) -> tuple[Found, ...]:
    if act.kind not in ("read", "read-run", "trace", "prove-zero", "picture"):
        return ()
    solution = solved(case.scenario, plant)
    if act.kind == "picture":
        return _picture(case, solution, act.place, number, time_min)
    if act.kind in ("read", "trace") and not is_built(solution.scenario, act.place):
        return _nothing_there(act, case.seed, number, time_min)
    if act.kind == "trace":
        return _trace(solution, act.place, case.seed, number, time_min)
    meter = meter_of_act(act)
    if act.kind == "read-run":
        assert meter is not None
        true_V = run_voltage_V(solution, act.place.string or 0, act.place.module or 0, act.last)
        reading = read_meter(meter, true_V, serial=case.seed, time_min=time_min, number=number)
        return (Found(what="", place=act.place, reading=reading),)
    places = [act.place]
    what = act.what
    if act.kind == "prove-zero":
        places = [Place(string) for string in range(1, len(case.sound.array.strings) + 1)]
        what = "current"
    probes = [Probe(what=what, place=place) for place in places]
    return tuple(
        Found(
            what="",
            place=probe.place,
            reading=measure(
                solution, probe, serial=case.seed, time_min=time_min, number=number, meter=meter
            ),
        )
        for probe in probes
    )


def _picture(
    case: Roof, solution: ArraySolution, place: Place, number: int, time_min: float
) -> tuple[Found, ...]:
    """Of all modules that are planned; where one was left out, the roof is evenly warm."""
    shown = {}
    if is_built(solution.scenario, place):
        found = contrasts_of(solution, place, serial=case.seed, time_min=time_min, number=number)
        shown = {one.place: one.reading for one in found}
    modules = case.sound.array.strings[(place.string or 1) - 1].modules
    if place.module is None:
        parts = [Place(place.string, module) for module in range(1, len(modules) + 1)]
    else:
        count = len(module_type(case.sound, modules[place.module - 1].type).substrings)
        parts = [Place(place.string, place.module, substring=part) for part in range(1, count + 1)]
    even = Reading(
        value=0.0,
        unit=CAMERA.unit,
        standard_uncertainty=contrast_uncertainty_K(0.0),
        range_most=CAMERA.ranges[-1].most,
    )
    return tuple(Found(what="contrast", place=part, reading=shown.get(part, even)) for part in parts)


def _nothing_there(act: Act, serial: int, number: int, time_min: float) -> tuple[Found, ...]:
    """Where a planned module was left out: the meter's leads lie on nothing."""
    meter = meter_of_act(act)
    meters = (
        [("", meter)]
        if meter is not None
        else [("short-current", TRACER_CURRENT), ("open-voltage", TRACER_VOLTAGE)]
    )
    return tuple(
        Found(
            what=what,
            place=act.place,
            reading=read_meter(meter, 0.0, serial=serial, time_min=time_min, number=number),
        )
        for what, meter in meters
    )


def _trace(
    solution: ArraySolution, place: Place, serial: int, number: int, time_min: float
) -> tuple[Found, ...]:
    trace = trace_curve(solution, place, serial=serial, time_min=time_min, number=number)
    ends = (
        ("short-current", TRACER_CURRENT, trace.current_A[0], trace.current_uncertainty_A[0]),
        ("open-voltage", TRACER_VOLTAGE, trace.voltage_V[-1], trace.voltage_uncertainty_V[-1]),
    )
    return tuple(
        Found(
            what=what,
            place=place,
            reading=Reading(
                value=float(value),
                unit=meter.unit,
                standard_uncertainty=float(known),
                range_most=meter.ranges[-1].most,
            ),
        )
        for what, meter, value, known in ends
    )
