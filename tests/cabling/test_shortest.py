"""The search: against all wirings of small roofs; on larger ones against presets and a plain program."""

from __future__ import annotations

import numpy as np
import pytest

from pvsim.cabling import (
    check_wiring,
    lay_cables,
    preset_wirings,
    search_wirings,
    shortest,
    shortest_wiring,
)
from pvsim.errors import CablingError
from tests.cabling.every_wiring import best_cost, joints_of, ways_home
from tests.cabling.roofs import full_grid, random_roof

goals = pytest.mark.parametrize("goal", ["reach", "cable"])


def two_strings(seed: int):
    """A roof of five to eight modules in two strings."""
    roof, _lengths = random_roof(seed, least=5, most=8)
    n = len(roof.rows)
    first = 1 + seed % (n - 1)
    return roof, [first, n - first]


def cost_of(found, roof) -> tuple[int, int]:
    return found.extensions, round(found.bought_m / roof.terminals.step_m)


@goals
@pytest.mark.parametrize("seed", range(24))
def test_on_a_small_roof_no_wiring_at_all_is_better(seed, goal, monkeypatch) -> None:
    roof, lengths = two_strings(seed)
    best = best_cost(roof, lengths, goal)
    found = shortest_wiring(roof.terminals, roof.box_m, lengths, goal=goal)
    assert found.proved
    assert cost_of(found, roof) == best
    # The way that larger roofs are searched comes to the same.
    monkeypatch.setattr(shortest, "MOST_ORDERED", 0)
    monkeypatch.setattr(shortest, "_CALM", 40)
    found = shortest_wiring(roof.terminals, roof.box_m, lengths, goal=goal)
    assert found.proved
    assert cost_of(found, roof) == best


@goals
@pytest.mark.parametrize("seed", range(50))
def test_the_answer_is_never_worse_than_the_best_preset(seed, goal) -> None:
    roof, lengths = random_roof(100 + seed)
    presets = preset_wirings(roof.rows, roof.columns, lengths)
    found = shortest_wiring(
        roof.terminals, roof.box_m, lengths, starts=presets.values(), goal=goal, rounds=40, time_s=3.0
    )
    assert [len(string) for string in found.wiring] == lengths
    rank = (lambda e, m: (e, round(m, 6))) if goal == "reach" else (lambda e, m: (round(m, 6), e))
    route = lay_cables(roof.terminals, roof.box_m, found.wiring)
    answer = rank(route.extensions, route.bought_m)
    assert answer == rank(found.extensions, found.bought_m)
    for wiring in presets.values():
        other = lay_cables(roof.terminals, roof.box_m, wiring)
        assert answer <= rank(other.extensions, other.bought_m)
    assert rank(found.least_extensions, found.least_bought_m) <= answer


def plain_program(roof, strings: int, length: int) -> int:
    """Steps bought of the best wiring without extensions, by an integer program over all that reaches.

    Written anew: x[p, i, j] says that i in place p of its string joins j in place p + 1; nothing is left
    out beforehand. Solved by HiGHS.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    n = len(roof.rows)
    joint = joints_of(roof.terminals)
    minus, plus = ways_home(roof.terminals, roof.box_m)
    pairs = [(i, j) for i in range(n) for j in range(n) if i != j and joint[i][j] == 0]
    names = [("begin", 0, i, i) for i in range(n)]
    names += [("join", p, i, j) for p in range(1, length) for i, j in pairs]
    names += [("end", length, i, i) for i in range(n)]
    costs = [{"begin": minus[i], "join": 0, "end": plus[i]}[kind] for kind, _p, i, _j in names]
    once, flow = np.zeros((n, len(names))), np.zeros((n * length, len(names)))
    begun = np.array([[float(kind == "begin") for kind, *_rest in names]])
    for at, (kind, p, i, j) in enumerate(names):
        if kind != "end":  # comes into place p + 1, which is place index p
            once[j, at] += 1
            flow[j * length + p, at] += 1
        if kind != "begin":
            flow[i * length + p - 1, at] -= 1
    rows = np.vstack([once, flow, begun])
    wanted = np.concatenate([np.ones(n), np.zeros(n * length), [strings]])
    result = milp(
        costs, integrality=np.ones(len(names)), bounds=Bounds(0, 1),
        constraints=LinearConstraint(rows, wanted, wanted), options={"mip_rel_gap": 0.0},
    )
    assert result.success
    return round(result.fun)


@pytest.mark.parametrize(
    "options",
    [{"lead_m": 1.2}, {"lead_m": 0.8, "apart_m": 0.6, "turned": (2, 4)}],
    ids=["long-leads", "boxes-apart"],
)
def test_thirty_modules_in_five_strings_cost_what_a_plain_integer_program_finds(options) -> None:
    roof = full_grid(5, 6, **options)
    presets = preset_wirings(roof.rows, roof.columns, [6] * 5)
    found = shortest_wiring(roof.terminals, roof.box_m, [6] * 5, starts=presets.values(), time_s=120.0)
    assert found.proved
    assert cost_of(found, roof) == (0, plain_program(roof, 5, 6))


def test_each_answer_is_as_good_as_the_one_before_and_each_bound_as_high() -> None:
    roof, lengths = random_roof(3, least=24, most=24)
    answers = list(search_wirings(roof.terminals, roof.box_m, lengths, rounds=800, goal="cable"))
    assert len(answers) > 10
    bought = [one.bought_m for one in answers]
    least = [one.least_bought_m for one in answers]
    assert bought == sorted(bought, reverse=True)
    assert least == sorted(least)
    assert bought[-1] < bought[0]
    assert least[-1] <= bought[-1]


def test_the_same_seed_gives_the_same_wiring() -> None:
    roof, lengths = random_roof(3, least=24, most=24)
    once, again = (
        shortest_wiring(roof.terminals, roof.box_m, lengths, seed=5, rounds=200, time_s=600.0)
        for _time in range(2)
    )
    assert once == again


def test_without_starts_it_begins_by_itself() -> None:
    roof, lengths = random_roof(3, least=24, most=24)
    first = next(search_wirings(roof.terminals, roof.box_m, lengths))
    assert check_wiring(first.wiring, 24) == first.wiring
    assert not first.proved


def test_a_search_can_be_stopped_and_time_out() -> None:
    roof, lengths = random_roof(3, least=24, most=24)
    told = []

    def stop(found) -> bool:
        told.append(found)
        return len(told) == 3

    assert shortest_wiring(roof.terminals, roof.box_m, lengths, progress=stop) == told[-1]
    assert len(told) == 3
    presets = preset_wirings(roof.rows, roof.columns, lengths)
    hurried = shortest_wiring(roof.terminals, roof.box_m, lengths, starts=presets.values(), time_s=0.0)
    assert hurried.wiring in {tuple(sorted(one, key=min)) for one in presets.values()} | {*presets.values()}


def test_within_reach_or_least_cable_are_two_goals() -> None:
    # Two rows far apart: to cross once with an extension saves more than its own length of way home.
    roof = full_grid(2, 8, lead_m=0.7, box_m=(-1.0, -0.5), height_m=2.5)
    within, least = (
        shortest_wiring(roof.terminals, roof.box_m, [8, 8], goal=goal) for goal in ("reach", "cable")
    )
    assert within.extensions == 0 < least.extensions
    assert least.bought_m < within.bought_m


def test_one_module_is_a_wiring() -> None:
    roof = full_grid(1, 1)
    assert shortest_wiring(roof.terminals, roof.box_m, [1]).wiring == ((1,),)


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({"lengths": [3, 2]}, "take 5 modules"),
        ({"goal": "cheap"}, "goal is 'cheap'"),
        ({"starts": [[(1, 2), (3, 4)], [(1, 2, 3), (4,)]]}, "a start has strings of 3, 1 modules"),
        ({"starts": [[(1, 2), (3, 3)]]}, "more than once: 3"),
        ({"rounds": 0}, "rounds is 0"),
        ({"seed": -1}, "seed is -1"),
        ({"time_s": float("nan")}, "time_s is nan"),
        ({"box_m": (1.0, 2.0, 3.0)}, "box_m is no point"),
    ],
)
def test_what_does_not_fit_is_refused_at_once(options, said) -> None:
    roof = full_grid(2, 2)
    asked = {"box_m": roof.box_m, "lengths": [2, 2], **options}
    with pytest.raises(CablingError, match=said):
        search_wirings(roof.terminals, **asked)


def test_points_too_far_apart_for_small_steps_are_refused() -> None:
    roof = full_grid(20, 20, width_m=4000.0, step_m=0.001)
    with pytest.raises(CablingError, match="steps of cable apart"):
        search_wirings(roof.terminals, roof.box_m, [20] * 20)


def test_too_many_modules_are_refused() -> None:
    roof = full_grid(30, 40)
    with pytest.raises(CablingError, match="1,200 modules"):
        search_wirings(roof.terminals, roof.box_m, [30] * 40)
