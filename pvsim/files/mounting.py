"""Surfaces and spots in a scenario file: as tables, and runs of spots in one text."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import fields
from itertools import groupby
from typing import Any

from pvsim.array.limits import MAX_PLACES_PER_ROW, MAX_ROWS, MAX_SURFACES
from pvsim.array.mounting import Row, Spot, Surface, format_spot, parse_spot
from pvsim.errors import FileError
from pvsim.files.source import where
from pvsim.files.table import Table

SURFACE_FIELDS = tuple(field.name for field in fields(Surface) if field.name != "rows")
ROW_FIELDS = tuple(field.name for field in fields(Row))

_RUN = re.compile(r"([A-Za-z]/\d{1,4}/(\d{1,4}))-(\d{1,4})")


def surface_tables(surfaces: Sequence[Surface]) -> list[dict[str, Any]]:
    """Surfaces in plain values; equal rows one after another are counted."""
    tables = []
    for surface in surfaces:
        table = {name: getattr(surface, name) for name in SURFACE_FIELDS}
        rows = []
        for row, group in groupby(surface.rows):
            count = len(list(group))
            entry = {name: getattr(row, name) for name in ROW_FIELDS}
            rows.append(entry if count == 1 else {"count": count, **entry})
        tables.append({**table, "rows": rows})
    return tables


def read_surfaces(table: Table) -> tuple[Surface, ...]:
    """The surfaces of an array's table."""
    return tuple(map(_surface, table.tables("surfaces", (*SURFACE_FIELDS, "rows"), most=MAX_SURFACES)))


def _surface(table: Table) -> Surface:
    rows: list[Row] = []
    for entry in table.tables("rows", ("count", *ROW_FIELDS), most=MAX_ROWS, required=True):
        count = entry.whole("count", 1, least=1, most=MAX_ROWS)
        rows += [entry.build(Row, ROW_FIELDS)] * count
    return table.build(Surface, SURFACE_FIELDS, rows=tuple(rows))


def spot_runs(spots: Sequence[Spot]) -> list[str]:
    """Spots in the order given; neighbours that follow each other in a row as one: "A/1/1-12", "A/2/12-1"."""
    runs: list[list[Spot]] = []
    for spot in spots:
        if runs and _follows(runs[-1], spot):
            runs[-1].append(spot)
        else:
            runs.append([spot])
    texts: list[str] = []
    for run in runs:
        end = f"-{run[-1].place}" if len(run) > 1 else ""
        texts.append(format_spot(run[0]) + end)
    return texts


def read_spots(table: Table, key: str, *, most: int) -> list[Spot]:
    """The spots that a list of runs names.

    Raises
    ------
    FileError
        If one of them is none, or there are more than `most`.
    """
    spots: list[Spot] = []
    for position, text in enumerate(table.texts(key, most=most, required=True)):
        with table.placed(key, position):
            spots += spots_of_run(text)
        if len(spots) > most:
            raise FileError(
                f"{where(table.source, (*table.path, key))} has more than {most:,} spots",
                expected=f"at most {most:,}",
                mend="Make it several strings, or take some out",
            )
    return spots


def spots_of_run(text: str) -> Iterator[Spot]:
    """The spots of one text: "A/2/5" is one, "A/1/1-12" and "A/2/12-1" are several in that order.

    Raises
    ------
    ScenarioError
        If it is none, as soon as it is asked for.
    """
    found = _RUN.fullmatch(text.strip())
    if found is None:
        yield parse_spot(text)
        return
    spot, last = parse_spot(found[1]), min(int(found[3]), MAX_PLACES_PER_ROW + 1)
    step = 1 if last >= spot.place else -1
    for place in range(spot.place, last + step, step):
        yield Spot(spot.surface, spot.row, place)


def _follows(run: Sequence[Spot], spot: Spot) -> bool:
    last = run[-1]
    step = spot.place - last.place
    if (spot.surface, spot.row) != (last.surface, last.row) or abs(step) != 1:
        return False
    return len(run) == 1 or step == last.place - run[-2].place
