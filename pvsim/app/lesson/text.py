"""The lesson region in the browser: what it draws, and what it says."""

from __future__ import annotations

import param

from pvsim.app.component import Component
from pvsim.app.modules import module_address
from pvsim.app.plain import plain_values

__all__ = ["LessonText"]


class LessonText(Component):
    """Shows one page of text; every press comes back as a wish."""

    page = param.Dict(default={}, doc="What is shown: see lesson_page.")
    workbook = param.String(doc="All progress, as the browser keeps it.")
    words = plain_values("Texts that never change.")
    terms = param.Dict(default={}, doc="The glossary: see shown_terms.")
    said = param.String(doc="What the last press did, for those who listen.")

    _esm = module_address("lesson/lesson.js")
