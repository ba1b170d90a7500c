"""What a work sheet calls by number has that number in its drawing, and nothing written there collides."""

from __future__ import annotations

import re

import pytest

from pvsim.array import Place
from pvsim.course.folder.course_folder import open_home
from pvsim.course.folder.course_reader import OWN_LESSONS, read_one
from pvsim.exercise import ExerciseCase, own_exercises
from pvsim.exercise.paper import parts_of_case, parts_of_lesson, work_sheet
from pvsim.exercise.paper.document import Grid, Picture
from pvsim.exercise.paper.named import large_module, numbers_in
from pvsim.exercise.paper.scene import Scene
from pvsim.files.demo import read_demo
from pvsim.files.figure.drawing import Text
from pvsim.words import speaking
from tests.exercise.paper.contents import flat, texts
from tests.files.figure.letters import faults

HOMES = {language: open_home(OWN_LESSONS, language) for language in ("en", "de")}
SLUGS = [slug for slug in HOMES["en"].plan.order if (OWN_LESSONS / f"{slug}.md").exists()]
SHEETS = [*((slug, "en") for slug in SLUGS), *((slug, "de") for slug in ("diode", "find-it", "four-deaths"))]
WORDS = {
    "en": {"cell": "cells?", "module": "modules?", "string": "strings?", "D": "(?:diodes?|substrings?)"},
    "de": {
        "cell": "Zellen?",
        "module": "Module?n?",
        "string": "Str[aä]nge?n?",
        "D": "(?:(?:Bypass)?[Dd]ioden?|Teilstr[aä]nge?n?)",
    },
}
UNIT = r"[.,]?\d|\s*(?:[AVWK%Ω]|°C)"


def spoken(text, word):
    """Numbers behind a word: "cell 14", "cells 1 to 20", but no "diode 7 A"."""
    found = re.findall(rf"(?i)\b{word}\s+(\d+)(?!{UNIT})(?:\s+(?:to|and|bis|und)\s+(\d+)(?!{UNIT}))?", text)
    return {int(one) for pair in found for one in pair if one}


def parts_of(slug, language):
    lesson, _problems = read_one(HOMES[language], slug)
    return [
        *parts_of_case(own_exercises(slug, language), ExerciseCase(seed=5)),
        *parts_of_lesson(lesson),
    ]


class Leaf:
    """One part of a document, to be read as one."""

    def __init__(self, part):
        self.parts = (part,)


@pytest.mark.parametrize(("slug", "language"), SHEETS)
def test_what_a_sheet_calls_by_number_has_it_in_the_drawing(slug, language):
    with speaking(language):
        document = work_sheet(parts_of(slug, language), title="A sheet", language=language)
    for leaf in map(Leaf, document.parts):
        (drawing,) = [block.drawing for block in flat(leaf) if isinstance(block, Picture)]
        assert faults(drawing) == []
        # Cells, modules and strings are numbered from 1: of cell 14 there have to be 1 to 14.
        written = {mark.text for mark in drawing.marks if isinstance(mark, Text)}
        grids = [block for block in flat(leaf) if isinstance(block, Grid)]
        tables = {cell for block in grids for row in block.rows for cell in row}
        captions = {block.caption for block in flat(leaf) if isinstance(block, Picture)}
        for text in set(texts(leaf)) - tables - captions - {drawing.description}:
            for what, word in WORDS[language].items():
                for number in spoken(text, word):
                    named = {f"D{number}"} if what == "D" else {str(one) for one in range(1, number + 1)}
                    assert named <= written, (what, number, text)


def test_numbers_are_told_from_what_was_measured():
    assert numbers_in("Cells 1 to 20, then cell 14 of module 3.", "cell") == {1, 14}
    assert numbers_in("Bypassdiode 2 leitet, durch die Diode 7 A, an der Zelle 0,68 V", "diode") == {2}
    assert numbers_in("an der Zelle 0,68 V", "zelle") == set()


def test_the_module_drawn_large_is_the_one_whose_cells_are_spoken_of():
    roof = read_demo("workshop")
    whole = Scene(start=None, finish=roof)
    assert large_module(whole, roof, ["Strings 1 and 2 carry 10.3 A, module 3 as well."]) is None
    assert large_module(whole, roof, ["Short diode 2 of module 6 in string 2."]) == Place(2, 6)
    assert large_module(whole, roof, ["A leaf on cell 14 of module 99."]) is None
    shown = Scene(start=None, finish=roof, focus=Place(1, 4, cell=9))
    assert large_module(shown, roof, []) == Place(1, 4)
