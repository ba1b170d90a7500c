"""The search for the shortest wiring, beside the event loop, for one session."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from contextvars import copy_context
from functools import partial
from time import monotonic

from bokeh.document import Document

from pvsim.array.scenario import Scenario
from pvsim.array.usual_wirings import Wiring
from pvsim.array.wiring_search import search_roof
from pvsim.cabling import Found
from pvsim.errors import PvsimError

__all__ = ["WiringErrand"]

EVERY_s = 0.25  # between two reports

Came = Callable[[Found], None]
Over = Callable[[Found | None, Wiring, str], None]


class WiringErrand:
    """One search, in a thread that lets the event loop have its turn.

    Parameters
    ----------
    document : Document or None
        In whose turn reports come; without one the search runs where it is started.
    """

    def __init__(self, document: Document | None) -> None:
        self._document = document
        self._stopped = self._dropped = False

    def start(
        self, scenario: Scenario, lengths: Sequence[int], time_s: float, came: Came, over: Over
    ) -> None:
        """Search; `came` hears of what is found, and `over` of the best in the end, or of what was wrong."""
        if self._document is None:
            self._run(scenario, lengths, time_s, came, over)
            return
        given = (self._run, scenario, lengths, time_s, came, over)
        thread = threading.Thread(target=copy_context().run, args=given, name="pvsim-wiring", daemon=True)
        thread.start()

    def stop(self) -> None:
        """End the search with what it has found; an attempt at a proof goes on for some seconds."""
        self._stopped = True

    def give_up(self) -> None:
        """End the search; nobody hears of it any more."""
        self._stopped = self._dropped = True

    def _run(self, scenario: Scenario, lengths: Sequence[int], time_s: float, came: Came, over: Over) -> None:
        best: Found | None = None
        wiring: Wiring = ()
        error, told_at = "", 0.0
        try:
            for best, wiring in search_roof(scenario, lengths, time_s=time_s):  # noqa: B007 (used after the loop)
                if self._stopped:
                    break
                if monotonic() - told_at > EVERY_s:
                    told_at = monotonic()
                    self._hand_over(partial(came, best))
        except PvsimError as refused:
            best, error = None, str(refused)
        self._hand_over(partial(over, best, wiring, error))

    def _hand_over(self, report: Callable[[], None]) -> None:
        if self._document is None:
            report()
            return
        if self._dropped:
            return
        here = copy_context()
        self._document.add_next_tick_callback(partial(here.run, report))
