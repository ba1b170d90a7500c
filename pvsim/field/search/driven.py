"""How real cells read where they are driven near to their short-circuit current, beside equal ones.

Of equal cells each has its share of what a string lacks in voltage. Real ones have not: the weakest turns
round and heats, and the rest keep their voltage. How near a module is to that is told by the voltage at its
junctions, as a share of what a sound array has there. Two kinds of driven modules differ:

    alone       it is darker than the others of its string, and the tracker goes down to its current
    as others   other strings hold it and its like below their best voltage; which cell turns round is open

What is told here was read off arrays with the usual scatter, 60 to 80 searches of each level, beside the
array that is seen with the very same fault; tests hold it to searches that it was not read off.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.circuit.floats import Floats
from pvsim.field.search.picture import contrast_from, contrast_slope, contrast_told
from pvsim.prompt import summary

__all__ = ["Driven", "driven_of", "voltage_apart", "warmest"]

_ALONE = 0.02  # lower than the middle one of its string by so much of a sound voltage
_ALIKE = 1e-3  # equal modules that are held together differ by less
_NONE = 2.0  # no current, no limit
# Of a sound module's voltage: where no current flows, less blocks; how far each other one lies apart then.
_BLOCKED, _HELD = 0.9, 0.01

# Voltage at its junctions, as a share; how warm its warmest cell is told to be, and how far that lies apart;
# how far its voltage lies apart, as a share of a sound module's.
_AS_OTHERS = np.array(
    [
        [0.45, 3.50, 1.20, 0.330],
        [0.72, 3.00, 1.80, 0.320],
        [0.80, 2.80, 1.95, 0.300],
        [0.87, 2.40, 1.85, 0.240],
        [0.89, 2.20, 1.80, 0.130],
        [0.91, 1.75, 1.55, 0.094],
        [0.93, 1.30, 1.20, 0.047],
        [0.95, 1.05, 1.05, 0.026],
        [0.965, 0.90, 1.00, 0.015],
        [0.975, 0.65, 0.80, 0.011],
        [0.985, 0.45, 0.45, 0.008],
        [0.995, 0.30, 0.15, 0.0],
        [1.005, 0.25, 0.10, 0.0],
        [1.015, 0.19, 0.06, 0.0],
        [1.035, 0.15, 0.05, 0.0],
        [1.075, 0.10, 0.03, 0.0],
    ]
)
_BY_ITSELF = np.array(
    [
        [0.30, 2.00, 0.50, 0.0],
        [0.70, 4.00, 1.40, 0.04],
        [0.82, 2.85, 1.25, 0.15],
        [0.86, 2.60, 1.10, 0.03],
        [0.89, 2.20, 0.90, 0.02],
        [0.91, 1.35, 0.55, 0.02],
        [0.93, 0.85, 0.35, 0.02],
        [0.95, 0.72, 0.28, 0.015],
        [0.965, 0.58, 0.22, 0.015],
        [0.985, 0.40, 0.20, 0.0],
        [0.995, 0.28, 0.10, 0.0],
        [1.075, 0.10, 0.03, 0.0],
    ]
)
# How far what a fault warms lies apart, as told; glass beside it reads a little more. Of equal cells that are
# shorted, below some share of a sound voltage, each eats its own: of real ones the weakest eats for many.
_FAULTY_APART, _BESIDE = 0.04, (0.08, 0.07)
_SHORTED, _WEAKEST = 0.3, (2.1, 0.4)
# A substring by itself may as well not have the weakest cell of its module: as told, less by a share, and
# further apart by a share.
_PART_LESS, _PART_APART = 0.8, 0.4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Driven:
    """How near the modules of a string are driven to their short-circuit current.

    Parameters
    ----------
    share : (candidates, modules, substrings)
        Voltage at their junctions, as a share of that of sound ones; infinite where no current flows.
    alone : (candidates, modules)
        Whether a module is driven by itself, and not as others of its string are.
    """

    share: Floats
    alone: np.ndarray

    __repr__ = summary


def driven_of(junction_V: Floats, sound_V: float) -> Driven:
    """Of a string.

    Parameters
    ----------
    junction_V : (candidates, modules, substrings)
        Of all its modules; infinite where no current flows.
    sound_V : float
        Of a sound array at work.
    """
    share = junction_V / sound_V
    module = share.min(axis=2)
    lower = module < np.median(module, axis=1, keepdims=True) - _ALONE
    return Driven(share=share, alone=lower & (_alike(module, module).sum(axis=2) == 1))


def voltage_apart(driven: Driven, run: slice, run_V: Floats, sound_V: float) -> Floats:
    """How far the voltage of a run lies apart from that of equal cells, besides what any module's does.

    What holds modules of a string alike below their best voltage holds their sum: what one of them lacks the
    rest have. Where one blocks its string, it takes what all others leave of the array's voltage.

    Parameters
    ----------
    run_V : (candidates, modules of the run)
        Of equal cells.
    sound_V : float
        Of one sound module at work.

    Returns
    -------
    (candidates,)
        In V.
    """
    module = driven.share.min(axis=2)
    inside = module[:, run]
    alike = _alike(inside, module)
    count, here = alike.sum(axis=2), alike[:, :, run].sum(axis=2)
    others = _read_off(_AS_OTHERS, inside, 3) ** 2 * (count - here) / np.maximum(count - 1, 1)
    squares = np.where(driven.alone[:, run], _read_off(_BY_ITSELF, inside, 3) ** 2, others)
    blocks = np.isinf(driven.share).all(axis=(1, 2)) & (run_V.min(axis=1) < _BLOCKED * sound_V)
    held = blocks * _HELD**2 * (module.shape[1] - inside.shape[1])
    found: Floats = sound_V * np.sqrt(squares.sum(axis=1) + held)
    return found


def warmest(
    seen_K: Floats, share: Floats, alone: np.ndarray, *, substrings: bool = False
) -> tuple[Floats, Floats]:
    """How warm the warmest cell is told to be, and how far that lies apart; like `seen_K` each.

    It is either the one that is warmest among equal cells or the weakest of the others.

    Parameters
    ----------
    seen_K : (...)
        Contrasts of equal cells.
    share, alone : (...)
        As of `Driven`.
    substrings : bool
        Whether each is of a substring, and not of a module.

    Notes
    -----
    The larger of two normal variables: C. E. Clark, Operations Research 9 (1961) 145, equations 1 to 3.
    """
    first, first_apart = _of_its_fault(seen_K, share)
    told = np.where(alone, _read_off(_BY_ITSELF, share, 1), _read_off(_AS_OTHERS, share, 1))
    apart = np.where(alone, _read_off(_BY_ITSELF, share, 2), _read_off(_AS_OTHERS, share, 2))
    if substrings:
        told, apart = _PART_LESS * told, np.hypot(apart, _PART_APART * told)
    warm_K = contrast_from(told)
    weak_K = warm_K + np.minimum(seen_K, 0.0)  # where the glass beside makes the module's mean warmer
    second, second_apart = contrast_told(weak_K), apart * contrast_slope(weak_K) / contrast_slope(warm_K)
    return _larger(first, first_apart, second, second_apart)


def _of_its_fault(seen_K: Floats, share: Floats) -> tuple[Floats, Floats]:
    """The cell that a fault warms, or the glass beside one, as told; and how far that lies apart."""
    beside, shorted = seen_K < 0.0, (seen_K > 0.0) & (share < _SHORTED)
    more = np.select([beside, shorted], [_BESIDE[0] * np.minimum(-seen_K, 1.0), _WEAKEST[0]], 0.0)
    apart = np.select([beside, shorted], [_BESIDE[1], _WEAKEST[1]], _FAULTY_APART)
    return contrast_told(seen_K) + more, apart


def _larger(
    first: Floats, first_apart: Floats, second: Floats, second_apart: Floats
) -> tuple[Floats, Floats]:
    """Mean and standard deviation of the larger of two."""
    from scipy.special import ndtr

    a = np.hypot(first_apart, second_apart)
    z = (first - second) / a
    mine, other, ridge = ndtr(z), ndtr(-z), a * np.exp(-0.5 * z * z) / np.sqrt(2.0 * np.pi)
    mean = first * mine + second * other + ridge
    square = (first**2 + first_apart**2) * mine + (second**2 + second_apart**2) * other
    variance = square + (first + second) * ridge - mean**2
    return mean, np.sqrt(np.maximum(variance, 0.25 * np.minimum(first_apart, second_apart) ** 2))


def _alike(some: Floats, module: Floats) -> np.ndarray:
    """Which of all modules each of some is held together with; (candidates, some, modules)."""
    near, all_near = np.minimum(some, _NONE), np.minimum(module, _NONE)
    alike: np.ndarray = np.abs(near[:, :, None] - all_near[:, None, :]) < _ALIKE
    return alike


def _read_off(table: Floats, share: Floats, column: int) -> Floats:
    found: Floats = np.interp(share, table[:, 0], table[:, column])
    return found
