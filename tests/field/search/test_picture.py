"""Pictures in a search: what they tell is what the cells are, and they are drawn again as they were."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pvsim.array import Fault, Place
from pvsim.field import take_thermogram
from pvsim.field.search import Act, Transcript, do, search_case
from pvsim.field.search.picture import contrasts_of, true_contrasts_K
from pvsim.field.search.plant import AS_FOUND, solved

BASE = search_case(11, 4)


def found(case, place: Place):
    return do(case, Transcript(), Act(kind="picture", place=place)).transcript.lines[0].found


def test_what_a_picture_tells_is_within_its_uncertainty_of_the_cells() -> None:
    inside = total = 0
    for fault in (Fault("cell-short", Place(1, 2, cell=5)), Fault("cell-cracked", Place(2, 3, cell=20), 0.4)):
        for seed in range(12):
            solution = solved(replace(BASE, faults=(fault,)).scenario, AS_FOUND)
            at = Place(fault.place.string, fault.place.module)
            true = dict(true_contrasts_K(solution, at))
            for one in contrasts_of(solution, at, serial=seed, time_min=5.0, number=seed):
                total += 1
                inside += abs(one.reading.value - true[one.place]) <= one.reading.expanded_uncertainty
    assert inside >= 0.85 * total  # 95 of 100 are meant; of 72


def test_a_shorted_cell_shows_in_its_module_and_its_substring() -> None:
    case = replace(BASE, faults=(Fault("cell-short", Place(1, 2, cell=5)),))
    by_module = {one.place: one.reading.value for one in found(case, Place(1))}
    assert max(by_module, key=by_module.__getitem__) == Place(1, 2)
    by_part = {one.place: one.reading.value for one in found(case, Place(1, 2))}
    assert max(by_part, key=by_part.__getitem__) == Place(1, 2, substring=1)
    assert by_part[Place(1, 2, substring=1)] == pytest.approx(by_module[Place(1, 2)], abs=0.5)


def test_a_picture_is_the_same_each_time_it_is_drawn() -> None:
    act = Act(kind="picture", place=Place(1, 2))
    transcript = do(BASE, do(BASE, Transcript(), Act(kind="hint")).transcript, act).transcript
    line = transcript.lines[1]
    solution = solved(BASE.scenario, AS_FOUND)
    seen = contrasts_of(solution, act.place, serial=BASE.seed, time_min=line.end_min, number=1)
    assert [one.reading for one in seen] == [one.reading for one in line.found]
    pictures = [
        take_thermogram(solution, act.place, serial=BASE.seed, time_min=line.end_min, number=1)
        for _again in range(2)
    ]
    assert (pictures[0].temperature_C == pictures[1].temperature_C).all()


def test_where_a_module_was_left_out_the_roof_is_even_and_meters_read_nothing() -> None:
    case = replace(BASE, faults=(Fault("modules-too-few", Place(1), 1.0),))
    last = len(case.sound.array.strings[0].modules)
    assert [one.reading.value for one in found(case, Place(1, last))] == [0.0] * 3
    assert len(found(case, Place(1))) == last
    run = Act(kind="read-run", place=Place(1, last), last=last)
    voltage = Act(kind="read", what="voltage", place=Place(1, last))
    transcript = do(case, do(case, Transcript(), run).transcript, voltage).transcript
    assert [abs(line.found[0].reading.value) < 0.1 for line in transcript.lines] == [True, True]
