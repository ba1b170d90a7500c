"""The server: one process that hands out the page and all it needs from this machine."""

from __future__ import annotations

import gc
from typing import Any

import panel as pn
from bokeh.server.server import Server
from bokeh.settings import settings as bokeh_settings
from tornado.web import StaticFileHandler

from pvsim.app.long_address import LONGEST_HEAD, answer_long_addresses
from pvsim.app.look import STATIC
from pvsim.app.network import local_addresses, origins
from pvsim.app.open_course import OpenCourse
from pvsim.app.page import ASSETS, create_page
from pvsim.app.room.hub import Hub
from pvsim.app.room.routes import class_routes
from pvsim.app.solved import opened
from pvsim.app.wire import mend_wire
from pvsim.array.scenario import Scenario

__all__ = ["collect_seldom", "create_server"]

TITLE = "pvsim"
UNUSED_SESSION_MS = 5 * 60 * 1000  # a lecture's pause in the network; the work survives it
TOKEN_S = 24 * 60 * 60  # a page open all day can still reconnect


def create_server(
    scenario: Scenario,
    *,
    port: int = 0,
    address: str = "127.0.0.1",
    language: str = "",
    hub: Hub | None = None,
    network: bool = False,
    course: OpenCourse | None = None,
    **settings: Any,
) -> Server:
    """A server that is not started yet.

    Parameters
    ----------
    scenario : Scenario
        What a page opens with.
    port : int
        0 takes a free one; `server.port` tells which.
    address : str
        The network interface; "" for all of them.
    language : str
        What is spoken to a browser in which nobody has chosen; "" for what that browser likes best.
    hub : Hub or None
        What classes are held in; None keeps them in a file in the user's data folder.
    network : bool
        Let others on the local network in, at all addresses of this machine.
    course : OpenCourse or None
        Whose lessons are shown; None for those that come with pvsim.
    settings
        Of the server, in place of those chosen here.
    """
    pn.extension(reconnect=True)
    # Panel asks components for attributes they lack; the search for names alike took 1 ms a change.
    bokeh_settings.perform_error_diagnostics = False
    mend_wire()

    opened(scenario)  # before anybody waits for a page
    hub = hub or Hub()
    address = "" if network else address

    def open_page() -> pn.Template:  # Panel calls plain functions only, once per session
        return create_page(scenario, usual_language=language, hub=hub, course=course)

    options: dict[str, Any] = {
        "address": address or None,
        "title": TITLE,
        "location": False,
        "extra_patterns": [
            (rf"/{ASSETS}(.*)", StaticFileHandler, {"path": str(STATIC)}),
            *class_routes(hub, language),
        ],
        "unused_session_lifetime_milliseconds": UNUSED_SESSION_MS,
        "session_token_expiration": TOKEN_S,
        "compress_response": True,
        "http_server_kwargs": {"max_header_size": LONGEST_HEAD},
    }
    server: Server = pn.io.server.get_server({"/": open_page}, port=port, **(options | settings))
    answer_long_addresses(server._tornado, hub, language)
    hub.network = network
    found = local_addresses() if network else ()
    hub.address = hub.address or f"http://{next(iter(found), '127.0.0.1')}:{server.port}"
    if network:
        server._tornado.websocket_origins.update(origins(server.port or 0, found))
    return server


def collect_seldom() -> None:
    """Look for garbage seldom, in a process that does nothing but serve.

    A look at the pages of a whole class takes up to a second in which nobody is answered, and took a
    tenth of all time. Little garbage has cycles while pages are open; when one closes, Panel collects.
    """
    gc.collect()
    gc.freeze()  # what has been imported stays
    gc.set_threshold(30_000, 20, 20)
