"""Moodle XML, read back by Python's own reader of XML."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from pvsim.errors import FileError
from pvsim.exercise import Band, ChoiceItem, ItemChoice
from pvsim.exercise.bank import write_moodle_xml
from pvsim.exercise.bank.outcome import WEIGHTS, plain_number
from pvsim.words import speaking
from tests.exercise.bank.numbers import awkward_items, hold
from tests.exercise.samples import choice_item, number_item, power_item, shipped


def read_back(text):
    """Questions by id, and of each (value, tolerance, share) in order, as anybody's reader has them."""
    questions = [one for one in ET.fromstring(text) if one.get("type") != "category"]
    answers = {
        one.findtext("idnumber"): [
            (float(a.findtext("text")), float(a.findtext("tolerance")), float(a.get("fraction")) / 100)
            for a in one.findall("answer")
        ]
        for one in questions
        if one.get("type") == "numerical"
    }
    return {one.findtext("idnumber"): one for one in questions}, answers


@pytest.mark.parametrize("language", ["en", "de"])
def test_numbers_are_worth_there_what_they_are_worth_here(language):
    with speaking(language):
        text = write_moodle_xml(awkward_items(), "a/b")
    questions, answers = read_back(text)
    hold(awkward_items(), answers)
    assert [*questions] == [one.id for one in awkward_items()]
    assert "100 %" in questions["choice"].findtext("questiontext/text")
    assert "V<sub>oc</sub>" in questions["choice"].findtext("questiontext/text")
    assert "&lt;b&gt;" in questions["choice"].findtext("questiontext/text")


def test_every_shipped_exercise_is_worth_there_what_it_is_worth_here():
    for language in ("en", "de"):
        items = shipped(1, language)
        questions, answers = read_back(write_moodle_xml(items.values()))
        hold(items.values(), answers)
        for item in items.values():
            if isinstance(item, ChoiceItem):
                given = [float(one.get("fraction")) for one in questions[item.id].findall("answer")]
                assert given == [100.0 * one.share for one in item.choices]


def test_a_unit_that_is_asked_for_is_asked_for_there_with_its_prefixes():
    questions, _answers = read_back(write_moodle_xml([number_item(unit_needed=True)]))
    (question,) = questions.values()
    assert question.findtext("unitgradingtype") == "1"
    units = {
        one.findtext("unit_name"): float(one.findtext("multiplier")) for one in question.findall("units/unit")
    }
    assert units == {"W": 1.0, "mW": 1000.0, "kW": 0.001, "MW": 1e-6}  # how many of it make one of the item's


def test_the_uncertainty_of_own_readings_is_added_to_the_tolerance():
    _questions, answers = read_back(write_moodle_xml([power_item()]))
    ((_value, tolerance, _share), *_others) = answers["a/fresh/b"]
    # By hand: 320 W times twice the root of the sum of (0.4/40)^2/3 and (0.16/8)^2/3, and 0.5 W.
    assert tolerance == pytest.approx(0.5 + 320 * 2 * ((0.01**2 + 0.02**2) / 3) ** 0.5, rel=1e-6)


def test_a_share_that_the_platform_does_not_know_is_refused():
    for item in (
        number_item(bands=(Band(tolerance=5.0, share=0.45),)),
        choice_item(choices=(ItemChoice(text="a", share=1.0), ItemChoice(text="b", share=-0.15))),
    ):
        with pytest.raises(FileError, match="bank"):
            write_moodle_xml([item])
    weights = choice_item(choices=(ItemChoice(text="a", share=1.0), ItemChoice(text="b", share=-1 / 3)))
    (question,) = read_back(write_moodle_xml([weights]))[0].values()
    assert [one.get("fraction") for one in question.findall("answer")] == ["100", "-33.33333"]
    assert all(one == "0" or 5 <= float(one) <= 100 for one in WEIGHTS)


@pytest.mark.parametrize(
    ("value", "digits"),
    [(0.0, "0"), (-0.0, "0"), (1e-7, "0.0000001"), (-1.5e-6, "-0.0000015"), (123456789.0, "123456789"),
     (1e12, "1000000000000"), (1 / 3, "0.3333333333"), (100.0, "100"), (-2.5, "-2.5")],
)  # fmt: skip
def test_a_number_has_a_point_and_no_power_of_ten_whatever_is_spoken(value, digits):
    with speaking("de"):
        assert plain_number(value) == digits
