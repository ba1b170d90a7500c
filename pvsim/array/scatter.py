"""Real cells are not equal: how they scatter, from a seed.

Every cell has a photocurrent, a shunt and a breakdown voltage a little of its own, and every module a
little more or less light and warmth than its neighbours. What that makes of each is drawn in
pvsim/array/cell_scatter.py.

The usual values are common practice, no source: cells are sorted by current into bins of about a per
cent, while shunts, which nobody sorts by, differ by half and more; light and temperature differ over a
roof with dirt, tilt and wind.
"""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.checks import finite, whole

__all__ = ["MOST_SEED", "USUAL_SCATTER", "Scatter"]

MOST_SEED = 999_999


@dataclass(frozen=True, slots=True, kw_only=True)
class Scatter:
    """How far cells and modules lie apart: standard deviations, and the seed they are drawn from.

    Parameters
    ----------
    seed : int
        0 to MOST_SEED.
    photocurrent_percent, breakdown_percent : float
        Of each cell's photocurrent and breakdown voltage, about those of its type.
    shunt_percent : float
        Of each cell's shunt resistance, in its logarithm.
    light_percent, temperature_K : float
        Of each module's light, and of how much warmer it is than the weather makes it.

    Raises
    ------
    ScenarioError
        If a value is not a number within its bounds.
    """

    seed: int = 1
    photocurrent_percent: float = 1.0
    shunt_percent: float = 50.0
    breakdown_percent: float = 5.0
    light_percent: float = 1.0
    temperature_K: float = 1.5

    def __post_init__(self) -> None:
        whole(self, "seed", least=0, most=MOST_SEED)
        finite(self, "photocurrent_percent", least=0.0, most=20.0)
        finite(self, "shunt_percent", least=0.0, most=150.0)
        finite(self, "breakdown_percent", least=0.0, most=20.0)
        finite(self, "light_percent", least=0.0, most=20.0)
        finite(self, "temperature_K", least=0.0, most=15.0)


USUAL_SCATTER = Scatter()
