"""The mends: that what they reach into is still there, and that each does what it is for.

Where a new release of Panel or Bokeh makes one of these fail, read its reason in pvsim/app/mends.py.
"""

from __future__ import annotations

import inspect
import json
import re
from pathlib import Path
from typing import Any

import numpy as np
import panel as pn
import pytest
from bokeh.core.serialization import Deserializer, Serializer
from bokeh.document import Document
from bokeh.models import ColumnDataSource
from bokeh.protocol import Protocol
from bokeh.protocol.messages.pull_doc_reply import pull_doc_reply
from bokeh.protocol.receiver import Receiver
from bokeh.server.contexts import ApplicationContext
from bokeh.server.protocol_handler import ProtocolHandler
from bokeh.server.session import ServerSession
from bokeh.server.views.ico_handler import IcoHandler
from bokeh.server.views.ws import WSHandler as BokehSocket
from panel.io.server import DocHandler, WSHandler
from panel.models.esm import DataEvent, ReactiveESM
from tornado.routing import Rule
from tornado.web import Application

import pvsim
from pvsim.app import mends
from pvsim.app.component import Component
from pvsim.app.door.letter import COMPONENT_EVENT, PAGE_EVENTS
from pvsim.app.mends import (
    FILES,
    Letters,
    MendedComponent,
    MendedTemplate,
    PageHandler,
    PageSocket,
    needed,
)
from pvsim.app.modules import answer_module
from pvsim.app.packed_files import PackedFiles
from pvsim.app.room.notes import NotesPage, NotesSocket
from pvsim.app.room.phone import EntryPage, PhonePage, PhoneSocket
from pvsim.app.server import create_server
from pvsim.files.demo import read_demo
from tests.loop import run_async

ROOT = Path(pvsim.__file__).parent


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
        (ProtocolHandler.handle, ["self", "message", "connection"]),
        (pn.Template._init_doc, ["self", "doc", "comm", "title", "notebook", "location"]),
        (pn.custom.JSComponent._get_properties, ["self", "doc"]),
        (pn.custom.JSComponent._patch_datamodel_ref, ["props", "ref"]),
        (pn.custom.JSComponent._process_bokeh_event, ["self", "doc", "event"]),
        (pn.custom.JSComponent._process_event, ["self", "event"]),
        (pn.custom.JSComponent._process_events, ["self", "events"]),
        # What they call.
        (WSHandler.send_message, ["self", "message"]),
        (Receiver.consume, ["self", "fragment"]),
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
    own |= {"_token", "receiver", "application"}
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


def test_a_document_loads_no_script_that_no_page_uses():
    scripts = """<script nonce="x" type="esms-options">{"shimMode": true}</script>
      <script src="static/bundled/es-module-shims@1/es-module-shims.min.js"></script>
      <script src="static/js/bokeh.min.js"></script><script src="static/js/bokeh-gl.min.js?v=1"></script>
      <script src="static/panel.min.js"></script>"""
    assert re.findall(r'src="static/(?:js/)?([\w-]+)', needed(scripts)) == ["bokeh", "panel"]
    assert "shimMode" not in needed(scripts)


@pytest.mark.ui
def test_opening_lays_a_component_out_once_for_a_picture(bench):
    """What static/shell/opening.js reaches into is there, and does what it is for."""
    page = bench.open()
    fetched = page.evaluate("performance.getEntriesByType('resource').map(one => one.name).join()")
    assert "bokeh.min" in fetched
    assert not re.search("shims|-gl", fetched)
    often = page.evaluate(
        """async () => {
          const own = one => one.model.type.endsWith("ReactiveESM") && !one.is_managed
          const view = [...Bokeh.index.all_views()].find(own)
          let laid = 0
          const measure = view.measure_layout
          view.measure_layout = function () { laid += 1; return measure.call(this) }
          for (let k = 0; k < 5; k += 1) view.invalidate_layout()
          await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))
          delete view.measure_layout
          return laid
        }"""
    )
    assert often == 1


def test_only_one_file_reaches_into_private_parts():
    """Overriding, calling and replacing what Panel and Bokeh do not offer happens in mends.py alone."""
    reach = re.compile(
        r"\b(?:_patch_datamodel_ref|_process_bokeh_event|_process_events?|_init_doc|_tornado|_async_open|_handlers|pull_doc_reply|per_app_patterns|_sessions|_cleanup_sessions)\b"
    )
    found = {
        str(path.relative_to(ROOT))
        for path in ROOT.rglob("*.py")
        if reach.search(path.read_text("utf-8")) and path.name != "mends.py"
    }
    assert {one for one in found if not one.startswith("benchmark/")} == set()


@pytest.fixture
def server():
    server = create_server(read_demo("workshop"))
    yield server
    server.stop()


def test_the_server_has_the_routes_that_are_needed_and_no_others(server):
    """Panel and Bokeh may add routes of any kind; none of them is let through unseen."""
    found = [(rule.matcher.regex.pattern, rule.target) for rule in server._tornado.wildcard_router.rules]
    targets = [target for _pattern, target in found]
    assert set(targets) == {
        *(PageHandler, PageSocket, PackedFiles, answer_module, IcoHandler, *FILES.values()),
        *(EntryPage, PhonePage, PhoneSocket, NotesPage, NotesSocket),
    }
    assert ["/ws$"] == [pattern for pattern, target in found if target is PageSocket]


def test_a_release_without_those_routes_is_told_when_the_server_is_made(server, monkeypatch):
    with pytest.raises(RuntimeError, match="DocHandler, WSHandler"):
        mends.guard(server, mends.Door(), own=(), first=Rule(None, None))  # the routes are mended already


def test_sessions_are_signed_with_a_secret_that_no_other_server_has(server):
    other = create_server(read_demo("workshop"))
    try:
        keys = [one._tornado.secret_key for one in (server, other)]
        assert all(one._tornado.sign_sessions for one in (server, other))
        assert keys[0] != keys[1]
        assert len(keys[0]) >= 32
    finally:
        other.stop()


def test_bokeh_still_takes_what_a_session_s_name_is_from_where_the_page_looks():
    """Other ways to name a session would have to be refused too."""
    source = inspect.getsource(BokehSocket) + "".join(
        inspect.getsource(one) for one in DocHandler.__mro__ if one.__module__.startswith(("bokeh", "panel"))
    )
    named = set(re.findall(r"get_(?:query_)?arguments?\(\s*[\"']([^\"']+)", source))
    named |= set(re.findall(r"headers(?:\.get\(|\[)[\"']([^\"']+)", source))
    assert named - {"Cookie"} == {"bokeh-token", "bokeh-session-id", "Bokeh-Session-Id"}


def test_the_events_a_page_sends_are_still_called_so():
    assert DataEvent.event_name == COMPONENT_EVENT
    from bokeh.events import _CONCRETE_EVENT_CLASSES

    assert set(PAGE_EVENTS) <= set(_CONCRETE_EVENT_CLASSES)


def test_an_event_of_a_component_is_read_as_it_is_looked_at():
    """The door looks at the written form; what Bokeh makes of it has to be the same."""
    from pvsim.benchmark.student import data_event

    model = ReactiveESM()
    data = {"do": "x", "list": [1, 2.5, None, {"a": "b"}]}
    written = data_event(model.id, data)["events"][0]["msg_data"]
    event = Deserializer([model]).deserialize(written)
    assert isinstance(event, DataEvent)
    assert event.model is model
    assert event.data == data
    assert json.loads(json.dumps(Serializer().encode(data))) == written["values"]["entries"][1][1]


def test_a_document_is_sent_with_its_arrays_inside():
    values = np.linspace(0.0, 1.0, 50)
    document = Document()
    document.add_root(ColumnDataSource({"x": values}))

    class Session:
        async def with_document_locked(self, function: Any) -> Any:
            return function()

    session: Any = Session()
    session.document = document
    connection: Any = type("Connection", (), {"session": session, "protocol": Protocol()})()
    request = Protocol().create("PULL-DOC-REQ")
    message = run_async(Letters().handle(request, connection))
    assert message.buffers == []  # BokehJS 3.9 loses separate ones when it reconnects
    assert message.header["reqid"] == request.header["msgid"]
    copy = Document()
    message.push_to_document(copy)
    np.testing.assert_array_equal(copy.roots[0].data["x"], values)
    assert pull_doc_reply.create("r", document).buffers != []  # or the mend is not needed any more


def test_a_message_that_fails_is_answered_and_not_copied_into_the_log(caplog):
    class Message:
        msgtype = "PATCH-DOC"
        content = "carried.away"

        def __repr__(self) -> str:
            return self.content

    class Connection:
        def error(self, message: Any, text: str) -> str:
            return text

    letters = Letters()

    async def fail(message: Any, connection: Any) -> None:
        raise ValueError("z" * 50_000)

    letters._handlers["PATCH-DOC"] = fail
    assert len(run_async(letters.handle(Message(), Connection()))) <= 200
    assert "could not be carried out" in caplog.text
    assert "carried.away" not in caplog.text


def test_a_socket_is_opened_without_waiting(monkeypatch):
    """A token that nobody signed is put aside before Bokeh sees it."""
    calls = []

    class Seats:
        def sit(self, address: str) -> bool:
            return address == "192.0.2.7"

    socket = PageSocket.__new__(PageSocket)
    socket.request = type("Request", (), {"remote_ip": "192.0.2.7"})()
    door = type("Door", (), {"seats": Seats()})()
    socket.application = type(
        "Application",
        (),
        {"settings": {mends.DOOR: door}, "secret_key": b"k", "session_token_expiration": 60},
    )()
    socket._token = "forged"
    monkeypatch.setattr(PageSocket, "selected_subprotocol", "bokeh")
    monkeypatch.setattr(PageSocket, "set_nodelay", lambda self, value: calls.append(value))
    monkeypatch.setattr(WSHandler, "open", lambda self: calls.append(self._token))
    socket.open()
    assert calls[0] is True
    assert calls[1] != "forged"
    assert socket._is_valid(calls[1])


def test_a_template_does_not_write_itself_out_and_carries_a_new_word_each_time():
    pages = [MendedTemplate("<html>{{ nonce }}</html>") for _ in range(2)]
    assert repr(pages[0]) == "MendedTemplate"
    words = {page._init_doc().template_variables["nonce"] for page in pages}
    assert len(words) == 2
    assert min(map(len, words)) >= 20


def test_models_are_looked_for_once_for_a_whole_page(monkeypatch):
    counted = []
    manager = type(Document().models)
    recompute = manager.recompute
    monkeypatch.setattr(manager, "recompute", lambda self: counted.append(1) or recompute(self))
    page = MendedTemplate("<html></html>")
    for k in range(6):
        page.add_panel(f"part{k}", pn.pane.HTML("x"))
    page._init_doc()
    assert len(counted) <= 2
    counted.clear()
    plain = pn.Template("<html></html>")
    for k in range(6):
        plain.add_panel(f"part{k}", pn.pane.HTML("x"))
    plain._init_doc()
    assert len(counted) > 2  # or the mend is not needed any more


def test_a_component_is_marked_without_a_search_and_panel_still_searches():
    source = inspect.getsource(pn.custom.ReactiveESM._patch_datamodel_ref)
    assert "references" in source or "select" in source, "Panel does not search any more: is the mend needed?"
    props = ReactiveESM()
    for _ in range(2):
        Component._patch_datamodel_ref(props, "r1")
    assert props.tags == ["__ref:r1"]


def test_a_component_is_the_address_of_a_module_without_a_search_for_bundles():
    properties = Component()._get_properties(None)
    assert properties["bundle"] == "url"
    source = inspect.getsource(pn.custom.ReactiveESM)
    asked = source[source.index("def _bundle_path(cls)") :]
    assert "is_file" in asked, "Panel does not search any more: is the mend needed?"


def test_tornado_still_takes_the_parts_of_the_router_that_are_set():
    application = Application([])
    assert application.wildcard_router.rules == []
    assert isinstance(application.default_router.rules, list)
    assert application.settings == {} or isinstance(application.settings, dict)
