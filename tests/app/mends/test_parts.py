"""That what the mends reach into is still there, and that nothing else reaches as far.

Where a new release of Panel or Bokeh makes one of these fail, read its reason in pvsim/app/mends.
"""

from __future__ import annotations

import inspect
import re
from pathlib import Path
from typing import Any

import panel as pn
import pytest
from bokeh.document import Document
from bokeh.protocol.messages.pull_doc_reply import pull_doc_reply
from bokeh.protocol.receiver import Receiver
from bokeh.server.contexts import ApplicationContext
from bokeh.server.protocol_handler import ProtocolHandler
from bokeh.server.session import ServerSession
from panel.io.server import DocHandler, WSHandler
from tornado.iostream import IOStream
from tornado.websocket import WebSocketHandler, WebSocketProtocol13

import pvsim
from pvsim.app import mends
from pvsim.app.mends.component import MendedComponent
from pvsim.app.mends.gathered import GatheredStream
from pvsim.app.mends.letters import Letters
from pvsim.app.mends.page_handler import PageHandler
from pvsim.app.mends.page_socket import PageSocket
from pvsim.app.mends.template import MendedTemplate

ROOT = Path(pvsim.__file__).parent
HOME = Path(mends.__file__).parent


def arguments_of(function: Any) -> list[str]:
    """The names of what a function takes."""
    return list(inspect.signature(function).parameters)


@pytest.mark.parametrize(
    ("function", "arguments"),
    [
        # What pvsim's subclasses override.
        (DocHandler.get, ["self", "args", "kwargs"]),
        (DocHandler.get_session, ["self"]),
        (WSHandler.open, ["self", "args", "kwargs"]),
        (WSHandler._async_open, ["self", "token"]),
        (WSHandler.prepare, ["self"]),
        (WSHandler.check_origin, ["self", "origin"]),
        (WSHandler.on_message, ["self", "fragment"]),
        (WSHandler.on_close, ["self"]),
        (WSHandler._detach_stream, ["self"]),
        (WSHandler.send_message, ["self", "message"]),
        (ProtocolHandler.handle, ["self", "message", "connection"]),
        (pn.Template._init_doc, ["self", "doc", "comm", "title", "notebook", "location"]),
        (pn.custom.JSComponent._get_properties, ["self", "doc"]),
        (pn.custom.JSComponent._patch_datamodel_ref, ["props", "ref"]),
        (pn.custom.JSComponent._param_change, ["self", "events"]),
        (WSHandler.get_websocket_protocol, ["self"]),
        (pn.custom.JSComponent._process_bokeh_event, ["self", "doc", "event"]),
        (pn.custom.JSComponent._process_event, ["self", "event"]),
        (pn.custom.JSComponent._process_events, ["self", "events"]),
        # What they call.
        (WebSocketHandler.write_message, ["self", "message", "binary"]),
        (IOStream.write, ["self", "data"]),
        (IOStream.close, ["self", "exc_info"]),
        (IOStream.closed, ["self"]),
        (Receiver._HEADER, ["self", "fragment"]),
        (WebSocketProtocol13.write_message, ["self", "message", "binary"]),
        (WebSocketProtocol13._write_frame, ["self", "fin", "opcode", "data", "flags"]),
        (ApplicationContext._cleanup_sessions, ["self", "unused_session_linger_milliseconds"]),
        (ServerSession.request_expiration, ["self"]),
        (ServerSession.with_document_locked, ["self", "func", "args", "kwargs"]),
        (pull_doc_reply.create_header, ["request_id"]),
        (Document.to_json, ["self", "deferred"]),
    ],
    ids=lambda one: getattr(one, "__qualname__", ""),
)
def test_a_part_that_is_mended_or_called_is_there_in_its_shape(function, arguments):
    assert arguments_of(function) == arguments


def test_each_override_has_something_to_override():
    """A part that was renamed would leave the mend behind, alive and without effect."""
    own = {"NAMED", "_seat", "_refusals", "_is_valid", "_new_token", "_kind_of", "_refuse", "_shut", "_end"}
    own |= {"_token", "receiver", "application", "connection", "_hear"}
    own |= {"_carried", "_carried_names", "_carry", "_is_heard", "_own_models", "put"}
    for mended in (PageHandler, PageSocket, Letters, MendedTemplate, MendedComponent):
        (base, *_others) = mended.__bases__
        members = {name for name in vars(mended) if not name.startswith("__")} - own
        members = {
            name for name in members if not name.startswith(("_param_", "_MendedComponent", "_abc", "_doc"))
        }
        for name in members - {"name", "param"}:
            assert hasattr(base, name), (
                f"{base.__name__} has no {name} any more, which {mended.__name__} overrides"
            )


def test_only_one_folder_reaches_into_private_parts():
    """Overriding, calling and replacing what Panel and Bokeh do not offer happens among the mends alone."""
    reach = re.compile(
        r"\b(?:_patch_datamodel_ref|_process_bokeh_event|_process_events?|_init_doc|_tornado|_async_open|_handlers|pull_doc_reply|per_app_patterns|_sessions|_cleanup_sessions)\b"
    )
    found = {
        str(path.relative_to(ROOT))
        for path in ROOT.rglob("*.py")
        if reach.search(path.read_text("utf-8")) and path.parent != HOME
    }
    assert {one for one in found if not one.startswith("benchmark/")} == set()


def test_each_mend_has_its_reason_and_its_test():
    """A mend is taken out, or made anew, by who reads why it is there."""
    homes = {path.stem for path in HOME.glob("*.py")} - {"__init__", "door", "sessions"}
    tests = {path.stem for path in Path(__file__).parent.glob("test_*.py")}
    assert tests == {f"test_{one}" for one in homes} | {"test_parts"}
    for one in (PageHandler, PageSocket, Letters, MendedTemplate, MendedComponent, GatheredStream):
        assert re.search("Panel|Bokeh|grows", one.__doc__ or ""), f"{one.__name__} does not say why"
