"""lessons/guide/sheets.md: its sheet is read and fitted, its Python runs, and it names all there is."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

from pvsim.sheet import REVERSES, SHUNTS, UNITS, module_from_sheet, own_sheets, read_sheet
from tests.patience import PATIENCE_s

GUIDE = (Path(__file__).parents[2] / "lessons" / "guide" / "sheets.md").read_text(encoding="utf-8")


def block(language):
    (found,) = re.findall(rf"^```{language}\n(.*?)^```", GUIDE, re.DOTALL | re.MULTILINE)
    return found


def test_the_sheet_shown_is_fitted_without_a_doubt():
    file = read_sheet(block("toml"))
    made = module_from_sheet(file.sheet, file.assumed)
    assert made.doubts == ()
    assert not [one for one in made.reasoning.findings if one.bearing == "doubt"]


def test_the_python_shown_runs_and_prints_one_line():
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", block("python")],
        capture_output=True,
        text=True,
        timeout=PATIENCE_s,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("54 in series")


def test_it_names_every_range_every_coefficient_and_every_sheet_that_comes_along():
    keys = [f"{name}_{ending}" for name, endings in UNITS.items() for ending in endings]
    for name in (*SHUNTS, *REVERSES, *keys, *own_sheets()):
        assert f"`{name}`" in GUIDE
