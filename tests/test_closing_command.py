"""`pvsim closing`: what it writes and refuses."""

from __future__ import annotations

import json
import zipfile
from io import BytesIO
from xml.etree import ElementTree

import pytest

from pvsim.course.folder.course_reader import own_course
from pvsim.course.play import player
from pvsim.course.play.workbook import Workbook, write_workbook
from tests.exercise.paper.contents import pages_of
from tests.test_cli import refused


@pytest.fixture
def workbook(tmp_path):
    """Of somebody who held the covered area for the loss, as the page saves it."""
    course = own_course()
    lesson = next(one for one in course.lessons if one.slug == "snow-edge")
    step = lesson.steps[0]
    progress = player.predict(lesson, player.go_to(lesson, player.begin(lesson), 1), "10")
    from pvsim.course.number.evaluation import Readings, value_of
    from pvsim.course.number.solved_scenario import solved

    far = value_of(step.predict.mistakes[0].value, Readings(solved(step.finish), solved(step.start)))
    progress = player.predict(lesson, player.go_to(lesson, player.begin(lesson), 1), f"{100 * far:.2f}")
    progress = player.watch(lesson, progress, solved(step.finish))
    path = tmp_path / "workbook.json"
    path.write_text(write_workbook(Workbook(progresses={"snow-edge": progress}), course), encoding="utf-8")
    return path


def text_of(path):
    return " ".join(" ".join(pages_of(path.read_bytes())).split())


def test_a_test_and_its_solution_go_into_two_files_and_a_number_gives_them_again(run, tmp_path):
    test, again, solution = (tmp_path / f"{name}.pdf" for name in ("test", "again", "solution"))
    for path, more in ((test, ()), (again, ()), (solution, ("--solution",))):
        assert run("closing", "--seed", "4", *more, "-o", path) == (0, "", "")
    assert text_of(test) == text_of(again)
    assert "Question 6" in text_of(test)
    assert "Answer:" in text_of(solution)
    assert "Answer:" not in text_of(test)


def test_a_workbook_is_asked_for_first_and_the_solution_says_so(run, tmp_path, workbook):
    path = tmp_path / "solution.html"
    given = ("closing", "--seed", "4", "--workbook", workbook, "--solution", "--questions", "2")
    assert run(*given, "-o", path) == (0, "", "")
    text = path.read_text(encoding="utf-8")
    assert "Drawn for the idea “the loss is the covered area”." in text
    assert text.index("Snow on the edge") < text.index("Question 2")
    german = tmp_path / "loesung.html"
    assert run(*given, "--language", "de", "-o", german)[0] == 0
    assert "Gezogen für die Vorstellung" in german.read_text(encoding="utf-8")


def test_a_class_has_the_same_questions_with_numbers_of_its_own(run, tmp_path):
    names = tmp_path / "names.txt"
    names.write_text("Ada\nBob\n", encoding="utf-8")
    code, out, err = run(
        "closing", "--class", names, "--questions", "2", "--as", "html", "-o", tmp_path / "tests"
    )
    assert (code, err) == (0, "")
    assert "2 sheets written" in out
    ada, bob = ((tmp_path / "tests" / f"{who}.html").read_text(encoding="utf-8") for who in ("Ada", "Bob"))
    lessons = [text.split("From the lesson ")[1:] for text in (ada, bob)]
    assert [one[:20] for one in lessons[0]] == [one[:20] for one in lessons[1]]
    assert ada.replace("Ada", "Bob") != bob
    alone = tmp_path / "alone.html"
    run("closing", "--who", "Ada", "--questions", "2", "-o", alone)
    assert alone.read_text(encoding="utf-8") == ada


def test_the_same_questions_go_into_a_bank(run, tmp_path):
    paper = tmp_path / "test.html"
    run("closing", "--seed", "4", "--questions", "3", "-o", paper)
    banks = {}
    for form in ("gift", "moodle", "qti"):
        path = tmp_path / form
        given = ("--seed", "4", "--questions", "3", "--variants", "2", "--as", form)
        assert run("closing", *given, "-o", path) == (0, "", "")
        banks[form] = path.read_bytes()
    ids = [line.removeprefix("::").partition("::")[0] for line in banks["gift"].decode().splitlines()
           if line.startswith("::")]  # fmt: skip
    assert len(ids) == 6
    assert {one.rpartition("/")[2] for one in ids} == {"4", "5"}
    questions = ElementTree.fromstring(banks["moodle"]).findall("question")
    assert sum(one.get("type") != "category" for one in questions) == 6
    with zipfile.ZipFile(BytesIO(banks["qti"])) as package:
        assert sum(name.endswith(".xml") and "manifest" not in name for name in package.namelist()) == 6


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        pytest.param([], "--output is not given", id="no-output"),
        pytest.param(["-o", "a.docx"], ".pdf or .html", id="ending"),
        pytest.param(["--seed", "-1", "-o", "a.pdf"], "--seed is -1", id="seed"),
        pytest.param(["--questions", "0", "-o", "a.pdf"], "--questions is 0", id="questions"),
        pytest.param(["--variants", "3", "-o", "a.pdf"], "no bank is written", id="variants"),
        pytest.param(["--as", "gift", "--solution"], "with a question bank", id="bank-and-solution"),
        pytest.param(["--as", "gift", "--who", "Ada"], "with a question bank", id="bank-and-name"),
        pytest.param(["--class", "n.txt", "--workbook", "w.json", "-o", "x"], "one learner", id="class"),
        pytest.param(["--class", "n.txt"], "without --output", id="class-without-folder"),
        pytest.param(["--workbook", "nowhere.json", "-o", "a.pdf"], "nowhere.json", id="no-workbook"),
        pytest.param(["--language", "xx", "-o", "a.pdf"], "no language 'xx'", id="language"),
        pytest.param(["-o", "/nowhere/a.pdf"], "cannot be written", id="folder"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(run, arguments, said):
    assert said in refused(run, "closing", *arguments)


def test_what_is_no_workbook_and_a_course_without_exercises_are_refused(run, tmp_path):
    other = tmp_path / "other.json"
    other.write_text(json.dumps({"lessons": 3}), encoding="utf-8")
    assert "no workbook of pvsim" in refused(run, "closing", "--workbook", other, "-o", tmp_path / "a.pdf")
    from tests.course.samples import LESSON, write_course

    folder = write_course(tmp_path, sample=LESSON)
    assert "exercises" in refused(run, "closing", "--lessons", folder, "-o", tmp_path / "a.pdf")
