"""What a message of a page says is done, and its answer sent whole."""

from __future__ import annotations

import logging
from typing import Any

from bokeh.protocol.messages.pull_doc_reply import PullDoc, pull_doc_reply
from bokeh.server.protocol_handler import ProtocolHandler

from pvsim.app.door.letter import PULL
from pvsim.app.door.lines import short

__all__ = ["Letters"]

_log = logging.getLogger(__name__)


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
