"""The search for a hidden fault: cases, what one can do and in what order, and how it went."""

from __future__ import annotations

from pvsim.field.search.act import ACTS, CLOTH_LEAK, Act, minutes_of
from pvsim.field.search.answer import Answer, Judgement, judged, judged_each
from pvsim.field.search.candidates import Candidate, candidates_of
from pvsim.field.search.case import LEVELS, SearchCase, SearchLevel, kinds_at, search_case, the_visible
from pvsim.field.search.debrief import Debrief, LineTold, Verdict, debrief_of, debriefing, verdict_of
from pvsim.field.search.family import ANSWERS, FAMILIES, HIDDEN_KINDS, answer_of, family_of
from pvsim.field.search.foresight import Foresight
from pvsim.field.search.hint import MOST_HINT, TAKE_HINT, Hint, hint_of, hints_taken, next_hint
from pvsim.field.search.look import Look
from pvsim.field.search.offer import Choice, acts_of, best_of, offer_of
from pvsim.field.search.pace import REASONS, Past, Practice, next_practice
from pvsim.field.search.plant import AS_FOUND, Plant
from pvsim.field.search.safety import CAUTION, REFUSALS, Refusal, caution_of, refusal_of
from pvsim.field.search.score import Score, score_of
from pvsim.field.search.searchers import SEARCHERS, Searched, search
from pvsim.field.search.telling import describe_act, describe_answered, describe_look
from pvsim.field.search.transcript import Found, Line, Outcome, Transcript, do, plant_after
from pvsim.field.search.vote import RoomSearch, Vote, VoteTold, most_wanted, room_search

__all__ = [
    "ACTS",
    "ANSWERS",
    "AS_FOUND",
    "CAUTION",
    "CLOTH_LEAK",
    "FAMILIES",
    "HIDDEN_KINDS",
    "LEVELS",
    "MOST_HINT",
    "REASONS",
    "REFUSALS",
    "SEARCHERS",
    "TAKE_HINT",
    "Act",
    "Answer",
    "Candidate",
    "Choice",
    "Debrief",
    "Foresight",
    "Found",
    "Hint",
    "Judgement",
    "Line",
    "LineTold",
    "Look",
    "Outcome",
    "Past",
    "Plant",
    "Practice",
    "Refusal",
    "RoomSearch",
    "Score",
    "SearchCase",
    "SearchLevel",
    "Searched",
    "Transcript",
    "Verdict",
    "Vote",
    "VoteTold",
    "acts_of",
    "answer_of",
    "best_of",
    "candidates_of",
    "caution_of",
    "debrief_of",
    "debriefing",
    "describe_act",
    "describe_answered",
    "describe_look",
    "do",
    "family_of",
    "hint_of",
    "hints_taken",
    "judged",
    "judged_each",
    "kinds_at",
    "minutes_of",
    "most_wanted",
    "next_hint",
    "next_practice",
    "offer_of",
    "plant_after",
    "refusal_of",
    "room_search",
    "score_of",
    "search",
    "search_case",
    "the_visible",
    "verdict_of",
]
