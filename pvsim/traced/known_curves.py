"""Curves of a part with every fault it is held against, solved once for a part in its light and kept."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from pvsim.array.place import Place
from pvsim.array.scatter import USUAL_SCATTER, Scatter
from pvsim.array.scenario import Scenario
from pvsim.array.solve import level_curve
from pvsim.circuit.floats import Floats
from pvsim.circuit.solution import Characteristic
from pvsim.prompt import summary
from pvsim.traced.family import Family, families_of
from pvsim.traced.residual import reaching
from pvsim.traced.scattered import scattered_curves
from pvsim.traced.variant import Variant, variants_of

POINTS = 200  # of each solved curve
_STEPS = 900  # of the voltages that all curves are kept at
_REACH = 1.08  # of the greatest Voc
_DRAWS = 16
_FIRST_SEED = 500_001  # of the scatter drawn here: not one that a scenario is likely to have
_MOST_CELLS = 60_000  # of which scatter is drawn; it averages out in larger parts


@dataclass(frozen=True, slots=True, kw_only=True)
class Hypothesis:
    """One thing that may be wrong, in one number of parts.

    Parameters
    ----------
    family : Family
    variant : Variant
    rows : tuple of int
        Its curves among those known, one for each size of the family.
    """

    family: Family
    variant: Variant
    rows: tuple[int, ...]

    __repr__ = summary


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KnownCurves:
    """What a part does with each fault.

    Parameters
    ----------
    hypotheses : tuple of Hypothesis
    sizes : (curves,)
        nan where the fault has none.
    voltage_V : (n,)
        Evenly spaced, from a little below zero.
    current_A : (curves, n)
    scattered : dict
        By curve: what scatter makes of it on the whole, and its modes, at `voltage_V`; filled when asked for.
    """

    scenario: Scenario
    place: Place
    hypotheses: tuple[Hypothesis, ...]
    sizes: Floats
    voltage_V: Floats
    current_A: Floats
    scattered: dict[int, tuple[Floats, Floats]] = field(default_factory=dict)

    __repr__ = summary


@lru_cache(maxsize=12)
def known_curves(scenario: Scenario, place: Place) -> KnownCurves:
    """The curves that a part's measured one is held against.

    Parameters
    ----------
    scenario : Scenario
        The part without the fault, in the light it was measured in. Its scatter says how much cells may
        differ, not how these do.
    place : Place
        A module, a string or the array.
    """
    plain = replace(scenario, scatter=None)
    hypotheses: list[Hypothesis] = []
    curves: list[Characteristic] = []
    sizes: list[float] = []
    for family in families_of(plain, place):
        for variant in variants_of(family, plain, place):
            rows: list[int] = []
            for size in family.sizes or (float("nan"),):
                rows.append(len(curves))
                sizes.append(size)
                changed = variant.change(plain, 0.0 if size != size else size)
                curves.append(level_curve(changed, place, points=POINTS))
            hypotheses.append(Hypothesis(family=family, variant=variant, rows=tuple(rows)))
    highest = max(max(curve.voc_V for curve in curves), 1e-3)
    V = np.linspace(-0.05 * highest, _REACH * highest, _STEPS)
    return KnownCurves(
        scenario=scenario,
        place=place,
        hypotheses=tuple(hypotheses),
        sizes=np.array(sizes),
        voltage_V=V,
        current_A=np.array([reaching(curve, V) for curve in curves]),
    )


def solved_at(known: KnownCurves, hypothesis: Hypothesis, size: float) -> Floats:
    """The current of a fault of any size, at the voltages of the known curves."""
    plain = replace(known.scenario, scatter=None)
    curve = level_curve(hypothesis.variant.change(plain, size), known.place, points=POINTS)
    return reaching(curve, known.voltage_V)


def scattered_at(known: KnownCurves, hypothesis: Hypothesis, row: int) -> tuple[Floats, Floats]:
    """What scatter makes of a known curve.

    Returns
    -------
    (n,), (n, modes)
        On the whole, and in standard deviations of as many independent parts.
    """
    found = known.scattered.get(row)
    if found is None:
        found = known.scattered[row] = _scattered(known, hypothesis, row)
    return found


def _scattered(known: KnownCurves, hypothesis: Hypothesis, row: int) -> tuple[Floats, Floats]:
    V = known.voltage_V
    usual = known.scenario.scatter or USUAL_SCATTER
    size = float(known.sizes[row])
    plain = replace(known.scenario, scatter=None)
    found = scattered_curves(
        hypothesis.variant.change(plain, 0.0 if size != size else size), known.place, _draws(usual)
    )
    missed = np.array([np.interp(V, found.voltage_V, one) for one in found.drawn_A - found.plain_A])
    mean = missed.mean(axis=0)
    return mean, ((missed - mean) / np.sqrt(_DRAWS - 1.0)).T


@lru_cache(maxsize=16)
def _draws(usual: Scatter) -> tuple[Scatter, ...]:
    return tuple(replace(usual, seed=_FIRST_SEED + k) for k in range(_DRAWS))
