"""Tracks, terms, notes and languages in the lesson region, on a small course that has all of them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

pytest.importorskip("panel", reason="the page needs the extra pvsim[page]")

from pvsim.app.lesson.view import LessonView
from pvsim.app.session.state import State
from pvsim.course.folder.course_reader import read_course
from pvsim.course.lesson.lesson import Course
from pvsim.course.number.solved_scenario import solved
from pvsim.files.demo import read_demo
from tests.app.lesson.test_lesson import part
from tests.app.wishes import press
from tests.course.samples import COURSE, GERMAN, LESSON, MARKED, change, write_course, write_whole_course


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return write_whole_course(tmp_path)


def view_of(course: Course) -> LessonView:
    return LessonView(State(read_demo("workshop")), course)


def explained(view: LessonView) -> str:
    """The explanation of the first step, played to its end."""
    press(view, "open", "sample")
    press(view, "turn", 1)
    press(view, "restart")
    press(view, "predict", "100")
    press(view, "do")
    text: str = part(press(view, "observe", 0), "explain")["html"]
    return text


def lost_W(lesson_folder: Path) -> str:
    """What the first step's act costs, as the lesson writes it."""
    step = read_course(lesson_folder).lessons[0].steps[0]
    lost = solved(step.start).solution.modules.power_W[0] - solved(step.finish).solution.modules.power_W[0]
    return f"{lost:.1f}\u202fW"


def test_without_a_choice_every_aside_is_there_closed(folder: Path) -> None:
    view = view_of(read_course(folder))
    assert view.root.page["tracks"]["chosen"] == ""
    html = explained(view)
    assert html.count("<details") == 2
    assert " open>" not in html
    assert "With paper and pencil" in html
    assert "On the roof" in html


def test_the_chosen_tracks_aside_stands_open_and_the_other_is_not_there(folder: Path) -> None:
    view = view_of(read_course(folder))
    page = press(view, "track", "installer")
    assert page["tracks"]["chosen"] == "installer"
    html = explained(view)
    assert html.count("<details") == 1
    assert 'data-track="installer" open>' in html
    assert "<figure>" in html, "a figure within an aside"
    press(view, "contents")
    assert press(view, "track", "")["tracks"]["chosen"] == ""
    assert explained(view).count("<details") == 2


def test_the_choice_is_kept_in_the_workbook_and_forgotten_with_it(folder: Path) -> None:
    course = read_course(folder)
    view = view_of(course)
    press(view, "track", "installer")
    kept = view.root.workbook
    assert json.loads(kept)["track"] == "installer"
    other = view_of(course)
    assert press(other, "recall", kept)["tracks"]["chosen"] == "installer"
    assert press(other, "forget")["tracks"]["chosen"] == ""
    assert "track" not in json.loads(other.root.workbook)


@pytest.mark.parametrize("value", ["gardener", None, 3, ["student"], {}, "x" * 999])
def test_a_track_that_is_none_changes_nothing(value: Any, folder: Path) -> None:
    view = view_of(read_course(folder))
    press(view, "track", "student")
    assert press(view, "track", value)["tracks"]["chosen"] == "student"


def test_a_track_of_another_course_is_kept_and_does_nothing_here(folder: Path) -> None:
    view = view_of(read_course(folder))
    kept = {"format": 1, "at": "", "track": "gardener", "lessons": {}}
    assert press(view, "recall", json.dumps(kept))["tracks"]["chosen"] == ""
    assert json.loads(view.root.workbook)["track"] == "gardener"
    assert explained(view).count("<details") == 2


def test_a_track_puts_the_lessons_in_its_own_order(tmp_path: Path) -> None:
    write_course(tmp_path, one=MARKED, two=MARKED, three=MARKED)
    tracks = COURSE[COURSE.index("[[tracks]]") :] + 'lessons = ["three", "one"]\n'
    text = (tmp_path / "course.toml").read_text(encoding="utf-8") + tracks
    (tmp_path / "course.toml").write_text(text, encoding="utf-8")
    view = view_of(read_course(tmp_path))
    assert view.root.page["trouble"], "there is no glossary"
    (tmp_path / "glossary.toml").write_text(
        '[bypass-diode]\nterm = "a"\nmeaning = "b"\nsource = "c"\n'
        '[substring]\nterm = "a"\nmeaning = "b"\nsource = "c"\n',
        encoding="utf-8",
    )
    view = view_of(read_course(tmp_path))
    student, installer = (press(view, "track", track)["lessons"] for track in ("student", "installer"))
    assert [one["slug"] for one in student] == ["one", "two", "three"]
    assert [one["slug"] for one in installer] == ["three", "one", "two"]
    assert press(view, "open", "three")["count"] == "Lesson 1 of 3"
    page = press(view, "turn", 3)
    assert page["following"]["slug"] == "one"
    assert press(view, "turn", 4)["key"] == "one/0"


def test_the_contents_name_what_is_still_to_come(folder: Path) -> None:
    page = view_of(read_course(folder)).root.page
    assert [one["slug"] for one in page["lessons"]] == ["sample", ""]
    assert page["lessons"][1]["title"] == "Written later"


def test_a_term_is_a_button_and_its_meaning_is_at_hand(folder: Path) -> None:
    view = view_of(read_course(folder))
    press(view, "open", "sample")
    press(view, "turn", 1)
    press(view, "predict", "100")
    html = part(press(view, "do"), "observe")["html"]
    assert '<button class="term" type="button" data-term="bypass-diode">bypass diodes</button>' in html
    assert view.root.terms["bypass-diode"]["term"] == "bypass diode"
    assert "lets current pass" in view.root.terms["bypass-diode"]["meaning"]


def test_the_glossary_is_a_page_of_its_own_reached_from_the_contents(folder: Path) -> None:
    view = view_of(read_course(folder))
    assert "2 terms" in view.root.page["glossary"]
    page = press(view, "glossary")
    assert page["kind"] == "glossary"
    assert [one["id"] for one in page["terms"]] == ["bypass-diode", "substring"]
    assert page["terms"][0]["see"] == [{"id": "substring", "html": "substring"}]
    assert press(view, "contents")["kind"] == "contents"


def test_a_course_without_tracks_and_glossary_asks_for_neither(tmp_path: Path) -> None:
    page = view_of(read_course(write_course(tmp_path, one=LESSON))).root.page
    assert page["tracks"] is None
    assert page["glossary"] == ""


def test_the_notes_for_the_lecturer_are_on_no_page(folder: Path) -> None:
    view = view_of(read_course(folder))
    explained(view)
    pages = [press(view, "turn", number) for number in range(4)]
    assert "Wait." not in json.dumps([*pages, view.root.terms])


def test_a_lesson_speaks_its_language_with_its_numbers(folder: Path) -> None:
    view = view_of(read_course(folder, "de"))
    assert view.root.page["lessons"][0]["untranslated"] == ""
    html = explained(view)
    assert lost_W(folder).replace(".", ",") in html
    assert "Mit Papier und Bleistift" in html
    assert view.root.terms["substring"]["term"] == "Teilstrang"


def test_a_lesson_without_a_translation_says_so_and_keeps_its_own_numbers(folder: Path) -> None:
    (folder / "de" / "sample.md").unlink()
    view = view_of(read_course(folder, "de"))
    entry = view.root.page["lessons"][0]
    assert (entry["language"], bool(entry["untranslated"])) == ("en", True)
    assert lost_W(folder) in explained(view)
    assert view.root.page["language"] == "en"


def test_a_translation_that_is_not_in_order_is_told_and_the_lesson_is_there(folder: Path) -> None:
    (folder / "de" / "sample.md").write_text(change(GERMAN, "format = 1", "format = 9"), encoding="utf-8")
    page = view_of(read_course(folder, "de")).root.page
    assert page["lessons"][0]["title"] == "One shaded cell"
    (file,) = page["trouble"]
    assert (file["file"], file["problems"][0]["where"]) == ("de/sample.md", "line 2")
