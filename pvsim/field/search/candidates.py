"""What may be hidden, as far as anybody can see: every kind at every place, of three sizes where it has one.

Of two faults, every two of different families in different modules.
"""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.fault import Fault
from pvsim.array.module import substring_cells
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario, module_type
from pvsim.field.search.case import LEVELS, SearchCase, bridges, kinds_at, the_visible
from pvsim.field.search.family import HIDDEN_KINDS, answer_of, family_of

__all__ = ["Answered", "Candidate", "answers_to", "candidates_of"]

Answered = tuple[str, Place]


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One thing that may be hidden.

    Parameters
    ----------
    answers : tuple of (str, Place)
        For each fault its key of ANSWERS and its place, as finely as an answer is asked for.
    faults : tuple of Fault
        Such faults, of one size each.
    """

    answers: tuple[Answered, ...]
    faults: tuple[Fault, ...]

    @property
    def kind(self) -> str:
        """Of its first fault."""
        return self.faults[0].kind

    @property
    def place(self) -> Place:
        """Of its first fault, as finely as an answer is asked for."""
        return self.answers[0][1]


def candidates_of(case: SearchCase) -> tuple[Candidate, ...]:
    """Everything that level and family allow; of the case no more is looked at than what is seen."""
    first = _singles(case, kinds_at(case.level, case.family))
    if LEVELS[case.level].hidden == 1:
        return first
    further = _singles(case, kinds_at(case.level))
    two = {}
    for one in first:
        for other in further:
            apart = (one.place.string, one.place.module) != (other.place.string, other.place.module)
            if apart and family_of(one.kind) != family_of(other.kind):
                two[frozenset((*one.faults, *other.faults))] = Candidate(
                    answers=(*one.answers, *other.answers), faults=(*one.faults, *other.faults)
                )
    return tuple(two.values())


def answers_to(case: SearchCase) -> frozenset[Answered]:
    """Every answer that there is to the first fault of a case."""
    return frozenset(one.answers[0] for one in _singles(case, kinds_at(case.level, case.family)))


def _singles(case: SearchCase, kinds: tuple[str, ...]) -> tuple[Candidate, ...]:
    seen = the_visible(case)
    found = []
    for kind in kinds:
        hidden = HIDDEN_KINDS[kind]
        sizes: tuple[float | None, ...] = (None,)
        if hidden.least is not None and hidden.most is not None:
            sizes = tuple(dict.fromkeys((hidden.least, 0.5 * (hidden.least + hidden.most), hidden.most)))
        for place, at, other in _places(seen, kind):
            found += [
                Candidate(answers=((answer_of(kind), place),), faults=(Fault(kind, at, size, other),))
                for size in sizes
            ]
    return tuple(found)


def _places(seen: Scenario, kind: str) -> list[tuple[Place, Place, Place | None]]:
    """Where it is judged, where it is put, and the other end of a wire."""
    hidden, strings = HIDDEN_KINDS[kind], seen.array.strings
    if kind == "string-bridge":
        return [(one, one, other) for one, other in bridges(len(strings), len(strings[0].modules))]
    out: list[tuple[Place, Place, Place | None]] = []
    for number, string in enumerate(strings, start=1):
        if hidden.judged == "string":
            out.append((Place(number), Place(number) if hidden.where == "string" else Place(number, 1), None))
            continue
        for position, module in enumerate(string.modules, start=1):
            made, at = module_type(seen, module.type), Place(number, position)
            if hidden.judged == "module" and hidden.where == "module":
                out.append((at, at, None))
                continue
            for part in range(1, len(made.substrings) + 1):
                there = Place(number, position, diode=part)
                if hidden.where == "cell":  # in each substring: a picture shows which, though it is not asked
                    there = _cell_of(at, substring_cells(made, part)[0])
                judged = at if hidden.judged == "module" else Place(number, position, substring=part)
                out.append((judged, there, None))
    return out


def _cell_of(module: Place, cell: int) -> Place:
    return Place(module.string, module.module, cell=cell)
