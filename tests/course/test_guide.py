"""The guide for teachers tells the truth: its lesson plays, and it names all there is."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from pvsim.course.cautions import CAUTIONS
from pvsim.course.changes import CHANGES
from pvsim.course.checks import CHECKS
from pvsim.course.examine import check_course
from pvsim.course.figure import KINDS
from pvsim.course.quantities import QUANTITIES, SYMBOLIC
from tests.course.samples import write_course

GUIDE = Path(__file__).parents[2] / "docs" / "lessons.md"


@pytest.fixture(scope="module")
def guide() -> str:
    return GUIDE.read_text(encoding="utf-8")


def test_the_lesson_in_the_guide_is_in_order_and_plays(guide: str, tmp_path: Path) -> None:
    example = re.search(r"```text\n(.*?)^```$", guide, re.DOTALL | re.MULTILINE)
    assert example is not None
    assert check_course(write_course(tmp_path, cable=example[1])) == []


@pytest.mark.parametrize(
    "name", [*QUANTITIES, *SYMBOLIC, *CHANGES, *CHECKS, *CAUTIONS, *KINDS], ids=lambda name: name
)
def test_the_guide_names_everything_a_lesson_can_use(name: str, guide: str) -> None:
    assert re.search(rf"`{name}[`\s]", guide)


def test_the_guide_names_every_argument_of_a_check(guide: str) -> None:
    for _, arguments in CHECKS.values():
        for name in arguments:
            assert f"`{name}`" in guide
