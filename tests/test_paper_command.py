"""`pvsim paper`: what it writes and refuses."""

from __future__ import annotations

import sys

import pytest

from tests.exercise.paper.contents import pages_of
from tests.test_cli import refused


def test_a_sheet_and_its_solution_go_into_two_files(run, tmp_path):
    sheet, solution = tmp_path / "sheet.pdf", tmp_path / "solution.pdf"
    assert run("paper", "diode", "--who", "Ada", "-o", sheet) == (0, "", "")
    assert run("paper", "diode", "--who", "Ada", "--solution", "-o", solution) == (0, "", "")
    asked, right = (" ".join(pages_of(path.read_bytes())) for path in (sheet, solution))
    assert "Ada" in asked
    assert "By how many watts does its power fall?" in asked
    assert "Answer:" in right
    assert "Answer:" not in asked


def test_two_students_get_numbers_of_their_own_and_the_sheet_agrees_with_the_exercise(run, tmp_path):
    found = []
    for who in ("Ada", "Bob"):
        path = tmp_path / f"{who}.html"
        run("paper", "diode", "--who", who, "-o", path)
        found.append(path.read_text(encoding="utf-8"))
        text = run("exercise", "diode", "--who", who)[1]
        seed = next(line for line in text.splitlines() if line.startswith("seed = ")).removeprefix("seed = ")
        assert f"<b>Case</b>{seed}" in found[-1]
    assert found[0] != found[1]


def test_a_class_gets_a_file_each(run, tmp_path):
    names = tmp_path / "names.txt"
    names.write_text("Ada\nCem Ö.\n", encoding="utf-8")
    code, out, err = run("paper", "workshop", "--class", names, "-o", tmp_path / "sheets", "--as", "html")
    assert (code, err) == (0, "")
    assert "2 sheets written" in out
    assert sorted(path.name for path in (tmp_path / "sheets").iterdir()) == ["Ada.html", "Cem-Ö.html"]


def test_a_name_that_a_pdf_cannot_print_whole_is_told(run, tmp_path):
    names = tmp_path / "names.txt"
    names.write_text("Łukasz Żółć\n山田 太郎\n", encoding="utf-8")
    code, out, err = run("paper", "workshop", "--class", names, "-o", tmp_path / "pdf")
    assert code == 0
    assert "2 sheets written" in out
    assert "'山田 太郎'" in err
    assert "Łukasz" not in err
    assert run("paper", "workshop", "--class", names, "-o", tmp_path / "html", "--as", "html")[2] == ""
    code, _out, err = run("closing", "--who", "山田", "--questions", "1", "-o", tmp_path / "test.pdf")
    assert (code, "'山田'" in err) == (0, True)


def test_a_lesson_without_exercises_gives_its_steps_in_the_language_asked_for(run, tmp_path):
    path = tmp_path / "draht.html"
    assert run("paper", "unseen-wire", "--language", "de", "-o", path) == (0, "", "")
    text = path.read_text(encoding="utf-8")
    assert "Der Draht, den niemand sieht" in text
    assert "Meine Vorhersage" in text


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        pytest.param(["diode"], "--output is not given", id="no-output"),
        pytest.param(["diode", "-o", "sheet.docx"], ".pdf or .html", id="ending"),
        pytest.param(["nowhere", "-o", "a.pdf"], "no scenario called 'nowhere'", id="no-source"),
        pytest.param(["workshop", "--seed", "3", "-o", "a.pdf"], "same numbers for everybody", id="seed"),
        pytest.param(["workshop", "--steps", "-o", "a.pdf"], "is no lesson", id="steps"),
        pytest.param(
            ["diode", "--place", "1", "-o", "a.pdf"], "with a scenario alone", id="place-of-a-lesson"
        ),
        pytest.param(["workshop", "--place", "9", "-o", "a.pdf"], "string 9", id="no-place"),
        pytest.param(["diode", "--language", "xx", "-o", "a.pdf"], "no language 'xx'", id="language"),
        pytest.param(["diode", "--class", "names.txt"], "without --output", id="class"),
        pytest.param(["diode", "-o", "/nowhere/a.pdf"], "cannot be written", id="folder"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(run, arguments, said):
    assert said in refused(run, "paper", *arguments)


def test_pdf_without_its_package_is_refused_with_what_to_install(run, monkeypatch, tmp_path):
    monkeypatch.setitem(sys.modules, "fpdf", None)
    said = refused(run, "paper", "workshop", "-o", tmp_path / "a.pdf")
    assert "pip install 'pvsim[page]'" in said
    assert not (tmp_path / "a.pdf").exists()
    assert run("paper", "workshop", "-o", tmp_path / "a.html")[0] == 0
