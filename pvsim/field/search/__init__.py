"""The search for a hidden fault: cases, what one can do and in what order, and how it went."""

from __future__ import annotations

from pvsim.field.search.act import ACTS, CLOTH_LEAK, Act, minutes_of
from pvsim.field.search.answer import Answer, Judgement, judged
from pvsim.field.search.case import LEVELS, SearchCase, search_case, the_visible
from pvsim.field.search.family import FAMILIES, HIDDEN_KINDS
from pvsim.field.search.plant import AS_FOUND, Plant
from pvsim.field.search.safety import CAUTION, REFUSALS, Refusal, caution_of, refusal_of
from pvsim.field.search.transcript import Found, Line, Outcome, Transcript, do, plant_after

__all__ = [
    "ACTS",
    "AS_FOUND",
    "CAUTION",
    "CLOTH_LEAK",
    "FAMILIES",
    "HIDDEN_KINDS",
    "LEVELS",
    "REFUSALS",
    "Act",
    "Answer",
    "Found",
    "Judgement",
    "Line",
    "Outcome",
    "Plant",
    "Refusal",
    "SearchCase",
    "Transcript",
    "caution_of",
    "do",
    "judged",
    "minutes_of",
    "plant_after",
    "refusal_of",
    "search_case",
    "the_visible",
]
