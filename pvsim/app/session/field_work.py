"""What somebody measures on the roof: on the bench as it stands, or in a search for a hidden fault."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pvsim.array.scenario import Scenario
from pvsim.field.search.answer import Answer, Judgement, judged
from pvsim.field.search.case import SearchCase, search_case, the_visible
from pvsim.field.search.transcript import Transcript

__all__ = [
    "FIRST_METERS",
    "NOTHING_DONE",
    "BenchRoof",
    "FieldWork",
    "answered",
    "begun",
    "roof_of_work",
    "seen_by_all",
]

NOTHING_DONE = Transcript()
FIRST_METERS = 1  # the set of meters that somebody is handed first


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchRoof:
    """The bench as a roof to measure on: nothing of it is hidden.

    Parameters
    ----------
    scenario : Scenario
        What meters are put on.
    seed : int
        Which set of meters: their errors are drawn from it.
    """

    scenario: Scenario
    seed: int

    @property
    def sound(self) -> Scenario:
        """Whose places there are."""
        return self.scenario


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldWork:
    """What was done so far.

    Parameters
    ----------
    case : SearchCase or None
        What is searched in; None on the bench. It never leaves the server.
    transcript : Transcript
    meters : int
        On the bench, which set of meters is in hand.
    answer, judgement : Answer and Judgement, or None
        Of a search that is over.
    """

    case: SearchCase | None = None
    transcript: Transcript = NOTHING_DONE
    meters: int = FIRST_METERS
    answer: Answer | None = None
    judgement: Judgement | None = None

    @property
    def over(self) -> bool:
        """Whether the search has been answered."""
        return self.answer is not None


def begun(seed: int, level: int, family: str = "") -> FieldWork:
    """A search that nothing has been done in; see `search_case`."""
    return FieldWork(case=search_case(seed, level, family))


def answered(work: FieldWork, answer: Answer) -> FieldWork:
    """The same work with an answer, and what of it is right.

    Raises
    ------
    ScenarioError
        If the array does not have the place.
    """
    assert work.case is not None
    return replace(work, answer=answer, judgement=judged(work.case, answer))


def roof_of_work(work: FieldWork, bench: Scenario) -> BenchRoof | SearchCase:
    """What meters are put on: the array of the search, else the bench."""
    return BenchRoof(scenario=bench, seed=work.meters) if work.case is None else work.case


def seen_by_all(work: FieldWork) -> Scenario | None:
    """What the bench shows while one searches; None where no search is on."""
    return None if work.case is None else the_visible(work.case)
