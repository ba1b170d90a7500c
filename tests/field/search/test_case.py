"""Cases: the same for ever, and nothing of the fault in what is seen."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pvsim.array import Fault, Place, add_fault, solve_array
from pvsim.array.fault_kind import FAULT_KINDS
from pvsim.errors import ScenarioError
from pvsim.field.search.case import LEVELS, SearchCase, kinds_at, search_case, the_visible
from pvsim.field.search.family import ANSWERS, FAMILIES, HIDDEN_KINDS, answer_of, family_of

CASES = [(seed, level) for level in LEVELS for seed in range(12)]


def test_a_seed_a_level_and_a_family_make_one_case_for_ever() -> None:
    assert search_case(7, 3) == search_case(7, 3)
    assert search_case(7, 3, "cells") == search_case(7, 3, "cells")
    assert search_case(7, 3, "cells").faults != search_case(7, 3, "wiring").faults
    drawn = [search_case(seed, 4) for seed in range(40)]
    assert len({case.fault for case in drawn}) > 30
    assert len({case.sound.scatter for case in drawn}) == 40


def test_another_fault_leaves_what_is_seen_as_it_was() -> None:
    for seed, level in CASES:
        case = search_case(seed, level)
        seen = the_visible(case)
        assert seen.faults == ()
        assert seen.scatter is None
        for other in (Fault("cell-open", Place(1, 2, cell=3)), Fault("diode-short", Place(1, 1, diode=2))):
            assert the_visible(replace(case, faults=(other,))) == seen
        for family in FAMILIES:
            if kinds_at(level, family):
                assert the_visible(search_case(seed, level, family)) == seen


def test_dirt_that_an_eye_sees_is_seen() -> None:
    case = search_case(1, 2)
    thin, thick = (Fault("soiling", Place(1, 2), size) for size in (0.2, 0.3))
    assert the_visible(replace(case, faults=(thin,))).faults == ()
    assert the_visible(replace(case, faults=(thick,))).faults == (thick,)


def test_the_seed_is_not_to_be_read_from_what_is_seen() -> None:
    texts = {
        (the_visible(search_case(seed, 1)).title, the_visible(search_case(seed, 1)).note) for seed in range(9)
    }
    assert len(texts) == 1


@pytest.mark.parametrize("family", FAMILIES)
def test_a_block_hides_one_family(family: str) -> None:
    for seed in range(30):
        assert family_of(search_case(seed, 5, family).fault.kind) == family


def test_mixed_practice_hides_every_kind_of_its_level() -> None:
    for level, kind in LEVELS.items():
        assert {one.kind for seed in range(150) for one in search_case(seed, level).faults} == set(kind.kinds)


def test_twenty_kinds_are_hidden_and_they_are_all_there_are() -> None:
    assert len(HIDDEN_KINDS) == 20
    assert set(HIDDEN_KINDS) == set(FAULT_KINDS) == set(LEVELS[5].kinds)


def test_each_kind_belongs_to_one_answer_and_its_place_is_asked_for_alike() -> None:
    assert sorted(kind for one in ANSWERS.values() for kind in one.kinds) == sorted(HIDDEN_KINDS)
    for key, answer in ANSWERS.items():
        assert {answer_of(kind) for kind in answer.kinds} == {key}
        assert len({(HIDDEN_KINDS[kind].judged, family_of(kind)) for kind in answer.kinds}) == 1


def test_two_faults_are_of_two_families_and_in_two_modules() -> None:
    for seed in range(40):
        one, other = search_case(seed, 6).faults
        assert family_of(one.kind) != family_of(other.kind)
        assert one.place.module != other.place.module
    assert family_of(search_case(1, 6, "diodes").faults[0].kind) == "diodes"


def test_families_share_no_kind_and_leave_none_out() -> None:
    named = [kind for family in FAMILIES.values() for kind in family.kinds]
    assert sorted(named) == sorted(HIDDEN_KINDS)


def test_a_hidden_fault_is_in_the_array_that_meters_are_put_on() -> None:
    for seed in range(6):
        case = search_case(seed, 1)
        assert case.scenario == add_fault(case.sound, case.fault)
        assert solve_array(case.scenario).power_W < solve_array(case.sound).power_W


@pytest.mark.parametrize(
    ("seed", "level", "family"), [(-1, 1, ""), (1, 0, ""), (1, 9, ""), (1, 1, "magic"), (True, 1, "")]
)
def test_what_no_case_is_drawn_from_is_refused(seed: int, level: int, family: str) -> None:
    with pytest.raises(ScenarioError):
        search_case(seed, level, family)


def test_a_frozen_case_holds_its_parts() -> None:
    case = search_case(3, 2)
    with pytest.raises(ScenarioError):
        SearchCase(seed=3, level=2, family="", sound=case.sound, faults=())
