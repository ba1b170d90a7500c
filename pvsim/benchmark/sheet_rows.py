"""Rows about data sheets: from a sheet to its cell's parameters."""

from __future__ import annotations

import time
from statistics import median

from pvsim.benchmark.row import Row

TIMES = 20


def a_fit() -> list[Row]:
    """The sheets that come with pvsim, each fitted some times; the first time of each is not counted."""
    from pvsim.sheet import module_from_sheet
    from pvsim.sheet.own import own_sheets, read_own_sheet

    seconds = []
    for name in own_sheets():
        file = read_own_sheet(name)
        module_from_sheet(file.sheet, file.assumed)
        for _ in range(TIMES):
            start = time.perf_counter()
            module_from_sheet(file.sheet, file.assumed)
            seconds.append(time.perf_counter() - start)
    return [
        Row(
            name="sheet",
            what="a data sheet to its module, the whole module solved to say what is left over",
            figure=1000.0 * median(seconds),
            bar=50.0,
            unit="ms",
            note=f"{len(seconds)} fits, {1000.0 * max(seconds):.0f} ms at most",
        )
    ]
