"""What a command does when what it writes goes nowhere: a full disk, a reader that has gone."""

from __future__ import annotations

import logging
import subprocess
import sys
from pathlib import Path

import pytest

from pvsim.commands.log import LONGEST_LINE, MOST_LINES, BriefFormatter
from tests.patience import PATIENCE_s

PVSIM = (sys.executable, "-m", "pvsim")
FULL = Path("/dev/full")
on_linux = pytest.mark.skipif(not FULL.exists(), reason="this system has no device that is always full")


@on_linux
@pytest.mark.parametrize(
    "words",
    [
        ("export", "csv", "single-module"),
        ("export", "link", "single-cell"),
        ("solve", "single-module"),
        ("solve", "single-module", "--json"),
        ("check", "pvsim/scenarios/single-cell.toml"),
    ],
    ids=" ".join,
)
def test_a_full_disk_behind_the_standard_output_is_told_in_a_sentence(words):
    with FULL.open("wb") as full:
        done = subprocess.run(
            [*PVSIM, *words], stdout=full, stderr=subprocess.PIPE, text=True, timeout=PATIENCE_s, check=False
        )
    assert done.returncode == 2
    assert done.stderr.startswith("pvsim: the standard output cannot be read or written (No space left")
    assert done.stderr.count("\n") == 1
    assert "Traceback" not in done.stderr


@on_linux
def test_a_full_disk_behind_a_file_is_told_with_its_name():
    words = [*PVSIM, "export", "csv", "single-module", "-o", str(FULL)]
    done = subprocess.run(words, capture_output=True, text=True, timeout=PATIENCE_s, check=False)
    assert done.returncode == 2
    assert "/dev/full cannot be written (No space left on device)" in done.stderr


def test_a_reader_that_has_seen_enough_ends_a_command_without_a_word():
    words = [*PVSIM, "solve", "ferry-terminal", "--json", "--curve"]
    process = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    process.stdout.close()
    assert process.stderr.read() == b""
    assert process.wait(PATIENCE_s) == 0
    process.stderr.close()


@pytest.mark.parametrize("words", [("check",), ("lesson",), ("serve", "--lessons"), ("study",), ("solve",)])
@pytest.mark.parametrize("name", ["a" * 300, "a" * 300 + ".toml", "a" * 100_000, "a" * 300 + ".md"])
def test_a_name_that_no_file_can_have_is_told_in_a_sentence(run, words, name):
    code, out, err = run(*words, name)
    assert code == 2
    assert out == ""
    assert err.startswith("pvsim: ")
    assert err.count("\n") == 1
    assert len(err) < 3_000


def test_no_line_of_a_log_is_longer_than_anybody_reads():
    formatter = BriefFormatter("%(levelname)s %(name)s: %(message)s")

    def told(message: str) -> str:
        return formatter.format(logging.LogRecord("x", logging.WARNING, "", 0, message, (), None))

    assert told("404 GET /x (127.0.0.1) 1.5ms") == "WARNING x: 404 GET /x (127.0.0.1) 1.5ms"
    long = told(f"404 GET /{'A' * 60_000} (127.0.0.1) 1.5ms")
    assert len(long) <= LONGEST_LINE
    assert long.startswith("WARNING x: 404 GET /AAAA")
    assert long.endswith("AAAA (127.0.0.1) 1.5ms")
    assert told("a\x1b[2Jb") == "WARNING x: a [2Jb"
    many = told("\n".join(f"line {k}" for k in range(5_000))).splitlines()
    assert len(many) == MOST_LINES + 1
    assert many[-1] == f"... {5_000 - MOST_LINES:,} more lines"
