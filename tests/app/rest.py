"""Waiting until a page has come to rest: every message answered, and nothing new for a moment."""

from __future__ import annotations

from typing import Any

from tests.patience import PATIENCE_ms

QUIET_ms = 40


class Rest:
    """Hears what goes over a page's web socket."""

    def __init__(self) -> None:
        self._frames = 0
        self._waits = False

    def hear(self, page: Any) -> None:
        """Listen from now on; call it before the page is loaded."""
        page.on("websocket", self._listen)

    def _listen(self, socket: Any) -> None:
        socket.on("framesent", lambda _frame: self._note(waits=True))
        socket.on("framereceived", lambda _frame: self._note(waits=False))

    def _note(self, *, waits: bool) -> None:
        self._frames += 1
        self._waits = waits

    def wait(self, page: Any) -> None:
        """Return when the last word was the server's and two looks in a row found nothing new."""
        quiet, spent = 0, 0
        while quiet < 2:
            before = self._frames
            page.wait_for_timeout(QUIET_ms)
            quiet = quiet + 1 if self._frames == before and not self._waits else 0
            spent += QUIET_ms
            assert spent < PATIENCE_ms, "the page does not come to rest"
