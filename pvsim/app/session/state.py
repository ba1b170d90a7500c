"""The commands of a session: the only way in for views, keys, files and lessons.

Views read the parameters (parameters.py) and watch them; they change them through the commands, which stand
in groups, each a file. A command that cannot be carried out says why in `notice` and leaves all else as it
was.
"""

from __future__ import annotations

from pvsim.app.session import history as past
from pvsim.app.session.array_commands import ArrayCommands
from pvsim.app.session.comparing import Comparing
from pvsim.app.session.day_commands import DayCommands
from pvsim.app.session.lesson_search import LessonSearch
from pvsim.app.session.limit_commands import LimitCommands
from pvsim.app.session.opening import Opening
from pvsim.app.session.roof_commands import RoofCommands
from pvsim.app.session.showing import Showing
from pvsim.app.session.vote_commands import VoteCommands
from pvsim.app.words import _

__all__ = ["State"]


class State(
    ArrayCommands,
    RoofCommands,
    DayCommands,
    VoteCommands,
    LessonSearch,
    Comparing,
    Showing,
    Opening,
    LimitCommands,
):
    """One learner's array, what was found about it, how the page shows it, and what can be done.

    Parameters
    ----------
    scenario : Scenario
        What is set up at first; solved at once.
    """

    # Going back and forth

    def undo(self) -> None:
        """Go one step back."""
        if self.locked_now():
            return
        if self._let_go():
            self._update(said=_("What was being worked out is let go."))
        elif self._history.can_go_back:
            self._travel(past.back, _("undone ({what})").format(what=self._history.current.what))

    def redo(self) -> None:
        """Go one step forward again."""
        if not self.locked_now() and self._history.can_go_forward:
            self._let_go()
            self._travel(past.forward, "")

    def reset(self) -> None:
        """Back to the scenario as it was opened; undo brings the work back."""
        self._commit(lambda _now: self._origin, _("back to the start"))
