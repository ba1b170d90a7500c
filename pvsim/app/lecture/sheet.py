"""The sheet of a lecture: what the browser draws, and what it says."""

from __future__ import annotations

import param

from pvsim.app.component import Component
from pvsim.app.modules import module_address
from pvsim.app.plain import plain_values

__all__ = ["LectureSheet"]


class LectureSheet(Component):
    """Shows one sheet; every press comes back as a wish."""

    page = param.Dict(default={}, doc="What is shown: see lecture_page; empty while there is no lecture.")
    kept = param.String(doc="All that this tab needs to go on after a reload.")
    began_s = param.Number(0.0, doc="Seconds the lecture had run when `page` was made; below 0 not begun.")
    words = plain_values("Texts that never change.")
    letters = param.Boolean(True, doc="Whether single letters are keys.")
    said = param.String(doc="What the last press did, for those who listen.")

    _esm = module_address("lecture/lecture.js")
