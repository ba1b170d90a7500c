"""Work sheets and their solutions on paper.

exercises + case, a lesson, a scenario  ->  Part  ->  work_sheet, solution_sheet  ->  Document  ->  HTML, PDF
a closing test + case  ->  Part  ->  closing_sheet, closing_solution
"""

from __future__ import annotations

from pvsim.exercise.paper.closing_sheet import (
    closing_sheet,
    closing_solution,
    closing_templates,
    parts_of_closing,
)
from pvsim.exercise.paper.document import Document
from pvsim.exercise.paper.html import write_html
from pvsim.exercise.paper.ink import letters_lost
from pvsim.exercise.paper.parts import Part, parts_of_case, parts_of_lesson, parts_of_scenario
from pvsim.exercise.paper.pdf import write_pdf
from pvsim.exercise.paper.solution_sheet import solution_sheet
from pvsim.exercise.paper.work_sheet import work_sheet

__all__ = [
    "Document",
    "Part",
    "closing_sheet",
    "closing_solution",
    "closing_templates",
    "letters_lost",
    "parts_of_case",
    "parts_of_closing",
    "parts_of_lesson",
    "parts_of_scenario",
    "solution_sheet",
    "work_sheet",
    "write_html",
    "write_pdf",
]
