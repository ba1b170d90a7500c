"""The routes of a server, without those that nobody needs; and whose turn it is to take a connection."""

from __future__ import annotations

from typing import Any

from bokeh.server.server import Server
from bokeh.server.views.ico_handler import IcoHandler
from bokeh.server.views.multi_root_static_handler import MultiRootStaticHandler
from bokeh.server.views.static_handler import StaticHandler
from panel.io.server import DocHandler, WSHandler
from tornado.netutil import add_accept_handler
from tornado.routing import Rule

from pvsim.app.door.hosts import Misdirected, StrangeHost
from pvsim.app.door.kin import Kin
from pvsim.app.mends.door import DOOR, Door
from pvsim.app.mends.page_handler import PageHandler
from pvsim.app.mends.page_socket import PageSocket
from pvsim.app.packed_files import PackedFiles

__all__ = ["FILES", "guard", "take_turns"]


class LibraryFiles(PackedFiles, StaticHandler):
    """Scripts and styles of Bokeh, packed once."""


class ExtensionFiles(PackedFiles, MultiRootStaticHandler):
    """Those of Panel, the same."""


FILES = {StaticHandler: LibraryFiles, MultiRootStaticHandler: ExtensionFiles}


def guard(server: Server, door: Door, *, own: tuple[object, ...], first: Rule) -> None:
    """Put the door before a server that is not started yet.

    Bokeh and Panel make routes for everything that they can do: `/autoload.js`, with which a page of
    anybody makes sessions here; `/components`, which imports whatever module an address names;
    `/metadata`. There is no option to have fewer, so what is not needed is taken out of the router.

    Parameters
    ----------
    server : Server
    door : Door
    own : tuple of type or callable
        What answers on pvsim's own routes.
    first : Rule
        Looked at before all others, but for the name of the server.

    Raises
    ------
    RuntimeError
        If Panel's routes for a page and its web socket are not there; then nobody would be let in.
    """
    application = server._tornado
    application.settings[DOOR] = door
    mended = {DocHandler: PageHandler, WSHandler: PageSocket}
    rules = []
    for rule in application.wildcard_router.rules:
        if rule.target in (*mended, *FILES):
            rule.target = mended.pop(rule.target, None) or FILES[rule.target]
            rules.append(rule)
        elif rule.target in (IcoHandler, *own):
            rules.append(rule)
    if mended:
        raise RuntimeError(f"Panel has no route any more for {', '.join(one.__name__ for one in mended)}")
    application.wildcard_router.rules[:] = rules
    application.default_router.rules[:0] = [Rule(StrangeHost(door.names), Misdirected), first]


def take_turns(server: Server, kin: Kin) -> None:
    """Hand connections among processes that serve together.

    Bokeh has each of them take whatever comes, and Tornado no way to put something in between.
    """
    http = server._http
    take = http._handle_connection
    loop: Any = server.io_loop
    come = kin.receive(loop.asyncio_loop, take)
    for number, ear in http._sockets.items():
        http._handlers.pop(number)()
        http._handlers[number] = add_accept_handler(ear, come)
