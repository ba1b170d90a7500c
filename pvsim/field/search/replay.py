"""A transcript played again, line by line, with the reckoning of the best searcher.

Reading the same thing again with the plant as it was tells nothing new: the meter errs as before, and so does
whatever was assumed. On a finer range it does, and so does a figure after a reading over range; what is known
of the coarser one is then counted besides, though it is a tenth as well known.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import inf

from pvsim.circuit.floats import Floats
from pvsim.field.search.foresight import Foresight, is_foreseen
from pvsim.field.search.look import Look, look_of
from pvsim.field.search.plant import AS_FOUND, Plant
from pvsim.field.search.reckoning import evenly, learnt_from
from pvsim.field.search.transcript import Line, Transcript
from pvsim.prompt import summary

__all__ = ["Step", "replayed", "replaying"]


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
    shown : bool
        Whether the look gave a figure, so that nothing is left of it to be read.
    before, after : (candidates,)
    """

    plant: Plant
    look: Look | None
    again: bool
    shown: bool
    before: Floats
    after: Floats

    __repr__ = summary

    @property
    def done(self) -> Look | None:
        """The look that is done with; None where it gave no figure."""
        if self.look is None or not self.shown:
            return None
        return _on_any_range(self.look)


_Stood = tuple[Look, float, tuple[int, ...], bool]


def replayed(know: Foresight, transcript: Transcript) -> tuple[Step, ...]:
    """One step for each line."""
    return tuple(replaying(know, transcript))


def replaying(know: Foresight, transcript: Transcript) -> Iterator[Step]:
    """As `replayed`, a step at a time."""
    likely, plant = evenly(know), AS_FOUND
    read: dict[_Stood, _Read] = {}
    for line in transcript.lines:
        before, look, again, shown = likely, None, False, False
        if not line.refused and is_foreseen(line.act) and line.found:
            look = look_of(plant, line.act)
            shown = not any(one.reading.over_range for one in line.found)
            separated = plant.separated if plant.switch_closed else ()
            stood = _on_any_range(look), plant.leak, separated, plant.switch_closed
            known = read.get(stood, _Read())
            again = known.tells(line, shown)
            read[stood] = known.with_line(line, shown)
            if not again:
                likely = learnt_from(know, likely, plant, line, whole=True)
        yield Step(plant=plant, look=look, again=again, shown=shown, before=before, after=likely)
        plant = line.plant


def _on_any_range(look: Look) -> Look:
    return replace(look, act=replace(look.act, range_most=0.0))


@dataclass(frozen=True, slots=True)
class _Read:
    """Of one thing: the finest range that gave a figure, the widest that it was beyond."""

    finest: float = inf
    widest: float = 0.0

    def tells(self, line: Line, shown: bool) -> bool:
        """Whether a line of the same thing tells what is known."""
        most = line.found[0].reading.range_most
        return most >= self.finest if shown else self.finest < inf or most <= self.widest

    def with_line(self, line: Line, shown: bool) -> _Read:
        """What is known with it."""
        most = line.found[0].reading.range_most
        if shown:
            return replace(self, finest=min(self.finest, most))
        return replace(self, widest=max(self.widest, most))
