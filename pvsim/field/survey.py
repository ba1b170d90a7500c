"""All meters that can be put at a place, one after the other: which of them would notice?"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from pvsim.array.place import Place, level_of
from pvsim.array.solution import ArraySolution
from pvsim.errors import OvertimeError, PvsimError
from pvsim.field.neighbour import neighbour_of
from pvsim.field.notice import Notice, against_neighbour, against_prediction
from pvsim.field.probe import DISPLAYS, PROBES, Probe
from pvsim.field.rule import RULES, Chances, rule_against_neighbour, rule_against_prediction
from pvsim.prompt import summary

__all__ = ["Sight", "best_of", "notices_of", "survey"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sight:
    """What one meter would make of a change.

    Parameters
    ----------
    probe : Probe
    alone : Notice
        Against what it should be.
    beside : Notice or None
        Against its neighbour's; None where there is none.
    alone_rules, beside_rules : tuple of Chances
        Of each of RULES; none where per cent mean nothing.
    """

    probe: Probe
    alone: Notice
    beside: Notice | None
    alone_rules: tuple[Chances, ...] = ()
    beside_rules: tuple[Chances, ...] = ()

    __repr__ = summary


def survey(should_be: ArraySolution, as_is: ArraySolution, place: Place) -> tuple[Sight, ...]:
    """What each meter that can be put at a place would make of a change, in the order of PROBES.

    Parameters
    ----------
    should_be, as_is : ArraySolution
    place : Place
        The whole array, a string or a module; meters can be put nowhere else. What cannot be read in both
        arrays is left out.

    Raises
    ------
    OvertimeError
        If a budget of time is at work and runs out.
    """
    found: list[Sight] = []
    for what, kind in PROBES.items():
        if level_of(place) in kind.levels and _stands_there(as_is, what, place):
            sight = _sight(should_be, as_is, Probe(what=what, place=place))
            found += [] if sight is None else [sight]
    return tuple(found)


def notices_of(sights: Iterable[Sight]) -> tuple[Notice, ...]:
    """All comparisons of a survey."""
    return tuple(one for sight in sights for one in (sight.alone, sight.beside) if one is not None)


def best_of(sights: Iterable[Sight]) -> Notice | None:
    """The comparison that tells most: of the best verdict, the largest effect for its uncertainty."""
    order = ("unchanged", "cannot-be-told", "changed-unless-meter-errs", "changed")
    return max(
        notices_of(sights), key=lambda one: (order.index(one.verdict), abs(one.ratio)), default=None
    )


def _stands_there(solution: ArraySolution, what: str, place: Place) -> bool:
    """Whether a meter belongs to this place: the display of one tracker is the array's, and no string's."""
    return what not in DISPLAYS or level_of(place) == "array" or len(solution.trackers) > 1


def _sight(should_be: ArraySolution, as_is: ArraySolution, probe: Probe) -> Sight | None:
    try:
        alone = against_prediction(should_be, as_is, probe)
    except OvertimeError:
        raise
    except PvsimError:
        return None
    place = neighbour_of(as_is, probe.place)
    other = None if place is None else replace(probe, place=place)
    try:
        beside = None if other is None else against_neighbour(should_be, as_is, probe, other)
    except OvertimeError:
        raise
    except PvsimError:
        other = beside = None
    try:
        by_reckoning = tuple(rule_against_prediction(should_be, as_is, probe, one) for one in RULES)
        by_neighbour = (
            () if other is None
            else tuple(rule_against_neighbour(should_be, as_is, probe, other, one) for one in RULES)
        )
    except OvertimeError:
        raise
    except PvsimError:
        by_reckoning, by_neighbour = (), ()
    return Sight(
        probe=probe, alone=alone, beside=beside, alone_rules=by_reckoning, beside_rules=by_neighbour
    )
