"""Wirings tried one by one, with lengths written out anew from points: what searches are held against."""

from __future__ import annotations

import math
from itertools import permutations

import numpy as np


def steps_m(missing_m: float, step_m: float) -> int:
    """Steps of cable that make up what is missing."""
    return max(0, math.ceil(missing_m / step_m - 1e-6))


def joints_of(terminals) -> list[list[int]]:
    """Steps of extension from module to module; 0 where the leads reach."""
    n = len(terminals.minus_m)
    return [
        [
            steps_m(
                math.dist(terminals.plus_m[i], terminals.minus_m[j])
                + terminals.slack_m - terminals.plus_lead_m[i] - terminals.minus_lead_m[j],
                terminals.step_m,
            )
            for j in range(n)
        ]
        for i in range(n)
    ]


def ways_home(terminals, box_m) -> tuple[list[int], list[int]]:
    """Steps from minus and from plus leads to the box, in the plane, rows along x."""
    return tuple(
        [
            steps_m(abs(x - box_m[0]) + abs(y - box_m[1]) + terminals.slack_m - lead, terminals.step_m)
            for (x, y), lead in zip(points.tolist(), leads.tolist(), strict=True)
        ]
        for points, leads in (
            (terminals.minus_m, terminals.minus_lead_m), (terminals.plus_m, terminals.plus_lead_m)
        )
    )


def every_cost(roof, lengths) -> set[tuple[int, int]]:
    """(extensions, steps bought) of every wiring there is."""
    n = sum(lengths)
    joint = np.array(joints_of(roof.terminals))
    minus, plus = map(np.array, ways_home(roof.terminals, roof.box_m))
    orders = np.array(list(permutations(range(n))))
    extensions, steps = np.zeros(len(orders), dtype=int), np.zeros(len(orders), dtype=int)
    at = 0
    for length in lengths:
        string = orders[:, at : at + length]
        steps += minus[string[:, 0]] + plus[string[:, -1]]
        for k in range(length - 1):
            one = joint[string[:, k], string[:, k + 1]]
            steps += one
            extensions += one > 0
        at += length
    return set(zip(extensions.tolist(), steps.tolist(), strict=True))


def best_cost(roof, lengths, goal) -> tuple[int, int]:
    """(extensions, steps bought) of the best wiring there is."""
    key = {"reach": lambda cost: cost, "cable": lambda cost: cost[::-1]}[goal]
    return min(every_cost(roof, lengths), key=key)
