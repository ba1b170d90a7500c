"""`pvsim day`: a clear day on the roof, hour by hour, and its energy."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import replace
from typing import Any

import pvsim
from pvsim.array.day import Day
from pvsim.array.scenario import Scenario
from pvsim.commands.source import open_scenario
from pvsim.commands.text import number, table
from pvsim.day import DayEnergy, day_energy
from pvsim.errors import FileError
from pvsim.files.day import read_date
from pvsim.files.provenance import MODEL_LIMITS, one_line
from pvsim.sky.site import Site

LINES_A_DAY = 24  # shown of a table


def run(options: Namespace) -> int:
    """Play the day of what is named and print it."""
    scenario = _with_day(open_scenario(options.source), options)
    found = day_energy(scenario, step_min=options.step)
    if options.json:
        import json

        head = {"pvsim": pvsim.__version__, "title": scenario.title, "limits": list(MODEL_LIMITS)}
        print(json.dumps({**head, **_values(scenario, found)}, indent=2, allow_nan=False))
    else:
        print("\n".join([one_line(scenario.title), *_lines(scenario, found), "", MODEL_LIMITS[1]]))
    return 0


def _with_day(scenario: Scenario, options: Namespace) -> Scenario:
    """The scenario on the day and at the site asked for."""
    day = scenario.day
    if options.latitude is not None:
        site = Site(
            latitude_deg=options.latitude, longitude_deg=options.longitude, utc_offset_h=options.utc_offset
        )
        when = read_date(options.date) if options.date else (day.date if day else None)
        if when is None:
            raise FileError(
                "no date is given",
                expected="--date with --latitude, where the scenario has no day of its own",
                mend="Add one, such as --date 2026-06-21",
            )
        return replace(scenario, day=replace(day, site=site, date=when) if day else Day(site=site, date=when))
    if day is not None and options.date:
        return replace(scenario, day=replace(day, date=read_date(options.date)))
    return scenario


def _values(scenario: Scenario, found: DayEnergy) -> dict[str, Any]:
    assert scenario.day is not None
    return {
        "date": scenario.day.date.isoformat(),
        "hour": found.hour.tolist(),
        "open_W": found.open_W.tolist(),
        "shaded_W": found.shaded_W.tolist(),
        "power_W": found.power_W.tolist(),
        "followed_W": found.followed_W.tolist(),
        "open_kWh": found.open_kWh,
        "shaded_kWh": found.shaded_kWh,
        "power_kWh": found.power_kWh,
        "followed_kWh": found.followed_kWh,
    }


def _lines(scenario: Scenario, found: DayEnergy) -> list[str]:
    day = scenario.day
    assert day is not None
    head = ["clock", "open W", "shaded W", "with faults W", "nearest peak W"]
    step = max(1, -(-len(found.hour) // LINES_A_DAY))
    rows = []
    for at in range(0, len(found.hour), step):
        minutes = round(found.hour[at] * 60)
        powers = (found.open_W[at], found.shaded_W[at], found.power_W[at], found.followed_W[at])
        rows.append([f"{minutes // 60:02d}:{minutes % 60:02d}", *map(number, powers)])
    rows.append(
        ["kWh", *map(number, (found.open_kWh, found.shaded_kWh, found.power_kWh, found.followed_kWh))]
    )
    place = f"{number(day.site.latitude_deg)} degrees north, {number(day.site.longitude_deg)} degrees east"
    return [
        f"{day.date.isoformat()}, {day.site.title or place}, under a clear sky",
        "open: nothing throws a shadow; shaded: what stands there does; with faults: the array as it is;",
        "nearest peak: the same with trackers that climb from where they stood the time before",
        "",
        *table(head, rows),
    ]
