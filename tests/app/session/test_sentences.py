"""The one sentence that says what a change did."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pvsim.app.session.sentences import (
    count_word,
    describe_changes,
    describe_fault,
    describe_operation,
    describe_places,
    result_sentence,
    sentence_start,
)
from pvsim.array.array import Array, Module, String
from pvsim.array.change import add_fault, paint, set_light
from pvsim.array.fault import Fault
from pvsim.array.fault_kind import FAULT_KINDS
from pvsim.array.place import Place, parse_place
from pvsim.array.scenario import Scenario
from pvsim.array.solution import ArraySolution
from pvsim.array.solve import solve_array

NB = "\u00a0"
SHED = Scenario(title="A shed", array=Array(strings=(String(modules=(Module("full-60"),) * 2),)))


def test_a_loss_is_said_in_watts_per_cent_and_diodes() -> None:
    now = solve_array(paint(SHED, [Place(1, 1, cell=3)], 0.2))
    sentence = result_sentence("cell 3 shaded", solve_array(SHED), now)
    before_W, now_W = solve_array(SHED).power_W, now.power_W
    expected = f"Cell 3 shaded: the array falls from {before_W:.0f}{NB}W to {now_W:.0f}{NB}W, "
    assert sentence.startswith(expected)
    assert sentence.endswith(f"minus {100 * (1 - now_W / before_W):.1f}{NB}%; one diode conducts.")


def test_a_gain_is_a_rise_and_no_change_a_stay() -> None:
    dim, full = solve_array(set_light(SHED, irradiance_W_m2=500.0)), solve_array(SHED)
    assert "rises from" in result_sentence("", dim, full)
    assert ", plus " in result_sentence("", dim, full)
    assert "stays at" in result_sentence("", full, full)


def test_darkness_is_said_without_a_percentage_of_nothing() -> None:
    dark = solve_array(set_light(SHED, irradiance_W_m2=0.0))
    assert "minus 100.0" in result_sentence("night", solve_array(SHED), dark)
    assert "%" not in result_sentence("day", dark, solve_array(SHED))


def at_power(power_W: float) -> ArraySolution:
    """The shed's solution with another power in it: what is said depends on nothing finer."""
    return replace(solve_array(SHED), power_W=power_W)


@pytest.mark.parametrize(
    ("before_W", "now_W", "said"),
    [
        pytest.param(-1251.84, -1251.83, "stays at −1252 W", id="too-little-to-show"),
        pytest.param(1251.84, 1251.87, "stays at 1252 W", id="per-cents-of-zero"),
        pytest.param(1251.84, 1251.94, "rises from 1251.84 W to 1251.94 W, plus 0.01 %", id="just-shown"),
        pytest.param(-27.0, -1251.0, "falls from −27.0 W to −1251.0 W", id="taken-up-more"),
        pytest.param(-1251.0, -27.0, "rises from −1251 W to −27 W", id="taken-up-less"),
        pytest.param(27.0, -1251.0, "falls from 27.0 W to −1251.0 W", id="thousands-of-per-cent"),
        pytest.param(100.0, 290.0, "rises from 100 W to 290 W, plus 190.0 %", id="up-to-200"),
        pytest.param(100.0, 310.0, "rises from 100 W to 310 W", id="beyond-200"),
    ],
)
def test_no_figure_is_said_that_says_nothing(before_W: float, now_W: float, said: str) -> None:
    sentence = result_sentence("", at_power(before_W), at_power(now_W)).replace(NB, " ")
    assert sentence.startswith(f"The array {said}; ")


@pytest.mark.parametrize(
    ("place", "kind", "words"),
    [
        ("2/5/14", "cell-open", "string 2, module 5, cell 14 open"),
        ("2/5/d3", "diode-short", "string 2, module 5, bypass diode 3 short-circuited"),
        ("2/5", "module-reversed", "string 2, module 5 reversed"),
        ("2/5/14", "ribbon-broken", "string 2, module 5, cell 14, ribbon broken"),
        ("2", "fuse-blown", "string 2, fuse blown"),
    ],
)
def test_a_fault_is_named_without_saying_its_part_twice(place: str, kind: str, words: str) -> None:
    assert describe_fault(parse_place(place), FAULT_KINDS[kind].title) == words


@pytest.mark.parametrize(
    ("places", "words"),
    [
        ([], "nothing"),
        (["1/2/3"], "string 1, module 2, cell 3"),
        (["1/2/3", "1/2/4"], "two cells of string 1, module 2"),
        (["1/2/3", "1/3/3"], "two cells of string 1"),
        (["1/2/3", "2/2/3"], "two cells of the whole array"),
        (["1/2", "1/3"], "two modules of string 1"),
        (["1/2", "2/3"], "two modules of the whole array"),
        (["1/2", "1/3/5"], "two places of string 1"),
    ],
)
def test_places_are_counted_and_what_holds_them_named(places: list[str], words: str) -> None:
    assert describe_places([parse_place(place) for place in places]) == words


def test_settings_are_said_with_their_units() -> None:
    said = describe_changes({"irradiance_W_m2": 600.0, "diffuse_fraction": 0.4})
    assert said == f"in-plane irradiance 600{NB}W/m², diffuse share 40{NB}%"
    assert describe_changes({"heat": "feedback"}) == "cell temperature from light and power"
    assert describe_operation("voltage", 400.0) == f"held at 400{NB}V"
    assert describe_operation("mpp", None) == "held at the greatest power"


@pytest.mark.parametrize("kind", ["diode-short", "diode-reversed"])
def test_a_diode_that_lets_current_run_back_is_not_passed_over(kind: str) -> None:
    now = solve_array(add_fault(SHED, Fault(kind, Place(1, 1, diode=1))))
    assert result_sentence("", None, now).endswith("; one diode lets current run back.")
    both = solve_array(paint(now.scenario, [Place(1, 2, cell=3)], 0.2))
    assert result_sentence("", None, both).endswith("; one diode conducts, one diode lets current run back.")


def test_a_small_power_is_said_with_three_figures() -> None:
    one = set_light(SHED, irradiance_W_m2=30.0)
    power_W = solve_array(one).power_W
    assert 10.0 < power_W < 100.0
    assert result_sentence("", None, solve_array(one)).startswith(f"The array gives {power_W:.1f}{NB}W;")


def test_a_sentence_begins_with_a_capital_and_leaves_names_of_files_alone() -> None:
    assert sentence_start("cell 3 shaded") == "Cell 3 shaded"
    assert sentence_start("roof.toml, line 3 is not TOML") == "roof.toml, line 3 is not TOML"
    assert sentence_start("") == ""


def test_small_counts_are_words() -> None:
    assert [count_word(n) for n in (0, 1, 10, 11)] == ["no", "one", "ten", "11"]
