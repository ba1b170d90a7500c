"""lessons/guide/exercises.md: its exercise is in order, its Python runs, and it names every key and meter."""

from __future__ import annotations

import re
import subprocess
import sys

from pvsim.cli import make_parser
from pvsim.course.folder.course_reader import OWN_LESSONS
from pvsim.exercise import ExerciseCase, make_item, mark_answer
from pvsim.exercise.exercise_file import examine_text
from tests.patience import PATIENCE_s

GUIDE = (OWN_LESSONS / "guide" / "exercises.md").read_text(encoding="utf-8")


def blocks(language):
    return re.findall(rf"^```{language}\n(.*?)^```", GUIDE, re.DOTALL | re.MULTILINE)


def block(language):
    (found,) = blocks(language)
    return found


def test_the_exercise_shown_is_in_order_and_can_be_answered():
    (template,), problems = examine_text(block("toml"), "hungry-cell", OWN_LESSONS)
    assert problems == ()
    for seed in range(3):
        item = make_item(template, ExerciseCase(seed=seed))
        assert mark_answer(item, f"{item.value:.2f} W").verdict == "right"
        assert item.value > 20.0  # it eats
        assert mark_answer(item, "0").idea == "forgot that a bypassed cell still eats"


def test_the_python_shown_runs_and_prints_one_line():
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", block("python")],
        capture_output=True, text=True, timeout=PATIENCE_s, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stdout == "wrong forgot the diode\n"


def test_the_commands_shown_are_understood():
    lines = [line.split("#")[0].split()[1:] for line in "".join(blocks("sh")).splitlines() if line]
    assert len(lines) == 15
    for arguments in lines:
        assert make_parser().parse_args(arguments).command in ("exercise", "mark", "paper", "closing")


def test_every_key_is_named():
    for key in (
        "modules",
        "module_type",
        "band",
        "decimals",
        "points",
        "unit_needed",
        "idea_id",
        "share",
        "limit",
        "translates",
    ):
        assert f"`{key}`" in GUIDE or f"`{key} = " in GUIDE
