"""Range checks shared by the frozen values of the circuit layer."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, isfinite

from pvsim.errors import CircuitError, nearest


def finite(thing: object, name: str, *, least: float = -inf, most: float = inf) -> None:
    """Refuse a field that is not a finite number from `least` to `most`."""
    value = getattr(thing, name)
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not isfinite(value):
        _refuse(thing, name, value, "a finite number")
    if not least <= value <= most:
        _refuse(thing, name, value, _span(least, most))


def positive(thing: object, name: str) -> None:
    """Refuse a field that is not a finite number above zero."""
    finite(thing, name)
    if getattr(thing, name) <= 0:
        _refuse(thing, name, getattr(thing, name), "a number above 0")


def one_of(thing: object, name: str, known: Sequence[str]) -> None:
    """Refuse a field that is not one of the known words."""
    value = getattr(thing, name)
    if value not in known:
        raise CircuitError(
            f"{name} of a {type(thing).__name__} is {value!r}",
            expected="one of " + ", ".join(known),
            mend=nearest(str(value), known),
        )


def _span(least: float, most: float) -> str:
    if most == inf:
        return f"a number of at least {least:g}"
    if least == -inf:
        return f"a number of at most {most:g}"
    return f"a number from {least:g} to {most:g}"


def _refuse(thing: object, name: str, value: object, expected: str) -> None:
    raise CircuitError(
        f"{name} of a {type(thing).__name__} is {value!r}",
        expected=expected,
        mend=f"Give {name} in the unit its name ends with",
    )
