"""Values draw themselves in a notebook, and stay plain values everywhere else."""

from __future__ import annotations

import json
import subprocess
import sys
import xml.etree.ElementTree as ET

import pytest

from tests.patience import PATIENCE_s

SHOW = """
from pvsim.files import read_demo
assert "pvsim.files.figure.characteristic" not in sys.modules, "drawn before anything was shown"
from pvsim.array import Place, paint, solve_array, set_operation, Operation
scenario = paint(read_demo("workshop"), (Place(1, 4, cell=17),), 0.2)
solution = solve_array(scenario)
from pvsim.study import Axis, Column, Study, run_study
axis = Axis(vary="fault", at=Place(1), values=("cable-open", "fuse-blown"))
study = Study(title="<b>", base=scenario, axes=(axis,), columns=(Column("p_W", "now[array].p_mp_W"),))
table = run_study(study, workers=1)
shown = {}
for name, value in (
    ("scenario", scenario), ("solution", solution), ("curve", solution.characteristic), ("table", table)
):
    shown[name] = shell.display_formatter.format(value)[0]
import json
print(json.dumps(shown))
"""
SHELL = """
from IPython.core.interactiveshell import InteractiveShell
shell = InteractiveShell.instance(colors="NoColor", history_length=0)
shell.history_manager.enabled = False
"""
PVSIM = """
import sys
import pvsim.array, pvsim.circuit, pvsim.files, pvsim.study
assert not any(name in sys.modules for name in ("IPython", "pvsim.notebook"))
"""


def run(code):
    return subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, timeout=PATIENCE_s, check=False
    )


@pytest.mark.parametrize(
    "start",
    [pytest.param("import sys" + SHELL, id="notebook-first"), pytest.param(PVSIM + SHELL, id="pvsim-first")],
)
def test_characteristic_scenario_solution_and_table_draw_themselves(tmp_path, start):
    done = run(f"import os; os.environ['IPYTHONDIR'] = {str(tmp_path)!r}\n{start}\n{SHOW}")
    assert done.returncode == 0, done.stderr
    shown = json.loads(done.stdout.splitlines()[-1])
    for name in ("scenario", "curve"):
        assert ET.fromstring(shown[name]["image/svg+xml"]).tag.endswith("svg")
    assert "MPP" in shown["curve"]["image/svg+xml"]
    page = shown["solution"]["text/html"]
    assert page.count("<svg") == 2
    assert "Where the power goes" in page
    assert "hatched cell" in page
    assert "text/plain" in shown["scenario"]
    rows = ET.fromstring(shown["table"]["text/html"])
    assert rows.findtext("caption") == "<b>: 2 of 2 cases, 1 with a problem"
    assert [cell.text for cell in rows.iter("th")] == ["fault", "p_W", "problem"]
    assert "no fuse that could blow" in rows.findall("tbody/tr")[1].findall("td")[2].text


def test_importing_pvsim_outside_a_notebook_loads_nothing_more():
    done = run("import sys, pvsim; print([m for m in sys.modules if m.startswith('pvsim.')])")
    assert done.stdout.strip() == "[]", done.stderr


def test_having_ipython_imported_without_a_notebook_is_no_notebook():
    done = run("import IPython, pvsim, sys; print('pvsim.array' in sys.modules)")
    assert done.stdout.strip() == "False", done.stderr
