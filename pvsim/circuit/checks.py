"""Range checks shared by the frozen values of the circuit layer."""

from __future__ import annotations

import re
from collections.abc import Sequence
from math import isfinite

from pvsim.circuit.limits import Bounds
from pvsim.errors import CircuitError, nearest

_WITH_UNIT = re.compile(r"_(V|A|W|K|C|eV|ohm|per_K|m2|W_m2)$")
FEWEST_POINTS, MOST_POINTS = 8, 20_000


def finite(thing: object, name: str, *, least: float, most: float) -> None:
    """Refuse a field that is not a finite number from `least` to `most`."""
    value = getattr(thing, name)
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not isfinite(value):
        _refuse(thing, name, value, "a finite number")
    if not least <= value <= most:
        _refuse(thing, name, value, _span(least, most))


def within(thing: object, bounds: Bounds) -> None:
    """Refuse a field that is not a finite number within its bounds."""
    for name, (least, most) in bounds.items():
        finite(thing, name, least=least, most=most)


def one_of(thing: object, name: str, known: Sequence[str]) -> None:
    """Refuse a field that is not one of the known words."""
    value = getattr(thing, name)
    if value not in known:
        raise CircuitError(
            f"{name} of the {_called(thing)} is {value!r}",
            expected="one of " + ", ".join(known),
            mend=nearest(str(value), known, "Choose one of them"),
        )


def check_curve(points: int, window: tuple[float, float] | None) -> None:
    """Refuse a number of points or a window of voltages that cannot be."""
    if isinstance(points, bool) or not isinstance(points, int) or not FEWEST_POINTS <= points <= MOST_POINTS:
        raise CircuitError(
            f"points is {points!r}",
            expected=f"a whole number from {FEWEST_POINTS} to {MOST_POINTS}",
            mend="400 points draw a smooth curve",
        )
    if window is not None and not (all(isfinite(V) for V in window) and window[0] < window[1]):
        raise CircuitError(
            f"window is {window!r}",
            expected="two finite voltages in V, the lower first",
            mend="Leave window out to have it chosen",
        )


def one_condition(
    *, voltage_V: float | None, current_A: float | None, load_ohm: float | None, at_mpp: bool
) -> None:
    """Refuse anything but exactly one operating condition, with a value that can be."""
    values = {"voltage_V": voltage_V, "current_A": current_A, "load_ohm": load_ohm}
    given = {name: value for name, value in values.items() if value is not None}
    names = [*given, *(["at_mpp"] if at_mpp else [])]
    if len(names) != 1:
        raise CircuitError(
            f"{len(names)} operating conditions were given" + (": " + ", ".join(names) if names else ""),
            expected="exactly one of voltage_V, current_A, load_ohm and at_mpp=True",
            mend="Keep the one you mean",
        )
    for name, value in given.items():
        if not isfinite(value) or (name == "load_ohm" and value < 0.0):
            raise CircuitError(
                f"{name} is {value!r}",
                expected="a finite number" + (" of at least 0" if name == "load_ohm" else ""),
                mend=f"Give {name} in the unit its name ends with",
            )


def _span(least: float, most: float) -> str:
    return f"a number from {least:g} to {most:g}"


def _called(thing: object) -> str:
    return "cell type" if type(thing).__name__ == "CellType" else type(thing).__name__.lower()


def _refuse(thing: object, name: str, value: object, expected: str) -> None:
    raise CircuitError(
        f"{name} of the {_called(thing)} is {value!r}",
        expected=expected,
        mend=f"Give {name} in the unit its name ends with" if _WITH_UNIT.search(name) else f"Give {expected}",
    )
