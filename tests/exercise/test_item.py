"""What an item may be."""

from __future__ import annotations

import pytest

from pvsim.errors import ScenarioError
from pvsim.exercise import Band, ItemChoice, NumberItem, given_of, read_key
from pvsim.exercise.asked import decimals_within
from tests.exercise.samples import choice_item, number_item, power_item


@pytest.mark.parametrize(
    "changes",
    [
        pytest.param({"value": float("nan")}, id="no-number"),
        pytest.param({"tolerance": -1.0}, id="tolerance-below-nothing"),
        pytest.param({"bands": (Band(tolerance=1.0, share=0.5),)}, id="band-within-the-tolerance"),
        pytest.param(
            {"bands": (Band(tolerance=5.0, share=0.5), Band(tolerance=9.0, share=0.5))},
            id="wider-and-worth-as-much",
        ),
        pytest.param({"formula": "$U"}, id="formula-of-no-readings"),
        pytest.param({"points": 1e9}, id="points"),
    ],
)
def test_a_number_item_that_cannot_be_is_refused(changes):
    with pytest.raises(ScenarioError):
        number_item(**changes)


def test_exactly_one_choice_is_worth_all_points():
    with pytest.raises(ScenarioError, match="exactly one"):
        choice_item(choices=(ItemChoice(text="a", share=0.0), ItemChoice(text="b", share=0.5)))


def test_what_is_given_to_students_knows_no_answer():
    for item in (number_item(), choice_item(), power_item()):
        told = repr(given_of(item))
        for secret in (
            "100.0",
            "150",
            "forgot",
            "Yes.",
            "0.5",
            "divided",
            "Multiply",
            "320",
            "40.0",
            "$U * $I",
        ):
            assert secret not in told
    assert given_of(number_item()).unit == "W"
    assert given_of(number_item(unit_needed=True)).unit == ""


def test_a_number_is_written_so_that_its_rounding_costs_no_tenth_of_the_tolerance():
    for tolerance in (0.012, 0.1, 0.15, 2.0, 35.0):
        assert (
            0.5 * 10.0 ** -decimals_within(tolerance) <= tolerance / 10.0 or decimals_within(tolerance) == 0
        )


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_lessons_questions_become_items_whose_numbers_are_filled_in(language):
    items = {one.id: one for one in read_key("diode", language, fresh=False, own=True).own}
    assert len(items) == 9  # five predictions, four observations
    item = items["diode/with-diodes/predict"]
    assert isinstance(item, NumberItem)
    assert item.unit.name == "%"
    assert 33.0 < item.value < 36.0  # a third of the module, and what the diode itself takes
    assert [round(one.value, 9) for one in item.misconceptions] == [50.0, 80.0, 2.0]
    for one in items.values():
        assert "{{" not in one.stem
        assert "[[" not in one.stem
        assert one.language == language
