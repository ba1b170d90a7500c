"""The first look at a request: is it meant for this server at all?"""

from __future__ import annotations

from typing import Any

from tornado.httputil import HTTPServerRequest
from tornado.routing import Matcher
from tornado.web import RequestHandler

from pvsim.app.door.lines import short
from pvsim.app.door.names import Ears, Names
from pvsim.app.door.policy import COMMON_HEADERS

__all__ = ["Misdirected", "StrangeHost", "ears_of", "shut_out"]


def ears_of(request: HTTPServerRequest) -> Ears:
    """Address and port of this machine at which a request came in; ("", 0) when its connection is gone."""
    try:
        address, port, *_more = request.connection.stream.socket.getsockname()  # type: ignore[union-attr]
    except (AttributeError, OSError, ValueError):
        return "", 0
    return str(address), int(port)


def shut_out(handler: RequestHandler, names: Names) -> bool:
    """Answer a web socket's first request with 403 where a page of somebody else asks; whether that was so.

    Tornado asks `check_origin` only of origins that differ from the request's Host; a page with a name that
    was given our address is then never looked at.

    Parameters
    ----------
    handler : RequestHandler
        Before it has done anything.
    names : Names
    """
    origins = [handler.request.headers.get(name) for name in ("Origin", "Sec-Websocket-Origin")]
    ears = ears_of(handler.request)
    if all(origin is None or names.trusts(origin, ears) for origin in origins):
        return False
    handler.set_status(403)
    handler.set_header("Content-Type", "text/plain; charset=UTF-8")
    handler.finish("This page is none of pvsim's own.")
    return True


class StrangeHost(Matcher):
    """Matches requests that call the server by a name it does not have.

    Parameters
    ----------
    names : Names
    """

    def __init__(self, names: Names) -> None:
        self._names = names

    def match(self, request: HTTPServerRequest) -> dict[str, Any] | None:
        """An empty dict for a strange one, None for all others."""
        return None if self._names.knows(request.host or "", ears_of(request)) else {}


class Misdirected(RequestHandler):
    """Answers a request that was meant for somebody else, whatever it asks."""

    def prepare(self) -> None:
        """Say so, as plain text: no style sheet would be handed out under this name."""
        for name, value in COMMON_HEADERS.items():
            self.set_header(name, value)
        self.set_status(421)
        self.set_header("Content-Type", "text/plain; charset=UTF-8")
        self.set_header("Cache-Control", "no-store")
        host = short(self.request.host or "", 80)
        self.finish(
            f"pvsim is not called “{host}” here. Open it by the address that it printed when it was started, "
            f"or start it with: pvsim serve --name NAME"
        )
