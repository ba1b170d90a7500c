"""Whole scenarios, put in place of the one on the bench."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from pvsim.app.session import history as past
from pvsim.app.session.lending import Lending
from pvsim.app.session.parameters import first_view
from pvsim.app.session.sentences import result_sentence
from pvsim.app.words import _, speaking
from pvsim.array.scenario import Scenario
from pvsim.errors import FileError, PvsimError
from pvsim.files.curve_file import is_curve
from pvsim.files.demo import read_demo
from pvsim.files.link import unpack
from pvsim.files.provenance import one_line
from pvsim.files.scenario_file import read_scenario

__all__ = ["Opening"]


class Opening(Lending):
    """The commands that put another scenario in place: from a file, a link, a tab, a lesson."""

    def replace(
        self, scenario: Scenario, what: str = "", *, fresh: bool = False, at_once: bool = False
    ) -> None:
        """Put another scenario in place, also while changes are locked.

        Parameters
        ----------
        scenario : Scenario
            What comes.
        what : str
            The words for it, for undo and for the sentence said.
        fresh : bool
            Begin a new history here, with this scenario as the one reset goes back to.
        at_once : bool
            Not beside the event loop, however long it takes; so it always is where it is not fresh.
        """
        self._let_go()
        put = partial(self._put, scenario, what, fresh=fresh)
        if fresh and not at_once:
            self._carry_out(put)
        else:  # a lesson goes on with it
            put()

    def _put(self, scenario: Scenario, what: str, *, fresh: bool) -> None:
        settled = self._settled_or_told(scenario)
        if settled is None:
            return
        scenario, solution, released = settled
        self.end_stroke()
        if fresh:
            self._history, self._origin, self._aside = past.start(scenario), scenario, None
            view = {**first_view(scenario), "comparison": "last"}
        else:
            self._history, view = past.add(self._history, scenario, what), {}
        before = None if fresh else self.solution
        said = result_sentence(what, before, solution)
        self._publish(scenario, solution, said=said, notice=released, **view)

    def open_scenario(self, text: str, name: str = "") -> None:
        """Open a scenario file by its text; `name` is for the sentence when it is refused."""

        def read() -> Scenario:
            if is_curve(text):
                raise FileError(
                    _("“{name}” is a table of a curve, and not a scenario").format(
                        name=one_line(name or _("the file"))[:80]
                    ),
                    expected=_("a scenario file that pvsim saved (TOML)"),
                    mend=_("Open it with “Open a measured curve…” in the panel of files, or name it .csv"),
                )
            with speaking("en"):  # what is wrong in a file is told in the language of its keys
                return read_scenario(text, name or "the file")

        self._open(read)

    def open_kept(self, text: str) -> None:
        """Open a bench that the browser's tab has kept; where a lesson has its own array, it lies aside."""
        if not text:
            self.tell(
                _("The array of this address is too large for it: only the tab it was made in has kept it.")
            )
            return
        try:
            with speaking("en"):
                scenario = read_scenario(text, "what this tab kept")
        except PvsimError as error:
            self._refuse(error)
            return
        if self.own_scenario is not None:
            self.take_aside(scenario)
        else:
            what = _("{title} opened").format(title=_(scenario.title))
            self.replace(scenario, what, fresh=True, at_once=True)  # the next address is its own

    def open_link(self, text: str, *, at_once: bool = False) -> None:
        """Open the scenario packed into an address; `at_once` for a lesson, which goes on with it."""
        self._open(lambda: unpack(text), at_once=at_once)

    def choose_demo(self, name: str) -> None:
        """Open one of the scenarios that come with pvsim."""
        self._open(lambda: read_demo(name))

    def _open(self, read: Callable[[], Scenario], *, at_once: bool = False) -> None:
        if self.locked_now():
            return
        try:
            scenario = read()
        except PvsimError as error:
            self._refuse(error)
            return
        what = _("{title} opened").format(title=_(scenario.title))
        self.replace(scenario, what, fresh=True, at_once=at_once)
