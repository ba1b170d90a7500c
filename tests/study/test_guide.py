"""lessons/guide/studies.md: its study is read and solved, its Python runs, and it names all there is."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

from pvsim.study import VARIATIONS, cases_of, own_studies, read_study, run_study
from tests.patience import PATIENCE_s

GUIDE = (Path(__file__).parents[2] / "lessons" / "guide" / "studies.md").read_text(encoding="utf-8")


def block(language):
    (found,) = re.findall(rf"^```{language}\n(.*?)^```", GUIDE, re.DOTALL | re.MULTILINE)
    return found


def test_the_study_shown_has_the_cases_it_says_and_all_are_solved():
    one = read_study(block("toml"))
    assert len(cases_of(one)) == 120
    assert "120 cases" in GUIDE
    table = run_study(one, workers=1)
    assert table.failed == 0
    assert (table["lost_W"][table["transmission"] == 1.0] < 1e-6).all()


def test_the_python_shown_runs_and_prints_one_line():
    code = block("python")
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code],
        capture_output=True, text=True, timeout=PATIENCE_s, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.count("\n") == 1


def test_everything_that_can_be_varied_is_named():
    rows = set(re.findall(r"`(\w+)`", GUIDE.split("| vary | what | at |")[1].split("## Columns")[0]))
    assert set(VARIATIONS) <= rows


def test_every_study_that_comes_along_is_named():
    assert all(f"`{name}`" in GUIDE for name in own_studies())
