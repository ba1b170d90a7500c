"""Cables between modules: conductors, leads and their reach, routes, usual orders, the shortest wiring.

Pure geometry over points in metres: it knows no array, no file and no page. Modules are given by their
row in arrays of points; in a wiring, and in every text, they have numbers, which count from 1. A string is
the numbers of its modules from its negative to its positive end: the plus lead of each joins the minus
lead of the next.
"""

from __future__ import annotations

from pvsim.cabling.conductor import (
    CLASS_5_OHM_PER_KM,
    Conductor,
    cable_loss_W,
    cable_resistance_ohm,
    voltage_drop_V,
)
from pvsim.cabling.loop import loop_area_m2
from pvsim.cabling.presets import blocks, leapfrog, preset_wirings, row_by_row, serpentine
from pvsim.cabling.route import Extension, HomeRun, Route, StringRoute, lay_cables
from pvsim.cabling.shortest import Found, search_wirings, shortest_wiring
from pvsim.cabling.terminals import (
    Terminals,
    extension_lengths_m,
    home_run_corners,
    home_run_lengths_m,
    lead_distances_m,
    reaches,
)
from pvsim.cabling.wiring import Wiring, check_lengths, check_wiring

__all__ = [
    "CLASS_5_OHM_PER_KM",
    "Conductor",
    "Extension",
    "Found",
    "HomeRun",
    "Route",
    "StringRoute",
    "Terminals",
    "Wiring",
    "blocks",
    "cable_loss_W",
    "cable_resistance_ohm",
    "check_lengths",
    "check_wiring",
    "extension_lengths_m",
    "home_run_corners",
    "home_run_lengths_m",
    "lay_cables",
    "lead_distances_m",
    "leapfrog",
    "loop_area_m2",
    "preset_wirings",
    "reaches",
    "row_by_row",
    "search_wirings",
    "serpentine",
    "shortest_wiring",
    "voltage_drop_V",
]
