"""What a message says is done; a document goes out whole, a failure into no log."""

from __future__ import annotations

from typing import Any

import numpy as np
from bokeh.document import Document
from bokeh.models import ColumnDataSource
from bokeh.protocol import Protocol
from bokeh.protocol.messages.pull_doc_reply import pull_doc_reply

from pvsim.app.mends.letters import Letters
from tests.loop import run_async


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
