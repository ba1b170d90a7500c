"""README.md and DEVELOPERS.md: their examples run and the files they name are there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import pvsim
from pvsim.circuit import operate
from pvsim.cli import main, make_parser
from pvsim.commands import study as study_command
from pvsim.files import demo_names, read_circuit
from pvsim.files.provenance import MODEL_LIMITS
from tests.once import check_of_all
from tests.study.own_tables import README, blocks, dearest_cell, run_example

ROOT = Path(__file__).parents[1]
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


COMMANDS = [
    line.split("#")[0].split()[1:]
    for block in blocks("sh")
    for line in block.splitlines()
    if line.startswith("pvsim")
]


@pytest.mark.parametrize("code", blocks("python"), ids=["array", "circuit", "study"])
def test_the_python_examples_run_and_print_one_line(code, tmp_path, tmp_path_factory):
    told = dearest_cell(tmp_path_factory)[0] if "run_study" in code else run_example(code, tmp_path)
    returned, out, err = told
    assert returned == 0, err
    assert out.count("\n") == 1
    assert " W" in out


def test_the_first_example_has_five_lines():
    lines = [line for line in blocks("python")[0].splitlines() if line]
    assert len(lines) == 5


def test_the_circuit_shown_is_read_and_solved():
    (text,) = blocks("toml")
    found = read_circuit(text)
    assert operate(found.circuit, voltage_V=0.0).leaf_power_W[19] < 0  # the shaded cell eats power


@pytest.mark.parametrize("arguments", COMMANDS, ids=" ".join)
def test_the_commands_shown_are_understood(arguments, tmp_path, tmp_path_factory, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    curve = "voltage_V,current_A\n0,9\n90,8.9\n200,8.7\n300,8\n340,0\n"
    (tmp_path / "tracer.csv").write_text(curve, encoding="utf-8")
    options = make_parser().parse_args(arguments)
    if arguments[:2] == ["study", "dearest-cell"]:  # README's own example has solved it
        table = dearest_cell(tmp_path_factory)[1]

        def solved(study, *, workers, executor, progress):
            assert (study, workers, executor) == (table.study, None, None)
            return table

        monkeypatch.setattr(study_command, "run_study", solved)
    if arguments == ["check"]:
        code, _out, err = check_of_all(tmp_path_factory)
        assert (code, err) == (0, "")
    elif options.command in ("solve", "export", "study", "sheet", "traced"):
        assert main(arguments) == 0
        assert capsys.readouterr().err == ""


def test_every_scenario_that_comes_along_is_named():
    for name in demo_names():
        assert f"`{name}`" in README or f" {name} " in README


@pytest.mark.parametrize(("name", "text"), [("README.md", README), ("DEVELOPERS.md", DEVELOPERS)])
def test_every_file_named_is_there(name, text):
    named = set(re.findall(r"`((?:pvsim|lessons|static|tests)/[\w./-]*)`", text))
    named |= set(re.findall(r"\]\(([\w./-]+)\)", text))
    assert named
    missing = [path for path in sorted(named) if not (ROOT / path).exists()]
    assert not missing


def test_the_list_of_changes_knows_this_version():
    assert f"### {pvsim.__version__}\n" in DEVELOPERS


def test_the_caution_of_every_export_stands_in_the_readme():
    caution = MODEL_LIMITS[1].split(". ")[0]
    assert caution in README.replace("\n", " ")


def test_both_licences_are_named():
    assert "BSD-3-Clause" in README
    assert "CC BY 4.0" in README
    assert (ROOT / "LICENSE").read_text(encoding="utf-8").startswith("BSD 3-Clause License")
