"""Something that is done a little later, and once, however often it was asked for meanwhile."""

from __future__ import annotations

from collections.abc import Callable

import panel as pn

__all__ = ["Later"]


class Later:
    """Does something once, some time after it was first asked for; at once where no page is open.

    Parameters
    ----------
    do : callable
    """

    def __init__(self, do: Callable[[], None]) -> None:
        self._do, self._waiting = do, False

    def ask(self, wait_ms: int) -> None:
        """Have it done; what is asked for while it waits is done with it."""
        document = pn.state.curdoc
        if document is None or not document.session_context:
            self._do()
        elif not self._waiting:
            self._waiting = True
            document.add_timeout_callback(self._now, wait_ms)

    def _now(self) -> None:
        self._waiting = False
        self._do()
