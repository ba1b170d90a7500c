"""Keys of exercises reckoned once more without the solver, by the few lines of numpy in tests/course."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from functools import partial

import numpy as np
import pytest

from pvsim.array.catalogue import CATALOGUE
from pvsim.exercise import ExerciseCase, make_item, own_exercises
from pvsim.exercise.draw import drawn
from tests.course.by_hand import (
    Floats,
    cell_voltage,
    forward_voltage,
    greatest_power,
    pair_voltage,
    row_voltage,
    substring_voltage,
)
from tests.course.cables_by_hand import by_rows, roof_by_hand, string_by_hand, there_and_back
from tests.course.shadow_by_hand import Rack, lost_shares, of_the_day

SEEDS = (1, 2)
NOTHING = np.zeros(1)
JUNE = date(2026, 6, 21).timetuple().tm_yday
IN_A_ROW = {  # counted on the drawings of the invented modules
    "full-60": 60, "full-72": 72, "full-96": 96, "half-120": 60, "half-144": 72, "shingled-360": 60,
}  # fmt: skip
OPEN_kWh = 36.5  # of the nursery's rack on a clear day in June, as its lesson has it
SHELF_m = (0.02, 0.356, 0.692)  # where the substrings of a lying 60-cell module begin, from its lower edge

Drawn = Mapping[str, float]


def open_V(kind: str) -> float:
    return float(cell_voltage(CATALOGUE[kind].cell, NOTHING)[0])


def label_V(kind: str) -> float:
    return IN_A_ROW[kind] * open_V(kind)


def what_one_diode_spans(case: Drawn) -> float:
    kind = str(case["type"])
    return label_V(kind) * (1 - 1 / len(CATALOGUE[kind].substrings))


def shelves(case: Drawn) -> int:
    return sum(case["deep"] / 100 > begins for begins in SHELF_m)


def lying_in_snow(case: Drawn) -> float:
    """Per cent: lit substrings against the diodes of the others; wires aside."""
    module, current = CATALOGUE["full-60"], np.linspace(0.0, 11.0, 4_001)
    lit = row_voltage(module.cell, current, [case["sun"] / 1000] * 20, -25.0)
    diode = forward_voltage(module.substrings[0].diode, current, -25.0)
    dark = shelves(case)
    left, there = (greatest_power(volts, current)[0] for volts in ((3 - dark) * lit - dark * diode, 3 * lit))
    return 100 * (1 - left / there)


def upper_half(case: Drawn) -> float:
    module, current = CATALOGUE["half-120"], np.linspace(0.0, 6.0, 4_001)
    half = row_voltage(module.cell, current, [case["sun"] / 1000] * 20, -25.0)
    return float(current[np.argmax(half * current)])


def both_sides_A(case: Drawn) -> float:
    module = CATALOGUE[str(case["type"])]
    return 2 * module.cell.photocurrent_A * (case["sun"] + module.bifaciality * case["back"]) / 1000


def behind_the_beam(case: Drawn) -> float:
    return case["sun"] + 0.9 * case["back"] * (1 - case["wide"] / 8.3)


def open_door(case: Drawn) -> float:
    """The current at which nineteen lit cells and a dark one come to the voltage of a conducting diode."""
    module, behind = CATALOGUE["hetero-120"], 0.9 * case["back"] / 1000
    current = np.linspace(0.0, 3.0, 6_001)
    chain = 19 * cell_voltage(module.cell, current, case["sun"] / 1000 + behind, 5.0)
    chain = chain + cell_voltage(module.cell, current, behind, 5.0)
    string_A = 2 * module.cell.photocurrent_A * (case["sun"] / 1000 + behind)
    diode = float(forward_voltage(module.substrings[0].diode, np.array([string_A / 2]), 5.0)[0])
    return float(np.interp(diode, -chain, current))


def metres(case: Drawn) -> float:
    order = there_and_back(5, 8)[int(case["string"]) - 1]
    return string_by_hand(order, (case["along"], case["down"])).bought_m


def leaps(case: Drawn) -> float:
    return 40 - 2 * case["strings"]


def turned_loop(case: Drawn) -> float:
    """Two blocks side by side, the upper row turned: the largest of their loops."""
    blocks = [
        [*((1, k) for k in part), *((2, k) for k in reversed(part))] for part in (range(1, 5), range(5, 9))
    ]
    return roof_by_hand(blocks, (case["along"], 1.8), (1,)).loop_m2


def noon(case: Drawn) -> float:
    hours, _power, lost = lost_shares(JUNE, mast(case), Rack(modules=int(case["length"])))
    return 100 * float(lost[np.argmin(np.abs(hours - 12.0))])


def mast(case: Drawn) -> tuple[float, float, float, float]:
    return case["along"], -2.9, 0.06, case["high"]


def mast_kWh(case: Drawn) -> float:
    _hours, power, lost = lost_shares(JUNE, mast(case))
    return OPEN_kWh * of_the_day(power, lost)


def worst_substrings(case: Drawn) -> float:
    _hours, _power, lost = lost_shares(JUNE, mast(case))
    return 24 * float(lost[::4].max())  # at full hours


def less_light_mV(case: Drawn) -> float:
    return 1000 * float(cell_voltage(CATALOGUE["full-60"].cell, NOTHING, case["sun"] / 1000)[0])


def top(case: Drawn) -> float:
    cell, current, warmer_K = CATALOGUE["full-60"].cell, np.linspace(0.0, 11.5, 8_001), case["warm"] - 25.0
    volts = cell_voltage(cell, current, case["sun"] / 1000, warmer_K)
    return 100 * float(volts[np.argmax(volts * current)] / volts[0])


def cold_V(case: Drawn) -> float:
    return 60 * float(cell_voltage(CATALOGUE["full-60"].cell, NOTHING, 1.0, case["cold"] - 25.0)[0])


def side_by_side(*strings: Callable[[Floats], Floats]) -> float:
    """The greatest power of strings in parallel, each by its voltage at given currents."""
    current, volts = np.linspace(-6.0, 13.0, 8_001), np.linspace(1.0, 400.0, 8_001)
    there = sum((np.interp(-volts, -one(current), current) for one in strings), np.zeros_like(volts))
    return float((volts * there).max())


def dim_string(case: Drawn) -> float:
    cell = CATALOGUE["full-60"].cell
    lit = partial(cell_voltage, cell)
    left = side_by_side(
        lambda current: 480 * lit(current), lambda current: 480 * lit(current, light=case["dim"] / 100)
    )
    return 100 * (1 - left / side_by_side(*[lambda current: 480 * lit(current)] * 2))


def half_of_each(case: Drawn) -> float:
    """Four modules lit and four dim in either string, the dim ones with their diodes."""
    module, sun, dim = CATALOGUE["full-60"], case["sun"] / 1000, case["dim"] / 100
    current = np.linspace(0.0, 11.5, 8_001)
    lit = row_voltage(module.cell, current, [sun] * 20)
    dark = substring_voltage(module.cell, module.substrings[0].diode, current, [sun * dim] * 20)
    return 100 * (1 - greatest_power(12 * (lit + dark), current)[0] / greatest_power(24 * lit, current)[0])


def lost_substring(case: Drawn) -> float:
    """One of 48 substrings is short-circuited by its diode; wires aside."""
    cell, sun = CATALOGUE["full-60"].cell, case["sun"] / 1000
    whole, less = (
        lambda current, cells=cells: cells * cell_voltage(cell, current, sun) for cells in (480, 460)
    )
    return 100 * (1 - side_by_side(whole, less) / side_by_side(whole, whole))


def with_a_leaf(case: Drawn, leak: float, modules: int = 1) -> tuple[float, float, float]:
    """Greatest power without and with a leaf on one cell of a string, and the current there."""
    module, sun = CATALOGUE["full-60"], case.get("sun", 1000) / 1000
    current = np.linspace(0.0, 11.5, 8_001)
    lit = row_voltage(module.cell, current, [sun] * 20)
    dark = substring_voltage(
        module.cell, module.substrings[0].diode, current, [*[sun] * 19, sun * leak]
    )
    others = 3 * modules - 1
    best = np.argmax((others * lit + dark) * current)
    whole = ((others + 1) * lit * current).max()
    return float(whole), float(((others * lit + dark) * current)[best]), float(current[best])


def thin_shadow(case: Drawn) -> float:
    whole, left, _current = with_a_leaf(case, case["leak"] / 100)
    return 100 * (1 - left / whole)


def shed(case: Drawn) -> float:
    whole, left, _current = with_a_leaf(case, 0.2, int(case["length"]))
    return 100 * (1 - left / whole)


def diode_W(case: Drawn) -> float:
    """The diode's voltage and current where its substring and the tracker's current meet."""
    module, sun, leak = CATALOGUE["full-60"], case["sun"] / 1000, case["leak"] / 100
    current = with_a_leaf(case, leak)[2]
    through = np.linspace(0.0, 11.5, 8_001)
    across = -row_voltage(module.cell, through, [*[sun] * 19, sun * leak])
    around = current - through
    volts = forward_voltage(module.substrings[0].diode, np.maximum(around, 1e-9))
    at = int(np.argmin(np.abs(volts - across)))
    return float(volts[at] * around[at])


def lower_top(case: Drawn) -> float:
    """Watts between the higher top and the voltage given, where the whole row carries one current."""
    module, sun, leak = CATALOGUE["full-60"], case["sun"] / 1000, case["leak"] / 100
    higher = with_a_leaf(case, leak)[1]
    current = np.linspace(0.0, 11.5, 8_001)
    lit = row_voltage(module.cell, current, [sun] * 20)
    dark = substring_voltage(module.cell, module.substrings[0].diode, current, [*[sun] * 19, sun * leak])
    there = float(np.interp(-case["volts"], -(2 * lit + dark), current))
    return higher - case["volts"] * there


def half_module(case: Drawn, weak: Callable[[Floats, list[float]], Floats]) -> float:
    """Per cent that a module of half-cells loses where one chain of it is weak: two chains to each diode."""
    module, sun = CATALOGUE[str(case["type"])], case.get("sun", 1000) / 1000
    chain = [sun] * (len(module.substrings[0].chains[0]))
    current = np.linspace(0.0, 2 * module.cell.photocurrent_A, 4_001)
    full = row_voltage(module.cell, current / 2, chain)
    diode = forward_voltage(module.substrings[0].diode, current)
    whole = greatest_power(3 * full, current)[0]
    return 100 * (1 - greatest_power(2 * full + np.maximum(weak(current, chain), -diode), current)[0] / whole)


def half_cell_open(case: Drawn) -> float:
    cell = CATALOGUE[str(case["type"])].cell
    return half_module(case, lambda current, chain: row_voltage(cell, current, chain))


def half_cell_shaded(case: Drawn) -> float:
    cell, leak = CATALOGUE[str(case["type"])].cell, case["leak"] / 100
    return half_module(
        case, lambda current, chain: pair_voltage(cell, current, chain, [*chain[1:], leak * chain[0]])
    )


BY_HAND: list[tuple[str, Callable[[Drawn], float], float, float]] = [
    # exercise, reckoning, how near: of the number, and in its unit
    ("read-the-label/fresh/how-many-in-a-row", lambda case: IN_A_ROW[str(case["type"])], 0.001, 0.0),
    # what leaks through diodes backwards makes a dark cell take some mV as well
    ("read-the-label/fresh/two-under-the-cardboard", lambda case: 2 * open_V(str(case["type"])), 0.0, 0.02),
    ("read-the-label/fresh/what-one-diode-spans", what_one_diode_spans, 0.003, 0.0),
    ("snow-edge/fresh/shelves-under-snow", lying_in_snow, 0.0, 0.8),
    ("snow-edge/fresh/diodes-that-conduct", lambda case: 2 * case["length"] * shelves(case), 0.0, 0.0),
    ("snow-edge/fresh/the-upper-half-works-on", upper_half, 0.02, 0.0),
    ("back-side/fresh/more-than-the-label", both_sides_A, 0.003, 0.0),
    ("back-side/fresh/behind-the-beam", behind_the_beam, 0.001, 0.0),
    ("back-side/fresh/through-the-open-door", open_door, 0.02, 0.0),
    ("roof-wiring/fresh/metres-of-one-string", metres, 1e-9, 0.0),
    ("roof-wiring/fresh/extensions-to-order", leaps, 0.0, 0.0),
    ("roof-wiring/fresh/what-is-left-of-the-loop", turned_loop, 1e-9, 0.0),
    ("long-shadow/fresh/one-picket-at-noon", noon, 0.15, 0.0),
    ("long-shadow/fresh/kilowatt-hours-of-a-mast", mast_kWh, 0.15, 0.4),
    ("long-shadow/fresh/as-many-substrings", worst_substrings, 0.2, 1.0),
    ("one-cell/fresh/volts-in-less-light", less_light_mV, 0.0, 0.5),
    ("one-cell/fresh/where-the-top-is", top, 0.0, 0.3),
    ("one-cell/fresh/a-cold-bright-morning", cold_V, 0.002, 0.0),
    ("cell-to-array/fresh/a-string-in-the-shade", dim_string, 0.02, 0.0),
    ("cell-to-array/fresh/the-same-shade-on-both", half_of_each, 0.02, 0.0),
    ("absent-diode/fresh/shorted-in-full-sun", lost_substring, 0.06, 0.0),
    ("two-tops/fresh/a-thin-shadow", thin_shadow, 0.02, 0.0),
    ("two-tops/fresh/stuck-on-the-lower-top", lower_top, 0.0, 0.6),
    # a blocked string neither gives nor takes: the other one stands at its own open-circuit voltage
    ("strong-feed-weak/fresh/what-the-joined-leads-show", lambda case: 0.0, 0.0, 0.01),
    ("five-levels/fresh/the-same-leaf-on-a-shed", shed, 0.01, 0.0),
    ("diode/fresh/heat-in-the-junction-box", diode_W, 0.02, 0.0),
    ("diode/fresh/one-half-cell", half_cell_shaded, 0.03, 0.0),
    ("four-deaths/fresh/a-half-cell-open", half_cell_open, 0.02, 0.0),
]


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(("name", "by_hand", "share", "off"), BY_HAND)
def test_a_key_is_what_it_comes_to_without_the_solver(
    name: str, by_hand: Callable[[Drawn], float], share: float, off: float, seed: int
) -> None:
    """The hand knows no wires, no blurred rays and not all of the sky; each row says how near it comes."""
    (template,) = [one for one in own_exercises(name.partition("/")[0]) if one.id == name]
    case = ExerciseCase(seed=seed)
    item = make_item(template, case)
    drawn_here: Drawn = drawn(template.draws, template.id, case)  # type: ignore[assignment]
    assert item.value == pytest.approx(by_hand(drawn_here), rel=share, abs=off)  # type: ignore[union-attr]


def test_two_seeds_are_two_cases() -> None:
    for name, _by_hand, _share, _off in BY_HAND:
        (template,) = [one for one in own_exercises(name.partition("/")[0]) if one.id == name]
        cases = [drawn(template.draws, template.id, ExerciseCase(seed=seed)) for seed in SEEDS]
        assert cases[0] != cases[1], name


@pytest.mark.parametrize("kind", ["half-120", "half-144", "hetero-120"])
def test_two_covered_half_cells_of_the_upper_half_take_hardly_anything_by_hand(kind: str) -> None:
    """Each in a substring of its own: there a full row lies beside a row with a dark cell."""
    cell, per = CATALOGUE[kind].cell, IN_A_ROW.get(kind, 60) // 3
    full, weak = [1.0] * per, [1.0] * (per - 1) + [0.0]
    lost = pair_voltage(cell, NOTHING, full, full)[0] - pair_voltage(cell, NOTHING, full, weak)[0]
    (template,) = [one for one in own_exercises("read-the-label") if one.id.endswith("half-cells")]
    assert str(template.values["choice"][2]["when"]) == "-delta[1/1].voc_V < 0.25"
    assert 2 * lost < 0.25


@pytest.mark.parametrize("along", [3.9, 4.1, 4.2, 4.4])
def test_with_the_box_in_the_middle_out_and_back_saves_hardly_anything_by_hand(along: float) -> None:
    before, now = (roof_by_hand(order(2, 8), (along, 1.8)).bought_m for order in (by_rows, there_and_back))
    assert 0.8 * before < now < 1.15 * before


@pytest.mark.parametrize("kind", ["half-120", "half-144"])
def test_an_open_half_cell_is_told_by_neither_end_of_the_curve_by_hand(kind: str) -> None:
    """As the exercise says: the other chain has the whole voltage, and the diode the whole current."""
    module = CATALOGUE[kind]
    chain = [1.0] * len(module.substrings[0].chains[0])
    one = row_voltage(module.cell, NOTHING, chain)[0]
    assert one == pytest.approx(pair_voltage(module.cell, NOTHING, chain, chain)[0], abs=0.002)
    current = np.linspace(0.0, 2 * module.cell.photocurrent_A, 8_001)
    full = row_voltage(module.cell, current / 2, chain)
    diode = forward_voltage(module.substrings[0].diode, current)
    weak = np.maximum(row_voltage(module.cell, current, chain), -diode)
    sound, broken = (float(np.interp(0.0, -volts, current)) for volts in (3 * full, 2 * full + weak))
    assert broken == pytest.approx(sound, rel=0.002)
