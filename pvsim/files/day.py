"""The day of a scenario file: its site, the date, and what stands there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from datetime import date
from typing import Any

from pvsim.array.day import SOLID_KINDS, Day, solid_kind
from pvsim.array.limits import MAX_SOLIDS
from pvsim.errors import ScenarioError
from pvsim.files.table import Table
from pvsim.sky.site import Site

DAY_KEYS = ("date", "ground_reflectance", "site", "solids")
SITE_FIELDS = tuple(field.name for field in fields(Site))
_SOLID_FIELDS: Mapping[str, tuple[str, ...]] = {
    word: tuple(field.name for field in fields(kind)) for word, kind in SOLID_KINDS.items()
}
_SOLID_KEYS = ("kind", *sorted({name for names in _SOLID_FIELDS.values() for name in names}))


def day_table(day: Day) -> dict[str, Any]:
    """A day in plain values."""
    table: dict[str, Any] = {
        "date": day.date.isoformat(),
        "ground_reflectance": day.ground_reflectance,
        "site": {name: getattr(day.site, name) for name in SITE_FIELDS},
    }
    if day.solids:
        table["solids"] = [
            {
                "kind": (kind := solid_kind(solid)),
                **{name: getattr(solid, name) for name in _SOLID_FIELDS[kind]},
            }
            for solid in day.solids
        ]
    return table


def read_day(table: Table) -> Day:
    """The day of a scenario's table.

    Raises
    ------
    FileError
        If a key or a value is wrong.
    """
    site = table.table("site", SITE_FIELDS).build(Site)
    solids = []
    for entry in table.tables("solids", _SOLID_KEYS, most=MAX_SOLIDS):
        kind = entry.word("kind", tuple(SOLID_KINDS))
        entry.only(("kind", *_SOLID_FIELDS[kind]), f"with kind = '{kind}'")
        solids.append(entry.build(SOLID_KINDS[kind], _SOLID_FIELDS[kind]))
    when = table.convert("date", read_date)
    return table.build(Day, ("ground_reflectance",), site=site, date=when, solids=tuple(solids))


def read_date(text: str) -> date:
    """A date as people write it in a file: 2026-06-21.

    Raises
    ------
    ScenarioError
        If it is none.
    """
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise ScenarioError(
            f"{text[:40]!r} is no date",
            expected="a day of the calendar, year first",
            mend="Write it like 2026-06-21",
        ) from None
