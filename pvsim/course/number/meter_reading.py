"""How well a voltage or a current is known that the kit's meters read, for the texts of lessons.

Standard uncertainties, as `pvsim.field.notice` combines them: of a reading beside what is reckoned for it,
and of the difference between two sound neighbours, read one after the other with the same meter.
"""

from __future__ import annotations

from collections.abc import Callable
from math import hypot

from pvsim.array.place import Place
from pvsim.course.number.solved_scenario import Situation
from pvsim.field.doubt import USUAL_DOUBT, apart
from pvsim.field.meter import budget_of
from pvsim.field.notice import against_prediction
from pvsim.field.probe import Probe, meter_of, true_value

__all__ = ["beside_neighbour", "beside_prediction"]

Read = Callable[[Situation, Place], float]


def beside_prediction(what: str) -> Read:
    """Of a reading of PROBES, held against what is reckoned."""

    def value(situation: Situation, place: Place) -> float:
        probe = Probe(what=what, place=place)
        return against_prediction(situation.solution, situation.solution, probe).uncertainty

    return value


def beside_neighbour(what: str) -> Read:
    """Of the difference between this reading and that of a neighbour that is alike."""

    def value(situation: Situation, place: Place) -> float:
        probe = Probe(what=what, place=place)
        true = true_value(situation.solution, probe)
        random = budget_of(meter_of(probe), true).random
        return hypot(random, random, apart(probe, abs(true), USUAL_DOUBT))

    return value
