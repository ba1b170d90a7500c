"""What a lesson says stands behind a comparison in words.

    {{ holds now[1].power_W < 0.5 * before[1].power_W }}   the solver is asked whenever the lesson is checked
    {{ checked tests/course/test_claims.py: long_chain }}  whoever reads can look there

Both stand in the sentence and show nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from pvsim.course.number.evaluation import check_condition
from pvsim.course.number.expression import Condition, parse_condition
from pvsim.course.text.typed_numbers import COMPUTED
from pvsim.errors import LessonError

SHORTEST_REASON = 8  # characters; less names no place

_WARRANT = re.compile(r"\s*(holds|checked)\b\s*(.*?)\s*", re.DOTALL)


@dataclass(frozen=True, slots=True, kw_only=True)
class Warrant:
    """What stands behind one sentence.

    Parameters
    ----------
    condition : Condition or None
        What has to hold after the step's solution.
    where : str
        Where else the claim is checked; empty beside a condition.
    """

    condition: Condition | None = None
    where: str = ""


def is_warrant(inside: str) -> bool:
    """Whether what stands between {{ and }} is a warrant and no number."""
    return _WARRANT.fullmatch(inside) is not None


def warrants_in(text: str) -> Iterator[tuple[int, str]]:
    """The warrants of a text as they are written, each with its line from 0."""
    for match in COMPUTED.finditer(text):
        if is_warrant(match[1]):
            yield text.count("\n", 0, match.start()), match[1]


def parse_warrant(inside: str) -> Warrant:
    """Read a warrant.

    Raises
    ------
    LessonError
        If its condition is none, or it names no place.
    """
    match = _WARRANT.fullmatch(inside)
    assert match is not None
    kind, rest = match[1], " ".join(match[2].split())
    if kind == "holds":
        condition = parse_condition(rest)
        check_condition(condition)
        return Warrant(condition=condition)
    if len(rest) < SHORTEST_REASON:
        raise LessonError(
            f"'{inside.strip()}' does not say where the claim is checked",
            expected="{{ checked and a test, a source or the definition that it follows from }}",
            mend="Name the place, so that somebody else can look",
        )
    return Warrant(where=rest)
