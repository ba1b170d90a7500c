"""`pvsim study`: what it prints, writes and refuses, and how it ends."""

from __future__ import annotations

import csv
import io
import json
import os
import pty
import re
import select
import signal
import subprocess
import sys
import time

import pytest

from pvsim.cli import main
from pvsim.commands.progress import ProgressLine
from pvsim.study import own_studies
from tests.patience import PATIENCE_s
from tests.study.own_tables import faults_everywhere
from tests.test_cli import refused

SHORT = """\
format = 1
title = "Three lights"
scenario = "single-cell"
[[axes]]
vary = "irradiance_W_m2"
values = [1000, 500, 0]
[columns]
most_W = "now[array].p_mp_W"
strings = "now[array].strings"
"""
MAP = """\
format = 1
title = "A small map"
scenario = "workshop"
[[axes]]
vary = "strings"
values = [1, 2]
setup = true
[[axes]]
vary = "fault"
at = "1/2"
values = ["cell-open"]
[columns]
beside = "neighbour[1].current.verdict"
"""
LONG = """\
format = 1
title = "Long"
scenario = "workshop"
[[axes]]
name = "cell"
vary = "place"
values = "every cell"
[[axes]]
vary = "transmission"
at = "cell"
values = { from = 0, to = 0.9, steps = 90 }
[columns]
lost_W = "-delta[array].p_mp_W"
"""


@pytest.fixture
def short(tmp_path):
    path = tmp_path / "short.toml"
    path.write_text(SHORT, encoding="utf-8")
    return path


def rows_of(text):
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


def test_a_short_study_is_told_with_its_extremes_and_shown_whole(run, short):
    code, out, err = run("study", short)
    lines = out.splitlines()
    assert (code, err) == (0, "")
    assert lines[:2] == ["Three lights", "3 cases of One cell on the bench"]
    assert any("at irradiance_W_m2 1000" in line for line in lines)
    assert "  strings  1 in every case" in lines
    assert any(line.split()[0:1] == ["500"] and line.split()[2:] == ["1"] for line in lines)


def test_csv_goes_to_a_file_or_the_standard_output(run, short, tmp_path):
    code, printed, _ = run("study", short, "-o", "-")
    assert code == 0
    assert [row["irradiance_W_m2"] for row in rows_of(printed)] == ["1000.0", "500.0", "0.0"]
    _, told, _ = run("study", short, "-o", tmp_path / "a.csv")
    assert (tmp_path / "a.csv").read_text(encoding="utf-8") == printed
    assert f"The table is in {tmp_path / 'a.csv'}" in told


def test_json_goes_to_the_standard_output_or_a_file(run, short, tmp_path):
    values = json.loads(run("study", short, "--json")[1])
    assert values["title"] == "Three lights"
    assert values["columns"]["irradiance_W_m2"] == [1000.0, 500.0, 0.0]
    code, out, err = run("study", short, "--json", "-o", tmp_path / "a.json")
    assert (code, out, err) == (0, "", "")
    assert json.loads((tmp_path / "a.json").read_text(encoding="utf-8")) == values


def test_a_map_is_drawn_beside_the_table(run, tmp_path):
    path = tmp_path / "map.toml"
    path.write_text(MAP, encoding="utf-8")
    for name, beginning in (("map.svg", b"<svg"), ("map.png", b"\x89PNG")):
        code, told, err = run("study", path, "--workers", "1", "--figure", tmp_path / name, "--dark")
        assert (code, err) == (0, "")
        assert told.endswith(f"The figure is in {tmp_path / name}\n")
        assert (tmp_path / name).read_bytes().startswith(beginning)
    drawn = (tmp_path / "map.svg").read_text(encoding="utf-8")
    assert "cell open" in drawn
    assert "2 strings" in drawn
    assert "clamp meter, current, at string 1, against its neighbour" in drawn
    code, printed, _ = run("study", path, "--workers", "1", "-o", "-", "--figure", tmp_path / "again.svg")
    assert code == 0
    assert [row["beside"] for row in rows_of(printed)] == ["", "3.0"], "one string has no neighbour"
    assert "# A verdict is 0 unchanged; 1 cannot be told; 2 changed, unless" in printed
    assert (tmp_path / "again.svg").exists()


def test_a_study_is_read_from_the_standard_input_and_by_name(run, short, tmp_path_factory, monkeypatch):
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(SHORT.encode())))
    assert run("study", "-")[1] == run("study", short)[1]
    assert "faults-everywhere" in own_studies()
    (code, out), _table = faults_everywhere(tmp_path_factory)
    assert code == 0
    assert "18 cases with a problem" in out
    assert "has no fuse that could blow" in out


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        pytest.param(["dearest-sell"], "Did you mean 'dearest-cell'?", id="name"),
        pytest.param(["nowhere.toml"], "nowhere.toml cannot be read", id="file"),
        pytest.param(["dearest-cell", "--workers", "0"], "from 1 to 512", id="workers"),
        pytest.param(["dearest-cell", "--workers", "2", "--dask", "a:1"], "one of them", id="both"),
        pytest.param(["dearest-cell", "-o", "/no/such/x.csv"], "no folder /no/such", id="output"),
        pytest.param(["dearest-cell", "-o", "/"], "cannot be written", id="folder"),
        pytest.param(["dearest-cell", "--figure", "a.svg"], "no verdict of an instrument", id="no-map"),
        pytest.param(["would-you-notice", "--figure", "a.pdf"], "ends with .svg or .png", id="form"),
        pytest.param(["would-you-notice", "--figure", "/no/such/x.svg"], "no folder /no/such", id="figure"),
    ],
)
def test_bad_input_ends_with_two_and_one_sentence_before_anything_is_solved(run, arguments, says):
    assert says in refused(run, "study", *arguments)


def test_a_broken_study_is_refused_with_file_and_line(run, short):
    short.write_text(SHORT.replace("most_W", "most_kW"), encoding="utf-8")
    sentence = refused(run, "study", short)
    assert f"{short.name}, line 8, " in sentence
    assert "Write it as most_W" in sentence


def test_solve_and_check_know_a_study(run, short):
    assert "Use 'pvsim study'" in refused(run, "solve", short)
    assert run("check", short)[:2] == (0, "1 file checked, all in order\n")
    short.write_text(SHORT.replace("most_W", "most_kW"), encoding="utf-8")
    code, out, _ = run("check", short)
    assert code == 1
    assert f"{short}, line 8: " in out


def hear_interrupts():
    """Undo what a shell does to what it runs in the background: have it not hear them."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def on_terminal(*arguments, until=None):
    """Run a study whose error output is a terminal; interrupt it as a terminal does once that shows.

    Returns
    -------
    code : int
    out, shown : str
        What it printed, and what the terminal was sent.
    """
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "pvsim", "study", *map(str, arguments)]
    process = subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=theirs,
        start_new_session=True,
        preexec_fn=hear_interrupts,
    )
    os.close(theirs)
    shown = b""
    try:
        while select.select([ours], [], [], 60)[0]:
            try:
                shown += os.read(ours, 4096)
            except OSError:  # the other end is closed
                break
            if until and re.search(until, shown):
                until = None
                os.killpg(process.pid, signal.SIGINT)  # workers get it too
        out, _ = process.communicate(timeout=PATIENCE_s)
    finally:
        process.kill()
        os.close(ours)
    return process.returncode, out.decode(), shown.decode().replace("\r\n", "\n")


@pytest.mark.parametrize("more", [(), ("--workers", "1")], ids=["all-cores", "one-process"])
def test_an_interrupted_study_says_how_far_it_came_and_keeps_that(tmp_path, more):
    path, out = tmp_path / "long.toml", tmp_path / "part.csv"
    path.write_text(LONG, encoding="utf-8")
    code, told, shown = on_terminal(path, "-o", out, *more, until=rb"[1-9][0-9,]* of 87,360 cases")
    assert code == 130
    rows = rows_of(out.read_text(encoding="utf-8"))
    assert 0 < len(rows) < 960 * 91
    assert shown.endswith(f"\r\x1b[Kpvsim: interrupted: {len(rows):,} of 87,360 cases were done\n")
    assert "Traceback" not in shown
    assert f"{len(rows):,} of 87,360 cases" in told
    assert all(row["lost_W"] for row in rows)


def test_on_a_terminal_one_line_says_how_far_it_is_and_goes_away(short):
    code, out, shown = on_terminal(short, "--workers", "1")
    assert code == 0
    assert "\r\x1b[K3 of 3 cases" in shown
    assert shown.endswith("\r\x1b[K")
    assert out.startswith("Three lights")


def test_the_line_guesses_what_is_left_and_is_quiet_where_nobody_looks(monkeypatch, capsys):
    now = [0.0]
    monkeypatch.setattr(time, "monotonic", lambda: now[0])
    with ProgressLine() as line:
        line.show(1, 2)
    assert capsys.readouterr().err == ""
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    with ProgressLine() as line:
        for now[0], done in ((0.0, 0), (0.05, 1), (30.0, 100), (30.01, 101), (3000.0, 1000)):
            line.show(done, 37_000)
    shown = capsys.readouterr().err.split("\r\x1b[K")
    assert shown == [
        "",
        "0 of 37,000 cases",
        "100 of 37,000 cases, 3 h 4 min left",
        "1,000 of 37,000 cases, 30 h 0 min left",
        "",
    ]
    with ProgressLine(quiet=True) as line:
        line.show(1, 2)
    assert capsys.readouterr().err == ""


def test_a_reader_that_has_seen_enough_is_no_error(short):
    many = SHORT.replace("[1000, 500, 0]", "{ from = 0, to = 1000, steps = 200 }")
    more = "".join(f'more_{k}_W = "now[array].p_mp_W"\n' for k in range(40))  # more than a pipe holds
    short.write_text(many + more, encoding="utf-8")
    command = f"{sys.executable} -m pvsim study {short} -o - | head -n 1"
    done = subprocess.run(
        ["bash", "-c", command], capture_output=True, text=True, timeout=PATIENCE_s, check=False
    )
    assert done.stdout.startswith("# pvsim ")
    assert done.stderr == ""
    assert main(["study", str(short), "-o", os.devnull]) == 0
