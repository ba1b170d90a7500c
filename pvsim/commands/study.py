"""`pvsim study`: every case of a study, a table of what was read, and where its extremes are."""

from __future__ import annotations

import json
import os
import sys
from argparse import Namespace
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path
from typing import Any

from pvsim.commands.output import check_output, put_out
from pvsim.commands.progress import ProgressLine
from pvsim.commands.study_report import report_study
from pvsim.errors import FileError, PvsimError, StudyError
from pvsim.files.figure.matrix import draw_matrix
from pvsim.files.figure.png import write_png
from pvsim.files.figure.svg import write_svg
from pvsim.files.shipped_file import refuse_name
from pvsim.files.source import parse_toml, read_stream
from pvsim.study.engine import dask_client
from pvsim.study.notice_map import check_map, notice_map
from pvsim.study.own import own_studies, read_own_study
from pvsim.study.run import StudyInterrupted, StudyLost, run_study
from pvsim.study.study import Study
from pvsim.study.study_file import open_study, study_of
from pvsim.study.table import StudyTable
from pvsim.study.table_file import table_values, write_table

INTERRUPTED = 130  # as a shell has it
FIGURES = (".svg", ".png")


def run(options: Namespace) -> int:
    """Run what is named; 130 when it was interrupted, 2 when work was lost."""
    study = _open(options.source)
    check_output(options.output)
    _check_figure(study, options)
    if options.dask and options.workers:
        raise StudyError(
            "--dask and --workers are both given",
            expected="one of them",
            mend="A cluster has its own workers: leave --workers out",
        )
    code = 0
    try:
        with _cluster(options.dask) as client, ProgressLine(quiet=options.json) as line:
            table = run_study(study, workers=options.workers, executor=client, progress=line.show)
    except StudyInterrupted as stop:
        code, table = INTERRUPTED, stop.table
        _say(f"interrupted: {len(table):,} of {table.planned:,} cases were done")
    except StudyLost as stop:
        code, table = 2, stop.table
        _say(str(stop))
    _give(table, options)
    return _draw(table, options) or code


def _cluster(address: str | None) -> AbstractContextManager[Any]:
    return dask_client(address) if address else nullcontext()


def _open(name: str) -> Study:
    if name == "-":
        source = read_stream(sys.stdin.buffer, "the standard input")
        return study_of(parse_toml(source), source)
    if Path(name).suffix or os.path.exists(name):
        return open_study(name)
    known = own_studies()
    if name in known:
        return read_own_study(name)
    raise refuse_name(name, "study", known, "")


def _give(table: StudyTable, options: Namespace) -> None:
    """Write the table where it is wanted, and tell people what is in it."""
    if options.json:
        put_out(_json(table_values(table)), options.output)
        return
    if options.output is not None:
        put_out(write_table(table).encode(), options.output)
    if options.output != "-":
        print("\n".join(report_study(table, written=options.output)))


def _check_figure(study: Study, options: Namespace) -> None:
    """Refuse what cannot be drawn or written, before long work is done for it."""
    if options.figure is None:
        return
    if Path(options.figure).suffix.lower() not in FIGURES:
        raise FileError(
            f"the figure is to be {options.figure[:80]!r}",
            expected="a file that ends with " + " or ".join(FIGURES),
            mend="Name it like map.svg",
        )
    check_output(options.figure)
    check_map(study)


def _draw(table: StudyTable, options: Namespace) -> int:
    """Write the map where it is wanted; 2 where no case was done for it."""
    if options.figure is None:
        return 0
    try:
        drawing = draw_matrix(notice_map(table), theme="dark" if options.dark else "light")
    except PvsimError as error:
        _say(str(error))
        return 2
    png = Path(options.figure).suffix.lower() == ".png"
    put_out(write_png(drawing) if png else write_svg(drawing).encode(), options.figure)
    if not options.json and options.output != "-":
        print(f"The figure is in {options.figure}")
    return 0


def _json(values: dict[str, Any]) -> bytes:
    return (json.dumps(values, indent=1, allow_nan=False, ensure_ascii=False) + "\n").encode()


def _say(text: str) -> None:
    print(f"pvsim: {text}", file=sys.stderr)
