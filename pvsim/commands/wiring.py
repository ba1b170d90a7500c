"""`pvsim wiring`: usual ways to wire a roof and the shortest one found, in metres, watts and m2 of loop."""

from __future__ import annotations

import sys
from argparse import Namespace
from dataclasses import replace

from pvsim.array.cables import Cables
from pvsim.array.rewire import on_surfaces, rewire, spots_of
from pvsim.array.route import lead_resistances_ohm, roof_terminals, route_as
from pvsim.array.scenario import Scenario
from pvsim.array.solve import solve_array
from pvsim.array.usual_wirings import Wiring, equal_lengths, mounted_spots, usual_wirings
from pvsim.cabling.shortest import Found, search_wirings
from pvsim.commands.output import put_out
from pvsim.commands.source import open_scenario
from pvsim.commands.text import number, table
from pvsim.errors import FileError, nearest
from pvsim.files.provenance import MODEL_LIMITS, one_line
from pvsim.files.scenario_file import write_scenario

AS_IT_IS = "as it is"
SHORTEST = "shortest found"


def run(options: Namespace) -> int:
    """Compare wirings of what is named; write one out if asked for."""
    scenario = on_surfaces(open_scenario(options.source))
    if scenario.array.cables is None:
        scenario = replace(scenario, array=replace(scenario.array, cables=Cables()))
    count = options.strings or len(scenario.array.strings)
    lengths = equal_lengths(len(mounted_spots(scenario)), count)
    wirings: dict[str, Wiring] = {AS_IT_IS: spots_of(scenario), **usual_wirings(scenario, lengths)}
    notes = []
    if options.search:
        found = _search(scenario, lengths, options.search)
        spots = mounted_spots(scenario)
        wirings[SHORTEST] = tuple(tuple(spots[at - 1] for at in string) for string in found.wiring)
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


def _search(scenario: Scenario, lengths: tuple[int, ...], time_s: float) -> Found:
    spots, terminals = roof_terminals(scenario)
    number_of = {spot: at for at, spot in enumerate(spots, start=1)}
    starts = [
        [[number_of[spot] for spot in string] for string in wiring]
        for wiring in usual_wirings(scenario, lengths).values()
    ]
    cables = scenario.array.cables
    assert cables is not None
    last = None
    for last in search_wirings(
        terminals, (cables.box_x_m, cables.box_y_m), lengths, starts=starts, time_s=time_s, goal="cable"
    ):
        if sys.stderr.isatty():
            print(f"\r{last.bought_m:.1f} m", end="", file=sys.stderr)
    assert last is not None
    return last


def _lines(scenario: Scenario, wirings: dict[str, Wiring]) -> list[str]:
    rows = []
    for name, wiring in wirings.items():
        route = route_as(scenario, wiring)
        wired = rewire(scenario, wiring)
        solution = solve_array(wired, points=60)
        ohm = lead_resistances_ohm(wired)
        lost = sum(r * float(i) ** 2 for r, i in zip(ohm, solution.strings.current_A, strict=True))
        loops = [string.loop_area_m2 for string in route.strings]
        rows.append(
            [
                name,
                number(route.bought_m),
                str(route.extensions),
                str(route.joints),
                number(max(loops)),
                number(lost),
                number(solution.power_W),
            ]
        )
    head = ["wiring", "cable m", "extensions", "joints", "largest loop m2", "cable loss W", "power W"]
    return table(head, rows)
