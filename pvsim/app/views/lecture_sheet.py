"""The sheet of a lecture: what the browser draws, and what it says."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import param
from panel.io import hold

from pvsim.app.component import Component
from pvsim.app.look import script

__all__ = ["LectureSheet", "Reply"]

Reply = dict[str, Any] | None


class LectureSheet(Component):
    """Shows one sheet; every press comes back as a message, answered by one."""

    page = param.Dict(default={}, doc="What is shown: see lecture_page; empty while there is no lecture.")
    kept = param.String(doc="All that this tab needs to go on after a reload.")
    began_s = param.Number(0.0, doc="Seconds the lecture had run when `page` was made; below 0 not begun.")
    words = param.Dict(default={}, doc="Texts that never change.")
    letters = param.Boolean(True, doc="Whether single letters are keys.")
    said = param.String(doc="What the last press did, for those who listen.")

    _esm = script("lecture/dom.js", "lecture/chart.js", "lecture/lecture.js")

    def __init__(self, act: Callable[[str, Any], Reply], **params: Any) -> None:
        super().__init__(**params)
        self._act = act

    def _handle_msg(self, message: Any) -> None:
        if not isinstance(message, dict):
            return
        reply: dict[str, Any] = {"ack": message.get("seq", 0)}
        with hold():
            try:
                reply |= self._act(str(message.get("act", "")), message.get("value")) or {}
            finally:
                self._send_msg(reply)  # always, or the browser waits for ever
