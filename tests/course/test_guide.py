"""The guide for teachers tells the truth: its lesson plays, and it names all there is."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from pvsim.array.fault_kind import FAULT_KINDS
from pvsim.array.place import SHOWN_LEVELS
from pvsim.array.scenario import SHOWN_QUANTITIES
from pvsim.course.folder.course_check import check_course
from pvsim.course.folder.course_file import read_plan
from pvsim.course.folder.course_reader import read_course
from pvsim.course.lesson.cautions import CAUTIONS
from pvsim.course.lesson.changes import CHANGES
from pvsim.course.lesson.glossary import read_glossary
from pvsim.course.number.checks import CHECKS
from pvsim.course.number.quantities import QUANTITIES, SYMBOLIC
from pvsim.course.table import Report, Table
from pvsim.course.text.figure import KINDS
from tests.course.samples import write_course

GUIDE = Path(__file__).parents[2] / "lessons" / "guide" / "lessons.md"


@pytest.fixture(scope="module")
def guide() -> str:
    return GUIDE.read_text(encoding="utf-8")


def blocks(guide: str, kind: str) -> list[str]:
    """The examples of a kind, in their order."""
    found: list[str] = re.findall(rf"^```{kind}\n(.*?)^```$", guide, re.DOTALL | re.MULTILINE)
    return found


def test_the_lesson_in_the_guide_and_its_translation_are_in_order_and_play(
    guide: str, tmp_path: Path
) -> None:
    lesson, translation = blocks(guide, "text")
    write_course(tmp_path, cable=lesson)
    (tmp_path / "de").mkdir()
    (tmp_path / "de" / "cable.md").write_text(translation, encoding="utf-8")
    assert check_course(tmp_path) == []
    assert read_course(tmp_path, "de").lessons[0].language == "de"


def test_the_course_file_and_the_glossary_of_the_guide_are_read(guide: str) -> None:
    course, glossary = (tomllib.loads(text) for text in blocks(guide, "toml"))
    report = Report(file="guide")
    plan = read_plan(Table(course, (), report))
    assert [track.id for track in plan.tracks] == ["student", "installer"]
    glossary["bypass-diode"] = glossary["hot-spot"] | {"see": []}
    assert set(read_glossary(Table(glossary, (), report))) == {"hot-spot", "bypass-diode"}
    assert report.problems == []


@pytest.mark.parametrize(
    "name",
    [
        *(*QUANTITIES, *SYMBOLIC, *CHANGES, *CHECKS, *CAUTIONS, *KINDS),
        *(*FAULT_KINDS, *SHOWN_LEVELS, *SHOWN_QUANTITIES),
    ],
    ids=lambda name: name,
)
def test_the_guide_names_everything_a_lesson_can_use(name: str, guide: str) -> None:
    assert re.search(rf"`{name}[`\s]", guide)


def test_the_guide_names_every_argument_of_a_check(guide: str) -> None:
    for _, arguments in CHECKS.values():
        for name in arguments:
            assert f"`{name}`" in guide
