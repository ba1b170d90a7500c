"""The searches that a course gives as practice: read, refused with their line; and pvsim's own."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from pvsim.course.folder.course_check import check_course, check_course_file
from pvsim.course.folder.course_reader import own_course, read_course
from pvsim.course.folder.search_set import SEARCHES_FILE
from pvsim.course.lesson.step_search import SetSearch
from pvsim.field.search import search_case
from tests.course.samples import LESSON, write_course

SET = """[[searches]]
seed = 7
level = 1
family = "cells"

[[searches]]
seed = 8
level = 3
"""


def course_with(folder: Path, text: str) -> Path:
    write_course(folder, sample=LESSON)
    (folder / SEARCHES_FILE).write_text(text, encoding="utf-8")
    return folder


def test_the_set_is_read_in_its_order(tmp_path: Path) -> None:
    course = read_course(course_with(tmp_path, SET))
    assert course.searches == (SetSearch(seed=7, level=1, family="cells"), SetSearch(seed=8, level=3))
    assert course.problems == ()


def test_a_course_without_a_set_has_none(tmp_path: Path) -> None:
    assert read_course(write_course(tmp_path, sample=LESSON)).searches == ()


@pytest.mark.parametrize(
    ("old", "new", "line", "told"),
    [
        ("seed = 7", "seed = -7", 2, "seed"),
        ("seed = 7\n", "", 1, "seed"),
        ("level = 1", "level = 7", 3, "level"),
        ('"cells"', '"ghosts"', 4, "ghosts"),
        ('"cells"', '"insulation"', 1, "hides no fault"),
        ("level = 3", "level = 3\nluck = 1", 9, "luck"),
        ("seed = 8\nlevel = 3", 'seed = 7\nlevel = 1\nfamily = "cells"', 7, "there before"),
        (SET, "", 1, "0 searches"),
        ("seed = 7", "seed = ", 2, ""),
        ("[[searches]]\nseed = 8", "[[search]]\nseed = 8", 6, "search"),
    ],
)
def test_what_is_wrong_is_refused_with_its_line_and_the_lessons_stay(
    old: str, new: str, line: int, told: str, tmp_path: Path
) -> None:
    assert old in SET
    folder = course_with(tmp_path, SET.replace(old, new, 1))
    problem, *_more = check_course(folder)
    assert (problem.file, problem.line) == (SEARCHES_FILE, line)
    assert told in f"{problem.wrong} {problem.expected}"
    assert len(read_course(folder).lessons) == 1
    assert check_course_file(folder / SEARCHES_FILE)


def test_our_own_set_has_three_families_in_blocks_and_no_fault_again() -> None:
    """Blocks before mixed practice: A. A. Darabi et al., 2007 (second-hand)."""
    searches = own_course().searches
    families = [one.family for one in searches]
    assert families == sorted(families, key=list(dict.fromkeys(families)).index)
    assert Counter(families) == {"cells": 3, "diodes": 3, "wiring": 3}
    levels = [one.level for one in searches]
    assert all(levels[k] <= levels[k + 1] for k in range(8) if k % 3 != 2)
    hidden = [search_case(one.seed, one.level, one.family).fault for one in searches]
    assert len({(fault.kind, fault.place) for fault in hidden}) == 9
