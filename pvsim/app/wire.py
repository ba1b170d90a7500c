"""Two mends of the web socket between page and server, made once at start-up."""

from __future__ import annotations

from typing import Any

from bokeh.document import Document
from bokeh.protocol.messages.pull_doc_reply import PullDoc, pull_doc_reply
from bokeh.server.views.ws import WSHandler

__all__ = ["mend_wire"]


def mend_wire() -> None:
    """Send at once, and send documents that survive a reconnect; a second call does nothing."""
    if getattr(WSHandler, "pvsim_mended", False):
        return
    mended: dict[type, dict[str, Any]] = {
        WSHandler: {"open": _open_at_once, "pvsim_mended": True},
        pull_doc_reply: {"create": classmethod(_create_whole)},
    }
    for owner, members in mended.items():
        for name, member in members.items():
            setattr(owner, name, member)


_open = WSHandler.open


def _open_at_once(handler: WSHandler, *args: Any, **kwargs: Any) -> Any:
    """Open without Nagle's waiting, which costs about 40 ms a round trip while somebody drags."""
    handler.set_nodelay(True)
    return _open(handler, *args, **kwargs)


def _create_whole(
    cls: type[pull_doc_reply], /, request_id: Any, document: Document, **metadata: Any
) -> pull_doc_reply:
    """A document with its arrays inside: BokehJS 3.9 drops separate buffers when it reconnects."""
    content = PullDoc(doc=document.to_json(deferred=False))
    return cls(cls.create_header(request_id=request_id), metadata, content)
