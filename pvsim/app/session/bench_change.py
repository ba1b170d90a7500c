"""What became another on the bench between two lines of its log, so that they are not taken for one state."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Literal, get_args

from pvsim.array.fault import Fault
from pvsim.array.scenario import Scenario
from pvsim.prompt import summary

__all__ = ["PARTS", "BenchChange", "Conditions", "Part", "change_between", "conditions_of"]

Part = Literal["array", "light", "shade", "weather", "operation", "cells"]
PARTS: tuple[Part, ...] = get_args(Part)


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """Light and weather that something was read in.

    Parameters
    ----------
    irradiance_W_m2, air_C, wind_m_s : float
    """

    irradiance_W_m2: float
    air_C: float
    wind_m_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchChange:
    """A change of the bench.

    Parameters
    ----------
    line : int
        Number, from 0, of the first line after it.
    before, after : Conditions
        Of the lines before it, and after it.
    parts : tuple of str
        Of PARTS, in their order. "shade" is what lies or falls on the glass, "cells" how they differ.
    gone, come : tuple of Fault
        Mended and set; none where the array itself is another.
    """

    line: int
    before: Conditions
    after: Conditions
    parts: tuple[Part, ...]
    gone: tuple[Fault, ...]
    come: tuple[Fault, ...]

    __repr__ = summary


def conditions_of(bench: Scenario) -> Conditions:
    """Those of a scenario."""
    return Conditions(
        irradiance_W_m2=bench.light.irradiance_W_m2,
        air_C=bench.weather.ambient_temperature_C,
        wind_m_s=bench.weather.wind_m_s,
    )


def change_between(before: Scenario | None, after: Scenario, line: int) -> BenchChange | None:
    """What meters would read otherwise by; None where that is nothing, or nothing was read before.

    Parameters
    ----------
    line : int
        Number of the line that is written next.
    """
    if before is None or before is after:
        return None
    mine, yours = _parts(before), _parts(after)
    parts = tuple(part for part in PARTS if mine[part] != yours[part])
    gone: tuple[Fault, ...] = ()
    come: tuple[Fault, ...] = ()
    if "array" in parts:
        parts = ("array",)
    else:
        gone, come = _without(before.faults, after.faults), _without(after.faults, before.faults)
    if not (parts or gone or come):
        return None
    return BenchChange(
        line=line,
        before=conditions_of(before),
        after=conditions_of(after),
        parts=parts,
        gone=gone,
        come=come,
    )


def _parts(bench: Scenario) -> dict[Part, object]:
    light = bench.light
    return {
        "array": (bench.array, bench.module_types),
        "light": (light.irradiance_W_m2, light.diffuse_fraction, light.rear_irradiance_W_m2),
        "shade": (light.painted, light.shadows),
        "weather": bench.weather,
        "operation": bench.operation,
        "cells": bench.scatter,
    }


def _without(faults: tuple[Fault, ...], others: tuple[Fault, ...]) -> tuple[Fault, ...]:
    left = Counter(others)
    found = []
    for one in faults:
        if left[one]:
            left[one] -= 1
        else:
            found.append(one)
    return tuple(found)
