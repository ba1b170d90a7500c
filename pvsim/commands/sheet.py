"""`pvsim sheet`: how the cells of a data sheet are joined, their parameters, each number's residual."""

from __future__ import annotations

import json
import os
import sys
from argparse import Namespace
from pathlib import Path

import pvsim
from pvsim.commands.output import check_output, put_out
from pvsim.commands.sheet_report import report_sheet, sheet_values
from pvsim.errors import FileError
from pvsim.files.document import module_type_values
from pvsim.files.provenance import MODEL_LIMITS, one_line
from pvsim.files.scenario_file import write_scenario
from pvsim.files.shipped_file import refuse_name
from pvsim.files.source import read_source, read_stream
from pvsim.files.toml_text import write_toml
from pvsim.sheet.own import own_sheets, read_own_sheet
from pvsim.sheet.sheet_file import SheetFile, read_sheet
from pvsim.sheet.sheet_module import SheetModule, module_from_sheet, sheet_scenario


def run(options: Namespace) -> int:
    """Fit the sheet that is named, print what came out, and write it where that is wanted."""
    if options.type_only and options.output is None:
        raise FileError(
            "--type-only is given without --output",
            expected="both, or neither",
            mend="Name a file with --output; - prints it",
        )
    file = _open(options.source)
    check_output(options.output)
    made = module_from_sheet(file.sheet, file.assumed)
    if options.output is not None:
        put_out((_type_text(made) if options.type_only else write_scenario(sheet_scenario(made))).encode(),
                options.output)  # fmt: skip
    if options.output == "-":
        return 0
    if options.json:
        head = {"pvsim": pvsim.__version__, "title": file.sheet.title, "limits": list(MODEL_LIMITS)}
        print(json.dumps({**head, **sheet_values(made)}, indent=2, allow_nan=False, ensure_ascii=False))
        return 0
    print("\n".join([one_line(file.sheet.title), *report_sheet(made)]))
    if options.output is not None:
        print(f"\nWritten to {options.output}")
    print(f"\n{MODEL_LIMITS[1]}")
    return 0


def _open(name: str) -> SheetFile:
    if name == "-":
        source = read_stream(sys.stdin.buffer, "the standard input")
    elif Path(name).suffix or os.path.exists(name):
        source = read_source(name)
    else:
        known = own_sheets()
        if name in known:
            return read_own_sheet(name)
        raise refuse_name(name, "data sheet", known, "")
    return read_sheet(source.text, source.name)


def _type_text(made: SheetModule) -> str:
    comment = "\n".join(
        (
            f"A module type, written by pvsim {pvsim.__version__}: for a scenario's file, at its end.",
            "Each key ends with its unit. Positions are counted row by row, from 1 at the top left.",
            *MODEL_LIMITS,
        )
    )
    return write_toml({"module_types": [module_type_values(made.module_type)]}, comment=comment)
