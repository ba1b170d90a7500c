"""What the values of the cabling layer refuse, each in one sentence."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite
from typing import NoReturn

import numpy as np
from numpy.typing import NDArray

from pvsim.errors import CablingError
from pvsim.numbers import short_number
from pvsim.words import _

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Truths = NDArray[np.bool_]
FARTHEST_m = 1e5  # of any coordinate: far beyond a roof


def number(name: str, value: object, *, least: float, most: float) -> float:
    """A finite number from `least` to `most`, as float.

    Raises
    ------
    CablingError
        If it is none.
    """
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not isfinite(value):
        _refuse_number(name, value, least, most)
    if not least <= value <= most:
        _refuse_number(name, value, least, most)
    return float(value)


def whole(name: str, value: object, *, least: int, most: int) -> int:
    """A whole number from `least` to `most`.

    Raises
    ------
    CablingError
        If it is none.
    """
    if isinstance(value, bool) or not isinstance(value, (int, np.integer)) or not least <= value <= most:
        raise CablingError(
            _("{name} is {value}").format(name=name, value=_shown(value)),
            expected=_("a whole number from {least:,} to {most:,}").format(least=least, most=most),
            mend=_("Write a whole number in that range, without a point"),
        )
    return int(value)


def frozen(name: str, given: object, shape: tuple[int, ...], *, least: float, most: float) -> Floats:
    """Numbers of a shape, as an array of their own that nobody writes to.

    Parameters
    ----------
    name : str
        What they are called in an error.
    given : array_like
        Broadcast to the shape.
    shape : tuple of int
        What is wanted.
    least, most : float
        Bounds of each.

    Raises
    ------
    CablingError
        If they are no numbers, have no such shape, or lie outside the bounds.
    """
    try:
        found = np.array(given, dtype=float)
        array = np.broadcast_to(found, shape).copy()
    except (TypeError, ValueError):
        size = " x ".join(map(str, shape))
        raise CablingError(
            _("{name} has no {size} numbers").format(name=name, size=size),
            expected=_("an array of {size} numbers").format(size=size),
            mend=_("Give each module its row, in the order of their numbers"),
        ) from None
    outside = ~((array >= least) & (array <= most))  # what is not a number lies outside too
    if outside.any():
        _refuse_number(name, float(array[outside][0]), least, most)
    array.flags.writeable = False
    return array


def points(name: str, given: object) -> Floats:
    """Points in the plane or in space, (n, 2) or (n, 3), at least one.

    Raises
    ------
    CablingError
        If they are none.
    """
    try:
        shape = np.array(given, dtype=float).shape
    except (TypeError, ValueError):
        shape = ()
    if len(shape) != 2 or shape[0] < 1 or shape[1] not in (2, 3):
        raise CablingError(
            _("{name} holds no points").format(name=name),
            expected=_("n rows of 2 or of 3 coordinates in m, n at least 1"),
            mend=_("Give x and y, or x, y and z, of each module"),
        )
    return frozen(name, given, shape, least=-FARTHEST_m, most=FARTHEST_m)


def one_point(name: str, given: object, dimensions: int) -> Floats:
    """One point with as many coordinates as the others have.

    Raises
    ------
    CablingError
        If it is none.
    """
    shape = np.shape(given) if isinstance(given, (np.ndarray, Sequence)) else ()
    if shape != (dimensions,):
        raise CablingError(
            _("{name} is no point").format(name=name),
            expected=_("{count} coordinates in m, as the modules have").format(count=dimensions),
            mend=_("Give it the same coordinates as the modules"),
        )
    return frozen(name, given, (dimensions,), least=-FARTHEST_m, most=FARTHEST_m)


def _refuse_number(name: str, value: object, least: float, most: float) -> NoReturn:
    raise CablingError(
        _("{name} is {value}").format(name=name, value=_shown(value)),
        expected=_("a number from {least} to {most}").format(
            least=short_number(least), most=short_number(most)
        ),
        mend=_("Give {name} in the unit its name ends with").format(name=name),
    )


def _shown(value: object) -> str:
    if isinstance(value, (float, np.floating)):
        return short_number(float(value))
    return repr(value)[:80]
