"""The server: one process that hands out the page and all it needs from this machine."""

from __future__ import annotations

import gc
import secrets
from collections.abc import Sequence
from typing import Any

import panel as pn
from bokeh.server.server import Server
from bokeh.settings import settings as bokeh_settings
from tornado.process import task_id

from pvsim.app.assets import STATIC
from pvsim.app.bundle import BUNDLE_PATH, answer_bundle
from pvsim.app.door.kin import Kin
from pvsim.app.door.names import own_names
from pvsim.app.long_address import LONGEST_HEAD, long_addresses
from pvsim.app.mends.defaults import remember_defaults
from pvsim.app.mends.door import Door
from pvsim.app.mends.routes import guard, take_turns
from pvsim.app.modules import MODULE_PATH, answer_module
from pvsim.app.network import local_addresses
from pvsim.app.open_course import OpenCourse
from pvsim.app.packed_files import PackedFiles
from pvsim.app.page import ASSETS, create_page
from pvsim.app.room.hub import Hub
from pvsim.app.room.routes import class_routes
from pvsim.app.session.solved import opened
from pvsim.app.shell.opened_file import MAX_FILE_BYTES
from pvsim.array.scenario import Scenario

__all__ = ["collect_seldom", "create_server"]

TITLE = "pvsim"
UNUSED_SESSION_MS = 5 * 60 * 1000  # a lecture's pause in the network; the work survives it
TOKEN_S = 24 * 60 * 60  # a page open all day can still reconnect
MESSAGE_BYTES = (
    2 * MAX_FILE_BYTES + 65_536
)  # a whole file as JSON writes it, where each line costs a character more
# Nobody sends the server a body; a connection that says nothing for minutes is of no use to anybody.
HTTP = {
    "max_body_size": 65_536,
    "max_header_size": LONGEST_HEAD,
    "body_timeout": 30.0,
    "idle_connection_timeout": 300.0,
}


def create_server(
    scenario: Scenario,
    *,
    port: int = 0,
    address: str = "127.0.0.1",
    language: str = "",
    hub: Hub | None = None,
    network: bool = False,
    course: OpenCourse | None = None,
    names: Sequence[str] = (),
    embedders: Sequence[str] = (),
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
    names : sequence of str
        By which the server is called besides those of this machine, as `read_name` gives them.
    embedders : sequence of str
        Origins whose pages may show pvsim in a frame, as `read_embedder` gives them.
    settings
        Of the server, in place of those chosen here.
    """
    pn.extension(reconnect=True)
    # Panel asks components for attributes they lack; the search for names alike took 1 ms a change.
    bokeh_settings.perform_error_diagnostics = False
    # What nobody has set Bokeh looks up in the environment each time it names or writes something.
    bokeh_settings.simple_ids = True
    bokeh_settings.pretty = False
    # Every page is built by the same code, and a test looks its document through; this took a twentieth of
    # opening one.
    bokeh_settings.perform_document_validation = False
    remember_defaults()

    opened(scenario)  # before anybody waits for a page
    hub = hub or Hub()
    found = local_addresses() if network else ()
    count = settings.get("num_procs", 1)
    kin = Kin(count) if count > 1 else None
    door = Door(names=own_names(found, names), embedders=tuple(embedders), language=language, kin=kin)
    routes = class_routes(hub, language, door.names)
    address = "" if network else address

    def open_page() -> pn.Template:  # Panel calls plain functions only, once per session
        return create_page(scenario, usual_language=language, hub=hub, course=course)

    options: dict[str, Any] = {
        "address": address or None,
        "title": TITLE,
        "location": False,
        "extra_patterns": [
            (BUNDLE_PATH, answer_bundle),
            (MODULE_PATH, answer_module),
            (rf"/{ASSETS}(.*)", PackedFiles, {"path": str(STATIC)}),
            *routes,
        ],
        "unused_session_lifetime_milliseconds": UNUSED_SESSION_MS,
        "session_token_expiration": TOKEN_S,
        "compress_response": True,
        "websocket_max_message_size": MESSAGE_BYTES,
        "http_server_kwargs": HTTP,
        # Of this server alone: what it signs is worth nothing to one that is started later.
        "secret_key": secrets.token_bytes(32),
        "sign_sessions": True,
    }
    server: Server = pn.io.server.get_server({"/": open_page}, port=port, **(options | settings))
    guard(
        server,
        door,
        own=(PackedFiles, answer_bundle, answer_module, *(handler for _path, handler, _more in routes)),
        first=long_addresses(hub, language, door.names),
    )
    if kin is not None:  # from here on each process goes its own way
        kin.part(task_id() or 0)
        take_turns(server, kin)
    hub.network = network
    hub.address = hub.address or f"http://{next(iter(found), '127.0.0.1')}:{server.port}"
    return server


def collect_seldom() -> None:
    """Look for garbage seldom, in a process that does nothing but serve.

    A look at the pages of a whole class takes up to a second in which nobody is answered, and took a
    tenth of all time. Little garbage has cycles while pages are open; when one closes, Panel collects.
    """
    gc.collect()
    gc.freeze()  # what has been imported stays
    gc.set_threshold(30_000, 20, 20)
