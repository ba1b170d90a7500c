"""Translations: laid over the lesson they translate, and told by line when they do not fit it."""

from __future__ import annotations

from pathlib import Path

import pytest

from pvsim.course.folder.course_check import check_course, check_course_file
from pvsim.course.folder.course_reader import course_languages, read_course
from tests.course.samples import COURSE_DE, GERMAN, GLOSSARY_DE, MARKED, change, line_of, write_whole_course


def test_a_translation_brings_texts_and_leaves_the_lesson_as_it_was(tmp_path: Path) -> None:
    write_whole_course(tmp_path)
    assert check_course(tmp_path) == []
    assert course_languages(tmp_path) == ("en", "de")
    english, german = read_course(tmp_path), read_course(tmp_path, "de")
    assert german.title == "Versuch"
    assert german.reserved == {"later": "Kommt noch"}
    assert [track.aside for track in german.tracks] == ["Mit Papier und Bleistift", "Auf dem Dach"]
    assert german.glossary["substring"].term == "Teilstrang"
    assert german.glossary["substring"].source == english.glossary["substring"].source
    mine, theirs = german.lessons[0], english.lessons[0]
    assert (mine.language, theirs.language) == ("de", "en")
    assert mine.title == "Eine verschattete Zelle"
    for one, other in zip(mine.steps, theirs.steps, strict=True):
        assert (one.id, one.start, one.finish, one.done_when) == (
            other.id, other.start, other.finish, other.done_when
        )  # fmt: skip
        assert one.title != other.title
        assert one.explain.text != other.explain.text
    assert mine.steps[0].notes.text == "Warten."


@pytest.mark.parametrize(
    ("old", "new", "at", "said"),
    [
        ('translates = "sample"', 'translates = "simple"', "translates", "'simple'"),
        ("format = 1", "format = 2", "format", "2"),
        ('title = "Eine verschattete Zelle"\n', "", "+++", "lacks 'title'"),
        ('title = "Eine verschattete', 'minutes = 9\ntitle = "Eine verschattete', "minutes", "'minutes'"),
        ('id = "elsewhere"', 'id = "anderswo"', "[[step]]", "shade-one, anderswo"),
        ('title = "Anderswo"', 'title = "Anderswo"\ntransfer = true', "transfer", "'transfer'"),
        ('"20 %" = "für', '"30 %" = "für', '"30 %"', "'30 %' stands where"),
        ('"20 %" = "für diese Lektion gewählt"', "", "[given]", "0 entries, the original 1"),
        ('limits = ["Alle', 'limits = ["Eins.", "Alle', "limits", "2 entries, the original 1"),
        ('idea = "Dioden leiten nie"\n', "", "[[step.observe.choice]]\ntext = \"Keine", "lacks 'idea'"),
        ('feedback = "Ja."', 'feedback = "Ja."\nright = true', "right", "'right'"),
        ('[[step.predict.choice]]\ntext = "Die Hälfte der Leistung geht."\nfeedback = "Ja."\n', "",
         "[[step.predict.choice]]", "1 tables 'choice', in the original 2"),
        ("now[1/1].power_W | W 0", "now[1/1].power_W | W 1", 'feedback = "Das', "lacks the number"),
        ("now[1/1].power_W | W 0", "now[1/1].voc_V | V 0", 'feedback = "Das', "which the original does not"),
        ("power_W | W 1 size", "power_W | kW 1 size", "Verloren", "the number {{ delta"),
        ("Teilstrang|substring", "Teilstrang|sub-string", "Verloren sind", "the term 'sub-string'"),
        ("```aside student", "```aside installer", "Verloren sind", "the aside for 'student'"),
        ('current = "1/1"', 'power = "1/1"', "Verloren sind", "the figure 'current"),
        ("### act\n\nEine", "### akt\n\nEine", "### akt", "'### akt'"),
        ("## elsewhere", "## anderswo", "## anderswo", "no '## anderswo'"),
        ("### notes\n\nWarten.\n", "", "Was tun", "'### notes' of 'shade-one' is not translated"),
        ("Was geht verloren?", "Gehen zwei Volt verloren?", "Eine Zelle bek", "'zwei Volt'"),
        ("Was geht verloren?", "Gehen 3,5 Watt verloren?", "Eine Zelle bek", "'3,5 Watt'"),
    ],
)  # fmt: skip
def test_a_translation_that_does_not_fit_is_told_by_line(
    old: str, new: str, at: str, said: str, tmp_path: Path
) -> None:
    text = change(GERMAN, old, new)
    write_whole_course(tmp_path, german=text)
    found = check_course(tmp_path)
    assert any(
        said in one.wrong and (one.file, one.line) == ("de/sample.md", line_of(text, at)) for one in found
    ), "\n".join(map(str, found))
    assert all(one.file == "de/sample.md" and one.expected and one.mend for one in found)
    course = read_course(tmp_path, "de")
    assert course.lessons[0].language == "en", "the lesson is still there, as it was written"
    assert check_course_file(tmp_path / "de" / "sample.md") == found


OWN_SCENARIO = """scenario.format = 1
scenario.title = "One module"
scenario.note = "Invented."
scenario.array.strings = [
    { modules = [{ type = "full-60", count = 8 }] },
    { modules = [{ type = "full-60", count = 8 }] },
]
"""


def test_title_and_note_of_a_scenario_within_the_lesson_are_translated(tmp_path: Path) -> None:
    lesson = change(MARKED, 'scenario = "workshop"\n', OWN_SCENARIO)
    told = 'title = "Anderswo"\nscenario = { title = "Ein Modul", note = "Erfunden." }'
    write_whole_course(tmp_path, lesson=lesson, german=change(GERMAN, 'title = "Anderswo"', told))
    assert check_course(tmp_path) == []
    mine, theirs = (read_course(tmp_path, language).lessons[0].steps[1].start for language in ("de", "en"))
    assert (mine.title, mine.note) == ("Ein Modul", "Erfunden.")
    assert (theirs.title, theirs.note) == ("One module", "Invented.")
    assert mine.array == theirs.array


def test_a_translation_cannot_change_the_array_of_a_scenario(tmp_path: Path) -> None:
    lesson = change(MARKED, 'scenario = "workshop"\n', OWN_SCENARIO)
    told = 'title = "Anderswo"\nscenario = { title = "Ein Modul", note = "Erfunden.", array = {} }'
    write_whole_course(tmp_path, lesson=lesson, german=change(GERMAN, 'title = "Anderswo"', told))
    assert ["'array'" in one.wrong for one in check_course(tmp_path)] == [True]


def test_a_number_may_be_written_the_other_languages_way(tmp_path: Path) -> None:
    german = change(GERMAN, "power_W | W 1 size", "power_W | W 1 signed")
    german = german.replace('"20 %"', '"20,0 %"').replace("bekommt 20 %", "bekommt 20,0 %")
    assert check_course(write_whole_course(tmp_path, german=german)) == []


def test_what_is_wrong_with_the_lesson_itself_is_told_once(tmp_path: Path) -> None:
    write_whole_course(tmp_path, lesson=change(MARKED, "minutes = 8", "minutes = 0"))
    (problem,) = check_course(tmp_path)
    assert (problem.file, problem.line) == ("sample.md", 5)
    assert read_course(tmp_path, "de").lessons == ()


def test_a_lesson_without_a_translation_is_there_as_it_was_written(tmp_path: Path) -> None:
    write_whole_course(tmp_path)
    (tmp_path / "de" / "sample.md").unlink()
    assert check_course(tmp_path) == []
    course = read_course(tmp_path, "de")
    assert (course.language, course.lessons[0].language) == ("de", "en")
    assert read_course(tmp_path, "qps").lessons[0].language == "en"


@pytest.mark.parametrize("language", ["../..", "", "/etc", "de/..", "DE", "de\0"])
def test_no_language_leads_out_of_the_folder(language: str, tmp_path: Path) -> None:
    course = read_course(write_whole_course(tmp_path), language)
    assert course.title == "Trial"
    assert course.lessons[0].language == "en"


def test_a_course_may_be_written_in_another_language(tmp_path: Path) -> None:
    write_whole_course(tmp_path)
    path = tmp_path / "course.toml"
    path.write_text(f'language = "fr"\n{path.read_text(encoding="utf-8")}', encoding="utf-8")
    assert read_course(tmp_path, "en").lessons[0].language == "fr"
    assert course_languages(tmp_path) == ("fr", "de")


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("de/course.toml", change(COURSE_DE, 'id = "student"', 'id = "lehrling"'), "lehrling"),
        ("de/course.toml", change(COURSE_DE, "later =", "never ="), "'never' is not reserved"),
        ("de/course.toml", 'lessons = ["sample"]\n' + COURSE_DE, "'lessons'"),
        ("de/course.toml", "title = ", "not TOML"),
        ("de/glossary.toml", change(GLOSSARY_DE, "[substring]", "[teilstrang]"), "no term 'teilstrang'"),
        ("de/glossary.toml", change(GLOSSARY_DE, "[sub", "[teil-sub"), "'substring' is not translated"),
        ("de/other.md", GERMAN, "no lesson 'other' to translate"),
        ("later.md", MARKED, "'later' is reserved, and has a file"),
        ("de/sample.md", "", "does not begin with front matter"),
    ],
)  # fmt: skip
def test_the_other_files_of_a_translation_are_looked_at_too(
    name: str, text: str, said: str, tmp_path: Path
) -> None:
    write_whole_course(tmp_path)
    (tmp_path / name).write_text(text, encoding="utf-8")
    found = check_course(tmp_path)
    assert any(said in one.wrong for one in found), found
    assert all(one.file in (name, "course.toml") for one in found)


def test_reserved_places_and_orders_of_tracks_name_lessons(tmp_path: Path) -> None:
    write_whole_course(tmp_path)
    path = tmp_path / "course.toml"
    text = path.read_text(encoding="utf-8")
    text = change(text, 'later = "W', 'never = "N"\nlater = "W') + 'lessons = ["later", "sampel"]\n'
    path.write_text(text, encoding="utf-8")
    said = [str(one) for one in check_course(tmp_path)]
    assert any("'never' is reserved, but has no place" in one for one in said), said
    assert any("no lesson 'sampel'" in one and "'sample'" in one for one in said), said
