"""What is handed out holds no answer: neither its digits nor a point of a curve."""

from __future__ import annotations

import os
import re

import pytest

from pvsim.array import Place, paint
from pvsim.course.folder.course_folder import open_home
from pvsim.course.folder.course_reader import OWN_LESSONS, read_one
from pvsim.exercise import ExerciseCase, NumberItem, own_exercises
from pvsim.exercise.paper import parts_of_case, parts_of_lesson, parts_of_scenario, solution_sheet, work_sheet
from pvsim.exercise.paper.document import Caution, Grid, Options, Picture, Writing
from pvsim.exercise.paper.picture import blank_panels, draw_blank
from pvsim.exercise.paper.scene import figures_of
from pvsim.exercise.wording import BLANK
from pvsim.files.demo import demo_names, read_demo
from pvsim.files.figure.drawing import Box, Dot, Line
from pvsim.numbers import format_fixed
from pvsim.words import speaking
from tests.exercise.paper.contents import flat, texts
from tests.exercise.samples import LESSONS

LONG = os.environ.get("PVSIM_HYPOTHESIS") == "long"
HOME = open_home(OWN_LESSONS)
SLUGS = [slug for slug in HOME.plan.order if (OWN_LESSONS / f"{slug}.md").exists()]
TRIED = SLUGS if LONG else ["diode", "two-tops", "unseen-wire"]
CASES = range(40) if LONG else (1, 5, 77)


def sheet_of(parts, language="en"):
    with speaking(language):
        return work_sheet(parts, title="A sheet", language=language)


def given_away(document, parts):
    """Answers, with their units, that stand anywhere but in what their own question gives."""
    found = []
    for part in parts:
        for item in (part.asked, part.seen):
            if not isinstance(item, NumberItem) or not item.unit.symbol:
                continue
            for decimals in range(item.decimals + 1):
                number = format_fixed(abs(item.value), decimals=decimals)
                written = re.compile(rf"(?<![\d.,]){re.escape(number)}\s{re.escape(item.unit.symbol)}(?!\w)")
                found += [
                    (item.id, text) for text in texts(document) if written.search(text) and text != item.stem
                ]
    return found


@pytest.mark.parametrize("lesson", LESSONS)
def test_a_sheet_of_exercises_tells_no_answer(lesson):
    for seed in CASES:
        parts = parts_of_case(own_exercises(lesson), ExerciseCase(seed=seed))
        assert given_away(sheet_of(parts), parts) == []


@pytest.mark.parametrize("slug", TRIED)
def test_a_sheet_of_a_lesson_tells_no_answer_of_any_of_its_steps(slug):
    lesson, _problems = read_one(HOME, slug)
    parts = parts_of_lesson(lesson)
    assert given_away(sheet_of(parts), parts) == []


def test_what_a_step_found_is_left_blank_where_the_next_one_tells_it():
    lesson, _problems = read_one(HOME, "unseen-wire")
    told = [text for text in texts(sheet_of(parts_of_lesson(lesson))) if BLANK in text]
    assert len(told) == 1
    assert "In full sun the contact turns" in told[0]


def test_the_solution_of_the_steps_leaves_nothing_blank():
    lesson, _problems = read_one(HOME, "unseen-wire")
    parts = parts_of_lesson(lesson, key=True)
    with speaking("en"):
        found = texts(solution_sheet(parts, title="A solution", language="en"))
    assert not any(BLANK in text for text in found)


@pytest.mark.parametrize("name", demo_names() if LONG else ("workshop", "single-module"))
def test_a_sheet_of_a_scenario_tells_none_of_its_key_figures(name):
    parts = parts_of_scenario(read_demo(name))
    written = " ".join(texts(sheet_of(parts)))
    for one in figures_of(parts[0].scene):
        assert format_fixed(one.now, decimals=one.decimals) not in re.findall(r"[\d.]+\d", written)


def test_the_axes_are_blank():
    for part in parts_of_case(own_exercises("diode"), ExerciseCase(seed=5)):
        assert all(not (one.traces or one.points or one.labels) for one in blank_panels(part.scene))
        drawing, _caption = draw_blank(part.scene)
        assert not any(isinstance(one, Dot) for one in drawing.marks)
        # Lines of the grid and the corner of each pair of axes: whatever else is drawn is a curve.
        lines = [one for one in drawing.marks if isinstance(one, Line)]
        assert all(
            len({x for x, _y in one.points}) == 1
            or len({y for _x, y in one.points}) == 1
            or len(one.points) == 3
            for one in lines
        )


def test_a_question_has_room_for_prediction_reason_and_readings():
    blocks = flat(sheet_of(parts_of_case(own_exercises("diode"), ExerciseCase(seed=5))[:1]))
    assert [(one.label, one.lines, one.unit) for one in blocks if isinstance(one, Writing)] == [
        ("My prediction", 0, "W"),
        ("Reason", 3, ""),
    ]
    assert sum(isinstance(one, Picture) for one in blocks) == 1
    grid = next(one for one in blocks if isinstance(one, Grid))
    assert [row[0] for row in grid.rows] == ["I~sc~", "V~oc~", "I~mp~", "V~mp~", "P~mp~"]
    assert all(cell == "" for row in grid.rows for cell in row[1:-1])


def test_a_scenario_is_drawn_as_it_is_and_held_against_the_same_in_good_order():
    shaded = paint(read_demo("single-module"), [Place(1, 1, cell=9)], 0.2)
    (part,) = parts_of_scenario(shaded)
    drawing, _caption = draw_blank(part.scene)
    grey = {one.fill for one in drawing.marks if isinstance(one, Box) and one.fill}
    assert len(grey) == 3  # the frame, cells in the light, and the one in the shade
    assert part.scene.start.light.painted == ()
    assert "dashed for the same array in good order" in part.told


def test_choices_are_not_marked():
    parts = parts_of_case(own_exercises("diode"), ExerciseCase(seed=5))
    assert [one.right for one in flat(sheet_of(parts)) if isinstance(one, Options)] == [None, None]


def test_cautions_stand_before_the_act_that_they_are_about():
    lesson, _problems = read_one(HOME, "diode")
    parts = [one for one in parts_of_lesson(lesson) if one.cautions]
    assert parts
    for part in parts:
        words = [getattr(one, "text", "") for one in flat(sheet_of([part]))]
        assert words.index(part.cautions[0]) < words.index(part.does)


def test_readings_taken_on_a_roof_come_with_their_cautions():
    found = [
        part
        for lesson in LESSONS
        for part in parts_of_case(own_exercises(lesson), ExerciseCase(seed=5))
        if isinstance(part.asked, NumberItem) and part.asked.readings
    ]
    assert found
    for part in found:
        blocks = flat(sheet_of([part]))
        grid = next(at for at, one in enumerate(blocks) if isinstance(one, Grid))
        assert any(isinstance(one, Caution) and "live" in one.text for one in blocks[:grid])
        assert [row[3] for row in blocks[grid].rows] == [one.unit.symbol for one in part.asked.readings]


def test_a_sheet_names_version_scenario_and_limits():
    document = sheet_of(parts_of_scenario(read_demo("workshop")))
    notes = " ".join(document.notes)
    assert "pvsim" in notes
    assert "Boat-builders' training workshop" in notes
    assert "no design or safety tool" in notes
