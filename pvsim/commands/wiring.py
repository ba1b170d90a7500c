"""`pvsim wiring`: usual ways to wire a roof and the shortest one found, in metres, watts and m2 of loop."""

from __future__ import annotations

import sys
from argparse import Namespace
from dataclasses import replace

from pvsim.array.cables import Cables
from pvsim.array.rewire import on_surfaces, rewire, spots_of
from pvsim.array.scenario import Scenario
from pvsim.array.solve import solve_array
from pvsim.array.usual_wirings import Wiring, string_lengths, usual_wirings
from pvsim.array.wiring_search import search_roof
from pvsim.cabling import Found
from pvsim.commands.output import put_out
from pvsim.commands.source import open_scenario
from pvsim.commands.text import number, table
from pvsim.errors import FileError, nearest
from pvsim.files.provenance import MODEL_LIMITS, one_line
from pvsim.files.scenario_file import write_scenario
from pvsim.reading.cables import all_cables, string_cables

AS_IT_IS = "as it is"
SHORTEST = "shortest found"


def run(options: Namespace) -> int:
    """Compare wirings of what is named; write one out if asked for."""
    scenario = on_surfaces(open_scenario(options.source))
    if scenario.array.cables is None:
        scenario = replace(scenario, array=replace(scenario.array, cables=Cables()))
    count = options.strings or len(scenario.array.strings)
    lengths = string_lengths(scenario, count)
    wirings: dict[str, Wiring] = {AS_IT_IS: spots_of(scenario), **usual_wirings(scenario, lengths)}
    notes = []
    if options.search:
        found, wirings[SHORTEST] = _search(scenario, lengths, options.search)
        notes.append(
            "the shortest found is proved to be the shortest"
            if found.proved
            else f"no wiring needs less than {number(found.least_bought_m)} m; looked {found.rounds:,} times"
        )
    if options.take:
        if options.take not in wirings:
            raise FileError(
                f"there is no wiring called '{options.take}'",
                expected="one of " + ", ".join(wirings),
                mend=nearest(options.take, list(wirings), "Choose one of them"),
            )
        put_out(write_scenario(rewire(scenario, wirings[options.take])).encode(), options.output)
        return 0
    print("\n".join([one_line(scenario.title), *_lines(scenario, wirings), *notes, "", MODEL_LIMITS[1]]))
    return 0


def _search(scenario: Scenario, lengths: tuple[int, ...], time_s: float) -> tuple[Found, Wiring]:
    last = None
    for last in search_roof(scenario, lengths, time_s=time_s):
        if sys.stderr.isatty():
            print(f"\r{last[0].bought_m:.1f} m", end="", file=sys.stderr)
    assert last is not None
    return last


def _lines(scenario: Scenario, wirings: dict[str, Wiring]) -> list[str]:
    rows = []
    for name, wiring in wirings.items():
        solution = solve_array(rewire(scenario, wiring), points=60)
        cables = all_cables(string_cables(solution))
        rows.append(
            [
                name,
                number(cables.bought_m),
                str(cables.extensions),
                str(cables.joints),
                number(cables.loop_area_m2),
                number(cables.loss_W),
                number(solution.power_W),
            ]
        )
    head = ["wiring", "cable m", "extensions", "joints", "largest loop m2", "cable loss W", "power W"]
    return table(head, rows)
