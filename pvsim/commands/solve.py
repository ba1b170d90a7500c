"""`pvsim solve`: the characteristic, the operating point, and who delivers or eats how much."""

from __future__ import annotations

from argparse import Namespace

import pvsim
from pvsim.commands.source import open_source
from pvsim.files.circuit_file import CircuitFile
from pvsim.files.provenance import MODEL_LIMITS, one_line


def run(options: Namespace) -> int:
    """Solve what is named and print it."""
    source = open_source(options.source)
    if isinstance(source, CircuitFile):
        from pvsim.commands.circuit_report import report_circuit

        lines, values = report_circuit(source, options)
    else:
        from pvsim.commands.array_report import report_array

        lines, values = report_array(source, options)
    if options.json:
        import json

        head = {"pvsim": pvsim.__version__, "title": source.title, "limits": list(MODEL_LIMITS)}
        print(json.dumps({**head, **values}, indent=2, allow_nan=False))
    else:
        print("\n".join([one_line(source.title) or "Circuit", *lines, "", MODEL_LIMITS[1]]))
    return 0
