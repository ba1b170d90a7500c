"""Something that is done a little later, and once, however often it was asked for meanwhile."""

from __future__ import annotations

from collections.abc import Callable

from bokeh.document import Document

__all__ = ["Later"]


class Later:
    """Does something once, some time after it was first asked for; at once where no page is open.

    Parameters
    ----------
    do : callable
    document : Document or None
        The page's own. The one at work in this process may be another session's, or that of a server that
        ended amid something.
    """

    def __init__(self, do: Callable[[], None], document: Document | None) -> None:
        self._do, self._document, self._waiting = do, document, False

    def ask(self, wait_ms: int) -> None:
        """Have it done; what is asked for while it waits is done with it."""
        document = self._document
        if document is None or not document.session_context:
            self._do()
        elif not self._waiting:
            self._waiting = True
            document.add_timeout_callback(self._now, wait_ms)

    def _now(self) -> None:
        self._waiting = False
        self._do()
