"""A ranking says of how many parts a fault is, which it cannot tell, and where unlike parts let it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pvsim.array import Fault, Module, Place, add_fault, level_curve, paint
from pvsim.files import read_demo
from pvsim.traced.planting import plant
from pvsim.traced.ranking import rank_faults
from pvsim.traced.sentence import ranking_sentence
from pvsim.traced.variant import alike
from pvsim.traced.where import say_where
from tests.traced.samples import BENCH, MODULE, traced


def found(scenario, place, *faults, painted=()):
    faulty = scenario
    for fault in faults:
        faulty = add_fault(faulty, Fault(*fault))
    for one, transmission in painted:
        faulty = paint(faulty, [one], transmission)
    return rank_faults(traced(level_curve(faulty, place), 1, voltage=0.005), scenario, place).ranked[0]


def test_the_curve_of_a_module_tells_how_many_substrings_and_not_which():
    where = found(BENCH, MODULE, ("diode-short", Place(1, 1, diode=3))).where
    assert (where.level, where.count, where.of, where.place) == ("substring", 1, 3, None)
    assert "Which of them cannot be told" in say_where(where)


def test_the_curve_of_a_string_tells_how_many_substrings_are_shaded():
    shaded = [(Place(1, m, 20 * m), 0.5) for m in (1, 2)]
    where = found(read_demo("workshop"), Place(1), painted=shaded).where
    assert (where.count, where.of) == (2, 24)


def test_the_curve_of_an_array_tells_in_how_many_strings_and_not_in_which():
    first, second = (
        found(read_demo("workshop"), Place(), ("diode-short", Place(string, 4, diode=2))).where
        for string in (1, 2)
    )
    assert first == second
    assert (first.strings, first.of_strings, first.count) == (1, 2, 1)
    assert "Which string cannot be told" in say_where(first)


def test_strings_that_are_not_alike_are_told_apart():
    workshop = read_demo("workshop")
    short, long = workshop.array.strings
    rows = (replace(short, modules=short.modules[:5]), long)
    unlike = replace(workshop, array=replace(workshop.array, strings=rows))
    where = found(unlike, Place(), ("cable-open", Place(2))).where
    assert where.place == Place(2)
    assert "string 2" in say_where(where)


def test_missing_modules_are_counted_and_what_looks_the_same_is_named():
    first = found(read_demo("workshop"), Place(2), ("modules-too-few", Place(2), 2.0))
    assert (first.family.name, first.where.count, first.where.of) == ("module-missing", 2, 8)
    assert "bypass diodes" in say_where(first.where)


def test_what_is_in_order_is_nowhere():
    assert found(BENCH, MODULE).where is None


def test_parts_are_alike_where_their_own_curves_are():
    string = BENCH.array.strings[0]
    mixed = replace(
        BENCH,
        array=replace(
            BENCH.array, strings=(replace(string, modules=(*string.modules, Module(type="full-72"))),)
        ),
    )
    assert alike([Place(1, 1), Place(1, 2)], mixed) == [[Place(1, 1)], [Place(1, 2)]]
    assert alike([Place(1, 1), Place(1, 2)], read_demo("workshop")) == [[Place(1, 1), Place(1, 2)]]


@pytest.mark.parametrize("count", [1, 3])
def test_other_counts_that_fit_as_well_are_named(count):
    where = found(BENCH, MODULE, ("diode-short", Place(1, 1, diode=1))).where
    assert str(count) in say_where(replace(where, others=(count,)))


def test_what_was_ranked_is_put_on_the_bench_in_as_many_parts():
    workshop = read_demo("workshop")
    one = found(workshop, Place(1), painted=[(Place(1, m, 20 * m), 0.5) for m in (1, 2)])
    there = plant(workshop, Place(1), one.family, one.size, one.where)
    assert len(there.light.painted) == len(plant(workshop, Place(1), one.family, one.size).light.painted) + 1
    again = rank_faults(traced(level_curve(there, Place(1)), 2), workshop, Place(1)).ranked[0]
    assert (again.family, again.where) == (one.family, one.where)


def test_the_sentence_of_a_ranking_says_where():
    curve = traced(level_curve(add_fault(BENCH, Fault("diode-short", Place(1, 1, diode=3))), MODULE), 1)
    ranking = rank_faults(curve, BENCH, MODULE)
    assert ranking_sentence(ranking).endswith(say_where(ranking.ranked[0].where))
