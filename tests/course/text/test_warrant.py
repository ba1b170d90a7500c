"""What stands behind a comparison is read, played, shown to nobody, and the same in every language."""

from __future__ import annotations

from pathlib import Path

import pytest

from pvsim.course.folder.course_check import check_course, check_lesson
from pvsim.course.text.warrant import is_warrant, parse_warrant
from pvsim.errors import LessonError
from tests.course.samples import GERMAN, MARKED, change, find, line_of, problems, spoilt, write_whole_course

TOLD = "It lost {{ delta[1/1].power_W | W 1 size }}."


def said(sentence: str) -> str:
    """The small lesson with one more sentence in its first explanation."""
    return spoilt(TOLD, f"{TOLD}\n{sentence}")


def test_a_warrant_is_no_number_and_a_number_no_warrant() -> None:
    assert is_warrant(" holds now[1].power_W > 1 ")
    assert is_warrant("checked by a test")
    assert not is_warrant("now[1].power_W | W 1")


def test_a_comparison_that_the_solver_bears_out_is_in_order() -> None:
    text = said("Less is left{{ holds now[1/1].power_W < before[1/1].power_W }}.")
    assert check_lesson(text, "sample.md", find) == []


def test_a_comparison_that_the_solver_does_not_bear_out_is_a_mistake_on_its_line() -> None:
    text = said("More is left{{ holds now[1/1].power_W > before[1/1].power_W }}.")
    (problem,) = check_lesson(text, "sample.md", find)
    assert "does not hold" in problem.wrong
    assert problem.line == line_of(text, "More is left")


@pytest.mark.parametrize("old", ['feedback = "Yes."', "A module of {{ now[1/1].cells }} cells."])
def test_feedback_and_opening_are_held_to_their_warrants_too(old: str) -> None:
    false = "{{ holds now[1/1].cells > 60 }}"
    new = old[:-1] + false + old[-1]
    assert any("does not hold" in one.wrong for one in check_lesson(spoilt(old, new), "sample.md", find))


@pytest.mark.parametrize(
    ("inside", "said_of_it"),
    [
        ("holds now[1/1].power_W", "<"),
        ("holds now[9/9].power_W > 1", "does not exist"),
        ("holds now[1/1].power_W > before[1/1].voc_V", "compared with"),
        ("checked here", "does not say where"),
        ("checked", "does not say where"),
    ],
)
def test_a_warrant_that_says_nothing_is_refused(inside: str, said_of_it: str) -> None:
    found = problems(said(f"Less is left{{{{ {inside} }}}}."))
    assert len(found) == 1
    assert any(said_of_it in text for text in (found[0].wrong, found[0].expected)), found


def test_a_place_is_kept_as_it_was_written() -> None:
    assert parse_warrant(" checked  IEC 62446-1,\nsection 6 ").where == "IEC 62446-1, section 6"
    with pytest.raises(LessonError):
        parse_warrant("holds")


@pytest.mark.parametrize("old", ['limits = ["All', 'objectives = ["Say', 'question = "What', 'title = "One'])
def test_where_words_are_shown_as_they_are_written_no_number_and_no_warrant_is_taken(old: str) -> None:
    word = old.rpartition('"')[2]
    text = spoilt(old, old.replace(word, f"{{{{ checked by a test }}}}{word}"))
    (problem,) = problems(text)
    assert "computes nothing" in problem.wrong
    assert problem.line == line_of(text, "checked by a test")


def test_a_warrant_shows_nothing() -> None:
    pytest.importorskip("markdown_it", reason="lesson text is shown by the extra pvsim[page]")
    from pvsim.course.lesson.render import render
    from pvsim.course.number.evaluation import Readings
    from pvsim.course.number.solved_scenario import solved

    here = solved(find("single-module"))
    text = "| a |\n|---|\n| less{{ holds now[1].power_W > 1 | x }} |\n\nTwice{{ checked by a test }}."
    html = render(text, Readings(here, here))
    assert "<td>less</td>" in html
    assert "<p>Twice.</p>" in html


def test_a_translation_has_the_conditions_of_its_original(tmp_path: Path) -> None:
    held = "{{ holds now[1/1].power_W < before[1/1].power_W }}"
    lesson, german = (
        change(text, old, f"{new}{held}.")
        for text, old, new in ((MARKED, "Measure it.", "Less"), (GERMAN, "Nachmessen.", "Weniger"))
    )
    folder = write_whole_course(tmp_path, lesson=lesson, german=german)
    assert check_course(folder) == []
    path = folder / "de" / "sample.md"
    without = change(german, held, "{{ checked an anderer Stelle }}")
    path.write_text(without, encoding="utf-8")
    (problem,) = check_course(folder)
    assert (problem.file, "lacks the warrant" in problem.wrong) == ("de/sample.md", True)
