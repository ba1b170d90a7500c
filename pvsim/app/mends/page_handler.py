"""The page at its address: who gets one, and under which policy."""

from __future__ import annotations

from typing import Any

from panel.io.server import DocHandler

from pvsim.app.door.policy import COMMON_HEADERS, page_policy
from pvsim.app.door.turned_away import turn_away
from pvsim.app.mends.door import DOOR, Door
from pvsim.app.mends.sessions import lifetime_ms, make_room

__all__ = ["PageHandler"]


class PageHandler(DocHandler):
    """GET /: a new session and its page.

    Panel takes the session's name from the address, a token or a header where they name one, so that whoever
    hands somebody a link drives that person's page; and it sends no policy.
    """

    NAMED = ("bokeh-session-id", "bokeh-token")

    def set_default_headers(self) -> None:
        """What every answer has."""
        for name, value in COMMON_HEADERS.items():
            self.set_header(name, value)

    async def get(self, *args: Any, **kwargs: Any) -> None:
        """Open a page, if there is room and the address does not name somebody's session."""
        door: Door = self.settings[DOOR]
        if (
            any(name in self.request.arguments for name in self.NAMED)
            or "Bokeh-Session-Id" in self.request.headers
        ):
            turn_away(self, 403, "session", door.language)
        elif not door.seats.may_open(str(self.request.remote_ip)):
            turn_away(self, 429, "often", door.language)
        elif not await make_room(self.application_context, door, lifetime_ms(self)):
            turn_away(self, 503, "full", door.language)
        else:
            if door.kin is not None:  # Bokeh takes the name of a session from here; nobody else can give one
                name = door.kin.new_session_id(self.application.secret_key)
                self.request.headers["Bokeh-Session-Id"] = name
            opened: Any = super().get(*args, **kwargs)
            await opened

    async def get_session(self) -> Any:
        """The session, for whose inline scripts the policy names the word in its template."""
        made: Any = super().get_session()
        session = await made
        nonce = session.document.template_variables.get("nonce", "")
        host = self.request.host or ""
        door: Door = self.settings[DOOR]
        self.set_header("Content-Security-Policy", page_policy(nonce, host, door.embedders))
        return session
