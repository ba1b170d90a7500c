"""The web socket: nothing waits, and a document survives a reconnect."""

from __future__ import annotations

import numpy as np
from bokeh.document import Document
from bokeh.models import ColumnDataSource
from bokeh.protocol.messages.pull_doc_reply import pull_doc_reply
from bokeh.server.views.ws import WSHandler

from pvsim.app.wire import mend_wire


def test_a_document_is_sent_with_its_arrays_inside() -> None:
    mend_wire()
    values = np.linspace(0.0, 1.0, 50)
    document = Document()
    document.add_root(ColumnDataSource({"x": values}))
    message = pull_doc_reply.create("request", document)
    assert message.buffers == []  # BokehJS 3.9 loses separate ones when it reconnects
    copy = Document()
    message.push_to_document(copy)
    np.testing.assert_array_equal(copy.roots[0].data["x"], values)


def test_mending_twice_mends_once() -> None:
    mend_wire()
    once = WSHandler.open
    mend_wire()
    assert WSHandler.open is once


def test_a_socket_is_opened_without_waiting(monkeypatch) -> None:
    mend_wire()
    calls = []

    class Handler:
        def set_nodelay(self, value: bool) -> None:
            calls.append(value)

    monkeypatch.setattr("pvsim.app.wire._open", lambda handler: calls.append("open"))
    WSHandler.open(Handler())
    assert calls == [True, "open"]
