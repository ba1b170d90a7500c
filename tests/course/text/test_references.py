"""Asides, terms and notes: what a lesson refers to is there, and told by line when it is not."""

from __future__ import annotations

from pathlib import Path

import pytest

from pvsim.course.folder.course_check import check_course
from pvsim.course.folder.course_reader import read_course
from pvsim.course.problem import Problem
from pvsim.course.text.blocks import blocks, figures
from pvsim.course.text.terms import id_of, marked_terms
from tests.course.samples import GLOSSARY, MARKED, change, line_of, problems, write_whole_course

INSIDE = "One [[substring]] of {{ now[1/1].diodes | word }} is passed by."


def found_in(folder: Path, text: str) -> list[Problem]:
    """What is wrong with a course whose lesson reads so; its translation is left out."""
    write_whole_course(folder, lesson=text)
    (folder / "de" / "sample.md").unlink()
    return check_course(folder)


def test_a_lesson_with_asides_terms_and_notes_is_in_order(tmp_path: Path) -> None:
    assert found_in(tmp_path, MARKED) == []


def test_the_notes_of_a_step_are_no_part_of_its_text(tmp_path: Path) -> None:
    step = read_course(write_whole_course(tmp_path)).lessons[0].steps[0]
    assert step.notes.text == "Wait."
    assert "Wait." not in step.notice.text


@pytest.mark.parametrize(
    ("old", "new", "at", "said", "mend"),
    [
        ("```aside student", "```aside studnet", "```aside studnet", "no track 'studnet'", "'student'"),
        ("```aside student", "```aside", "```aside\n", "no track ''", "student"),
        (INSIDE, "", "```aside student", "is empty", "Write"),
        ("````aside installer", "````aside student", "+++", "no aside for the track", "installer"),
        ("[[substring]]", "[[bypass diode]]", "[[bypass diode]]", "marked twice", "first mark is on line"),
        ("[[substring]]", "[[substing]]", "[[substing]]", "no term 'substing'", "'substring'"),
        ("[[substring]]", "[[Bypass diode|di]]", "[[Bypass", "no term 'di'", "[[Bypass diode|bypass-diode]]"),
        ("[[substring]]", "[[substring", "One [[substring", "not closed", "]]"),
        ("Wait.", "Wait for a [[substring]].", "Wait for", "marked in the notes", "words alone"),
        ("Wait.", "```aside student\nWait.\n```", "```aside student", "stands in the notes", "plain text"),
        ('feedback = "Yes."', 'feedback = "[[substring]]"', 'feedback = "[[', "marked here", "words alone"),
        ("Measure it.\n", "{{ now[1/9].power_W }}\n", "{{ now[1/9]", "module 9", ""),
        ('now[1/1].p_mp_W | W 0 }}."', 'now[1/8].p_mp_W | W 0 }}."', 'current = "1/1"', "module 8", ""),
        ('current = "1/1"', 'curent = "1/1"', 'curent = "1/1"', "'curent'", "'current'"),
        ("Measure it.", "Measure 3 V.", "Measure 3", "typed", "Compute"),
        ("````\n\n## elsewhere", "\n## elsewhere", "````aside installer", "not closed", "Close it"),
    ],
)  # fmt: skip
def test_a_mark_that_leads_nowhere_is_named_with_its_line(
    old: str, new: str, at: str, said: str, mend: str, tmp_path: Path
) -> None:
    text = change(MARKED, old, new)
    found = found_in(tmp_path, text)
    assert any(
        said in one.wrong and mend in one.mend and (one.file, one.line) == ("sample.md", line_of(text, at))
        for one in found
    ), "\n".join(map(str, found))


def test_a_lesson_that_stands_alone_may_have_any_track_and_term() -> None:
    assert problems(MARKED) == ()
    assert problems(change(MARKED, "[[substring]]", "[[substring"))


def test_a_course_without_a_glossary_or_tracks_says_where_to_put_them(tmp_path: Path) -> None:
    write_whole_course(tmp_path)
    (tmp_path / "glossary.toml").unlink()
    (tmp_path / "de" / "glossary.toml").unlink()
    (tmp_path / "course.toml").write_text('title = "x"\nlessons = ["sample"]\n', encoding="utf-8")
    (tmp_path / "de" / "course.toml").unlink()
    mends = {one.mend for one in check_course(tmp_path)}
    assert "Add [[tracks]] to course.toml" in mends
    assert "Write glossary.toml, or the words alone" in mends


@pytest.mark.parametrize(
    ("old", "new", "at", "said"),
    [
        ("[substring]", "[sub string]", 1, "not TOML"),
        ('term = "substring"\n', "", "[substring]", "lacks 'term'"),
        ('see = ["substring"]', 'see = ["substing"]', "see", "'substing'"),
        ('see = ["substring"]', 'se = ["substring"]', "se = ", "'se'"),
        ('meaning = "The cells', 'meaning = "{{ now[array].cells }}', 'meaning = "{{', "computed"),
        ('meaning = "The cells', f'meaning = "{"long " * 200}', 'meaning = "long', "characters"),
        ("[substring]", "[Substring]", "[Substring]", "no id"),
    ],
)  # fmt: skip
def test_a_glossary_that_is_not_in_order_is_told_by_line(
    old: str, new: str, at: str | int, said: str, tmp_path: Path
) -> None:
    text = change(GLOSSARY, old, new)
    write_whole_course(tmp_path)
    (tmp_path / "glossary.toml").write_text(text, encoding="utf-8")
    found = [one for one in check_course(tmp_path) if one.file == "glossary.toml"]
    assert any(said in one.wrong for one in found), found
    if isinstance(at, str):
        assert any(one.line == line_of(text, at) for one in found), found


def test_terms_are_found_over_line_ends_and_by_their_id() -> None:
    (one, other) = marked_terms("The [[bypass\ndiode]] and\n[[*V*~oc~|open-circuit-voltage]].")
    assert (one.id, one.line) == ("bypass-diode", 0)
    assert (other.id, other.line, other.label) == ("open-circuit-voltage", 2, "*V*~oc~")
    assert id_of("I-V characteristic") == "i-v-characteristic"
    assert list(marked_terms("{{ now[1/1].power_W }} and a [link](https://example.org)")) == []


def test_a_longer_fence_holds_shorter_ones() -> None:
    text = "a\n````aside x\n```figure\npower = 1\n```\n````\n```figure\ncurrent = 2\n```"
    outer, inner = blocks(text)
    assert (outer.kind, outer.name, outer.line, outer.end) == ("aside", "x", 1, 5)
    assert (inner.kind, inner.text) == ("figure", "current = 2")
    assert list(figures(text)) == [(3, "power = 1"), (7, "current = 2")]
    assert not next(blocks("```figure\nx")).closed
