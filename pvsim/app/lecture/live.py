"""A lecture in front of a class."""

from __future__ import annotations

from typing import ClassVar

from pvsim.app.lecture.held import Held
from pvsim.app.lecture.performance import Told
from pvsim.app.words import _
from pvsim.errors import PvsimError

__all__ = ["Live"]


class Live(Held):
    """A lecture in front of a class, which answers with its hands and, where it is open, on its phones."""

    mode: ClassVar[str] = "live"
    kept_as: ClassVar[str] = "live"

    _unattended = False  # the class could not be told what the podium wants of it
    _close_twice = False  # the last press asked for the end of the class

    def heed(self, act: str) -> None:
        """A class is closed by two presses that follow each other."""
        self._close_twice = self._close_twice and act == "class"

    def attend(self) -> None:
        """Let the class answer, or not; where it cannot be told so, it is as soon as it is heard again."""
        self._unattended = False
        try:
            self.phones.attend(self.podium, self.bench.course)
        except PvsimError as error:
            self._unattended = True
            self.bench.state.tell(str(error))

    def open_class(self) -> Told:
        """Open the class for its phones; a second press, asked for twice, closes it."""
        if not self.phones.there:
            return super().open_class()
        if not self.phones.asked:
            self.phones.open(self.podium, ask=True)
            self.attend()
            self.tell()
            return Told(said=_("The class is open."))
        if not self._close_twice:
            self._close_twice = True
            return Told(
                hint=_("Press O once more to close the class; its phones are told that it is over.")
            )
        self.phones.close()
        return Told(said=_("The class is closed."))

    def hear(self) -> None:
        """Take what the phones have answered, and tell them what they could not be told before."""
        if self._unattended and not self.phones.trouble:
            self.attend()
        super().hear()
