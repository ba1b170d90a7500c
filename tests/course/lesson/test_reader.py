"""The reader takes a good lesson, and says of a bad one: file, line, what, how to mend it."""

from __future__ import annotations

import pytest

from pvsim.course.lesson.reader import read_lesson
from pvsim.errors import LessonError
from tests.course.samples import LESSON, lesson, line_of, problems, spoilt


def test_a_good_lesson_is_read_whole() -> None:
    found = lesson()
    assert [step.id for step in found.steps] == ["shade-one", "elsewhere"]
    assert found.steps[1].transfer
    assert found.steps[0].start != found.steps[0].finish
    assert "A module of" in found.opening.text
    assert found.steps[0].explain.line == line_of(LESSON, "It lost")


@pytest.mark.parametrize(
    ("old", "new", "at", "said"),
    [
        ('title = "One shaded cell"', 'titel = "One shaded cell"', "titel", "'titel'"),
        ("minutes = 8", 'minutes = "8"', "minutes", "'8'"),
        ("minutes = 8", "minutes = 900", "minutes", "900"),
        ("format = 1", "format = 7", "format", "7"),
        ('scenario = "single-module"', 'scenario = "single-modul"', "scenario", "single-modul"),
        ('focus = "1/1/14"', 'focus = "1/1/61"', "focus", "cell 61"),
        ('level = "module"', 'level = "roof"', "level", "'roof'"),
        ('id = "shade-one"', 'id = "Shade One"', "id =", "'Shade One'"),
        ("shaded = {", "shadowed = {", "done_when", "'shadowed'"),
        ("at_most = 0.25", "at_most = 25", "done_when", "25"),
        ('place = "1/1"', 'place = "4/1"', "done_when", "string 4"),
        ("{ shade = [", "{ shadow_at = [", "solution", "shadow_at"),
        ('["1/1/14"]', '["1/1/99"]', "solution", "cell 99"),
        ("transmission = 0.2", "transmission = 2", "solution", "2"),
        ('unit = "W"', 'unit = "Watt"', "unit", "'Watt'"),
        ('unit = "W"', 'unit = "V"', "answer", "power"),
        ("tolerance = 10", "", "[step.predict]", "exact"),
        ('"-delta[1/1].power_W"', '"-delta[1/1].powr_W"', "answer", "'powr_W'"),
        ('"-delta[1/1].power_W"', '"-delta[1/1.power_W"', "answer", "out of place"),
        ('"-delta[1/1].power_W"', '"-delta[1/1].power_W + 2 * now[1/1].voc_V"', "answer", "added"),
        ('"-delta[1/1].power_W"', '"-later[1/1].power_W"', "answer", "'later'"),
        ('idea = "a sixtieth of the area"', "", "[[step.predict.mistake]]", "'idea'"),
        ('when = "now[1/1].conducting = 1"', "", "[[step.observe.choice]]", "'when'"),
        ('conducting = 1"', 'conducting"', 'when = "now[1/1].cond', "compares nothing"),
        ("right = true\nwhen = \"now[1/1]", "when = \"now[1/1]", "[[step.observe.choice]]", "marked right"),
        ("transfer = true\n", "", "[[step]]", "another array"),
        ('kind = "cable-open"', 'kind = "cable-opn"', "done_when = { fault", "cable-opn"),
        ('fault = "cable-open" }]', 'fault = "cable-open", size = 2 }]', "solution = [{ break", "2"),
        ("### explain\n\nIt lost", "### explanation\n\nIt lost", "### explan", "explanation"),
        ("### act\n\nShade", "### predict\n\nShade", "### predict\n\nShade", "twice"),
        ("## elsewhere", "## elsewere", "## elsewere", "no step"),
        ("delta[1/1].power_W | W 1", "delta[1/1].power_W | V 1", "It lost", "cannot be shown in V"),
        ("delta[1/1].power_W | W 1", "delta[1/7].power_W | W 1", "It lost", "module 7"),
        ("| W 1 size }}", "| W 1 size", "It lost", "not closed"),
        ("now[1/1].cells }}", "now[1/1/3].cells }}", "A module of", "cell"),
        ('"20 %" = "chosen', '"30 %" = "chosen', "One cell gets", "20 %"),
    ],
)  # fmt: skip
def test_a_mistake_is_named_with_its_line(old: str, new: str, at: str, said: str) -> None:
    text = spoilt(old, new)
    found = problems(text)
    assert any(said in one.wrong and one.line == line_of(text, at) for one in found), "\n".join(
        map(str, found)
    )
    for one in found:
        assert one.file == "sample.md"
        assert one.expected
        assert one.mend


def test_the_error_names_the_first_problem_and_counts_the_rest() -> None:
    text = spoilt("minutes = 8", "minutes = 900").replace('level = "module"', 'level = "roof"')
    with pytest.raises(LessonError, match=r"sample\.md, line 5: 'minutes' is 900 \(1 more\)"):
        lesson(text)


def test_broken_toml_is_named_with_the_line_of_the_file() -> None:
    text = spoilt('title = "One shaded cell"', 'title = "One shaded cell')
    (one,) = problems(text)
    assert one.line == line_of(text, "title")
    assert "TOML" in one.wrong


@pytest.mark.parametrize("text", ["", "# A lesson\n", "+++\ntitle = 'x'\n", "+++\n+++\n", "\ufeff+++\n+++"])
def test_a_file_without_a_lesson_in_it_is_refused(text: str) -> None:
    assert problems(text)


def test_a_lesson_file_has_to_have_a_plain_name() -> None:
    with pytest.raises(LessonError, match="name"):
        read_lesson(LESSON, "../Sample.md", lambda name: lesson().steps[0].start)


def test_a_scenario_can_stand_in_the_lesson_itself() -> None:
    text = spoilt('scenario = "single-module"\n', "").replace(
        "[[step]]",
        '[scenario]\nformat = 1\ntitle = "Own"\n[[scenario.array.strings]]\n'
        'modules = [{ type = "full-60", count = 2 }]\n\n[[step]]',
        1,
    )
    assert lesson(text).steps[0].start.title == "Own"


def test_a_step_can_go_on_from_the_one_before() -> None:
    text = spoilt('transfer = true\nscenario = "workshop"', "continues = true\ntransfer = true")
    text = text.replace('{ fault = { place = "2", kind = "cable-open" } }', '{ no_fault = { place = "1" } }')
    text = text.replace('[{ break = "2", fault = "cable-open" }]', '[{ clear = "paint" }]')
    found = lesson(text)
    assert found.steps[1].start == found.steps[0].finish
    assert found.steps[1].finish == found.steps[0].start


def test_a_very_long_lesson_and_deep_nesting_are_refused_quickly() -> None:
    assert problems(LESSON + "x" * 300_000)
    deep = "{a=" * 2000 + "1" + "}" * 2000
    assert problems(spoilt("minutes = 8", f"minutes = {deep}"))
    assert problems(spoilt("-delta[1/1].power_W", "(" * 140 + "1" + ")" * 140))
    assert problems(LESSON + "{{ " * 40_000)


def test_a_unit_that_is_none_is_told_once() -> None:
    (problem,) = problems(spoilt('unit = "W"', 'unit = "Wat"'))
    assert "'Wat' is no unit" in problem.wrong
