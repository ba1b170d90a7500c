"""A lecture that is held, with a class or an imaginary one: what both have in common."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import ClassVar, Self

from pvsim.app.lecture.bench import LectureBench
from pvsim.app.lecture.hands import asked, one_hand
from pvsim.app.lecture.kept import Kept
from pvsim.app.lecture.performance import NOTHING, Performance, Told
from pvsim.app.lecture.phones import Phones
from pvsim.app.words import _
from pvsim.course.lecture import lecture_state as stand
from pvsim.course.lecture.class_answers import read_hands
from pvsim.course.lecture.lecture import Lecture
from pvsim.course.lecture.lecture_record import moment_of, note, podium_at
from pvsim.course.lecture.lecture_state import Podium
from pvsim.course.lesson.step_search import played
from pvsim.course.number.solved_scenario import remember

__all__ = ["Held"]


class Held(Performance):
    """A lecture that is held now: it locks, counts answers, sees the act done and is written down.

    Parameters
    ----------
    bench : LectureBench
    phones : Phones
        The class, which may be closed.
    clock : callable
        Seconds since 1970.
    podium : Podium
        Where it begins.
    began : float
        When that was.
    noted : bool
        Whether the record of the lecture is of this performance, and goes on.
    """

    held: ClassVar[bool] = True

    def __init__(
        self,
        bench: LectureBench,
        phones: Phones,
        clock: Callable[[], float],
        podium: Podium,
        *,
        began: float,
        noted: bool = False,
    ) -> None:
        self.bench, self.phones, self._clock = bench, phones, clock
        self.podium, self.began, self._noted = podium, began, noted
        self._done_from: object = None  # what the change set out from that did the act
        self._asked_twice = False  # the last press asked for the act although nobody had answered

    @classmethod
    def of(cls, lecture: Lecture, bench: LectureBench, phones: Phones, clock: Callable[[], float]) -> Self:
        """A lecture from its first cue on."""
        return cls(bench, phones, clock, Podium(lecture=replace(lecture, played=())), began=clock())

    @classmethod
    def resumed(
        cls, kept: Kept, bench: LectureBench, phones: Phones, clock: Callable[[], float]
    ) -> Self | None:
        """The lecture that a tab has kept, where it was; None where it had not come to its first cue."""
        if not kept.lecture.played:
            return None
        podium = podium_at(kept.lecture, bench.course, len(kept.lecture.played))
        return cls(bench, phones, clock, podium, began=kept.began, noted=True)

    @property
    def seconds(self) -> float:
        """How long it has run."""
        return self._clock() - self.began

    # From cue to cue

    def enter(self) -> None:
        """Enter the cue: bench and class as it wants them, a line in the record."""
        self._asked_twice = False
        if stand.cue_of(self.podium).moment == "ask":
            self.have_answered()
        self._set_up()
        self._note()
        self.tell()

    def go_on(self, kept: Kept) -> None:
        """Enter the cue again, with the class that was open."""
        if kept.room is not None:
            self.phones.enter(*kept.room, kept.polls)
        self._set_up()

    def _set_up(self) -> None:
        self.podium = self.bench.set_up(self.podium)
        self.attend()

    def next(self) -> Told:
        """On; past a question that nobody has answered, or a hidden fault, only when asked for twice."""
        podium, hidden = self.podium, stand.hidden(self.podium, self.bench.course)
        if podium.at == len(podium.lecture.cues) - 1:
            return Told(hint=_("This was the last cue. Save the lecture file or leave the lecture."))
        asking = stand.cue_of(podium).moment in ("ask", "act")
        unheard = asking and not stand.answered(podium, self.bench.course)
        if (unheard or hidden) and not self._asked_twice:
            self._asked_twice = True
            if hidden:
                return Told(hint=_("The fault is still hidden. Press → once more to show it."))
            return Told(
                hint=_("Nobody has answered yet. Count hands, or press → once more to go on without.")
            )
        if unheard:
            podium = stand.waive(podium)
        return self._move(stand.forward(podium))

    def back(self) -> Told:
        """One cue back."""
        return self._move(stand.back(self.podium))

    def go(self, at: int) -> Told:
        """To a cue; beyond the ends, to the nearest."""
        return self._move(stand.go_to(self.podium, at))

    def _move(self, podium: Podium) -> Told:
        if podium.at != self.podium.at:
            self.podium = podium
            self.enter()
        return NOTHING

    def right(self) -> Told:
        """Everything as this cue wants it."""
        self.podium = self.bench.set_up(self.podium)
        return Told(said=_("Everything is as this cue wants it."))

    def do(self) -> Told:
        """Do the act, unless the class is still asked; a search as its solution does: its fault shows."""
        step = stand.step_of(self.podium, self.bench.course)
        if step is None or stand.locked(self.podium, self.bench.course):
            return NOTHING
        if step.search is None:
            self.bench.state.replace(step.finish, step.title)
        elif stand.hidden(self.podium, self.bench.course):
            self.bench.state.solve_lesson_search(played(step.search), step.search.answers)
        return NOTHING

    def seek(self, kept: str) -> Told:
        """Begin the search that is the act, unless the class is still asked."""
        if stand.hidden(self.podium, self.bench.course):
            self.bench.state.begin_lesson_search(kept)
        return NOTHING

    # The answers of the class

    def have_answered(self) -> None:
        """Let an imaginary class answer the round that is open."""

    def attend(self) -> None:
        """Let a class that is there answer, or not, as the cue wants it."""

    def reveal(self) -> Told:
        """Show or hide what this moment keeps back."""
        self._change(stand.reveal(self.podium, self.bench.course))
        return NOTHING

    def again(self) -> Told:
        """A second round, where there can be one."""
        later = stand.ask_again(self.podium, self.bench.course)
        if later is self.podium:
            return NOTHING
        self._change(later)
        self.phones.again(self._key)
        self.have_answered()
        self.tell()
        return Told(said=_("Second round."))

    def hands(self, text: str) -> Told:
        """Hands as they were counted."""
        question = asked(self.podium, self.bench.course)
        if question is not None:
            self._take_hands(read_hands(question, text))
        return NOTHING

    def count(self, choice: object, by: object) -> Told:
        """One hand more or fewer for a choice."""
        question = asked(self.podium, self.bench.course)
        hands = None if question is None else one_hand(self.podium, question, choice, by)
        if hands is not None:
            self._take_hands(hands)
        return NOTHING

    def _take_hands(self, hands: tuple[float, ...]) -> None:
        last = stand.standing_of(self.podium).rounds[-1]
        self._change(stand.take(self.podium, replace(last, hands=hands)))
        self.phones.keep_hands(self._key, asked(self.podium, self.bench.course), hands)
        self.tell()

    @property
    def _key(self) -> tuple[int, int]:
        cue = stand.cue_of(self.podium)
        return cue.part, cue.page

    # Class and notes

    def open_class(self) -> Told:
        """Open the class for its phones, or close it."""
        self.bench.state.tell(_("This page has no class. Count hands instead."))
        return NOTHING

    def open_notes(self) -> Told:
        """The notes; beside them phones are asked only where the class is open for that."""
        if not self.phones.there:
            self.bench.state.tell(_("This page has no notes window."))
            return Told(reply={"notes": ""})
        self.phones.open(self.podium, ask=False)
        return Told(reply={"notes": self.tell()})

    def tell(self) -> str:
        """Tell the notes window how it stands; its path."""
        return self.phones.tell(self.podium, self.bench.course, self.began)

    # What comes from elsewhere

    def watch(self) -> bool:
        """See whether the act is done."""
        base = self.bench.state.set_out_from
        going_on = base is not None and base is self._done_from
        live = self.bench.now
        later = stand.watch(self.podium, self.bench.course, live, going_on=going_on)
        if later is not self.podium:
            remember(live)
            self.podium, self._done_from = later, base
            self.attend()
        return True

    def hear(self) -> None:
        """Take what the phones have answered by now."""
        if self.phones.trouble:
            self.bench.state.tell(self.phones.trouble)
        self.podium = self.phones.hear(self.podium, self._key)

    def settle(self) -> None:
        """Write down what was done on the bench."""
        self._note()

    # How it is done

    def _change(self, podium: Podium) -> None:
        self.podium = podium
        self.bench.lock(podium)
        self._note()

    def _note(self) -> None:
        """Write this moment down, in the file that is saved and in what the tab keeps."""
        lecture = self.bench.state.lecture
        if lecture is None:
            return
        now = moment_of(self.podium, self.bench.state.scenario, self.seconds)
        self.bench.write_down(note(lecture.played if self._noted else (), now))
        self._noted = True
