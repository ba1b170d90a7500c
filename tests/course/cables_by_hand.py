"""A few lines of numpy that reckon a roof's cables without pvsim's: points, straight distances, whole steps.

Rules as the guide of the cables says them: leads of 1.1 m at both poles, 0.1 m of slack, cable bought in
steps of 0.1 m; a run to the box goes along the row first, then square to it. Resistance: IEC 60228, class 5,
4 mm2 tinned, 5.09 ohm/km at 20 degrees C; copper 0.393 % a kelvin (IEC 60287-1-1, from memory).
Area of a loop: the shoelace formula (C. F. Gauss).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

WIDTH_m, HEIGHT_m = 1.046, 1.718  # of the 60-cell module: 6 x 10 cells of 0.166 m, gaps 2 mm, margins 20 mm
BESIDE_m, BELOW_m = 0.02, 0.1  # gaps on both roofs
LEAD_m, SLACK_m, STEP_m = 1.1, 0.1, 0.1
BOX_DOWN_m = 0.08  # from a module's upper edge to its junction box
OHM_PER_m = 5.09e-3 * (1.0 + 0.00393 * 20.0)  # at 40 degrees C

Order = Sequence[tuple[int, int]]  # row and place of a string's modules, both from 1


@dataclass(frozen=True)
class ByHand:
    bought_m: float
    extensions: int
    joints: int
    loop_m2: float


def boxes_of(order: Order, turned_rows: Sequence[int] = ()) -> np.ndarray:
    """Where the junction boxes lie: both leads leave a module there."""
    down = [HEIGHT_m - BOX_DOWN_m if row in turned_rows else BOX_DOWN_m for row, _place in order]
    return np.array(
        [
            ((place - 1) * (WIDTH_m + BESIDE_m) + WIDTH_m / 2, (row - 1) * (HEIGHT_m + BELOW_m) + extra)
            for (row, place), extra in zip(order, down, strict=True)
        ]
    )


def steps(missing_m: np.ndarray) -> np.ndarray:
    return np.maximum(np.ceil(missing_m / STEP_m - 1e-9), 0.0) * STEP_m


def string_by_hand(order: Order, meet_m: tuple[float, float], turned_rows: Sequence[int] = ()) -> ByHand:
    at, meet = boxes_of(order, turned_rows), np.array(meet_m)
    gaps = np.hypot(*np.diff(at, axis=0).T)
    extensions = steps(gaps + SLACK_m - 2 * LEAD_m)
    runs = steps(np.abs(at[[0, -1]] - meet).sum(axis=1) + SLACK_m - LEAD_m)
    corner = [(meet[0], at[k, 1]) for k in (0, -1)]
    x, y = np.array([meet, corner[0], *at, corner[1]]).T
    loop = abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2
    joints = len(at) - 1 + np.count_nonzero(extensions) + np.count_nonzero(runs)
    bought, longer = extensions.sum() + runs.sum(), np.count_nonzero(extensions)
    return ByHand(float(bought), int(longer), int(joints), float(loop))


def roof_by_hand(
    orders: Sequence[Order], meet_m: tuple[float, float], turned_rows: Sequence[int] = ()
) -> ByHand:
    found = [string_by_hand(order, meet_m, turned_rows) for order in orders]
    return ByHand(
        sum(one.bought_m for one in found),
        sum(one.extensions for one in found),
        sum(one.joints for one in found),
        max(one.loop_m2 for one in found),
    )


def by_rows(rows: int, places: int) -> list[Order]:
    return [[(row, place) for place in range(1, places + 1)] for row in range(1, rows + 1)]


def there_and_back(rows: int, places: int) -> list[Order]:
    """Every other module of a row on the way out, the rest on the way back."""
    out, back = range(1, places + 1, 2), range(places - places % 2, 0, -2)
    return [[(row, place) for place in (*out, *back)] for row in range(1, rows + 1)]
