"""A step whose act is a search: read, played, and told where it cannot be."""

from __future__ import annotations

import pytest

from pvsim.array.change import add_fault
from pvsim.course.folder.course_check import played_problems
from pvsim.course.lesson.lesson import Course, Lesson
from pvsim.course.lesson.step_search import played, unsolved
from pvsim.course.number.checks import all_hold
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play import player
from pvsim.course.play.lacking import lacking
from pvsim.course.play.workbook import Workbook, read_workbook, write_workbook
from pvsim.field.search import search_case, the_visible
from tests.course import samples
from tests.course.samples import LESSON, problems

ACT = """search = { seed = 4, level = 2 }
done_when = { search_answered = {} }
solution = [
    { do = "read", what = "voltage", at = "1/1" },
    { do = "stop" },
    { do = "open-switch" },
    { do = "read-run", at = "1/1", last = 3 },
    { do = "cover", at = "1/1/s1", leak = 0.01 },
    { answer = "diode-short", at = "1/1/s1", sure_percent = 80 },
]
"""
PLAIN = """scenario = "workshop"
done_when = { fault = { place = "2", kind = "cable-open" } }
solution = [{ break = "2", fault = "cable-open" }]
"""
TEXT = LESSON.replace(PLAIN, ACT).replace('when = "now[array].power_W < 0.55 * before[array].power_W"\n', "")
CASE = search_case(4, 2)


def lesson(old: str = "", new: str = "") -> Lesson:
    return samples.lesson(TEXT.replace(old, new) if old else TEXT)


def test_a_step_begins_with_what_is_seen_and_ends_with_the_array_as_it_is() -> None:
    step = lesson().steps[1]
    assert step.search is not None
    assert step.search.case == CASE
    assert step.start == the_visible(CASE)
    assert step.finish == CASE.scenario
    assert [act.kind for act in step.search.acts] == ["read", "stop", "open-switch", "read-run", "cover"]
    assert step.solution == ()
    assert played_problems(lesson()) == []


def test_the_solution_is_played_in_the_safe_order_and_finds_what_is_hidden() -> None:
    found = lesson().steps[1].search
    assert found is not None
    transcript = played(found)
    assert not any(line.refused for line in transcript.lines)
    assert transcript.minutes > 0
    assert unsolved(found) == ""


def test_the_act_is_done_when_the_array_lies_open_and_not_by_guessing_at_its_fault() -> None:
    whole = lesson()
    step = whole.steps[1]
    progress = player.predict(whole, player.go_to(whole, player.begin(whole), 2), 0)
    guessed = add_fault(step.start, CASE.fault)
    for scenario in (step.start, guessed):
        assert not all_hold(step.done_when, solved(scenario))
        assert player.watch(whole, progress, solved(scenario)) == progress
    assert "no answer" in lacking(step, solved(guessed))
    done = player.watch(whole, progress, solved(CASE.scenario))
    assert player.mark_of(whole, done).done == step.finish


def test_a_workbook_keeps_a_search_without_what_was_hidden() -> None:
    whole = lesson()
    progress = player.predict(whole, player.go_to(whole, player.begin(whole), 2), 0)
    progress = player.watch(whole, progress, solved(CASE.scenario))
    course = Course(title="Trial", lessons=(whole,), order=(whole.slug,))
    text = write_workbook(Workbook(progresses={whole.slug: progress}), course)
    assert read_workbook(text, course).progresses[whole.slug] == progress
    assert "diode-short" not in text


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("seed = 4,", "seed = -4,", "seed"),
        ("level = 2 }", "level = 9 }", "level"),
        ("level = 2 }", 'level = 2, family = "light-bulbs" }', "family"),
        ("level = 2 }", 'level = 1, family = "insulation" }', "hides no fault"),
        ("level = 2 }", "level = 2, luck = 1 }", "luck"),
        ("search = { seed", 'scenario = "workshop"\nsearch = { seed', "'scenario'"),
        ("search = { seed", "start = [{ scatter = 1 }]\nsearch = { seed", "'start'"),
        ("search = { seed = 4, level = 2 }\n", "", "search_answered"),
        ('what = "voltage", ', 'what = "weight", ', "weight"),
        ('{ do = "stop" }', '{ do = "sing" }', "sing"),
        ('{ do = "stop" }', '{ shade = ["1/1"] }', "shade"),
        ('{ do = "stop" }', '{ do = "stop", at = "1/1" }', "array"),
        ('answer = "diode-short"', 'answer = "gremlins"', "gremlins"),
    ],
)
def test_what_is_wrong_with_a_search_is_told_at_its_line(old: str, new: str, told: str) -> None:
    assert old in TEXT
    text = TEXT.replace(old, new, 1)
    found = problems(text)
    assert any(told in f"{one.wrong} {one.expected}" for one in found), found
    first = text.count("\n", 0, text.index('id = "elsewhere"'))
    assert all(first < one.line <= first + 20 for one in found)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('{ do = "stop" },\n    ', "", "arc"),
        ('"diode-short", at = "1/1/s1"', '"diode-short", at = "1/1/s2"', "not what is hidden"),
        ('"diode-short", at', '"cell-open", at', "not what is hidden"),
        ('    { answer = "diode-short", at = "1/1/s1", sure_percent = 80 },\n', "", "1 answers"),
        ('at = "1/1", last = 3', 'at = "1/1", last = 99', "99"),
    ],
)
def test_a_solution_that_does_not_find_it_is_told_when_the_lesson_is_played(
    old: str, new: str, told: str
) -> None:
    assert old in TEXT
    [found] = played_problems(lesson(old, new))
    assert "elsewhere" in found.wrong
    assert told in found.wrong
