"""What somebody reads who cannot be let in just now."""

from __future__ import annotations

from typing import Any

from tornado.web import RequestHandler

from pvsim.app.door.policy import plain_policy
from pvsim.app.language import session_language
from pvsim.app.plain_page import plain_page
from pvsim.app.words import _, speaking

__all__ = ["turn_away"]

AGAIN_s = 10  # after which the browser tries once more by itself


def turn_away(handler: RequestHandler, status: int, reason: str, usual_language: str) -> None:
    """Answer with a page of a few words in place of what was asked for.

    Parameters
    ----------
    handler : RequestHandler
    status : int
        Of the answer.
    reason : str
        "session", "often" or "full".
    usual_language : str
        What the server was told to speak; "" for what the browser likes best.
    """
    request = handler.request
    code = session_language(request.query_arguments, {}, dict(request.headers), usual_language)
    with speaking(code):
        page = plain_page("told.html", language=code, **_reasons()[reason])
    handler.set_status(status)
    handler.set_header("Content-Security-Policy", plain_policy(request.host or ""))
    handler.set_header("Cache-Control", "no-store")
    if status != 403:
        handler.set_header("Retry-After", str(AGAIN_s))
        handler.set_header("Refresh", str(AGAIN_s))
    handler.finish(page)


def _reasons() -> dict[str, dict[str, Any]]:
    return {
        "session": {
            "title": _("This link is not opened"),
            "told": _(
                "It names a page that somebody else has open. Whoever gave it to you could then see and "
                "change what you do here."
            ),
            "way": _("Open pvsim without it"),
        },
        "often": {
            "title": _("One moment"),
            "told": _("Very many pages are being opened from your address. This page tries again by itself."),
            "way": "",
        },
        "full": {
            "title": _("One moment"),
            "told": _("As many pages are open as this server can hold. This page tries again by itself."),
            "way": "",
        },
    }
