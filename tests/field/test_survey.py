"""All meters at one place: which can stand there, who would notice, and which tells most."""

from __future__ import annotations

from pvsim.array import Fault, Place, add_fault, paint, set_array, solve_array
from pvsim.field import PROBES, best_of, neighbour_of, notices_of, survey
from pvsim.field.probe import DISPLAYS
from pvsim.files import read_demo

ROOF = read_demo("workshop")
SOUND = solve_array(ROOF)


def test_every_meter_of_the_level_stands_there_and_one_trackers_display_at_the_array_alone() -> None:
    now = solve_array(paint(ROOF, [Place(2)], 0.9))
    whole, string = (survey(SOUND, now, place) for place in (Place(), Place(2)))
    assert [one.probe.what for one in whole] == list(PROBES)
    assert {one.probe.what for one in string} == set(PROBES) - set(DISPLAYS)
    assert all(one.beside is None and not one.beside_rules for one in whole)
    assert all(one.beside is not None for one in string)
    own = set_array(ROOF, tracking="per-string")
    each = survey(solve_array(own), solve_array(paint(own, [Place(2)], 0.9)), Place(2))
    assert [one.probe.what for one in each] == list(PROBES)


def test_what_changed_most_is_best_and_only_what_may_be_judged_by_per_cent_is() -> None:
    now = solve_array(add_fault(ROOF, Fault("cable-open", Place(2))))
    sights = survey(SOUND, now, Place(2))
    best = best_of(sights)
    assert best is not None
    assert best.verdict == "changed"
    assert abs(best.ratio) == max(abs(one.ratio) for one in notices_of(sights) if one.verdict == "changed")
    assert {one.probe.what for one in sights if one.alone_rules} == {"voltage", "open-voltage", "current"}
    assert [rule.percent for rule in sights[2].beside_rules] == [5.0, 2.0]
    assert best_of(()) is None


def test_where_nothing_changed_nothing_is_noticed() -> None:
    assert {one.verdict for one in notices_of(survey(SOUND, SOUND, Place(1, 3)))} == {"unchanged"}


def test_the_last_has_the_first_for_a_neighbour_and_one_alone_has_none() -> None:
    assert neighbour_of(SOUND, Place(2)) == Place(1)
    assert neighbour_of(SOUND, Place(1, 8)) == Place(1, 1)
    assert neighbour_of(SOUND, Place()) is None
    lone = solve_array(read_demo("single-module"))
    assert neighbour_of(lone, Place(1)) is neighbour_of(lone, Place(1, 1)) is None
