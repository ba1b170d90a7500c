"""`pvsim exercise` and `pvsim mark`: what they print, write and refuse, from the sheet to the marks."""

from __future__ import annotations

import csv
import io
import json
import sys
import zipfile

import pytest

from pvsim.course.folder.course_reader import OWN_LESSONS
from pvsim.exercise import own_exercises
from tests.test_cli import refused

LEAVES = "diode/fresh/two-leaves"
COUNT = len(own_exercises("diode"))


def answered(text, answers):
    """A sheet with its answers filled in, in their order."""
    for one in answers:
        text = text.replace('answer = ""', f'answer = "{one}"', 1)
    return text


def key_of(run, who, *more):
    """The right answers of somebody's case, as the lecturer gets them."""
    questions = json.loads(run("exercise", "diode", "--who", who, "--solution", "--json", *more)[1])
    return [
        f"{one['key']['value']:.3f} {one['unit']}"
        if isinstance(one["key"], dict)
        else "abc"[[choice["share"] for choice in one["key"]].index(1.0)]
        for one in questions
    ]


def rows_of(text):
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


@pytest.fixture
def sheets(run, tmp_path):
    """The folder of a class of three, each sheet as it was handed in: all right, one wrong, empty."""
    names = tmp_path / "names.txt"
    names.write_text("# a class\nAda\nBob\nCem Ö.\n", encoding="utf-8")
    folder = tmp_path / "sheets"
    code, out, err = run("exercise", "diode", "--class", names, "-o", folder)
    assert (code, err) == (0, "")
    assert "3 sheets written" in out
    for name, wrong in (("Ada", 0), ("Bob", 1)):
        path = folder / f"{name}.toml"
        right = key_of(run, name)
        path.write_text(
            answered(path.read_text(encoding="utf-8"), ["9999 W"] * wrong + right[wrong:]), encoding="utf-8"
        )
    assert (folder / "Cem-Ö.toml").exists()
    return folder


def test_the_exercises_are_listed(run):
    code, out, err = run("exercise")
    assert (code, err) == (0, "")
    assert LEAVES in out


def test_a_class_is_marked_into_a_table_and_a_report(run, sheets, tmp_path):
    table = tmp_path / "marks.csv"
    code, out, err = run("mark", sheets, "-o", table)
    assert (code, err) == (0, "")
    rows = rows_of(table.read_text(encoding="utf-8"))
    assert len(rows) == 3 * COUNT
    points = {
        who: sum(float(one["points"]) for one in rows if one["who"] == who)
        for who in ("Ada", "Bob", "Cem Ö.")
    }
    most = sum(float(one["of"]) for one in rows if one["who"] == "Ada")
    first = float(rows[0]["of"])
    assert points == {"Ada": most, "Bob": most - first, "Cem Ö.": 0.0}
    assert first == 2.0  # of one-in-the-shade, which Bob has wrong
    assert [one["attempts"] for one in rows if one["who"] == "Cem Ö."] == ["0"] * COUNT
    assert f"3 sheets marked, {3 * COUNT} answers" in out
    assert str(table) in out
    assert rows_of(run("mark", sheets, "-o", "-")[1]) == rows


def test_json_has_rows_and_questions(run, sheets):
    values = json.loads(run("mark", sheets, "--json")[1])
    assert len(values["rows"]) == 3 * COUNT
    assert {one["item"] for one in values["questions"]} == {one["mark"]["item"] for one in values["rows"]}
    assert values["changed"] == []


def test_a_corrected_key_says_whose_marks_it_changes(run, sheets, tmp_path):
    before = OWN_LESSONS / "exercises" / "diode.toml"
    text = before.read_text(encoding="utf-8")
    corrected = tmp_path / "corrected.toml"
    corrected.write_text(
        text.replace('answer = "-delta[1/1].power_W"', 'answer = "0.25 * before[1/1].power_W"')
    )
    code, out, _ = run("mark", sheets, "--key", corrected, "--before", before)
    assert code == 0
    assert "1 answer marked otherwise" in out
    assert "Ada, diode/fresh/one-in-the-shade: right -> wrong, 2 -> 0 points" in out
    assert "0 answers marked otherwise" in run("mark", sheets, "--key", before, "--before", before)[1]


def test_a_key_of_another_lesson_is_told_by_its_own_name(run, sheets, tmp_path):
    other = tmp_path / "corrected.toml"
    other.write_bytes((OWN_LESSONS / "exercises" / "hungry-cell.toml").read_bytes())
    err = run("mark", sheets / "Bob.toml", "--key", other)[2]
    assert err.startswith("pvsim: corrected.toml, line 3: the exercises are said to belong to 'hungry-cell'")
    assert "expected 'diode'" in err


@pytest.mark.parametrize(
    "command",
    [
        ["exercise", "diode", "-o", "/no-such-folder/x.toml"],
        ["exercise", "diode", "--as", "gift", "-o", "/no-such-folder/x"],
        ["exercise", "diode", "--class", "no-such-list", "-o", "x"],
        ["closing", "--class", "no-such-list", "-o", "x"],
        ["paper", "diode", "--place", "1/1", "-o", "x.pdf"],
        ["paper", "no-such-scenario", "-o", "x.pdf"],
        ["paper", "workshop", "--place", "9/9", "-o", "x.pdf"],
    ],
)
def test_the_language_of_sheets_is_not_mixed_into_what_the_command_says(run, command):
    assert refused(run, *command, "--language", "de") == refused(run, *command)


def test_what_is_wrong_with_a_german_sheet_or_its_key_is_told_in_english_throughout(run, tmp_path):
    sheet = tmp_path / "ada.toml"
    run("exercise", "diode", "--who", "Ada", "--language", "de", "-o", sheet)
    assert "; expected " in refused(
        run, "mark", sheet, "--key", OWN_LESSONS / "exercises" / "hungry-cell.toml"
    )
    sheet.write_text(sheet.read_text(encoding="utf-8").replace('two-leaves"', 'three"'), encoding="utf-8")
    assert "; expected " in refused(run, "mark", sheet)


def test_one_sheet_is_told_in_full(run, sheets):
    out = run("mark", sheets / "Bob.toml")[1]
    assert "diode/fresh/one-in-the-shade: wrong, 0 of 2" in out


def test_broken_and_forged_sheets_are_told_and_the_others_are_marked(run, sheets):
    (sheets / "broken.toml").write_text('who = "x', encoding="utf-8")
    forged = (sheets / "Ada.toml").read_text(encoding="utf-8").replace('who = "Ada"', 'who = "Eve"')
    (sheets / "eve.toml").write_text(forged, encoding="utf-8")
    code, out, err = run("mark", sheets)
    assert code == 2
    assert "3 sheets marked" in out
    assert err.count("\n") == 2
    assert all(line.startswith("pvsim: ") for line in err.splitlines())
    assert "broken.toml" in err
    assert "'Eve'" in err


def test_a_sheet_that_is_handed_in_twice_counts_once_and_is_told(run, sheets):
    (sheets / "Ada (1).toml").write_bytes((sheets / "Ada.toml").read_bytes())
    code, out, err = run("mark", sheets)
    assert code == 2
    assert "3 sheets marked" in out
    assert "a second sheet of 'Ada' for 'diode'" in err
    rows = rows_of(run("mark", sheets, "-o", "-")[1])
    assert len({(one["who"], one["question"]) for one in rows}) == len(rows)


def test_a_question_that_was_deleted_counts_as_one_without_an_answer(run, sheets):
    whole = {one["question"] for one in rows_of(run("mark", sheets, "-o", "-")[1])}
    path = sheets / "Ada.toml"
    head, *questions = path.read_text(encoding="utf-8").split("[[question]]")
    path.write_text("[[question]]".join([head, *questions[:-1]]), encoding="utf-8")
    rows = [one for one in rows_of(run("mark", sheets, "-o", "-")[1]) if one["who"] == "Ada"]
    assert {one["question"] for one in rows} == whole
    assert [one["verdict"] for one in rows].count("empty") == 1


def test_a_question_that_one_has_made_up_is_no_question_of_others(run, sheets):
    path = sheets / "Ada.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text + '\n[[question]]\nid = "diode/fresh/made-up"\nanswer = "1"\n', encoding="utf-8")
    code, out, err = run("mark", sheets)
    assert (code, err.count("made-up")) == (2, 1)
    assert f"2 sheets marked, {2 * COUNT} answers" in out


def test_what_lies_beside_sheets_is_named_and_an_ending_in_capitals_is_read(run, sheets):
    (sheets / "Ada.toml").rename(sheets / "Ada.TOML")
    (sheets / "Bob.toml").rename(sheets / "Bob.toml.txt")
    code, out, err = run("mark", sheets)
    assert code == 0
    assert "2 sheets marked" in out
    assert "Bob.toml.txt" in err


@pytest.mark.parametrize(
    ("names", "told"),
    [
        ("Ada\nBob\nAda\n", "lists 'Ada' twice"),
        ("Ada B.\nAda-B\n", "'Ada B.' and 'Ada-B', who would get one file"),
        ("Ada\n" + "B" * 99 + "\n", "of 99 characters"),
        ("\n", "lists 0 names"),
    ],
)
def test_a_list_of_names_that_cannot_be_is_told_by_the_name(run, tmp_path, names, told):
    path = tmp_path / "names.txt"
    path.write_text(names, encoding="utf-8")
    assert told in refused(run, "exercise", "diode", "--class", path, "-o", tmp_path / "out")


def test_a_secret_makes_other_sheets_that_need_it_to_be_marked(run, tmp_path):
    word = tmp_path / "word.txt"
    word.write_text("low tide\n", encoding="utf-8")
    path = tmp_path / "ada.toml"
    assert run("exercise", "diode", "--who", "Ada", "--secret", word, "-o", path)[0] == 0
    text = path.read_text(encoding="utf-8")
    assert "low tide" not in text
    assert text != run("exercise", "diode", "--who", "Ada")[1]
    assert "was not handed out" in refused(run, "mark", path)
    path.write_text(answered(text, key_of(run, "Ada", "--secret", word)), encoding="utf-8")
    assert {one["verdict"] for one in rows_of(run("mark", path, "--secret", word, "-o", "-")[1])} == {"right"}


def test_a_sheet_comes_from_the_standard_input_in_german_with_the_lessons_own_questions(run, monkeypatch):
    code, text, err = run("exercise", "diode", "--own", "--language", "de", "--seed", "5")
    assert (code, err) == (0, "")
    assert "Frage 1" in text
    assert 'id = "diode/with-diodes/predict"' in text
    given = text.replace(
        'id = "diode/with-diodes/predict"\nanswer = ""', 'id = "diode/with-diodes/predict"\nanswer = "34,5"'
    )
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(given.encode())))
    rows = rows_of(run("mark", "-", "-o", "-")[1])
    assert len(rows) == COUNT + 9  # the lesson's own: nine questions
    assert [one["question"] for one in rows if one["verdict"] == "right"] == ["diode/with-diodes/predict"]


def test_a_solution_says_what_is_right_and_why(run):
    out = run("exercise", "diode", "--seed", "2", "--solution")[1]
    assert "forgot the diode" in out
    assert "= 121.8\u00a0W" in out  # regression: the case of seed 2


def test_banks_are_written_in_each_form(run, tmp_path):
    gift = run("exercise", "one-cell", "--as", "gift", "--variants", "3")[1]
    assert gift.count("\n::one-cell/fresh/fill-factor/") == 3
    assert run("exercise", "one-cell", "--as", "moodle", "--own-alone")[1].startswith("<?xml")
    path = tmp_path / "bank.zip"
    assert run("exercise", "one-cell", "--as", "qti", "-o", path)[0] == 0
    with zipfile.ZipFile(path) as package:
        assert len(package.namelist()) == len(own_exercises("one-cell")) + 1  # and what lists them


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        pytest.param(["exercise", "diodes"], "Did you mean 'diode'?", id="lesson"),
        pytest.param(["exercise", "../x", "--own-alone"], "no lesson", id="path"),
        pytest.param(["exercise", "diode", "--language", "xx"], "no language", id="language"),
        pytest.param(["exercise", "diode", "--seed", "-1"], "--seed", id="seed"),
        pytest.param(["exercise", "diode", "--as", "gift", "--solution"], "both given", id="two-things"),
        pytest.param(["exercise", "diode", "--as", "gift", "--variants", "0"], "--variants", id="variants"),
        pytest.param(["exercise", "diode", "--class", "no-such"], "--output", id="class-without-folder"),
        pytest.param(["exercise", "diode", "--who", ""], "--who", id="nobody"),
        pytest.param(["exercise", "diode", "--secret", "no-such.txt"], "no-such.txt", id="secret"),
        pytest.param(["exercise", "diode", "--lessons", "no-such"], "no exercises", id="folder"),
        pytest.param(["mark", "no-such.toml"], "no-such.toml", id="no-sheet"),
        pytest.param(["mark", "tests"], "no sheet", id="empty-folder"),
    ],
)
def test_bad_input_ends_with_2_and_one_sentence(run, arguments, says, monkeypatch):
    monkeypatch.chdir(OWN_LESSONS.parent)
    assert says in refused(run, *arguments)


def test_two_names_of_one_file_and_a_folder_that_cannot_be_are_refused(run, tmp_path):
    names = tmp_path / "names.txt"
    names.write_text("A B\nA-B\n", encoding="utf-8")
    assert "one file" in refused(run, "exercise", "diode", "--class", names, "-o", tmp_path / "out")
    names.write_text("Ada\nAda\n", encoding="utf-8")
    assert "twice" in refused(run, "exercise", "diode", "--class", names, "-o", tmp_path / "out")
    names.write_text("Ada\n", encoding="utf-8")
    assert "cannot be made" in refused(
        run, "exercise", "diode", "--class", names, "-o", tmp_path / "no" / "way"
    )


def test_exercises_without_a_lesson_and_texts_without_exercises_are_told(run, tmp_path):
    (tmp_path / "course.toml").write_text('title = "A"\nlessons = []\n', encoding="utf-8")
    for language in ("", "de"):
        folder = tmp_path / language / "exercises"
        folder.mkdir(parents=True)
        (folder / f"leaf{language}.toml").write_text("format = 1\n", encoding="utf-8")
    (tmp_path / "de" / "course.toml").write_text("", encoding="utf-8")
    code, out, _ = run("check", tmp_path)
    assert code == 1
    assert "exercises/leaf.toml: there is no lesson of this name" in out
    assert "de/exercises/leafde.toml: there are no exercises to translate" in out


def test_check_looks_at_exercises_too(run, tmp_path):
    text = (OWN_LESSONS / "exercises" / "diode.toml").read_text(encoding="utf-8")
    path = tmp_path / "diode.toml"
    path.write_text(text, encoding="utf-8")
    assert run("check", path)[0] == 0
    path.write_text(text.replace('unit = "W"', 'unit = "V"', 1), encoding="utf-8")
    code, out, _ = run("check", path)
    assert code == 1
    assert f"{path}, line 16" in out
    assert run("check", OWN_LESSONS / "de" / "exercises" / "diode.toml")[0] == 0
