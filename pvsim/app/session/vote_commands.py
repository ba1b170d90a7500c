"""A class that votes with its phones on what is read next in a search."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from html import escape

from pvsim.app.room.classroom import Classroom
from pvsim.app.session.debrief_errand import DebriefErrand
from pvsim.app.session.field_commands import FieldCommands
from pvsim.app.session.field_kept import class_kept, kept_text
from pvsim.app.session.field_work import Ballot, FieldWork
from pvsim.app.session.reading_text import minutes_text
from pvsim.app.words import _
from pvsim.errors import PvsimError
from pvsim.field.search.act import minutes_of
from pvsim.field.search.answer import Answer
from pvsim.field.search.offer import Choice, acts_of, offer_of
from pvsim.field.search.telling import describe_choice
from pvsim.field.search.transcript import plant_after
from pvsim.field.search.vote import Vote

__all__ = ["VoteCommands", "choice_minutes"]


class VoteCommands(FieldCommands):
    """The commands of a vote. What is hidden, and the number that it comes from, never goes to the class."""

    _offering: DebriefErrand | None = None
    _class_kept: tuple[str, str] | None = None  # of a search that is being done again

    @property
    def standing_ballot(self) -> Ballot | None:
        """What the class was asked last, as long as it is open and was asked nothing else."""
        ballot, room = self.field.ballot, self._class()
        return ballot if ballot is not None and room is not None and room.poll == ballot.poll else None

    @property
    def class_of_search(self) -> tuple[str, str] | None:
        """Code and key of the class, for the tab to keep; None where there is none, or a lecture has it."""
        room = self._class()
        return None if room is None or self.lecture is not None else (room.code, room.key)

    def resume_search(self, kept: str) -> None:
        """Go on with a search that the browser's tab has kept, and with the class that was open for it."""
        self._class_kept = class_kept(kept)
        super().resume_search(kept)

    def kept_search(self) -> str:
        """What the tab is to keep, with the class that votes."""
        return kept_text(self.field, self.class_of_search) or super().kept_search()

    def _resumed(self, there: Callable[[], FieldWork]) -> None:
        super()._resumed(there)
        room, (key, self._class_kept) = self.classroom, (self._class_kept, None)
        if room is None or key is None or self.field.case is None or room.is_open:
            return
        try:
            if room.enter(*key) and room.asking:
                room.stop()  # what it was asked has gone with the page
        except PvsimError as error:
            self._refuse(error)

    def open_class(self) -> None:
        """Open a class for the search, to which phones come; one that is open already stays."""
        if self.classroom is not None and not self.classroom.is_open:
            self._tell_class(partial(self.classroom.open, _("Finding the fault")))

    def close_class(self) -> None:
        """Close the class, unless a lecture has it."""
        room = self._class()
        if self.lecture is None and room is not None:
            self.drop_ballot()
            self._tell_class(room.close)

    def ask_class(self) -> None:
        """Work out a handful of sensible acts and ask the class which of them is done next."""
        work = self.field
        if work.case is None or work.over:
            self.tell(_("No search is on."))
        elif self._class() is None:
            self.tell(_("No class is open."))
        elif barred := self.barred_from_measuring():
            self.tell(barred)
        elif not self.computing and not self.offering and self.standing_ballot is None:
            errand = self._offering = DebriefErrand(self.document)
            self._update(offering=True, notice="")
            job = partial(offer_of, work.case, work.transcript, self._foresight(work.case))
            errand.send(job, partial(self._offered, errand))

    def end_vote(self) -> None:
        """Take no more votes."""
        room = self._class()
        if room is not None and self.standing_ballot is not None and room.asking:
            self._tell_class(room.stop)

    def drop_ballot(self) -> None:
        """Let go of a question, answered or not, and of one that is being worked out."""
        if self._offering is not None:
            self._offering.give_up()
            self._offering = None
            self._update(offering=False)
        if self.field.ballot is not None:
            self.end_vote()
            self._update(field=replace(self.field, ballot=None))

    def do_voted(self, chosen: int) -> None:
        """Do one of what the class was asked, and keep how it had voted."""
        ballot = self.standing_ballot
        if ballot is None and self.field.votes:  # a second press, where the first has done it
            return
        if ballot is None or not 0 <= chosen < len(ballot.offer):
            self.tell(_("No such choice was put to the class."))
            return
        self.end_vote()
        vote = partial(self._voted, ballot, self.vote_counts(), chosen, len(self.field.transcript.lines))
        self.measure(*acts_of(plant_after(self.field.transcript), ballot.offer[chosen]), then=vote)

    def vote_counts(self) -> tuple[int, ...]:
        """How many want each choice so far."""
        ballot, room = self.standing_ballot, self._class()
        if ballot is None or room is None:
            return ()
        tally = room.tally()
        return tally.rounds[0].counts if tally and tally.rounds else (0,) * len(ballot.offer)

    def answer_search(self, answer: Answer) -> None:
        """Answer; what the class was asked is let go of."""
        self.drop_ballot()
        super().answer_search(answer)

    def leave_search(self) -> None:
        """Let go of the search, with what the class was asked."""
        self.drop_ballot()
        super().leave_search()

    @staticmethod
    def _voted(
        ballot: Ballot, counts: tuple[int, ...], chosen: int, first: int, work: FieldWork
    ) -> FieldWork:
        line = len(work.transcript.lines) - 1
        vote = Vote(offer=ballot.offer, counts=counts, chosen=chosen, first=first, line=line)
        return replace(work, ballot=None, votes=(*work.votes, vote))

    def _offered(self, errand: DebriefErrand, offer: tuple[Choice, ...] | None, wrong: str) -> None:
        if self._offering is not errand:
            return
        self._offering = None
        self._update(offering=False)
        room = self._class()
        if offer is None or room is None:
            self.tell(wrong or _("No class is open."))
        elif self._tell_class(partial(room.ask, _sheet(offer))) and room.poll is not None:
            self._update(field=replace(self.field, ballot=Ballot(offer=offer, poll=room.poll)))

    def _class(self) -> Classroom | None:
        return self.classroom if self.classroom is not None and self.classroom.is_open else None

    def _tell_class(self, change: Callable[[], None]) -> bool:
        """Change the class; where that cannot be done, say why."""
        try:
            change()
        except PvsimError as error:
            self._refuse(error)
            return False
        return True


def choice_minutes(choice: Choice) -> str:
    """What a choice costs, the safe way counted in; of what is not safe, what it would cost."""
    return minutes_text(choice.minutes or minutes_of(choice.act))


def _sheet(offer: tuple[Choice, ...]) -> dict[str, object]:
    """The question as phones show it; no lesson is in it, and nothing of the case."""
    choices = [
        escape(_("{what} ({minutes})").format(what=describe_choice(one), minutes=choice_minutes(one)))
        for one in offer
    ]
    question = f"<p>{escape(_('What do we read next?'))}</p>"
    return {"lesson": "", "step": "", "question": question, "kind": "choice", "choices": choices}
