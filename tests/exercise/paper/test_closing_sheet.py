"""A closing test on paper: the same for the same number, without its key; the solution has all of it."""

from __future__ import annotations

import pytest

from pvsim.course.folder.course_reader import own_course
from pvsim.course.play.revisit import Idea
from pvsim.exercise import ChoiceItem, ExerciseCase, NumberItem
from pvsim.exercise.closing import draw_closing
from pvsim.exercise.paper import closing_sheet, closing_solution, parts_of_closing, write_html, write_pdf
from pvsim.exercise.paper.document import Grid, Options, Picture, Writing
from pvsim.exercise.pool import course_pool
from pvsim.words import speaking
from tests.exercise.paper.contents import flat, pages_of, texts
from tests.exercise.paper.test_work_sheet import given_away

SNOW = Idea(
    key="snow-edge/upright/predict#0",
    lesson="snow-edge",
    text="the loss is the covered area",
    id="loss-is-the-missing-light",
)
LANGUAGES = ["en", "de"]
CASES = (3, 11)


def drawn_test(seed, language="en", revisit=(), *, solution=False):
    """The parts of a test, and it or its solution as a document."""
    course = own_course(language)
    pool = course_pool(course)
    asked = draw_closing(pool, revisit, seed)
    case = ExerciseCase(seed=seed)
    parts = parts_of_closing(pool, asked, case, course, revisit if solution else None)
    with speaking(language):
        make = closing_solution if solution else closing_sheet
        return parts, make(parts, title=course.title, language=language, case=str(seed))


@pytest.mark.parametrize("seed", CASES)
@pytest.mark.parametrize("language", LANGUAGES)
def test_nothing_of_the_key_is_on_the_test(seed, language):
    parts, document = drawn_test(seed, language)
    assert given_away(document, parts) == []
    said = "\n".join(texts(document))
    for part in parts:
        wrong = part.asked.choices if isinstance(part.asked, ChoiceItem) else part.asked.misconceptions
        assert not any(one.feedback and one.feedback in said for one in wrong)
        assert not part.asked.solution or part.asked.solution not in said
    assert all(one.right is None for one in flat(document) if isinstance(one, Options))
    assert not any(isinstance(one, Grid) for one in flat(document))


@pytest.mark.parametrize("language", LANGUAGES)
def test_each_question_has_its_drawing_a_place_for_the_answer_and_room_for_the_way(language):
    parts, document = drawn_test(CASES[0], language)
    assert len(document.parts) == len(parts) == 6
    for part, blocks in zip(parts, document.parts, strict=True):
        (drawing,) = [one for one in blocks if isinstance(one, Picture)]
        assert drawing.caption
        within = [one for block in blocks for one in getattr(block, "blocks", ())]
        assert within[-1].lines > 2, "the way"
        if isinstance(part.asked, NumberItem):
            assert isinstance(within[0], Writing)
            assert within[0].unit == ("" if not part.asked.unit.symbol else within[0].unit) != "?"
        else:
            assert within[0].texts == tuple(one.text for one in part.asked.choices)
    name, value = document.fields[-1]
    total = sum(part.asked.points for part in parts)
    assert value.strip("\N{NO-BREAK SPACE}").split()[-1] == f"{total:g}"
    assert name


def test_the_solution_has_the_answer_the_way_and_the_idea_that_a_question_was_drawn_for():
    parts, document = drawn_test(CASES[0], revisit=(SNOW,), solution=True)
    said = "\n".join(texts(document))
    for part in parts:
        if isinstance(part.asked, NumberItem):
            assert f"**Answer: {part.asked.value:.{part.asked.decimals}f}" in said.replace("−", "-")
        assert part.asked.solution in said
    assert "Drawn for the idea “the loss is the covered area”." in parts[0].told
    assert "Drawn for" not in "".join(part.told for part in parts[1:])
    _parts, asked = drawn_test(CASES[0], revisit=(SNOW,))
    assert "Drawn for" not in "\n".join(texts(asked))


def test_a_number_gives_the_same_test_and_another_one_another():
    assert drawn_test(5)[1] == drawn_test(5)[1]
    assert drawn_test(5)[1] != drawn_test(6)[1]


@pytest.mark.parametrize("language", LANGUAGES)
def test_its_words_can_be_selected_in_pdf_and_stand_in_html(language):
    parts, document = drawn_test(CASES[1], language)
    paper, page = " ".join(" ".join(pages_of(write_pdf(document))).split()), write_html(document)
    for part in parts:
        for word in part.told.split():
            assert word in paper
            assert word in page
    assert f"<html lang=\"{language}\">" in page
    assert "<script" not in page
