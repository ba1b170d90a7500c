"""Texts made to keep a reader busy: what they hold is counted before anybody loops over it."""

from __future__ import annotations

import re
from collections.abc import Callable
from time import process_time

import pytest

from pvsim.course.folder.course_reader import find_scenario, read_course
from pvsim.course.lecture.lecture_file import examine_lecture
from pvsim.course.lesson.reader import examine_lesson
from pvsim.course.play.workbook import read_workbook
from pvsim.course.table import MOST_PROBLEMS
from pvsim.errors import PvsimError, nearest
from pvsim.files.circuit_file import read_circuit
from pvsim.files.curve_file import read_curve
from pvsim.files.extent import WIDEST
from pvsim.files.scenario_file import read_scenario
from pvsim.files.source import MAX_TEXT_LENGTH
from pvsim.files.toml import MOST_DOTTED, MOST_LINES, MOST_PARTS, MOST_SIGNS, Slip, read_toml
from pvsim.study.study_file import read_study
from tests.course import samples
from tests.files.test_circuit_file import EXAMPLE
from tests.work import most_calls

FULL = MAX_TEXT_LENGTH
HEAD = 'format = 1\ntitle = "x"\nscenario = "single-module"\n'
AXIS = '[[axes]]\nname = "lit"\nvary = "place"\nvalues = "every cell of 1/1"\n'
CHAIN = "b." * (MOST_PARTS - 2)

# What a parser would take minutes or many seconds for, each as long as a text may be.
REFUSED_AT_ONCE = {
    "dotted keys of ninety parts": "".join(f"a{k}.{'b.' * 88}c = 1\n" for k in range(FULL // 190)),
    "dotted keys just short enough": "".join(f"a{k}.{CHAIN}c=1\n" for k in range(FULL // 33)),
    "tables with dotted names": "".join(f"[a{k}.{CHAIN}c]\n" for k in range(FULL // 35)),
    "numbers": "a = [" + "1," * (FULL // 2 - 10) + "]",
    "lists": "a = [" + "[]," * (FULL // 3 - 10) + "]",
    "inline tables": "a = [" + "{}," * (FULL // 3 - 10) + "]",
    "tables of one name": "[[a]]\n" * (FULL // 6),
    "lines": "\n" * FULL,
    "comments": "#\n" * (FULL // 2),
}


@pytest.mark.parametrize("text", REFUSED_AT_ONCE.values(), ids=REFUSED_AT_ONCE)
def test_toml_of_two_million_characters_is_refused_before_it_is_parsed(text: str) -> None:
    assert len(text) <= FULL
    with most_calls(100_000):  # the parser makes several for each key and value
        found = read_toml(text)
    assert isinstance(found, Slip)
    assert "too " in found.wrong


def test_what_honest_files_need_is_within_the_bounds() -> None:
    values = read_toml(f"a = [{'0.5, ' * 100_000}]")
    assert isinstance(values, dict)
    assert len(values["a"]) == 100_000
    dotted = "".join(f"[a.b.c{k}]\n" for k in range(min(900, MOST_DOTTED)))
    assert isinstance(read_toml(dotted), dict)
    assert MOST_SIGNS > 100_000
    assert MOST_LINES > 100_000


@pytest.mark.parametrize("quote", ['"', "'", '"""', "'''"])
def test_what_stands_in_texts_and_comments_is_not_counted(quote: str) -> None:
    numbered = ".".join(map(str, range(3 * MOST_PARTS))) + " = [{, " * 10
    assert read_toml(f"a = {quote}{numbered}{quote}  # {numbered}") == {"a": numbered}
    many = "=[{," * (MOST_SIGNS // 3)
    assert read_toml(f"a = {quote}{many}{quote}") == {"a": many}


@pytest.mark.parametrize(
    "sign", ['"', "'", '"""', "'''", '\\"', '"\\', "\"'", "#", "a.", "a .", "a ", '"a" .', '"a', "[", " "]
)
def test_no_text_makes_the_count_go_back(sign: str) -> None:
    few, many = ("a = " + sign * (n // len(sign)) for n in (20_000, 640_000))
    assert does_not_go_back(read_toml, few, many, least_s=1e-3)


def does_not_go_back(read: Callable[[str], object], few: str, many: str, *, least_s: float) -> bool:
    """Whether a text 32 times as long takes less than 250 times the work; who goes back takes 1,024 times.

    In three goes at each the quickest counts, so the first go at the long one that is quick enough will do.
    """
    most_s = 250.0 * max(min(_seconds(read, few) for _ in range(3)), least_s)
    return any(_seconds(read, many) < most_s for _ in range(3))


def _seconds(read: Callable[[str], object], text: str) -> float:
    """Time that this process was at work; for comparing with itself alone."""
    begin = process_time()
    read(text)
    return process_time() - begin


def names(table: str, count: int) -> str:
    return f"[{table}]\n" + "".join(f"a{k} = 1\n" for k in range(count))


WIDE: dict[str, tuple[Callable[[str], object], str]] = {
    "forty thousand kinds of cell": (read_circuit, "format = 1\n" + names("cell_types", 40_000)),
    "as many kinds as keys may be": (read_circuit, "format = 1\n" + names("cell_types", WIDEST)),
    "forty thousand columns": (read_study, HEAD + AXIS + names("columns", 40_000)),
    "as many columns as keys may be": (read_study, HEAD + AXIS + names("columns", WIDEST)),
    "unknown keys of a scenario": (read_scenario, "format = 1\n" + names("array", 40_000)),
    "columns of a curve": (read_curve, "voltage_V," * 100_000 + "current_A\n1,2\n"),
    "keys in JSON": (
        read_circuit,
        '{"format": 1, "parts": {' + ",".join(f'"a{k}": 1' for k in range(40_000)) + "}}",
    ),
    "JSON as deep as a well": (read_circuit, '{"a":' + "[" * 900 + "]" * 900 + "}"),
    "lessons of a workbook": (
        lambda text: read_workbook(text, samples_course()),
        '{"format": 1, "lessons": {"x": {' + ",".join(f'"a{k}": 1' for k in range(30_000)) + "}}}",
    ),
}


def samples_course():
    from tests.fuzz.readers import _course

    return _course()


@pytest.mark.parametrize(("read", "text"), WIDE.values(), ids=WIDE)
def test_names_are_counted_before_they_are_looked_up(read: Callable[[str], object], text: str) -> None:
    with most_calls(1_200_000), pytest.raises(PvsimError) as error:  # parsing takes some 20 for each name
        read(text)
    assert len(str(error.value)) < 4_000


def lesson_with(body: str) -> str:
    return samples.LESSON.replace("\n## shade-one", f"\n{body}\n\n## shade-one", 1)


SLOW_LESSONS = {
    "asides that nothing closes": "```aside a\n" * 500,
    "asides within asides": "".join("`" * (900 - k) + "aside a\n" for k in range(890)),
    "terms that no glossary has": "[[no such term]] " * 10_000,
    "numbers that were typed": "12 W " * 30_000,
    "headings of nothing": "### nothing\n" * 15_000,
    "braces that nothing closes": "{{ x\n" * 30_000,
    "fences": "```figure\n```\n" * 12_000,
}


@pytest.mark.parametrize("body", SLOW_LESSONS.values(), ids=SLOW_LESSONS)
def test_a_lesson_made_to_keep_the_reader_busy_is_told_of_after_bounded_work(body: str) -> None:
    with most_calls(4_000_000):
        found, problems = examine_lesson(lesson_with(body), "sample.md", samples.find)
    assert found is None
    assert 0 < len(problems) <= MOST_PROBLEMS


def test_unknown_keys_without_end_are_told_up_to_a_bound() -> None:
    steps = "".join("[[step]]\n" + "".join(f"k{k}=1\n" for k in range(900)) for _ in range(20))
    with most_calls(8_000_000):
        found, problems = examine_lesson(f"+++\n{steps}+++\n", "sample.md", samples.find)
    assert found is None
    assert len(problems) == MOST_PROBLEMS
    with most_calls(8_000_000):
        lecture, problems = examine_lecture("format = 1\n" + steps, "x.toml", samples_course())
    assert lecture is None
    assert 0 < len(problems) <= MOST_PROBLEMS


@pytest.mark.parametrize(
    "line",
    ["# a{gap}b", "#{gap}a", "## {gap}#", "```{gap}a{gap}b", "~~~~ a{gap}b", "{gap}## a", "{gap}```"],
)
def test_no_line_of_a_lesson_makes_the_reader_go_back(line: str) -> None:
    few, many = (lesson_with(line.format(gap=" " * length)) for length in (3_000, 96_000))
    assert does_not_go_back(
        lambda text: examine_lesson(text, "sample.md", samples.find), few, many, least_s=2e-2
    )


@pytest.mark.parametrize("length", [81, 250, 300, 5_000, 100_000])
def test_a_name_longer_than_any_file_s_is_looked_for_nowhere(length: int, tmp_path) -> None:
    name = "a" * length
    with pytest.raises(PvsimError, match="no scenario"):
        find_scenario(name, tmp_path)
    with pytest.raises(PvsimError):
        read_study(HEAD.replace("single-module", name) + AXIS, folder=tmp_path)
    text = samples.LESSON.replace('scenario = "single-module"', f'scenario = "{name}"', 1)
    assert examine_lesson(text, "sample.md", lambda one: find_scenario(one, tmp_path))[0] is None
    course = samples.write_course(tmp_path, sample=samples.LESSON)
    (course / "course.toml").write_text(f'title = "x"\nlessons = ["sample", "{name}"]\n', encoding="utf-8")
    assert any("there is no lesson" in str(problem) for problem in read_course(course).problems)


def test_a_name_of_any_length_is_likened_after_bounded_work() -> None:
    with most_calls(2_000_000):
        assert "Did you mean" in nearest("a" * 70 + "b" * 1_000_000, ["a" * 70])
        nearest("x", [f"name-{k}" for k in range(100_000)])


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("photocurrent_A", "1e300"),
        ("saturation_current_A", "1e-320"),
        ("saturation_current_A", "1e300"),
        ("ideality", "1e-300"),
        ("series_resistance_ohm", "1e300"),
        ("shunt_resistance_ohm", "1e300"),
        ("band_gap_eV", "1e4"),
        ("band_gap_coefficient_per_K", "1e300"),
        ("breakdown_voltage_V", "-1e300"),
        ("breakdown_fraction", "1e300"),
        ("second_saturation_current_A", "1e300"),
        ("second_ideality", "1e300"),
    ],
)
def test_a_number_that_no_cell_has_is_refused_where_it_stands(key: str, value: str) -> None:
    head = "[cell_types.plain]\n"
    text = re.sub(rf"{key} = .*\n", "", EXAMPLE).replace(head, f"{head}{key} = {value}\n")
    with pytest.raises(PvsimError, match=rf"line 5, cell_types\.plain\.{key} is .*; expected a number from"):
        read_circuit(text, "c.toml")


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("saturation_current_A", "1e300"),
        ("barrier_eV", "1e4"),
        ("ideality", "1e-9"),
        ("leakage_resistance_ohm", "1e-300"),
    ],
)
def test_a_number_that_no_diode_has_is_refused_where_it_stands(key: str, value: str) -> None:
    text = re.sub(r"saturation_current_A = 1e-5\n" if key.startswith("sat") else "$^", "", EXAMPLE)
    text = text.replace("[diode_types.bypass]\n", f"[diode_types.bypass]\n{key} = {value}\n")
    with pytest.raises(PvsimError, match=rf"diode_types\.bypass\.{key} is .*; expected a number from"):
        read_circuit(text, "c.toml")
