"""PDF whose text can be selected, in every sign that pvsim writes, on pages that break well."""

from __future__ import annotations

import re

import pytest

from pvsim.course.folder.course_folder import open_home
from pvsim.course.folder.course_reader import OWN_LESSONS, read_one
from pvsim.exercise import ExerciseCase, own_exercises
from pvsim.exercise.paper import parts_of_case, parts_of_lesson, solution_sheet, work_sheet, write_pdf
from pvsim.exercise.paper.document import Document, Grid, Prose
from pvsim.words import speaking
from tests.exercise.paper.contents import flat, pages_of

SIGNS = "Größe ÄÖÜ äöü ß Ω µ Δ ² ³ ° − ± × ≈ ≤ ≥ η β “so” „so“ – …"


def page(*blocks, **more):
    values = {
        "kind": "Work sheet",
        "title": "T",
        "language": "en",
        "fields": (("Name", ""),),
        "foot": "pvsim",
    }
    return Document(**{**values, **more}, parts=(tuple(blocks),), notes=("A note.",))


def words(text):
    return re.findall(r"\w+", text)


@pytest.fixture(scope="module")
def german():
    lesson, _problems = read_one(open_home(OWN_LESSONS, "de"), "diode")
    with speaking("de"):
        return work_sheet(parts_of_lesson(lesson), title=lesson.title, language="de", who="Jörg Weiß")


def test_every_sign_can_be_selected():
    found = pages_of(write_pdf(page(Prose(text=SIGNS))))[0]
    assert SIGNS in found


def test_subscripts_and_emphasis_are_text():
    found = pages_of(write_pdf(page(Prose(text="Of **V~oc~** and *I~sc~*, a leak of 0.3 m²."))))[0]
    assert "".join(found.split()).count("OfVocandIsc,aleakof0.3m²") == 1


def test_a_sign_that_the_typeface_lacks_becomes_its_plain_letter_or_a_question_mark():
    found = pages_of(write_pdf(page(fields=(("Name", "Ṅina 山"),))))[0]
    assert "Nina ?" in found


def test_all_words_of_a_sheet_are_on_its_pages(german):
    found = words(" ".join(pages_of(write_pdf(german))))
    assert "Jörg" in found
    for block in flat(german):
        if isinstance(block, Prose):
            text = re.sub(r"[*~\\_`]|\]\([^)]*\)", " ", block.text)
            assert set(words(text)) - set(found) == set()


def test_pages_are_a4_and_say_which_they_are(german):
    data = write_pdf(german)
    assert re.search(rb"/MediaBox \[0 0 595\.28 841\.89\]", data)
    pages = pages_of(data)
    assert [f"Seite {at} von {len(pages)}" in one for at, one in enumerate(pages, start=1)] == [True] * len(
        pages
    )
    assert b"/Lang (de)" in data


def test_each_question_begins_on_a_page_of_its_own_and_fits_it():
    for language in ("en", "de"):
        with speaking(language):
            parts = parts_of_case(own_exercises("diode", language), ExerciseCase(seed=5))
            document = work_sheet(parts, title="Diode", language=language, who="Ada")
            pages = pages_of(write_pdf(document))
            assert len(pages) == len(parts)
            assert all(part.title in one for part, one in zip(parts, pages, strict=True))


def test_a_long_table_goes_over_and_nothing_is_lost():
    rows = tuple((f"row{at}", "a long text " * 12) for at in range(60))
    found = pages_of(write_pdf(page(Grid(caption="Many", columns=("a", "b"), rows=rows, shares=(0.2, 0.8)))))
    assert len(found) > 2
    assert [f"row{at}" for at in range(60)] == re.findall(r"row\d+", " ".join(found))


def test_a_word_wider_than_the_page_is_cut():
    found = pages_of(write_pdf(page(Prose(text="x" * 400))))[0]
    assert found.count("x") == 400
    assert max(map(len, found.split())) < 150


def test_a_solution_can_be_written_too():
    with speaking("en"):
        parts = parts_of_case(own_exercises("diode"), ExerciseCase(seed=5))[:1]
        found = " ".join(pages_of(write_pdf(solution_sheet(parts, title="Diode", language="en"))))
    assert "Five levels" in found
    assert "Misconceptions" in found
