"""Room for one more session, where Bokeh knows no bound."""

from __future__ import annotations

from typing import Any

from bokeh.server.contexts import ApplicationContext

from pvsim.app.door.seats import MOST_SESSIONS, to_let_go
from pvsim.app.mends.door import Door

__all__ = ["lifetime_ms", "make_room"]


async def make_room(context: ApplicationContext, door: Door, lifetime_ms: int) -> bool:
    """End sessions that stand in the way of one more; False when all of them are in use.

    Bokeh has no limit on sessions. `request_expiration` and the look for expired ones are its own means
    to end a session before its time.
    """
    for session in to_let_go(context.sessions, door.connected.__contains__):
        session.request_expiration()
        await context._cleanup_sessions(lifetime_ms)
    return len(list(context.sessions)) + len(context._pending_sessions) < MOST_SESSIONS


def lifetime_ms(handler: Any) -> int:
    """How long the server of a handler keeps a session that nobody is connected to."""
    return int(handler.application._unused_session_lifetime_milliseconds)
