"""Exercises: items with their key, new numbers for each student, marking, and banks for learning platforms.

lesson, or exercises/<lesson>.toml + case  ->  Item  ->  GivenItem   what is handed out
                                                |
                                       marking, banks            what knows the key
"""

from __future__ import annotations

from pvsim.exercise.answer_sheet import (
    AnswerSheet,
    GivenAnswer,
    check_seal,
    read_answer_sheet,
    write_answer_sheet,
)
from pvsim.exercise.asked import lesson_items
from pvsim.exercise.case import ExerciseCase, seal_of, seed_for
from pvsim.exercise.exercise_file import exercise_lessons, own_exercises, read_exercises
from pvsim.exercise.given import GivenItem, given_of
from pvsim.exercise.item import Band, ChoiceItem, Item, ItemChoice, ItemReading, Misconception, NumberItem
from pvsim.exercise.key import Key, items_of, read_key
from pvsim.exercise.marking import ItemMark, mark_answer
from pvsim.exercise.results import Remarked, ResultRow, mark_sheet, remark, summarise, write_results
from pvsim.exercise.template import Template, make_item

__all__ = [
    "AnswerSheet",
    "Band",
    "ChoiceItem",
    "ExerciseCase",
    "GivenAnswer",
    "GivenItem",
    "Item",
    "ItemChoice",
    "ItemMark",
    "ItemReading",
    "Key",
    "Misconception",
    "NumberItem",
    "Remarked",
    "ResultRow",
    "Template",
    "check_seal",
    "exercise_lessons",
    "given_of",
    "items_of",
    "lesson_items",
    "make_item",
    "mark_answer",
    "mark_sheet",
    "own_exercises",
    "read_answer_sheet",
    "read_exercises",
    "read_key",
    "remark",
    "seal_of",
    "seed_for",
    "summarise",
    "write_answer_sheet",
    "write_results",
]
