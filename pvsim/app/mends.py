"""Every place where pvsim reaches into private parts of Panel and Bokeh, each with its reason.

Nothing else in pvsim overrides, replaces or calls what these packages do not offer. Each mend is a subclass
that pvsim alone uses; nothing of Panel or Bokeh is replaced for others. tests/app/test_mends.py holds that
every part is still there in its shape and that every mend does what it is for: where a new release makes it
fail, read the reason here, and mend anew or take the mend out. What does so in the browser is in
static/shell/mends.js and static/shell/opening.js.
"""

from __future__ import annotations

import asyncio
import calendar
import logging
import re
import secrets
import time
from dataclasses import dataclass, field
from typing import Any, ClassVar
from weakref import WeakSet

import panel as pn
from bokeh.document import Document
from bokeh.events import Event
from bokeh.protocol.messages.pull_doc_reply import PullDoc, pull_doc_reply
from bokeh.server.contexts import ApplicationContext
from bokeh.server.protocol_handler import ProtocolHandler
from bokeh.server.server import Server
from bokeh.server.views.ico_handler import IcoHandler
from bokeh.server.views.multi_root_static_handler import MultiRootStaticHandler
from bokeh.server.views.static_handler import StaticHandler
from bokeh.util.token import (
    check_token_signature,
    generate_jwt_token,
    generate_session_id,
    get_session_id,
    get_token_payload,
)
from panel.io.resources import LOCAL_DIST
from panel.io.server import DocHandler, WSHandler
from panel.io.state import set_curdoc
from panel.models.esm import ReactiveESM
from tornado.netutil import add_accept_handler
from tornado.routing import Rule

from pvsim.app.door.admission import Bucket
from pvsim.app.door.hosts import Misdirected, StrangeHost, ears_of, shut_out
from pvsim.app.door.kin import Kin
from pvsim.app.door.letter import COMPONENT, PATCH, PULL, Refused, check_letter
from pvsim.app.door.lines import short
from pvsim.app.door.names import Names
from pvsim.app.door.policy import COMMON_HEADERS, page_policy
from pvsim.app.door.seats import MOST_SESSIONS, Seats, to_let_go
from pvsim.app.door.turned_away import turn_away
from pvsim.app.packed_files import PackedFiles
from pvsim.words import language, speaking

__all__ = ["Door", "MendedComponent", "MendedTemplate", "PageHandler", "PageSocket", "guard", "settle"]

_log = logging.getLogger(__name__)

DOOR = "pvsim_door"  # where the server's handlers find it among their settings

AT_ONCE, RATE_1_s = 200, 100.0  # messages of one page; a window being resized sends some dozens a second
PULLS_AT_ONCE, PULLS_1_s = 8, 0.5  # whole documents, of half a megabyte each
PATIENCE = 20  # refused messages; then the connection is ended


@dataclass(frozen=True, slots=True, kw_only=True)
class Door:
    """What the handlers of one server decide by.

    Parameters
    ----------
    names : Names
    embedders : tuple of str
        Origins whose pages may show this one in a frame.
    language : str
        What the server was told to speak; "" for what each browser likes best.
    seats : Seats
    connected : WeakSet of ServerSession
        Those that somebody has been connected to.
    kin : Kin or None
        The processes that serve with this one.
    """

    names: Names = field(default_factory=Names)
    embedders: tuple[str, ...] = ()
    language: str = ""
    seats: Seats = field(default_factory=Seats)
    connected: WeakSet[Any] = field(default_factory=WeakSet)
    kin: Kin | None = None


# The server


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


async def make_room(context: ApplicationContext, door: Door, lifetime_ms: int) -> bool:
    """End sessions that stand in the way of one more; False when all of them are in use.

    Bokeh has no limit on sessions. `request_expiration` and the look for expired ones are its own means
    to end a session before its time.
    """
    for session in to_let_go(context.sessions, door.connected.__contains__):
        session.request_expiration()
        await context._cleanup_sessions(lifetime_ms)
    return len(list(context.sessions)) + len(context._pending_sessions) < MOST_SESSIONS


class LibraryFiles(PackedFiles, StaticHandler):
    """Scripts and styles of Bokeh, packed once."""


class ExtensionFiles(PackedFiles, MultiRootStaticHandler):
    """Those of Panel, the same."""


FILES = {StaticHandler: LibraryFiles, MultiRootStaticHandler: ExtensionFiles}


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
        elif not await make_room(self.application_context, door, _lifetime_ms(self)):
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


class PageSocket(WSHandler):
    """The web socket of a page.

    Bokeh does what any message says: add models, whose images may name a file of this machine and are sent
    back; unpack arrays; take any number of buffers. Here a message is looked at before it is unpacked. Bokeh
    waits with small packets (Nagle), which costs about 40 ms a round trip while somebody drags. It writes
    whole messages into the log. And it refuses a page whose token it does not know, such as that of a server
    that was started anew, in a way that the page cannot tell from a network that is away.
    """

    _seat = ""
    _refusals = 0
    _shut = False  # by either side; what still arrives is not looked at
    _token: Any  # set by select_subprotocol; Panel and Bokeh say of these that they are None
    receiver: Any
    application: Any

    async def prepare(self) -> None:
        """Before anything else: whose page is it?"""
        if not shut_out(self, self.settings[DOOR].names):
            await super().prepare()

    def check_origin(self, origin: str) -> bool:
        """Pages of this server alone, by the names it has."""
        door: Door = self.settings[DOOR]
        return door.names.trusts(origin, ears_of(self.request))

    def open(self, *args: Any, **kwargs: Any) -> None:
        """Let a page in.

        A token that this server has not signed counts for nothing: its bearer gets a session of its own, as
        with a new page, and a page from before a restart finds from that that it must load again.
        """
        self.set_nodelay(True)
        address = str(self.request.remote_ip)
        if self.selected_subprotocol != "bokeh" or self._token is None:
            self.close(1002, "no page")
            return
        if not self.settings[DOOR].seats.sit(address):
            self.close(1013, "full")
            return
        self._seat = address
        self._letters = Letters()
        self._bucket, self._pulls = Bucket(AT_ONCE, RATE_1_s), Bucket(PULLS_AT_ONCE, PULLS_1_s)
        if not self._is_valid(self._token):
            self._token = self._new_token()
        super().open(*args, **kwargs)

    def _is_valid(self, token: str) -> bool:
        application = self.application
        try:
            signed = check_token_signature(token, secret_key=application.secret_key, signed=True)
            return signed and get_token_payload(token)["session_expiry"] > calendar.timegm(time.gmtime())
        except Exception:  # whatever a stranger's token makes of the packages that read it
            return False

    def _new_token(self) -> str:
        application = self.application
        session_id = generate_session_id(secret_key=application.secret_key, signed=True)
        nothing: dict[str, Any] = {"headers": {}, "cookies": {}, "arguments": {}}
        return generate_jwt_token(
            session_id,
            secret_key=application.secret_key,
            signed=True,
            expiration=application.session_token_expiration,
            extra_payload=nothing,
        )

    async def _async_open(self, token: str) -> None:
        door: Door = self.settings[DOOR]
        known = {one.id for one in self.application_context.sessions}
        if get_session_id(token) not in known and not await make_room(
            self.application_context, door, _lifetime_ms(self)
        ):
            self.close(1013, "full")
            return
        await super()._async_open(token)
        if self.connection is None:
            return
        if self._shut:  # the page went while its session was made
            self.application.client_lost(self.connection)
        else:
            door.connected.add(self.connection.session)

    async def on_message(self, fragment: str | bytes) -> None:
        """Take a part of a message; do what it says when it is whole and within bounds."""
        if self._shut:
            return
        if self.connection is None:  # a page waits for the server's greeting
            self._end(1002, "too early")
            return
        try:
            if not isinstance(fragment, str):
                raise Refused("bytes, which no page sends")
            message = await self.receiver.consume(fragment)
        except Exception as error:  # what is left of it cannot be read either
            self._refuse(error)
            self._end(1008, "refused")
            return
        if message is None:
            return
        if not self._bucket.take():
            await asyncio.sleep(1.0 / RATE_1_s)  # its own messages wait, nobody else's
        try:
            check_letter(message.header, message.content, self._kind_of)
            if message.msgtype == PULL and not self._pulls.take():
                raise Refused("it asks for the document too often")
        except Refused as error:
            self._refuse(error)
            header = message.header if isinstance(message.header, dict) else {}
            if self._refusals > PATIENCE or not isinstance(header.get("msgid"), str):
                self._end(1008, "refused")
            else:
                await self.send_message(self.connection.error(message, "refused"))
            return
        if message.msgtype == PATCH:
            # Who has something to say has the document. Panel believes that only once the page is drawn to
            # the end, and until then throws away what changes for it: it would come with the document.
            pn.state._connected[self.connection.session.document] = True
        work = await self._letters.handle(message, self.connection)
        if work is not None:
            await self.send_message(work)

    def _kind_of(self, id: Any) -> str | None:
        session: Any = self.connection and self.connection.session
        model = session.document.get_model_by_id(id)
        if model is None:
            return None
        return COMPONENT if isinstance(model, ReactiveESM) else type(model).__name__

    def _refuse(self, error: Exception) -> None:
        self._refusals += 1
        if self._refusals == 1:  # one line for each connection
            reason = str(error) if isinstance(error, Refused) else type(error).__name__
            _log.warning("A message from %s was refused: %s", self.request.remote_ip, short(reason, 200))

    def _end(self, code: int, reason: str) -> None:
        self._shut = True
        self.close(code, reason)

    def on_close(self) -> None:
        """The page is gone."""
        self._shut = True
        if self._seat:
            self.settings[DOOR].seats.leave(self._seat)
            self._seat = ""
        super().on_close()


class Letters(ProtocolHandler):
    """Does what a message says.

    Bokeh sends a document's arrays in buffers beside it, which BokehJS 3.9 drops when it reconnects; and it
    writes a message that fails into the log as a whole.
    """

    def __init__(self) -> None:
        super().__init__()
        self._handlers[PULL] = _pull_whole

    async def handle(self, message: Any, connection: Any) -> Any:
        """The answer to a message."""
        try:
            return await self._handlers[message.msgtype](message, connection)
        except Exception as error:
            _log.exception("A message of a page could not be carried out")
            return connection.error(message, short(repr(error), 200))


async def _pull_whole(message: Any, connection: Any) -> pull_doc_reply:
    """The document with its arrays inside."""

    def reply() -> pull_doc_reply:
        content = PullDoc(doc=connection.session.document.to_json(deferred=False))
        header = pull_doc_reply.create_header(request_id=message.header["msgid"])
        return pull_doc_reply(header, {}, content)

    whole: pull_doc_reply = await connection.session.with_document_locked(reply)
    return whole


def _lifetime_ms(handler: Any) -> int:
    return int(handler.application._unused_session_lifetime_milliseconds)


# The page


def settle(document: Document) -> None:
    """What Panel decides for a document where pvsim decides otherwise.

    The frame tells of lost connections in its own words. And a page that knocks at a server started anew is
    made without a request; Panel would name its style sheets at a delivery host.
    """
    document.config.update(reconnect_session=True, notify_connection_status=False)
    document.template_variables["dist_url"] = LOCAL_DIST


# What Panel puts into every page beside: a shim for browsers that cannot import, and drawing on the GPU.
SPARE = re.compile(r"<script\b[^>]*(?:esms-options|es-module-shims|bokeh-gl)[^>]*>.*?</script>\s*", re.DOTALL)


def needed(scripts: Any) -> str:
    """What a document's head loads, without what no page uses; static/shell/opening.js stands in for it."""
    return SPARE.sub("", str(scripts))


class MendedTemplate(pn.Template):
    """A template whose cost of opening grows with its parts, not with their square, and whose inline scripts
    carry a word that the content security policy names."""

    def __init__(self, *args: Any, **params: Any) -> None:
        super().__init__(*args, **params)
        self.add_variable("nonce", secrets.token_urlsafe(16))
        self.add_variable("needed", needed)

    def __repr__(self) -> str:
        # Panel writes out the whole page, once more for every part added, for a notebook's eyes.
        return type(self).__name__

    def _init_doc(self, doc: Document | None = None, *args: Any, **options: Any) -> Document:
        document = doc or pn.state.curdoc or Document()
        with document.models.freeze():  # all models are found once, not once for every part
            return super()._init_doc(document, *args, **options)


class MendedComponent(pn.custom.JSComponent):
    """A JSComponent whose updates cost what they carry, and which is spoken to in its session's language.

    Panel sends a component's script with every document, after a walk through all of its lines, and the
    browser translates it; ours is the address of a module (modules.py), which Panel takes for a bundle. It
    looks in every folder on the way to a component for bundles, 0.5 ms each time; we have none. It looks
    through all values of a component for models of its own at every update, about 1 ms for each component;
    ours hold plain values only, so their one model is marked and no more. And it counts what is at work for a
    busy light, a tenth of each change; no part here shows one.
    """

    __abstract = True

    _bundle_path: ClassVar[None] = None

    def __init__(self, **params: Any) -> None:
        super().__init__(**params)
        self._language = language().code

    def _get_properties(self, doc: Document | None) -> dict[str, Any]:
        return super()._get_properties(doc) | {"bundle": "url"}

    @classmethod
    def _patch_datamodel_ref(cls, props: Any, ref: str) -> None:
        mark = f"__ref:{ref}"
        if mark not in props.tags:
            props.tags.append(mark)

    def _process_bokeh_event(self, doc: Document, event: Event) -> None:
        with set_curdoc(doc), speaking(self._language):
            self._process_event(event)

    def _process_events(self, events: dict[str, Any]) -> None:
        with speaking(self._language):
            super()._process_events(events)
