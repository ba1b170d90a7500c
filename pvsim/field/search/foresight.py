"""What meters would read if a candidate were true, and how well that is known: asked once of each, and kept.

What is worked out (would_read.py) is told with what sizes between those reckoned with leave open.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from pvsim.array.place import Place
from pvsim.circuit.floats import Floats
from pvsim.field.search.act import Act, meter_of_act
from pvsim.field.search.candidates import Candidate, candidates_of
from pvsim.field.search.case import SearchCase, the_visible
from pvsim.field.search.look import all_looks
from pvsim.field.search.picture import contrast_told
from pvsim.field.search.plant import Plant
from pvsim.field.search.stand import Seen
from pvsim.field.search.would_read import WouldRead
from pvsim.prompt import summary

__all__ = ["Foreseen", "Foresight", "groups_of", "is_foreseen"]

_ALIKE = 0.1  # of the standard uncertainty: candidates closer than that are reckoned as one


@dataclass(slots=True, kw_only=True, eq=False)
class Foreseen:
    """What is foreseen of one act with the plant in one state, so far.

    Parameters
    ----------
    mu, sigma : (candidates, parts)
        Of sizes as they are reckoned with; not numbers where they have not been asked for.
    sure : (candidates, parts)
        `sigma` with what sizes between them leave open.
    ready : (candidates,)
        Where there is `sure`.
    whole : bool
        Whether that is everywhere.
    groups : (candidates,) or None
        Candidates that are alike have one number; worked out when it is first asked for, of a whole one.
    """

    mu: Floats
    sigma: Floats
    sure: Floats
    ready: np.ndarray
    whole: bool = False
    groups: np.ndarray | None = None

    __repr__ = summary

    @classmethod
    def of(cls, candidates: int, parts: int) -> Foreseen:
        """Of nobody yet."""
        mu, sigma, sure = (np.full((candidates, parts), np.nan) for _ in range(3))
        return cls(mu=mu, sigma=sigma, sure=sure, ready=np.zeros(candidates, dtype=bool))


def is_foreseen(act: Act) -> bool:
    """Whether an act reads something that candidates differ in."""
    if act.kind == "read":
        return act.what != "irradiance"
    return act.kind in ("read-run", "trace", "picture")


class Foresight:
    """What each candidate would have a reading be; kept, since each costs a solved circuit.

    Parameters
    ----------
    case : SearchCase
        Of which only level, family and what is seen are looked at.
    candidates : tuple of Candidate, optional
        By default all that its level and family may have.

    Attributes
    ----------
    candidates : tuple of Candidate
    seen : Scenario
    looks : tuple of Look
        Every look that searchers choose from.
    answers : tuple
        What candidates answer, each once, in their order.
    answer_of : (candidates,)
        Number of its answer.
    modules : tuple of Place
        Of the array.
    in_modules : (2, faults in modules)
        Number of a candidate, and number of a module that a fault of it lies in.
    """

    def __init__(self, case: SearchCase, candidates: tuple[Candidate, ...] | None = None) -> None:
        self.candidates = candidates_of(case) if candidates is None else candidates
        self.level, self.family = case.level, case.family
        self.seen = the_visible(case)
        self.looks = all_looks(self.seen)
        self.answers = tuple(dict.fromkeys(one.answers for one in self.candidates))
        numbers = {answers: number for number, answers in enumerate(self.answers)}
        self.answer_of = np.array([numbers[one.answers] for one in self.candidates])
        self._seen = Seen.of(self.seen)
        self.modules = tuple(
            Place(string, module)
            for string in range(1, self._seen.strings + 1)
            for module in range(1, self._seen.modules + 1)
        )
        self.in_modules = _in_modules(self.candidates, self.modules)
        self._kept: dict[tuple[Plant, Act], Foreseen] = {}
        self._would_read = WouldRead(self._seen, self.candidates)
        self._smaller, self._larger = _neighbours(self.candidates)

    def reading(self, number: int, plant: Plant, act: Act) -> tuple[Floats, Floats]:
        """What candidate `number` would have an act read, and the standard uncertainty of that; (parts,)."""
        value, sure = self.readings([number], plant, act)
        return value[0], sure[0]

    def readings(
        self, numbers: list[int] | np.ndarray, plant: Plant, act: Act
    ) -> tuple[Floats, Floats]:
        """As `reading`, of several candidates; (candidates, parts) each.

        Parts are what a line of a transcript finds, in that order. Insulation is told as its
        logarithm, a contrast in a picture as `contrast_told` has it.
        """
        mine = np.asarray(numbers)
        found = self._found(mine, plant, act)
        return found.mu[mine], found.sure[mine]

    def alike(self, numbers: np.ndarray, plant: Plant, act: Act) -> np.ndarray | None:
        """Numbers of groups that candidates are alike in, of an act whose every reading is foreseen.

        Returns
        -------
        (len(numbers),) or None
            None where not every candidate is foreseen: whoever asks then looks for them.
        """
        found = self._found(numbers, plant, act)
        if not found.whole:
            return None
        if found.groups is None:
            found.groups = groups_of(found.mu, found.sure)
        groups: np.ndarray = found.groups[numbers]
        return groups

    def _found(self, mine: np.ndarray, plant: Plant, act: Act) -> Foreseen:
        same = replace(plant, proven=False) if plant.proven else plant
        if not same.switch_closed:
            same = replace(same, separated=())  # strings are apart anyhow
        if act.kind == "read" and act.what == "insulation":
            same = replace(same, cloth=None, leak=0.0)
        found = self._kept.get((same, act))
        if found is None:
            found = self._kept[same, act] = Foreseen.of(len(self.candidates), self._count(act))
        if found.whole or found.ready[mine].all():
            return found
        smaller, larger = self._smaller[:, mine], self._larger[:, mine]
        asked = np.unique(np.concatenate([smaller.ravel(), larger.ravel(), mine]))
        missing = asked[np.isnan(found.mu[asked, 0])]
        if len(missing):
            found.mu[missing], found.sigma[missing] = self._would_read.read(missing, same, act)
        # A size lies anywhere up to half way to the next one reckoned with.
        steps = np.maximum((smaller != mine).astype(int) + (larger != mine), 1)
        apart = (np.abs(found.mu[larger] - found.mu[smaller]) / steps[:, :, None]) ** 2 / 12.0
        found.sure[mine] = np.sqrt(found.sigma[mine] ** 2 + apart.sum(axis=0))
        found.ready[mine] = True
        found.whole = bool(found.ready.all())
        if found.whole:
            found.sigma = found.sure  # nobody asks for it any more
        return found

    def shown(self, act: Act, values: Floats) -> Floats:
        """What a meter showed, told as `readings` tells it."""
        if act.kind == "picture":
            return contrast_told(values)
        if act.kind == "read" and act.what == "insulation":
            logs: Floats = np.log(np.maximum(values, 1e-6))
            return logs
        return values

    def most_shown(self, act: Act) -> float:
        """Beyond which the meter of an act shows no figure, told as `readings` tells it; else infinite."""
        meter = meter_of_act(act)
        return np.inf if meter is None or act.what == "insulation" else meter.ranges[-1].most

    def _count(self, act: Act) -> int:
        if act.kind == "picture":
            return self._seen.modules if act.place.module is None else len(self._seen.made.substrings)
        return 2 if act.kind == "trace" else 1

def _in_modules(candidates: tuple[Candidate, ...], modules: tuple[Place, ...]) -> np.ndarray:
    numbers = {at: number for number, at in enumerate(modules)}
    found = [
        (number, numbers[at])
        for number, one in enumerate(candidates)
        for at in dict.fromkeys(Place(place.string, place.module) for _kind, place in one.answers)
        if at in numbers
    ]
    return np.array(found, dtype=np.int64).reshape(-1, 2).T


def groups_of(value: Floats, sure: Floats) -> np.ndarray:
    """Numbers of groups of candidates that are closer than _ALIKE of what the best known of them is known to.

    Parameters
    ----------
    value, sure : (candidates, parts)

    Returns
    -------
    (candidates,)
    """
    bins: Floats = np.round(value / (_ALIKE * sure.min(axis=0)))
    if bins.shape[1] == 1:
        return np.unique(bins[:, 0], return_inverse=True)[1].ravel()
    return np.unique(bins, axis=0, return_inverse=True)[1].ravel()


def _neighbours(candidates: tuple[Candidate, ...]) -> tuple[np.ndarray, np.ndarray]:
    """For each fault, the candidates that differ in its size alone: the next smaller, the next larger.

    (faults, candidates) each; the candidate's own number where there is none.
    """
    count = len(candidates[0].faults)
    smaller = np.tile(np.arange(len(candidates)), (count, 1))
    larger = smaller.copy()
    for which in range(count):
        groups: dict[tuple[object, ...], list[tuple[float, int]]] = {}
        for number, one in enumerate(candidates):
            mine = one.faults[which]
            key = (mine.kind, mine.place, mine.other, *one.faults[:which], None, *one.faults[which + 1 :])
            groups.setdefault(key, []).append((mine.size or 0.0, number))
        for group in groups.values():
            numbers = [number for _size, number in sorted(group)]
            for one_number, next_number in pairwise(numbers):
                larger[which, one_number], smaller[which, next_number] = next_number, one_number
    return smaller, larger
