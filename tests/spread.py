"""Whether numbers are spread as a distribution says, without scipy.stats, which is slow to be imported."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from scipy.special import kolmogorov

__all__ = ["chance_of_spread"]

Numbers = np.ndarray


def chance_of_spread(values: Numbers, distribution: Callable[[Numbers], Numbers]) -> float:
    """How likely numbers drawn from a distribution would lie at least as far from it, for thousands of them.

    Parameters
    ----------
    values : (n,)
    distribution : callable
        The share of numbers up to each of some values in rising order.

    Notes
    -----
    The greatest distance of the two step for step; its law for many numbers is by A. N. Kolmogorov, Giorn.
    Ist. Ital. Attuari 4 (1933) 83.
    """
    n = len(values)
    share = distribution(np.sort(values))
    steps = np.arange(n + 1) / n
    apart = max(float((steps[1:] - share).max()), float((share - steps[:-1]).max()))
    return float(kolmogorov(np.sqrt(n) * apart))
