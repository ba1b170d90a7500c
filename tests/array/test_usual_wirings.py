"""Usual wirings of a mounted array: each module in one string, once, in strings as long as asked for."""

from __future__ import annotations

import pytest

from pvsim.array.cables import Cables
from pvsim.array.mounting import Row, Spot, Surface
from pvsim.array.rewire import rewire, spots_of
from pvsim.array.route import cable_route, route_as
from pvsim.array.usual_wirings import block_wiring, equal_lengths, mounted_spots, usual_wirings
from pvsim.errors import PvsimError
from tests.array.test_mounting import mounted

ROOF = Surface(type="full-60", rows=(Row(places=6),) * 4)
ALL = " ".join(f"A/{row}/{place}" for row in range(1, 5) for place in range(1, 7))


def test_every_usual_wiring_takes_each_module_once() -> None:
    now = mounted(ALL, surfaces=(ROOF,), cables=Cables())
    lengths = equal_lengths(24, 4)
    found = usual_wirings(now, lengths)
    assert len(found) > 3
    for wiring in found.values():
        assert [len(string) for string in wiring] == list(lengths)
        assert sorted(spot for string in wiring for spot in string) == list(mounted_spots(now))
        assert spots_of(rewire(now, wiring)) == wiring


def test_leapfrog_halves_what_a_row_costs() -> None:
    """Out over every other module and back: both ends near the box, so the long way home is saved."""
    now = mounted(ALL, surfaces=(ROOF,), cables=Cables())
    bought = {
        name: route_as(now, wiring).bought_m for name, wiring in usual_wirings(now, (6, 6, 6, 6)).items()
    }
    taken = cable_route(rewire(now, usual_wirings(now, (6, 6, 6, 6))["leapfrog"]))
    assert taken is not None
    assert taken.bought_m == bought["leapfrog"]
    assert bought["leapfrog"] < bought["row by row"]


def test_blocks_are_as_large_as_asked_for() -> None:
    now = mounted(ALL, surfaces=(ROOF,))
    first = block_wiring(now, (6, 6, 6, 6), 2, 3)[0]
    assert set(first) == {Spot(1, row, place) for row in (1, 2) for place in (1, 2, 3)}


def test_lengths_are_as_equal_as_can_be() -> None:
    assert equal_lengths(10, 3) == (4, 3, 3)
    for modules, strings in ((3, 4), (3, 0)):
        with pytest.raises(PvsimError, match="strings"):
            equal_lengths(modules, strings)
    with pytest.raises(PvsimError):
        usual_wirings(mounted(ALL, surfaces=(ROOF,)), (6, 6))
