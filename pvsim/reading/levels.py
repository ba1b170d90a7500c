"""One change at five levels: what a cell, its substring, module, string and the array give."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from pvsim.array.part_place import place_at
from pvsim.array.place import SHOWN_LEVELS, Place
from pvsim.array.solution import ArraySolution
from pvsim.errors import ScenarioError
from pvsim.reading.own_curve import greatest_power
from pvsim.reading.terminals import power_of

__all__ = ["RUNGS", "Measure", "Rung", "rungs"]

Measure = Literal["held", "alone"]
RUNGS = SHOWN_LEVELS[::-1]  # from the cell outwards


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """One level of the ladder.

    Parameters
    ----------
    level : str
        One of RUNGS.
    place : Place
        The part.
    now_W : float
        Its power; negative for a cell that eats power.
    before_W : float or None
        None when there is nothing to compare with.
    """

    level: str
    place: Place
    now_W: float
    before_W: float | None


def rungs(
    now: ArraySolution, before: ArraySolution | None, focus: Place, *, measure: Measure = "held"
) -> tuple[Rung, ...]:
    """The powers at five levels, from the cell outwards.

    Parameters
    ----------
    now, before : ArraySolution
        The present and the earlier state.
    focus : Place
        The cell, or what holds it; of a larger part the first cell inside.
    measure : "held" or "alone"
        Where the array holds each part, or at each part's own maximum.
    """
    found = []
    for level in RUNGS:
        place = place_at(now.scenario, focus, level)
        found.append(
            Rung(
                level=level,
                place=place,
                now_W=_power(now, place, measure),
                before_W=None if before is None else _earlier_power(before, place, measure),
            )
        )
    return tuple(found)


def _earlier_power(solution: ArraySolution, place: Place, measure: Measure) -> float | None:
    """As `_power`; none where the earlier array does not have the part."""
    try:
        return _power(solution, place, measure)
    except ScenarioError:
        return None


def _power(solution: ArraySolution, place: Place, measure: Measure) -> float:
    """What a part gives, in W."""
    return power_of(solution, place) if measure == "held" else greatest_power(solution, place)
