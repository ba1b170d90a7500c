"""Rows about a roof: a day with a moving shadow, and the shortest wiring."""

from __future__ import annotations

import time
from dataclasses import replace
from datetime import date

from pvsim.benchmark.row import Row

SEARCH_s = 10.0


def a_day() -> list[Row]:
    """21 June at 54 degrees north in 5-minute steps: the 960 cells of the workshop, behind a pole."""
    from pvsim.array.day import Day
    from pvsim.array.rewire import on_surfaces
    from pvsim.day import film_of
    from pvsim.files.demo import read_demo
    from pvsim.sky import Pole, Site

    site = Site(latitude_deg=54.0, longitude_deg=15.0, utc_offset_h=1.0)
    pole = Pole(x_m=4.0, y_m=-4.5, radius_m=0.1, height_m=9.0)
    roof = on_surfaces(read_demo("workshop"))
    scenario = replace(roof, day=Day(site=site, date=date(2026, 6, 21), solids=(pole,)))
    start = time.process_time()
    film = film_of(scenario)
    frames = list(film.frames())
    seconds = time.process_time() - start
    shaded = int((film.cells_W_m2.min(axis=1) < 0.9 * film.cells_W_m2.max(axis=1)).sum())
    return [
        Row(
            name="day",
            what="a day of the 960-cell demo array with a pole's moving shadow, on one core",
            figure=seconds,
            bar=4.0,
            unit="s",
            note=f"{len(frames)} times of 5 minutes, the shadow on cells at {shaded} of them",
        )
    ]


def shortest() -> list[Row]:
    """30 modules in 5 strings of 6, three rows of ten, as the search leaves them after some seconds."""
    from pvsim.array.array import Array, Module, String
    from pvsim.array.cables import Cables
    from pvsim.array.mounting import Row as MountingRow
    from pvsim.array.mounting import Spot, Surface
    from pvsim.array.route import roof_terminals, route_as
    from pvsim.array.scenario import Scenario
    from pvsim.array.usual_wirings import usual_wirings
    from pvsim.cabling.shortest import shortest_wiring

    surface = Surface(type="half-120", rows=(MountingRow(places=10),) * 3)
    spots = [Spot(1, row, place) for row in (1, 2, 3) for place in range(1, 11)]
    strings = tuple(
        String(modules=tuple(Module("half-120", spot=spot) for spot in spots[6 * k : 6 * k + 6]))
        for k in range(5)
    )
    cables = Cables()
    array = Array(strings=strings, surfaces=(surface,), cables=cables)
    scenario = Scenario(title="Three rows of ten, invented", array=array)
    lengths = (6,) * 5
    usual = usual_wirings(scenario, lengths)
    best = min(route_as(scenario, wiring).bought_m for wiring in usual.values())
    order, terminals = roof_terminals(scenario)
    number_of = {spot: number for number, spot in enumerate(order, start=1)}
    starts = [[[number_of[spot] for spot in string] for string in wiring] for wiring in usual.values()]
    start = time.perf_counter()
    found = shortest_wiring(
        terminals, (cables.box_x_m, cables.box_y_m), lengths, starts=starts, goal="cable", time_s=SEARCH_s
    )
    seconds = time.perf_counter() - start
    proof = "proved" if found.proved else f"none needs less than {found.least_bought_m:.1f} m"
    return [
        Row(
            name="shortest-wiring",
            what="30 modules in 5 strings: cable of the wiring found, as a share of the best usual one's",
            figure=found.bought_m / best,
            bar=1.0,
            unit="",
            note=f"{found.bought_m:.1f} m against {best:.1f} m after {seconds:.0f} s; {proof}",
        )
    ]
