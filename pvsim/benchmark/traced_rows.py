"""Rows about measured curves: planted faults found again, what is no family, the time of one ranking."""

from __future__ import annotations

import time
from collections.abc import Iterator

from pvsim.benchmark.planted import Planted, measured, plant, plant_other, planted_cases, solved
from pvsim.benchmark.row import Row
from pvsim.traced.ranking import Ranking, rank_faults

CASES = 500
NOISES = (0.005, 0.02)
OTHERS = (
    ("module", "two-shades"),
    ("module", "two-faults"),
    ("module", "poor-junctions"),
    ("string", "two-shades"),
    ("string", "two-faults"),
    ("string", "poor-junctions"),
    ("string", "other-modules"),
)
OF_EACH = 12
SOUND = 40  # of each part


def is_right(case: Planted, found: Ranking) -> bool:
    """Whether the family that was planted comes first, and is meant."""
    return found.ranked[0].family.name == case.family and not found.none_of_these


def place_told(case: Planted, found: Ranking) -> bool | None:
    """Whether the counts are those planted; None where there are none to tell, or none are told."""
    where = found.ranked[0].where
    if not case.count or where is None or where.others or where.other_strings or not is_right(case, found):
        return None
    return (where.count, where.strings) == (case.count, case.strings)


def none_is_near(found: Ranking) -> bool:
    """Whether none of these is the first answer or the second."""
    odds = found.none_share / max(1.0 - found.none_share, 1e-12)
    return found.none_of_these or odds >= found.ranked[1].share


def in_turn(cases: list[Planted]) -> list[Planted]:
    """Cases of one part in one light after another: what is known of a part is kept for the latest parts."""
    return sorted(cases, key=lambda one: (repr(one.place), one.scenario.light.irradiance_W_m2, one.seed % 3))


def planted() -> list[Row]:
    """Planted faults at two noises, what is no family, sound parts; and the slowest ranking of all."""
    right: dict[float, list[bool]] = {noise: [] for noise in NOISES}
    places: dict[float, list[bool]] = {noise: [] for noise in NOISES}
    slowest = 0.0
    for case, noise, found, seconds in _ranked(in_turn(planted_cases(CASES)), NOISES):
        right[noise].append(is_right(case, found))
        told = place_told(case, found)
        if told is not None:
            places[noise].append(told)
        slowest = max(slowest, seconds)
    others = [plant_other(*one, 700 + k) for one in OTHERS for k in range(OF_EACH)]
    none = [none_is_near(found) for _case, _noise, found, _s in _ranked(others, NOISES[:1])]
    parts = [plant(part, "healthy", 5000 + k) for part in ("module", "string", "array") for k in range(SOUND)]
    sound = [is_right(case, found) for case, _noise, found, _s in _ranked(in_turn(parts), NOISES[:1])]
    rows = []
    for noise, bar in zip(NOISES, (90.0, 80.0), strict=True):
        name = f"traced-{100.0 * noise:g}"
        rows.append(
            _share(
                name,
                f"planted faults of scattered parts, {100 * noise:g} % noise: family first",
                right[noise],
                bar,
            )
        )
        rows.append(
            _share(
                f"{name}-place",
                "the same: how many parts are concerned, where it is told",
                places[noise],
                bar,
            )
        )
    rows.append(
        _share("traced-none", "two faults or another kind: none of these first or second", none, 80.0)
    )
    rows.append(_share("traced-sound", "sound parts: nothing wrong", sound, 95.0))
    rows.append(
        Row(
            name="traced-time",
            what="one measured curve ranked, the slowest of all: CPU, its part looked at for the first time",
            figure=slowest,
            bar=3.0,
            unit="s",
        )
    )
    return rows


def _ranked(
    cases: list[Planted], noises: tuple[float, ...]
) -> Iterator[tuple[Planted, float, Ranking, float]]:
    for case in cases:
        curve = solved(case)
        for noise in noises:
            traced = measured(curve, case.seed, noise)
            start = time.process_time()
            found = rank_faults(traced, case.scenario, case.place)
            yield case, noise, found, time.process_time() - start


def _share(name: str, what: str, good: list[bool], bar: float) -> Row:
    return Row(
        name=name,
        what=what,
        figure=100.0 * sum(good) / max(len(good), 1),
        bar=bar,
        unit="%",
        better="higher",
        note=f"{sum(good)} of {len(good)}",
    )
