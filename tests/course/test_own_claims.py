"""Comparisons that the own lessons make across their steps, or with arrays that they do not draw."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pvsim.array import (
    CATALOGUE,
    Fault,
    Place,
    Scenario,
    Shadow,
    add_fault,
    add_shadow,
    clear_paint,
    paint,
    parse_place,
    set_operation,
    solve_array,
)
from pvsim.array.heat import ZERO_CELSIUS_K, steady_range
from pvsim.course.folder.course_reader import own_course
from pvsim.course.lesson.lesson import ChoiceQuestion, Step
from pvsim.course.number.evaluation import Readings, parse_number, value_of
from pvsim.course.number.expression import parse_expression
from pvsim.course.number.solved_scenario import solved
from pvsim.course.text.text_check import computed

LESSONS = {lesson.slug: lesson for lesson in own_course().lessons}


def step_of(slug: str, name: str) -> Step:
    return next(step for step in LESSONS[slug].steps if step.id == name)


def read(step: Step, path: str) -> float:
    """A path of the lesson language at the end of a step, its solution played."""
    return value(Readings(solved(step.finish), solved(step.start)), path)


def value(readings: Readings, path: str) -> float:
    return value_of(parse_expression(path), readings)


DEATHS = {name: step_of("four-deaths", name) for name in ("shorted", "open", "dark", "cracked")}


def test_a_shorted_cell_costs_less_than_an_open_a_dark_or_a_cracked_one() -> None:
    lost = {name: -read(step, "delta[1/1].power_W") for name, step in DEATHS.items()}
    assert lost["shorted"] < 0.1 * min(lost["open"], lost["dark"], lost["cracked"])


def test_the_hottest_of_the_four_is_the_one_that_the_voltmeter_shows_least() -> None:
    warm = {name: read(step, "now[1/1/14].steady_temperature_C") for name, step in DEATHS.items()}
    shown = {name: abs(read(step, "delta[1/1].voc_V")) for name, step in DEATHS.items()}
    assert max(warm, key=lambda name: warm[name]) == "cracked"
    assert min(shown, key=lambda name: shown[name]) == "cracked"
    assert shown["cracked"] < 0.1 * min(shown[name] for name in ("shorted", "open", "dark"))


def test_a_full_cell_of_the_test_wall_is_two_half_cells_side_by_side() -> None:
    wall = step_of("back-side", "three-heights").start
    (full,), half = wall.module_types, CATALOGUE["hetero-120"]
    kind = half.cell
    assert full.cell == replace(
        kind,
        photocurrent_A=2.0 * kind.photocurrent_A,
        saturation_current_A=2.0 * kind.saturation_current_A,
        series_resistance_ohm=kind.series_resistance_ohm / 2.0,
        shunt_resistance_ohm=kind.shunt_resistance_ohm / 2.0,
    )
    assert full.bifaciality == half.bifaciality
    assert [one.diode for one in full.substrings] == [one.diode for one in half.substrings]


def test_a_beam_costs_least_behind_a_joint_within_one_half_at_any_height() -> None:
    """Every centimetre of the railing: no place costs less than a joint, and the middle is not the best."""
    start = step_of("back-side", "a-handrail").start
    bare = replace(start, light=replace(start.light, shadows=()))
    whole_W = solve_array(bare).power_W

    def lost(y_m: float) -> float:
        beam = Shadow(kind="rear-beam", x_m=3.2, y_m=y_m, width_m=6.6, height_m=0.05)
        return 1.0 - solve_array(add_shadow(bare, beam)).power_W / whole_W

    pitch_m = 0.083 + 0.002
    middle = lost(0.02 + 10 * pitch_m - 0.001)
    joints = [lost(0.02 + row * pitch_m - 0.001) for row in (8, 12)]
    between = [lost(0.02 + (row + 0.5) * pitch_m - 0.001) for row in (8, 10, 12)]
    assert max(joints) < 0.85 * middle
    assert middle < 0.5 * min(between)
    assert min(lost(0.70 + 0.01 * k) for k in range(34)) > 0.95 * min(joints)


def test_a_cloth_that_slides_on_heats_one_to_eight_cells_and_not_nine() -> None:
    start = step_of("absent-diode", "the-cloth").start
    bare = clear_paint(start)
    eaten = []
    for cells in range(1, 21):
        dark = [Place(1, 4, cell=cell) for cell in range(1, cells + 1)]
        solution = solve_array(paint(bare, dark, 0.0))
        eaten.append(-solution.cells.power_W[[solution.cell_index(place) for place in dark]].max())
    print([f"{watts:.0f}" for watts in eaten])
    assert min(eaten[:8]) > 100.0
    assert max(eaten[8:]) < 5.0


def shaded(step: Step, place: str, transmission: float) -> Readings:
    """A step's beginning with the light of one cell set anew."""
    seen = solved(paint(step.start, [parse_place(place)], transmission))
    return Readings(seen, seen)


def test_a_little_more_light_than_the_worst_shade_ends_the_heat() -> None:
    step = step_of("darkest-hottest", "the-worst-shade")
    eaten = {share: value(shaded(step, "1/4/14", share), "now[1/4/14].eaten_W") for share in (0.86, 0.88)}
    assert eaten[0.86] > 110.0
    assert eaten[0.88] < 0.1
    found = {
        share: value(shaded(step, "1/4/14", share), "now[1/4/14].eaten_W") for share in (0.5, 0.6, 0.7, 0.8)
    }
    assert max(found.values()) < eaten[0.86]


def test_a_leaky_cell_is_cool_in_the_faint_shade_that_heats_a_sound_one() -> None:
    step = step_of("darkest-hottest", "the-leak")
    sound, leaky = step_of("darkest-hottest", "the-worst-shade"), step
    for transmission, hot, cool in ((0.86, sound, leaky), (0.0, leaky, sound)):
        eats = [value(shaded(one, "1/4/14", transmission), "now[1/4/14].eaten_W") for one in (hot, cool)]
        assert eats[0] > 100.0
        assert eats[1] < 20.0


def test_a_dropping_that_takes_up_all_the_sun_makes_no_oven() -> None:
    """As if the cell under it took up the sun's heat, and ate what it eats in the dark besides."""
    step = step_of("darkest-hottest", "three-shades")
    eaten_W_m2 = read(step, "now[1/2/14].eaten_W") / read(step, "now[1/2/14].area_m2")
    sun, taken = np.array([1000.0]), np.array([-eaten_W_m2])
    _, most_K = steady_range(step.finish.weather, sun, taken)
    least_K, _ = steady_range(
        step.finish.weather,
        np.array([read(step, "now[1/4/14].irradiance_W_m2")]),
        np.array([-read(step, "now[1/4/14].eaten_W") / read(step, "now[1/4/14].area_m2")]),
    )
    assert most_K[0] - ZERO_CELSIUS_K < 90.0
    assert least_K[0] > most_K[0] + 40.0


def test_a_little_more_snow_changes_nothing_in_landscape() -> None:
    found = step_of("snow-edge", "on-its-side").finish
    deeper = replace(found, light=replace(found.light, shadows=()))
    deeper = add_shadow(deeper, Shadow(kind="snow-edge", height_m=0.22))
    assert solve_array(deeper).power_W == pytest.approx(solve_array(found).power_W, rel=0.002)
    upright = step_of("snow-edge", "upright").finish
    assert solve_array(upright).power_W < 0.05 * solve_array(found).power_W


def seen(scenario: Scenario) -> Readings:
    """An array by itself, with nothing before it."""
    return Readings(solved(scenario), solved(scenario))


def test_a_shorted_diode_carries_most_when_the_inverter_is_off() -> None:
    """At work its string's current and that of its own lit cells nearly cancel in it."""
    found = step_of("absent-diode", "two-failures").finish
    through = value(seen(found), "now[2/4/d1].current_A")
    assert -0.1 * value(seen(found), "now[2].current_A") < through < 0.0
    off = set_operation(found, "current", 0.0)
    apart = replace(off, array=replace(off.array, tracking="per-string"))
    round_A = -value(seen(apart), "now[2/4/d1].current_A")
    assert round_A == pytest.approx(value(seen(found), "now[2/4/1].current_A"), rel=1e-4)
    assert -value(seen(off), "now[2/4/d1].current_A") > round_A, "joined strings feed it as well"


def test_the_second_ribbon_costs_hundreds_of_times_what_the_first_costs() -> None:
    step = step_of("unseen-wire", "one-ribbon")
    whole = value(seen(step.start), "now[1/4].power_W")
    both = add_fault(step.start, Fault("ribbon-broken", parse_place("1/4/14"), size=1.0))
    lost = whole - value(seen(both), "now[1/4].power_W")
    assert whole / 3 < lost < whole / 3 + 6.0, "a third, and what the diode takes"
    assert 300.0 < lost / -read(step, "delta[1/4].power_W") < 400.0


def under_snow(scenario: Scenario, height_m: float) -> Scenario:
    bare = replace(scenario, light=replace(scenario.light, shadows=()))
    return add_shadow(bare, Shadow(kind="snow-edge", height_m=height_m))


def test_a_row_half_covered_leaves_more_power_than_current() -> None:
    start = step_of("snow-edge", "upright").start
    before, now = seen(start), seen(under_snow(start, 0.1))
    kept = {
        name: value(now, f"now[1].{name}") / value(before, f"now[1].{name}")
        for name in ("current_A", "power_W")
    }
    lit = 1.0 - (0.1 - 0.02) / 0.166
    assert kept["current_A"] == pytest.approx(lit, rel=0.06)
    assert kept["power_W"] > kept["current_A"] + 0.03


def test_what_half_cells_lose_to_snow_the_other_way_round() -> None:
    for name, orientation, kept in (("two-halves", "landscape", 2 / 3), ("knee-deep", "portrait", 1 / 2)):
        step = step_of("snow-edge", name)
        turned = replace(step.finish, array=replace(step.finish.array, orientation=orientation))
        left = solve_array(turned).power_W / solve_array(step.start).power_W
        assert left == pytest.approx(kept, abs=0.02), name


def test_what_two_conducting_diodes_take_is_the_sum_of_both() -> None:
    step = step_of("snow-edge", "knee-deep")
    assert isinstance(step.predict, ChoiceQuestion)
    feedback = next(choice.feedback for choice in step.predict.choices if choice.right)
    told = [parse_number(inside).expression for _, inside in computed(feedback)]
    here = Readings(solved(step.finish), solved(step.start))
    taken = [-value(here, f"now[1/3/d{number}].power_W") for number in (1, 2, 3)]
    assert [value_of(one, here) for one in told] == [pytest.approx(sum(taken), rel=0.01)]
