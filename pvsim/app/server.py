"""The server: one process that hands out the page and all it needs from this machine."""

from __future__ import annotations

from typing import Any

import panel as pn
from bokeh.server.server import Server
from bokeh.server.views.ws import WSHandler
from tornado.web import StaticFileHandler

from pvsim.app.look import STATIC
from pvsim.app.page import ASSETS, create_page
from pvsim.array.scenario import Scenario

__all__ = ["create_server", "serve"]

TITLE = "pvsim"
UNUSED_SESSION_MS = 5 * 60 * 1000  # a lecture's pause in the network; the work survives it
TOKEN_S = 24 * 60 * 60  # a page open all day can still reconnect


def create_server(scenario: Scenario, *, port: int = 0, address: str = "127.0.0.1", **settings: Any) -> Server:
    """A server that is not started yet.

    Parameters
    ----------
    scenario : Scenario
        What a page opens with.
    port : int
        0 takes a free one; `server.port` tells which.
    address : str
        The network interface; "" for all of them.
    """
    pn.extension(reconnect=True)
    send_at_once()

    def open_page() -> pn.Template:  # Panel calls plain functions only, once per session
        return create_page(scenario)

    server: Server = pn.io.server.get_server(
        {"/": open_page},
        port=port,
        address=address or None,
        title=TITLE,
        location=False,
        start=False,
        show=False,
        extra_patterns=[(rf"/{ASSETS}(.*)", StaticFileHandler, {"path": str(STATIC)})],
        unused_session_lifetime_milliseconds=UNUSED_SESSION_MS,
        session_token_expiration=TOKEN_S,
        compress_response=True,
        **settings,
    )
    return server


def serve(scenario: Scenario, *, port: int = 0, address: str = "127.0.0.1", open_browser: bool = True) -> None:
    """Serve the page until interrupted.

    Parameters
    ----------
    scenario : Scenario
        What a page opens with.
    port : int
        0 takes a free one.
    address : str
        The network interface; "" for all of them, so that a class can join.
    open_browser : bool
        Open the page in the browser of this machine.
    """
    server = create_server(scenario, port=port, address=address)
    server.start()
    if open_browser:
        server.show("/")
    server.run_until_shutdown()


def send_at_once() -> None:
    """Switch off Nagle's waiting on the web socket: about 40 ms a round trip while dragging."""
    if getattr(WSHandler.open, "at_once", False):
        return
    opened = WSHandler.open

    def open_at_once(self: WSHandler, *args: Any, **kwargs: Any) -> Any:
        self.set_nodelay(True)
        return opened(self, *args, **kwargs)

    open_at_once.at_once = True  # type: ignore[attr-defined]
    WSHandler.open = open_at_once
