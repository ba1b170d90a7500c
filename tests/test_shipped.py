"""Folders that come with pvsim are found where they lie: beside the package or in it."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

import pvsim
from pvsim.shipped import find_shipped, shipped

ROOT = Path(__file__).parents[1]
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "pvsim", "lessons", "tests", "static", "LICENSE"}


@pytest.mark.parametrize("name", ["lessons", "static"])
def test_a_checkout_s_own_come_before_copies_in_the_package(tmp_path, name: str) -> None:
    package = tmp_path / "pvsim"
    for folder in (package / name, tmp_path / name):
        folder.mkdir(parents=True)
    # Somebody else's folder lies beside an installed package.
    assert find_shipped(name, package) == package / name
    (tmp_path / "pyproject.toml").touch()
    assert find_shipped(name, package) == tmp_path / name


@pytest.mark.parametrize("name", ["lessons", "static", "scenarios", "sheets", "studies", "curves"])
def test_all_of_them_are_there(name: str) -> None:
    assert any(shipped(name).iterdir())


def test_scenarios_sheets_studies_and_curves_lie_in_the_package_in_a_checkout_too() -> None:
    package = Path(pvsim.__file__).parent
    for name in ("scenarios", "sheets", "studies", "curves"):
        assert shipped(name) == package / name


def test_nothing_else_lies_on_the_top_level() -> None:
    if not (ROOT / ".git").exists():
        pytest.skip("NOT CHECKED: this is no checkout, where git would tell what belongs to it")
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    names = {line.split("/")[0] for line in listed.splitlines()}
    assert {name for name in names if not name.startswith(".")} == TOP
