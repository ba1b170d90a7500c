"""What a student is given before the end holds nothing of the fault, nor of what nobody sees of the cells."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pvsim.array import Fault, Place, solve_array
from pvsim.array.scatter import Scatter
from pvsim.field.search import LEVELS, Foresight, Transcript, hint_of, search_case, the_visible
from pvsim.field.search.candidates import candidates_of
from pvsim.files import pack, write_scenario

OTHERS = (
    Fault("cell-open", Place(1, 2, cell=3)),
    Fault("modules-too-few", Place(1), 1.0),
    Fault("earth-fault", Place(1, 1), 2000.0),
    Fault("soiling", Place(1, 3), 0.2),
)


def given(case) -> tuple[str, str]:
    seen = the_visible(case)
    return write_scenario(seen), pack(seen)


@pytest.mark.parametrize("level", LEVELS)
def test_file_and_link_of_what_is_seen_are_the_same_whatever_is_hidden(level: int) -> None:
    for seed in range(8):
        case = search_case(seed, level)
        text, link = given(case)
        for other in OTHERS:
            assert given(replace(case, faults=(other,))) == (text, link)
        assert not any(fault.kind in text for fault in case.faults)


def test_file_and_link_of_what_is_seen_do_not_hold_the_seed_of_the_scatter() -> None:
    case = search_case(5, 3)
    scatter = case.sound.scatter
    assert isinstance(scatter, Scatter)
    other = replace(case, sound=replace(case.sound, scatter=replace(scatter, seed=(scatter.seed + 1) % 999)))
    assert given(other) == given(case)
    assert str(scatter.seed) not in given(case)[0]
    assert "scatter" not in given(case)[0]


def test_what_is_foreseen_before_the_first_reading_is_the_same_whatever_is_hidden() -> None:
    case = search_case(5, 1)
    for other in OTHERS[:1]:
        there = replace(case, faults=(other,))
        assert candidates_of(there) == candidates_of(case)
        assert Foresight(there).seen == Foresight(case).seen
        assert hint_of(there, Transcript(), 4) == hint_of(case, Transcript(), 4)


def test_the_visible_array_works_as_if_nothing_were_wrong() -> None:
    case = search_case(5, 2)
    strings = solve_array(the_visible(case)).modules.power_W
    assert strings.max() - strings.min() < 1e-6 * strings.max()  # all modules alike
