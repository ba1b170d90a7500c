"""`pvsim sheet`: what it prints, writes and refuses."""

from __future__ import annotations

import io
import json
import sys

import pytest

import pvsim
from pvsim.files import read_scenario
from pvsim.files.provenance import MODEL_LIMITS
from pvsim.sheet import own_sheets, read_own_sheet, write_sheet
from tests.sheet.test_sheet_file import TEXT
from tests.test_cli import refused
from tests.test_layers import PAGE_PACKAGES, loaded_by

every_sheet = pytest.mark.parametrize("name", own_sheets())


@every_sheet
def test_reasoning_parameters_and_residuals_are_printed(run, name) -> None:
    code, out, _err = run("sheet", name)
    assert code == 0
    assert out.startswith(read_own_sheet(name).sheet.title)
    for words in (
        "Reasoning",
        "counted cells",
        "assumed",
        "Rsh",
        "residual",
        "gamma (Pmp), not fitted",
        MODEL_LIMITS[1],
    ):
        assert words in out
    rows = {line.split()[0]: line.split() for line in out.splitlines() if line.startswith("  Isc")}
    assert rows["Isc"][4] == "0.0000"


def test_json_gives_every_number(run) -> None:
    values = json.loads(run("sheet", "slipway-halves", "--json")[1])
    assert values["pvsim"] == pvsim.__version__
    assert values["structure"]["layout"] == "halves"
    assert values["module_type"]["cell"]["photocurrent_A"] > 6.9
    assert {one["name"] for one in values["reproduced"]} >= {"isc", "voc", "imp", "vmp", "gamma"}
    assert all(abs(one["residual"]) < 1e-5 for one in values["reproduced"][:5])
    assert {one["bearing"] for one in values["reasoning"]} <= {"allowed", "excluded", "open", "doubt"}
    assert values["hot_spot"]["cells"] == 18


def test_the_scenario_it_writes_is_solved(run, tmp_path) -> None:
    path = tmp_path / "bench.toml"
    code, out, _err = run("sheet", "boathouse-whole-cells", "-o", path)
    assert code == 0
    assert f"Written to {path}" in out
    scenario = read_scenario(path.read_text(encoding="utf-8"))
    assert scenario.module_types[0].name == "sheet-boathouse-265-whole-cells"
    values = json.loads(run("solve", path, "--json")[1])
    assert values["trackers"][0]["operating_point"]["power_W"] == pytest.approx(8.58 * 30.9, rel=1e-6)


def test_the_module_type_alone_fits_at_the_end_of_a_scenario(run, tmp_path) -> None:
    whole = run("sheet", "slipway-halves", "-o", "-")[1]
    alone = run("sheet", "slipway-halves", "-o", "-", "--type-only")[1]
    assert "Reasoning" not in whole + alone
    scenario = read_scenario(whole)
    base = whole[: whole.index("[[module_types]]")]
    assert read_scenario(base + alone[alone.index("[[module_types]]") :]) == scenario


def test_a_sheet_comes_from_a_file_and_from_the_standard_input(run, tmp_path, monkeypatch) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(TEXT, encoding="utf-8")
    code, out, _err = run("sheet", path)
    assert code == 0
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(TEXT.encode())))
    assert run("sheet", "-")[1] == out


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("vmp_V = 32.6", "vmp_V = 41.0", "vmp_V is 41; expected less than 39.6"),
        ("voc_V = 39.6", "voc_V = 39,6", "has a comma"),
        ("imp_A = 9.15", "imp_A = 9.35", "No shunt helps"),
        ("title", "scenario", "'scenario' is not known"),
    ],
)
def test_a_bad_sheet_is_refused_in_one_sentence(run, tmp_path, old, new, words) -> None:
    path = tmp_path / "bad.toml"
    path.write_text(TEXT.replace(old, new).replace("vmp_V = 32.6", "vmp_V = 30.0"), encoding="utf-8")
    assert words in refused(run, "sheet", path)


def test_what_is_no_sheet_is_refused(run, tmp_path) -> None:
    assert "one of boathouse-whole-cells, slipway-halves" in refused(run, "sheet", "slipway")
    assert "--output" in refused(run, "sheet", "slipway-halves", "--type-only")
    assert "cannot be written" in refused(run, "sheet", "slipway-halves", "-o", tmp_path / "no" / "x.toml")
    assert "cannot be read" in refused(run, "sheet", tmp_path / "none.toml")


def test_other_commands_say_where_a_sheet_belongs_and_check_reads_it(run, tmp_path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(TEXT, encoding="utf-8")
    assert "'pvsim sheet'" in refused(run, "solve", path)
    assert run("check", path)[:2] == (0, "1 file checked, all in order\n")
    path.write_text(TEXT.replace("cells = 60", "cells = 61"), encoding="utf-8")
    code, out, _err = run("check", path)
    assert code == 1
    assert "line" in out
    assert "cells is 61" in out
    path.write_text(TEXT.replace("voc_V = 39.6", "voc_V = 27.6").replace("32.6", "22.6"), encoding="utf-8")
    code, out, _err = run("check", path)
    assert code == 1
    assert "check the count" in out


def test_a_sheet_loads_nothing_of_the_page() -> None:
    loaded = loaded_by("from pvsim.cli import main; assert main(['sheet', 'slipway-halves']) == 0")
    assert {name.split(".")[0] for name in loaded} & {*PAGE_PACKAGES, "scipy"} == set()


@every_sheet
def test_sheets_that_come_along_say_nothing_that_is_not_written_again(name) -> None:
    assert "Invented data" in write_sheet(read_own_sheet(name))
