"""Roofs for tests of the cabling: modules in rows and columns, boxes and leads. All data invented."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.cabling import Terminals


@dataclass(frozen=True)
class Roof:
    """Where modules lie, their terminals and where their strings meet."""

    rows: list[int]
    columns: list[int]
    terminals: Terminals
    box_m: np.ndarray


def grid_roof(
    places, *, turned=(), width_m=1.1, height_m=1.8, lead_m=1.2, box_m=(-1.0, -0.5), apart_m=0.0, **terminals
) -> Roof:
    """A roof of upright modules, boxes near their upper edge, or near the lower one in turned rows.

    `apart_m` is how far minus and plus box of a module lie apart; the minus one is on the left, and on
    the right in a turned row.
    """
    rows, columns = [row for row, _ in places], [column for _, column in places]
    turn = np.array([row in turned for row in rows])
    x = (np.array(columns) - 0.5) * width_m
    y = (np.array(rows) - 1) * height_m + np.where(turn, height_m - 0.2, 0.2)
    half = np.where(turn, -0.5, 0.5) * apart_m
    leads = np.broadcast_to(lead_m, len(rows))
    found = Terminals(
        minus_m=np.stack([x - half, y], axis=1),
        plus_m=np.stack([x + half, y], axis=1),
        minus_lead_m=leads,
        plus_lead_m=leads,
        **terminals,
    )
    return Roof(rows, columns, found, np.array(box_m, dtype=float))


def full_grid(rows: int, columns: int, **options) -> Roof:
    places = [(row, column) for row in range(1, rows + 1) for column in range(1, columns + 1)]
    return grid_roof(places, **options)


def random_roof(seed: int, *, least: int = 9, most: int = 24) -> tuple[Roof, list[int]]:
    """A roof with free places and some rows turned, and lengths of strings for it."""
    chance = np.random.default_rng(seed)
    rows, columns = int(chance.integers(2, 5)), int(chance.integers(3, 8))
    columns = max(columns, -(-least // rows))
    places = [(row, column) for row in range(1, rows + 1) for column in range(1, columns + 1)]
    count = int(np.clip(chance.integers(least, most + 1), 2, len(places)))
    kept = sorted(chance.permutation(len(places))[:count].tolist())
    turned = [row for row in range(1, rows + 1) if chance.random() < 0.4]
    roof = grid_roof(
        [places[k] for k in kept],
        turned=turned,
        lead_m=float(chance.choice([0.5, 0.8, 1.2])),
        apart_m=float(chance.choice([0.0, 0.6])),
        box_m=chance.uniform((-2.0, -2.0), (columns * 1.1 + 2.0, rows * 1.8 + 2.0)),
    )
    strings = int(chance.integers(1, min(4, count) + 1))
    cuts = sorted(chance.permutation(np.arange(1, count))[: strings - 1].tolist())
    return roof, np.diff([0, *cuts, count]).tolist()
