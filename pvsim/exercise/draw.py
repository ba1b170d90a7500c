"""What varies from student to student in an exercise, and how it is put into the exercise's texts."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from pvsim.course.number.units import UNITS, Format, Unit, write_number
from pvsim.course.text.typed_numbers import COMPUTED
from pvsim.exercise.case import ExerciseCase, chosen

__all__ = ["MARKED", "MOST_VALUES", "Draw", "Values", "drawn", "put_into", "put_into_text", "written"]

MOST_VALUES = 1_000  # that one draw can have
MARKED = re.compile(r"\$([A-Za-z]\w{0,30})")

Values = Mapping[str, "float | str"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Draw:
    """One thing that is drawn.

    Parameters
    ----------
    name : str
        As it stands behind the `$`.
    values : tuple of float or str
        What it can be, each as likely as any other: numbers in `unit`, or words.
    unit : Unit
        Of numbers.
    decimals : int
        With which they are written.
    """

    name: str
    values: tuple[float | str, ...]
    unit: Unit = UNITS["plain"]
    decimals: int = 0


def drawn(draws: tuple[Draw, ...], exercise: str, case: ExerciseCase) -> dict[str, float | str]:
    """The values of a case, by name."""
    return {one.name: one.values[chosen(case, f"{exercise}/{one.name}", len(one.values))] for one in draws}


def put_into(part: Any, draws: tuple[Draw, ...], values: Values) -> Any:
    """A part of a parsed table with every `$name` in it replaced by what was drawn, in SI units.

    A text that is nothing but `$name` becomes the number itself; within a text it is written as expressions
    and places have it.
    """
    known = {one.name: one for one in draws}
    if isinstance(part, dict):
        return {key: put_into(one, draws, values) for key, one in part.items()}
    if isinstance(part, list):
        return [put_into(one, draws, values) for one in part]
    if not isinstance(part, str):
        return part
    alone = MARKED.fullmatch(part)
    if alone and alone[1] in known:
        return _si(known[alone[1]], values[alone[1]])
    return _replaced(part, known, lambda one: written(_si(one, values[one.name])))


def put_into_text(text: str, draws: tuple[Draw, ...], values: Values, language: str) -> str:
    """A text for people with every `$name` written out with its unit; within {{ }} as expressions have it."""
    known = {one.name: one for one in draws}

    def spoken(one: Draw) -> str:
        value = values[one.name]
        if isinstance(value, str):
            return value
        how = Format(decimals=one.decimals)
        return write_number(value * one.unit.size, one.unit, how, language)

    parts: list[str] = []
    end = 0
    for match in COMPUTED.finditer(text):
        parts.append(_replaced(text[end : match.start()], known, spoken))
        parts.append(_replaced(match[0], known, lambda one: written(_si(one, values[one.name]))))
        end = match.end()
    return "".join([*parts, _replaced(text[end:], known, spoken)])


def written(value: float | str) -> str:
    """A value as the language of computed numbers has it: no powers of ten, a minus in brackets."""
    if isinstance(value, str):
        return value
    digits = f"{abs(value):.12f}".rstrip("0").rstrip(".")
    return f"(-{digits})" if value < 0 else digits


def _si(draw: Draw, value: float | str) -> float | str:
    if isinstance(value, str):
        return value
    size = round(value * draw.unit.size, 12)
    return int(size) if size == int(size) else size


def _replaced(text: str, known: Mapping[str, Draw], say: Callable[[Draw], str]) -> str:
    return MARKED.sub(lambda match: say(known[match[1]]) if match[1] in known else match[0], text)
