"""What somebody measures on the roof: on the bench as it stands, or in a search for a hidden fault."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from pvsim.app.session.bench_change import BenchChange, Conditions, conditions_of
from pvsim.array.place import Place
from pvsim.array.scenario import Scenario, check_place
from pvsim.errors import PvsimError
from pvsim.field.meter import Meter, on_range
from pvsim.field.search.act import Act, can_be_ranged, meter_of_act
from pvsim.field.search.answer import Answer
from pvsim.field.search.case import SearchCase, search_case, the_visible
from pvsim.field.search.debrief import Debrief, Verdict
from pvsim.field.search.offer import Choice
from pvsim.field.search.transcript import Transcript, plant_after
from pvsim.field.search.vote import Vote
from pvsim.field.thermogram import Thermogram
from pvsim.field.trace import Trace
from pvsim.prompt import summary

__all__ = [
    "FIRST_METERS",
    "NOTHING_DONE",
    "Ballot",
    "BenchRoof",
    "FieldWork",
    "Taken",
    "answered",
    "begun",
    "gone_place",
    "is_about",
    "line_conditions",
    "on_ranges",
    "roof_of_work",
    "same_work",
    "searched_on",
    "seen_by_all",
    "with_range",
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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Taken:
    """The whole of what a line read in numbers.

    Parameters
    ----------
    number : int
        Of its line, from 0.
    place : Place
    shown : Thermogram or Trace
    """

    number: int
    place: Place
    shown: Thermogram | Trace

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True)
class Ballot:
    """What a class is asked to choose from.

    Parameters
    ----------
    offer : tuple of Choice
    poll : int
        Its number in the store.
    """

    offer: tuple[Choice, ...]
    poll: int


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
    ranges : tuple of (str, float)
        Meters that are set to a range: key, and the end of the range. All others choose for themselves.
    hints : tuple of str
        Sentences of those taken, the first one first.
    answers : tuple of Answer
        Of a search, so far; it is over with one for each fault.
    so_far : Verdict or None
        Of a search that is over, what of its debrief has been worked out.
    debrief : Debrief or None
        The whole of it.
    undone : str
        Why the debrief could not be worked out; "" where it could, or may still be.
    measured : Scenario or None
        On the bench, what was measured on last.
    changes : tuple of BenchChange
        Of the bench between lines, in their order.
    picture, curve : Taken or None
        The last of each kind; they follow from the transcript.
    ballot : Ballot or None
        What the class is asked, until one of it is done.
    votes : tuple of Vote
        Those of the class that came to something, the first one first.
    """

    case: SearchCase | None = None
    transcript: Transcript = NOTHING_DONE
    meters: int = FIRST_METERS
    ranges: tuple[tuple[str, float], ...] = ()
    hints: tuple[str, ...] = ()
    answers: tuple[Answer, ...] = ()
    so_far: Verdict | None = None
    debrief: Debrief | None = None
    undone: str = ""
    measured: Scenario | None = None
    changes: tuple[BenchChange, ...] = ()
    picture: Taken | None = field(default=None, compare=False)
    curve: Taken | None = field(default=None, compare=False)
    ballot: Ballot | None = None
    votes: tuple[Vote, ...] = ()

    @property
    def over(self) -> bool:
        """Whether the search has all its answers."""
        return self.case is not None and len(self.answers) == len(self.case.faults)


def begun(seed: int, level: int, family: str = "") -> FieldWork:
    """A search that nothing has been done in; see `search_case`."""
    return FieldWork(case=search_case(seed, level, family))


def answered(work: FieldWork, answer: Answer) -> FieldWork:
    """The same work with one more answer.

    Raises
    ------
    ScenarioError
        If the array does not have the place.
    """
    assert work.case is not None
    check_place(work.case.sound, answer.place)
    return replace(work, answers=(*work.answers, answer))


def same_work(work: FieldWork) -> FieldWork:
    """The work as it is."""
    return work


def with_range(work: FieldWork, meter: Meter, most: float) -> FieldWork:
    """The work with a meter set to one of its ranges; with 0 it chooses for itself again.

    Raises
    ------
    ScenarioError
        If the meter has no such range.
    """
    if most:
        on_range(meter, most)
    others = tuple(one for one in work.ranges if one[0] != meter.key)
    return replace(work, ranges=(*others, (meter.key, most)) if most else others)


def on_ranges(work: FieldWork, act: Act) -> Act:
    """An act with its meter on the range that it is set to."""
    meter = meter_of_act(act)
    most = 0.0 if meter is None else dict(work.ranges).get(meter.key, 0.0)
    return replace(act, range_most=most) if most and can_be_ranged(act) else act


def roof_of_work(work: FieldWork, bench: Scenario) -> BenchRoof | SearchCase:
    """What meters are put on: the array of the search, else the bench."""
    return BenchRoof(scenario=bench, seed=work.meters) if work.case is None else work.case


def searched_on(work: FieldWork, bench: Scenario) -> bool:
    """Whether a search is on and has its array on the bench, perhaps changed in other ways."""
    return work.case is not None and not work.over and bench.array == work.case.sound.array


def is_about(work: FieldWork, bench: Scenario) -> bool:
    """Whether what was read last was read on the array of the bench, whatever its faults are now."""
    measured = work.measured if work.case is None else work.case.sound
    return measured is None or bench.array == measured.array


def line_conditions(work: FieldWork, bench: Scenario, line: int) -> Conditions:
    """Light and weather that a line was read in, whatever they are on the bench by now."""
    later = next((one for one in work.changes if one.line > line), None)
    if later is not None:
        return later.before
    return conditions_of(work.measured or bench)


def gone_place(work: FieldWork, bench: Scenario) -> Place | None:
    """A string that the log has apart, or where its cloth lies, if the bench no longer has it."""
    if work.case is not None:
        return None
    plant = plant_after(work.transcript)
    places = [*map(Place, plant.separated), *([plant.cloth] if plant.cloth else [])]
    for place in places:
        try:
            check_place(bench, place)
        except PvsimError:
            return place
    return None


def seen_by_all(work: FieldWork) -> Scenario | None:
    """What the bench shows while one searches; None where no search is on."""
    return None if work.case is None else the_visible(work.case)
