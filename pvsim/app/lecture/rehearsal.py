"""A lecture that is tried out, with an imaginary class."""

from __future__ import annotations

from typing import ClassVar

from pvsim.app.lecture.held import Held
from pvsim.app.lecture.performance import NOTHING, Told
from pvsim.app.words import _
from pvsim.course.lecture.rehearsal import invent

__all__ = ["Rehearsal"]


class Rehearsal(Held):
    """A lecture that is tried out: a class is invented wherever one would be asked."""

    mode: ClassVar[str] = "rehearsal"
    kept_as: ClassVar[str] = "rehearsal"

    def have_answered(self) -> None:
        """Invent the answers of the round that is open."""
        self.podium = invent(self.podium, self.bench.course)

    def open_class(self) -> Told:
        """Nobody can join."""
        if not self.phones.there:
            return super().open_class()
        self.bench.state.tell(_("In a rehearsal the class is imaginary; nobody can join it."))
        return NOTHING
