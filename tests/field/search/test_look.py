"""Looks: whatever the plant was left like, the way to one is allowed, and ends where it can be read."""

from __future__ import annotations

from itertools import product

import pytest

from pvsim.array import Place
from pvsim.field.search import AS_FOUND, Plant, minutes_of, refusal_of, search_case, the_visible
from pvsim.field.search.look import all_looks, look_of, minutes_to, way_to
from pvsim.field.search.safety import after

LOOKS = all_looks(the_visible(search_case(1, 3)))
PLANTS = [
    Plant(running=running, switch_closed=closed, proven=proven, separated=separated, cloth=cloth)
    for running, closed, proven, separated, cloth in product(
        (True, False), (True, False), (True, False), ((), (1,), (1, 2)), (None, Place(1, 2, substring=1))
    )
    if (closed or not running) and not (closed and proven)
]


@pytest.mark.parametrize("plant", PLANTS, ids=str)
def test_the_way_to_a_look_is_allowed_from_every_plant(plant: Plant) -> None:
    for look in LOOKS[::3]:
        stands = plant
        for act in way_to(plant, look):
            assert refusal_of(stands, act) is None, (look, act)
            stands = after(stands, act, zero=True)
        assert refusal_of(stands, look.act) is None
        assert look_of(stands, look.act) == look
        assert stands.switch_closed == (look.mode == "work")
        if look.mode == "work":
            assert (stands.running, stands.separated) == (True, ())


def test_minutes_to_a_look_are_those_of_all_its_acts() -> None:
    for look in LOOKS:
        minutes, stands = minutes_to(AS_FOUND, look)
        assert minutes == sum(map(minutes_of, (*way_to(AS_FOUND, look), look.act)))
        assert way_to(stands, look) == ()


def test_no_look_is_there_twice() -> None:
    assert len(set(LOOKS)) == len(LOOKS)
