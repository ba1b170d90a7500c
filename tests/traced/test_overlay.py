"""A measured curve over the model's: at whose light, by which procedure, and whether it is that part's."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.array import Place, add_fault, level_curve, paint, solve_array
from pvsim.array.fault import Fault
from pvsim.errors import FileError
from pvsim.files import read_demo
from pvsim.traced import FAMILIES, decode, propose, read_traced
from pvsim.traced.overlay import (
    at_conditions,
    is_of_another_part,
    lay_over,
    module_types_of,
    rank_measured,
    with_conditions,
)
from pvsim.traced.own import invented_bytes
from pvsim.traced.planting import plant
from pvsim.traced.sentence import CAUSES, MEANINGS, ranking_sentence, share_text
from pvsim.traced.shape import SHAPES
from tests.traced.samples import BENCH, MODULE, traced

WORKSHOP = read_demo("workshop")
BY_NAME = {one.name: one for one in FAMILIES}


def invented():
    text = decode(invented_bytes())
    return read_traced(text, propose(text).mapping)


def test_the_invented_curve_says_so_and_holds_what_tracers_write() -> None:
    text = decode(invented_bytes())
    found = propose(text)
    assert text.startswith("Invented measured curve")
    assert (found.mapping.current.unit, found.mapping.layout.decimal) == ("mA", ",")
    assert (found.direction, found.mapping.irradiance_W_m2, found.mapping.temperature_C) == (
        "falling",
        812.0,
        38.4,
    )
    assert {one.count for one in found.left_out} == {6, 1}  # lines round the table, a repeated point


def test_untranslated_the_model_goes_to_the_measurement() -> None:
    curve = invented()
    laid = lay_over(curve, WORKSHOP, Place(1, 4))
    assert laid.laid is curve
    assert laid.correction is None
    expected = level_curve(at_conditions(WORKSHOP, 812.0, 38.4), Place(1, 4))
    assert laid.model.isc_A == pytest.approx(expected.isc_A, rel=1e-9)
    assert [one.shape for one in laid.shapes.all if one.named] == ["steps"]


@pytest.mark.parametrize("procedure", ["first", "second"])
def test_a_healthy_curve_translated_lies_on_the_model(procedure) -> None:
    there = at_conditions(BENCH, 850.0, 45.0)
    curve = traced(level_curve(there, MODULE), irradiance_W_m2=850.0, temperature_C=45.0)
    laid = lay_over(curve, BENCH, MODULE, procedure=procedure, irradiance_W_m2=1000.0, temperature_C=25.0)
    assert (laid.laid.irradiance_W_m2, laid.laid.temperature_C) == (1000.0, 25.0)
    found, modelled = laid.beside.measured, laid.beside.modelled
    assert found.pmp_W == pytest.approx(modelled.pmp_W, rel=0.01)  # what test_translate.py leaves to both
    assert found.voc_V == pytest.approx(modelled.voc_V, rel=0.01)
    assert not any(one.named for one in laid.shapes.all)


def test_a_step_moves_with_the_light_by_the_second_procedure_and_not_by_the_first() -> None:
    """Procedure 1 shifts all currents by as much, so a shaded plateau comes to lie too high."""
    laid = {
        one: lay_over(
            invented(), WORKSHOP, Place(1, 4), procedure=one, irradiance_W_m2=1000.0, temperature_C=25.0
        )
        for one in ("first", "second")
    }
    truth = level_curve(paint(WORKSHOP, [Place(1, 4, 17)], 0.55), Place(1, 4))
    missed = {
        one: abs(np.interp(32.0, found.laid.voltage_V, found.laid.current_A) - truth_at(truth, 32.0))
        for one, found in laid.items()
    }
    assert missed["second"] < 0.2 < missed["first"]


def truth_at(curve, voltage_V):
    return np.interp(voltage_V, curve.voltage_V, curve.current_A)


def test_faults_are_ranked_where_no_translation_errs() -> None:
    found = rank_measured(invented(), WORKSHOP, Place(1, 4))
    assert found.ranked[0].family.name == "shaded-cell"
    assert found.ranked[0].size == pytest.approx(0.45, abs=0.01)  # the cell got 55 % of the light
    assert not found.none_of_these
    assert "45" not in ranking_sentence(found)
    assert "shaded or cracked cells" in ranking_sentence(found)


def test_a_curve_of_another_part_is_doubted() -> None:
    assert is_of_another_part(lay_over(invented(), WORKSHOP, Place(1)))  # of eight modules
    assert is_of_another_part(lay_over(invented(), read_demo("mountain-hut"), Place(1, 1)))  # 36 cells
    assert not is_of_another_part(lay_over(invented(), WORKSHOP, Place(1, 4)))
    assert rank_measured(invented(), WORKSHOP, Place(1)).none_of_these


def test_without_light_or_temperature_nothing_is_laid_over() -> None:
    curve = traced(level_curve(BENCH, MODULE), irradiance_W_m2=1000.0)
    with pytest.raises(FileError, match="is not known"):
        lay_over(curve, BENCH, MODULE)
    with pytest.raises(FileError, match="is not known"):
        rank_measured(curve, BENCH, MODULE)
    assert with_conditions(curve, None, 25.0).irradiance_W_m2 == 1000.0
    with pytest.raises(FileError, match="was measured at"):
        with_conditions(curve, 3000.0, 25.0)


def test_module_types_of_a_part_are_named_once() -> None:
    (title,) = module_types_of(WORKSHOP, Place())
    assert title == module_types_of(WORKSHOP, Place(1, 4))[0]


@pytest.mark.parametrize("place", [Place(1, 4), Place(2)])
@pytest.mark.parametrize("name", ["series-resistance", "shunt", "bypassed", "soiling", "shaded-cell"])
def test_a_planted_fault_gives_its_part_the_curve_that_was_ranked(name, place) -> None:
    family = BY_NAME[name]
    size = 0.03 if family.sizes else None
    planted = level_curve(plant(WORKSHOP, place, family, size), place)
    ranked = level_curve(family.change(WORKSHOP, place, size or 0.0), place)
    # A shunt across the terminals and not the junction: what the series resistance takes of a small leak.
    assert planted.mpp.power_W == pytest.approx(ranked.mpp.power_W, rel=3e-3 if name == "shunt" else 1e-6)


def test_a_planted_resistance_is_in_its_part_alone() -> None:
    planted = plant(WORKSHOP, Place(1), BY_NAME["series-resistance"], 0.03)
    assert {fault.kind for fault in planted.faults} == {"connector-resistive"}
    assert {fault.place.string for fault in planted.faults} == {1}
    assert planted.module_types == WORKSHOP.module_types
    other = level_curve(planted, Place(2)).mpp.power_W
    assert other == pytest.approx(level_curve(WORKSHOP, Place(2)).mpp.power_W, rel=1e-12)
    assert solve_array(planted).power_W < solve_array(WORKSHOP).power_W
    again = plant(
        add_fault(planted, Fault("cable-open", Place(2))), Place(1), BY_NAME["series-resistance"], 0.1
    )
    assert len(again.faults) == len(planted.faults) + 1  # in place of those before, and others stay


def test_every_class_and_family_has_its_sentence() -> None:
    assert {*CAUSES} == {*SHAPES}
    assert {*MEANINGS} == {*BY_NAME}


@pytest.mark.parametrize(("share", "text"), [(1.0, "above 99.9"), (0.0, "below 0.1"), (0.42, "42.0")])
def test_a_likelihood_is_never_written_as_certain(share, text) -> None:
    assert share_text(share).startswith(text)
