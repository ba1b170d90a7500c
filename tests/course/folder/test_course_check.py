"""A course folder is read whole, bad lessons are left out by name, and solutions are played."""

from __future__ import annotations

from pathlib import Path

import pytest

from pvsim.course.folder.course_check import check_course, check_lesson
from pvsim.course.folder.course_reader import read_course
from pvsim.errors import LessonError
from pvsim.files.scenario_file import write_scenario
from tests.course.samples import LESSON, find, line_of, spoilt, write_course

DONE = '{ shaded = { place = "1/1", at_most = 0.25, least = 1, most = 1 } }'


def test_a_good_course_has_no_problems(tmp_path: Path) -> None:
    assert check_course(write_course(tmp_path, one=LESSON, two=LESSON)) == []


def test_a_bad_lesson_is_left_out_by_name_and_the_others_load(tmp_path: Path) -> None:
    course = read_course(write_course(tmp_path, one=spoilt("minutes = 8", "minutes = 0"), two=LESSON))
    assert [lesson.slug for lesson in course.lessons] == ["two"]
    (problem,) = course.problems
    assert (problem.file, problem.line) == ("one.md", 5)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('["1/1/14"], transmission = 0.2', '["1/1/14"], transmission = 0.9', "does not get the act done"),
        (DONE, "{ no_fault = {} }", "before anybody"),
        ('when = "now[1/1].conducting = 1"', 'when = "now[1/1].conducting = 2"', "marked right"),
        ('when = "now[1/1].conducting = 0"', 'when = "now[1/1].conducting < 9"', "marked wrong"),
        ("tolerance = 10", "tolerance = 300", "counts as right"),
        ("delta[1/1].power_W | W 1 size", "1 / (now[1/1].cells - before[1/1].cells) | plain", "no value"),
    ],
)  # fmt: skip
def test_a_lesson_that_reads_well_but_cannot_be_played_is_found(old: str, new: str, said: str) -> None:
    found = check_lesson(spoilt(old, new), "sample.md", find)
    assert any(said in problem.wrong for problem in found), found
    assert all(problem.line > 0 for problem in found)


def test_a_played_problem_names_the_line_of_its_step(tmp_path: Path) -> None:
    text = spoilt('{ break = "2", fault = "cable-open" }', '{ break = "1", fault = "cable-open" }')
    (problem,) = check_course(write_course(tmp_path, one=text))
    first = line_of(text, "[[step]]")
    assert problem.line == first + text.splitlines()[first:].index("[[step]]") + 1


def test_files_and_names_that_do_not_meet_are_named(tmp_path: Path) -> None:
    folder = write_course(tmp_path, one=LESSON)
    (folder / "course.toml").write_text('title = "Trial"\nlessons = ["ome"]\n', encoding="utf-8")
    found = [str(problem) for problem in check_course(folder)]
    assert any("course.toml, line 2" in text and "'ome'" in text and "'one'" in text for text in found)
    assert any(text.startswith("one.md") and "not in course.toml" in text for text in found)


def test_an_unknown_need_is_named(tmp_path: Path) -> None:
    text = spoilt('limits = ["All', 'needs = ["zero"]\nlimits = ["All')
    (problem,) = check_course(write_course(tmp_path, one=text))
    assert "'zero'" in problem.wrong


@pytest.mark.parametrize(
    "text", ["", "lessons = 3", "title = ", 'title = "x"\nlessons = []', "lesons = ['a']"]
)
def test_a_course_file_that_is_not_in_order_is_said_to_be(text: str, tmp_path: Path) -> None:
    (tmp_path / "course.toml").write_text(text, encoding="utf-8")
    assert check_course(tmp_path)


def test_a_folder_without_a_course_is_refused(tmp_path: Path) -> None:
    with pytest.raises(LessonError, match=r"course\.toml"):
        read_course(tmp_path)
    assert check_course(tmp_path)[0].file == "course.toml"


@pytest.mark.parametrize("name", ["../secret", "a/b", "/etc/passwd", "..", "Course", "", "course"])
def test_no_name_leads_out_of_the_folder(name: str, tmp_path: Path) -> None:
    (tmp_path.parent / "secret.md").write_text(LESSON, encoding="utf-8")
    (tmp_path / "course.toml").write_text(f'title = "x"\nlessons = ["{name}"]\n', encoding="utf-8")
    assert read_course(tmp_path).lessons == ()
    text = spoilt('scenario = "single-module"', f'scenario = "{name}"')
    assert check_course(write_course(tmp_path, one=text))


def test_a_scenario_file_beside_the_lesson_comes_first(tmp_path: Path) -> None:
    own = write_scenario(find("single-module")).replace("One module on the bench", "My own bench")
    (tmp_path / "single-module.toml").write_text(own, encoding="utf-8")
    course = read_course(write_course(tmp_path, one=LESSON))
    assert course.lessons[0].steps[0].start.title == "My own bench"


def test_a_lesson_that_is_no_text_or_far_too_large_is_named(tmp_path: Path) -> None:
    folder = write_course(tmp_path, one=LESSON, two=LESSON)
    (folder / "one.md").write_bytes(b"+++\n\xff\xfe\x00")
    (folder / "two.md").write_bytes(b"x" * 3_000_000)
    found = {problem.file for problem in check_course(folder)}
    assert found == {"one.md", "two.md"}


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("minutes = 8", "minutes = inf", "'minutes' is inf"),
        ("minutes = 8", "minutes = nan", "'minutes' is nan"),
        ("minutes = 8", f"minutes = {'9' * 5000}", "digits"),
        ("tolerance = 10", f"tolerance = {'9' * 400}", "digits"),
        ("[given]", f"[{'a.' * 20_000}a]\n[given]", "too deeply"),
        ("minutes = 8", f"minutes = 8\na{'.a' * 20_000} = 1", "too deeply"),
        ("title = ", "title = \u201cOne shaded cell\u201d\n#", "this is not TOML"),
        ("[[step.observe.choice]]", "[step.observe.choice]", "stands there a second time"),
    ],
)
def test_a_hostile_or_careless_front_matter_is_one_clear_problem(
    tmp_path: Path, old: str, new: str, said: str
) -> None:
    folder = write_course(tmp_path, one=spoilt(old, new), two=LESSON)
    (problem,) = check_course(folder)
    assert (problem.file, said in problem.wrong) == ("one.md", True), problem
    assert [lesson.slug for lesson in read_course(folder).lessons] == ["two"]


def test_a_list_of_thousands_of_lessons_is_not_gone_through(tmp_path: Path) -> None:
    names = ", ".join(f'"k{number}"' for number in range(20_000))
    (tmp_path / "course.toml").write_text(f'title = "x"\nlessons = [{names}]\n', encoding="utf-8")
    assert "20000 entries" in check_course(tmp_path)[0].wrong
    assert len(check_course(tmp_path)) < 100


@pytest.mark.parametrize(
    ("old", "new", "said", "mend"),
    [
        ("## shade-one", "## shade-on", "'## shade-on' belongs to no step", "Did you mean 'shade-one'"),
        ("## shade-one", "##shade-one", "'##shade-one' is not read as a heading", "Write ## shade-one"),
        ("### observe", "### obsrve", "'### obsrve' is no part", "Did you mean 'observe'"),
        ("| W 0", "| w 0", "'w' says nothing about", "Did you mean 'W'"),
        ("### act", "    ### act", "'### act' is not read as a heading", "Write ### act"),
        ("right = true\n", "", "choice 1 is neither marked right nor has the idea", "Add one of the two"),
        ('"shade-one"', '"shade-two"', "'## shade-one' belongs to no step", "Did you mean 'shade-two'"),
    ],
)
def test_one_slip_makes_no_flood_of_problems(
    tmp_path: Path, old: str, new: str, said: str, mend: str
) -> None:
    problems = check_course(write_course(tmp_path, one=spoilt(old, new)))
    assert len(problems) <= 2
    (found,) = (problem for problem in problems if said in problem.wrong)
    assert mend in found.mend


def test_a_fault_that_does_not_exist_is_one_problem(tmp_path: Path) -> None:
    shading = '{ shade = ["1/1/14"], transmission = 0.2 }'
    text = spoilt(shading, '{ break = "1/1/d1", fault = "diode-opn" }')
    (problem,) = check_course(write_course(tmp_path, one=text))
    assert "diode-open" in problem.mend
