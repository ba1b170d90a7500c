"""Tables of the studies that come along, each made once in a run, as README and people make it."""

from __future__ import annotations

import io
import pickle
import re
import subprocess
import sys
from contextlib import redirect_stdout
from pathlib import Path

import pytest

from pvsim.cli import main
from pvsim.commands import study as command
from pvsim.study import StudyTable
from tests.once import once
from tests.patience import PATIENCE_s

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
KEEP = "\nimport pathlib, pickle\npathlib.Path('table.pickle').write_bytes(pickle.dumps(table))\n"


def blocks(language: str, text: str = README) -> list[str]:
    """The examples in a language that stand in a text."""
    return re.findall(rf"^```{language}\n(.*?)^```", text, re.DOTALL | re.MULTILINE)


def run_example(code: str, folder: Path) -> tuple[int, str, str]:
    """Exit code, standard output and error output of an example in Python, warnings being errors."""
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code],
        capture_output=True,
        text=True,
        timeout=PATIENCE_s,
        check=False,
        cwd=folder,
    )
    return done.returncode, done.stdout, done.stderr


def dearest_cell(factory: pytest.TempPathFactory) -> tuple[tuple[int, str, str], StudyTable]:
    """README's example of a study, as `run_example` tells, and its table."""

    def make() -> tuple[tuple[int, str, str], StudyTable]:
        folder = factory.mktemp("dearest-cell")
        (code,) = (one for one in blocks("python") if "run_study" in one)
        told = run_example(code + KEEP, folder)
        assert told[0] == 0, told[2]
        return told, pickle.loads((folder / "table.pickle").read_bytes())

    return once(factory, "dearest-cell", make)


def faults_everywhere(factory: pytest.TempPathFactory) -> tuple[tuple[int, str], StudyTable]:
    """`pvsim study faults-everywhere` in this process: exit code and what it printed, and its table."""

    def make() -> tuple[tuple[int, str], StudyTable]:
        tables: list[StudyTable] = []

        def noted(*arguments: object, **options: object) -> StudyTable:
            tables.append(plain(*arguments, **options))  # type: ignore[arg-type]
            return tables[-1]

        plain, out = command.run_study, io.StringIO()
        with pytest.MonkeyPatch.context() as patch, redirect_stdout(out):
            patch.setattr(command, "run_study", noted)
            code = main(["study", "faults-everywhere", "--workers", "1"])
        return (code, out.getvalue()), tables[0]

    return once(factory, "faults-everywhere", make)
