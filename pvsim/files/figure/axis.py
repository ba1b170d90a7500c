"""An axis: its range, its round values, and their numbers as the language writes them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, log10

from pvsim.numbers import MINUS, short_number

__all__ = ["Axis", "Tick", "make_axis", "round_values", "tick_text"]

_STEPS = (1, 2, 5, 10)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A round value and its number as it is written."""

    value: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """What one side of a figure says of its values.

    Parameters
    ----------
    least, most : float
        The values at its ends.
    title : str
        The quantity with its unit.
    ladder : tuple of tuple of Tick
        Sets of round values within the range, from the finest to the coarsest: what draws the axis takes the
        first whose numbers stand apart there.
    """

    least: float
    most: float
    title: str = ""
    ladder: tuple[tuple[Tick, ...], ...] = ()


def make_axis(span: tuple[float, float], title: str = "", *, counts: Sequence[int] = (5, 4, 3, 2)) -> Axis:
    """An axis over a range; an empty one is widened.

    Parameters
    ----------
    span : (least, most)
        Values at its ends.
    title : str
        The quantity with its unit.
    counts : sequence of int
        About how many round values there may be, the most first.
    """
    least, most = (span[0] - 0.5, span[1] + 0.5) if span[1] - span[0] < 1e-9 else span
    ladder: list[tuple[Tick, ...]] = []
    for count in counts:
        ticks = tuple(Tick(value=one, text=tick_text(one)) for one in round_values(least, most, count))
        if ticks and (not ladder or len(ticks) < len(ladder[-1])):
            ladder.append(ticks)
    return Axis(least=least, most=most, title=title, ladder=tuple(ladder))


def round_values(least: float, most: float, count: int) -> list[float]:
    """Round values from `least` to `most`: steps of 1, 2 or 5, nearest to `count` of them."""
    span = most - least
    scale = 10.0 ** floor(log10(span / count))
    step = min((one * scale for one in _STEPS), key=lambda one: abs(span / one - count))
    return [round(k * step, 12) + 0.0 for k in range(ceil(least / step), floor(most / step) + 1)]


def tick_text(value: float) -> str:
    """A tick's number, with a true minus sign."""
    return short_number(value, 10, minus=MINUS)
