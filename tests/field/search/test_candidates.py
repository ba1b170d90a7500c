"""Candidates: every case's fault is among them, and what is foreseen is what the circuit gives."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array import Place, part_curve, solve_array
from pvsim.array.part_place import place_at
from pvsim.field.search.act import Act
from pvsim.field.search.candidates import candidates_of
from pvsim.field.search.case import LEVELS, search_case, the_visible, with_faults
from pvsim.field.search.family import HIDDEN_KINDS, answer_of
from pvsim.field.search.foresight import Foresight
from pvsim.field.search.plant import AS_FOUND, Plant, as_it_stands, run_voltage_V

OPEN = Plant(running=False, switch_closed=False)
CLOTHS = (Place(1, 1), Place(2, 3, substring=2), Place(2, 1, substring=1))


@pytest.mark.parametrize("level", LEVELS)
def test_every_hidden_fault_is_among_the_candidates(level: int) -> None:
    for seed in range(20):
        case = search_case(seed, level)
        hidden = {
            (answer_of(one.kind), place_at(case.sound, one.place, HIDDEN_KINDS[one.kind].judged))
            for one in case.faults
        }
        assert hidden in [set(one.answers) for one in candidates_of(case)]


@pytest.mark.parametrize("plant", [AS_FOUND, OPEN, *(Plant(cloth=cloth) for cloth in CLOTHS)])
def test_what_is_foreseen_at_first_places_holds_at_all(plant: Plant) -> None:
    case = search_case(3, 3)
    know, seen = Foresight(case), the_visible(case)
    for number in range(0, len(know.candidates), 13):
        faults = know.candidates[number].faults
        solution = solve_array(as_it_stands(with_faults(seen, faults), plant), points=20)
        for string in (1, 2):
            for first, last in ((1, 1), (2, 3), (1, 4)):
                run = Act(kind="read-run", place=Place(string, first), last=last)
                value, sure = know.reading(number, plant, run)
                # The same circuit with its places changed; rounded to 1e-5 V a module.
                assert value[0] == pytest.approx(run_voltage_V(solution, string, first, last), abs=2e-5)
                assert sure[0] > 0.0


def test_short_circuit_currents_are_foreseen_module_by_module() -> None:
    case = search_case(3, 3)
    know, seen = Foresight(case), the_visible(case)
    number = next(
        k for k, one in enumerate(know.candidates) if one.kind == "soiling" and one.place == Place(2, 3)
    )
    solution = solve_array(as_it_stands(with_faults(seen, know.candidates[number].faults), OPEN))
    for place in (Place(1, 3), Place(2, 3)):
        value, _sure = know.reading(number, OPEN, Act(kind="trace", place=place))
        assert value[0] == pytest.approx(part_curve(solution, place).isc_A, abs=1e-5)
    trace = [know.reading(number, OPEN, Act(kind="trace", place=Place(2, k)))[0][0] for k in range(1, 5)]
    assert int(np.argmin(trace)) == 2
