"""The guide for a lab with searches tells the truth: its searches, its commands, its minutes."""

from __future__ import annotations

import os
import re
from pathlib import Path

import numpy as np
import pytest

from pvsim.cli import main
from pvsim.course.folder.course_reader import own_course
from pvsim.course.number.evaluation import Readings, value_of
from pvsim.course.number.expression import parse_expression
from pvsim.course.number.solved_scenario import solved
from pvsim.field.search.case import LEVELS, search_case
from pvsim.field.search.foresight import Foresight
from pvsim.field.search.searchers import Searcher, search

GUIDE = (Path(__file__).parents[2] / "lessons" / "guide" / "lab.md").read_text(encoding="utf-8")
# All of them take minutes of a processor: each time some of the short searches, all where that is asked.
LONG = os.environ.get("PVSIM_HYPOTHESIS") == "long"


def rows(first: str) -> list[list[str]]:
    """The cells of a table whose head begins with these words."""
    head = GUIDE.index(f"| {first} |")
    table = GUIDE[head : GUIDE.index("\n\n", head)].splitlines()[2:]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in table]


def minutes(text: str) -> list[float]:
    return [float(one) for one in re.findall(r"\d+(?:\.\d+)?", text)]


NINE = rows("family")
WHO: tuple[Searcher, ...] = ("guess", "halve", "best")


def test_the_guide_names_the_nine_searches() -> None:
    told = [(family, int(level), int(seed)) for family, level, seed, *_more in NINE]
    assert told == [(one.family, one.level, one.seed) for one in own_course().searches]


@pytest.mark.parametrize("row", NINE if LONG else [one for one in NINE if int(one[1]) < 3])
def test_the_minutes_of_the_nine_are_those_of_the_searchers(row: list[str]) -> None:
    family, level, seed, halves, best = row
    case = search_case(int(seed), int(level), family)
    know = Foresight(case)
    for who, told in zip(WHO[1:], (halves, best), strict=True):
        found = search(case, who, know)
        assert [found.transcript.minutes] == minutes(told)
        assert found.solved


LEVEL_ROWS = rows("level | array")


def test_the_levels_are_those_that_there_are() -> None:
    for level, array, *_more in LEVEL_ROWS:
        kind = LEVELS[int(level)]
        assert array == f"{kind.strings} × up to {kind.most_modules} modules"


@pytest.mark.skipif(not LONG, reason="minutes of a processor; PVSIM_HYPOTHESIS=long asks for it")
@pytest.mark.parametrize("row", LEVEL_ROWS)
def test_the_minutes_of_a_level_are_those_of_the_searchers(row: list[str]) -> None:
    level, _array, count, *told = row
    taken: dict[Searcher, list[float]] = {who: [] for who, text in zip(WHO, told, strict=True) if text}
    for seed in range(int(count)):
        case = search_case(seed, int(level))
        know = Foresight(case)
        for who, some in taken.items():
            some.append(search(case, who, know).transcript.minutes)
    for who, text in zip(WHO, told, strict=True):
        if text:
            assert minutes(text) == [round(float(np.mean(taken[who])), 1), float(np.median(taken[who]))]


def test_guessing_costs_what_the_guide_says_beside_halving() -> None:
    """Of the row of level 2: five to eight times."""
    guess, halve, best = (minutes(text)[0] for text in LEVEL_ROWS[1][3:])
    assert 5.0 <= guess / halve < 8.0
    assert 5.0 <= guess / best < 8.5


def test_what_neighbours_and_a_reckoned_value_can_tell_is_what_the_guide_says() -> None:
    """Of a module that lacks a substring, as in the lesson; twice the standard uncertainty."""
    step = next(one for one in own_course().lessons[-1].steps if one.id == "halves")
    here = Readings(solved(step.finish), solved(step.start))
    per_cent = [
        200 * value_of(parse_expression(f"now[1/3].{name} / now[1/3].voltage_V"), here)
        for name in ("voltage_apart_V", "voltage_unsure_V")
    ]
    assert per_cent[0] == pytest.approx(2.0, abs=0.2)
    assert 3.4 < per_cent[1] < 4.0


def test_the_commands_of_the_guide_are_there(capsys: pytest.CaptureFixture[str]) -> None:
    for command in sorted({*re.findall(r"`pvsim (\w+)", GUIDE)}):
        with pytest.raises(SystemExit) as over:
            main([command, "--help"])
        assert over.value.code == 0
    capsys.readouterr()
