"""A transcript played again, line by line, with the reckoning of the best searcher.

Reading the same thing again with the plant as it was tells nothing new: the meter errs as before, and so does
whatever was assumed.
"""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.circuit.floats import Floats
from pvsim.field.search.foresight import Foresight, is_foreseen
from pvsim.field.search.look import Look, look_of
from pvsim.field.search.plant import AS_FOUND, Plant
from pvsim.field.search.reckoning import evenly, learnt, values_of
from pvsim.field.search.transcript import Transcript
from pvsim.prompt import summary

__all__ = ["Step", "replayed"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Step:
    """How likely each candidate was before and after a line.

    Parameters
    ----------
    plant : Plant
        As the line met it.
    look : Look or None
        What the line read that candidates differ in; None where it read nothing of the kind, or was refused.
    again : bool
        Whether the same was read before.
    before, after : (candidates,)
    """

    plant: Plant
    look: Look | None
    again: bool
    before: Floats
    after: Floats

    __repr__ = summary


def replayed(know: Foresight, transcript: Transcript) -> tuple[Step, ...]:
    """One step for each line."""
    likely, plant = evenly(know), AS_FOUND
    steps: list[Step] = []
    read: set[tuple[Look, float, tuple[int, ...], bool]] = set()
    for line in transcript.lines:
        before, look, again = likely, None, False
        over = any(one.reading.over_range for one in line.found)
        if not line.refused and is_foreseen(line.act) and line.found and not over:
            look = look_of(plant, line.act)
            stood = look, plant.leak, plant.separated if plant.switch_closed else (), plant.switch_closed
            again = stood in read
            read.add(stood)
            if not again:
                likely = learnt(know, likely, plant, line.act, values_of(line))
        steps.append(Step(plant=plant, look=look, again=again, before=before, after=likely))
        plant = line.plant
    return tuple(steps)
