"""The search for the shortest wiring of an array's mounted modules."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pvsim.array.cables import Cables
from pvsim.array.route import roof_terminals
from pvsim.array.scenario import Scenario
from pvsim.array.usual_wirings import Wiring, mounted_spots, usual_wirings
from pvsim.cabling import Found, search_wirings

__all__ = ["search_roof"]


def search_roof(
    scenario: Scenario, lengths: Sequence[int], *, time_s: float
) -> Iterator[tuple[Found, Wiring]]:
    """Search for the wiring with the least bought cable, and say from time to time what was found.

    Parameters
    ----------
    scenario : Scenario
        An array with surfaces; without `Cables` its strings meet where they usually do.
    lengths : sequence of int
        Modules of each string; together all that are mounted.
    time_s : float
        After so many seconds it ends.

    Yields
    ------
    Found, tuple of tuples of Spot
        Each no worse than the one before, and than any of the usual wirings.
    """
    spots, terminals = roof_terminals(scenario)
    assert spots == mounted_spots(scenario)
    number_of = {spot: at for at, spot in enumerate(spots, start=1)}
    starts = [
        [[number_of[spot] for spot in string] for string in wiring]
        for wiring in usual_wirings(scenario, lengths).values()
    ]
    cables = scenario.array.cables or Cables()
    box = (cables.box_x_m, cables.box_y_m)
    for found in search_wirings(terminals, box, lengths, starts=starts, time_s=time_s, goal="cable"):
        yield found, tuple(tuple(spots[at - 1] for at in string) for string in found.wiring)
