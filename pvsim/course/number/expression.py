"""The small language of computed numbers: paths, arithmetic and comparisons, and no code.

    condition  = comparison { "and" comparison }
    comparison = sum ( "<" | "<=" | ">" | ">=" | "=" ) sum
    sum        = product { ( "+" | "-" ) product }
    product    = factor { ( "*" | "/" ) factor }
    factor     = number | path | "-" factor | "(" sum ")"
    path       = ( "now" | "before" | "delta" ) "[" place "]" "." quantity

`now` is the scenario as it stands, `before` the one the step began with, `delta` the
difference. A place is written as everywhere in pvsim ("2/5/14"), or is one of the words
`array`, `darkest`, `weakest`, `hottest`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from pvsim.errors import LessonError

LONGEST_EXPRESSION = 300  # characters
DEEPEST = 30  # brackets and signs in all; keeps a hostile lesson from nesting without end

When = Literal["now", "before", "delta"]


@dataclass(frozen=True, slots=True)
class Constant:
    """A number typed in an expression; takes the unit of what it stands beside."""

    value: float


@dataclass(frozen=True, slots=True)
class Path:
    """A named quantity at a place, now, before, or the difference."""

    when: When
    place: str
    quantity: str


@dataclass(frozen=True, slots=True)
class Arithmetic:
    """Two expressions joined by +, -, * or /."""

    sign: str
    left: Expression
    right: Expression


Expression = Constant | Path | Arithmetic


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two expressions compared by <, <=, >, >= or =."""

    sign: str
    left: Expression
    right: Expression


@dataclass(frozen=True, slots=True)
class Condition:
    """Comparisons that must all hold; keeps the text it was read from."""

    text: str
    comparisons: tuple[Comparison, ...]


_TOKEN = re.compile(
    r"\s*(?:(?P<number>\d+(?:\.\d+)?)"
    r"|(?P<path>[A-Za-z]\w*\s*\[[^\[\]]*\]\s*\.\s*\w+)"
    r"|(?P<word>[A-Za-z]\w*)"
    r"|(?P<sign><=|>=|[-+*/()<>=]))"
)
_PATH = re.compile(r"(\w+)\s*\[\s*([^\[\]]*?)\s*\]\s*\.\s*(\w+)")


def parse_expression(text: str) -> Expression:
    """Read an expression such as `now[1/1/5].power_W / 2`.

    Raises
    ------
    LessonError
        If it does not follow the grammar; the message names the place in the text.
    """
    reader = _Reader(text)
    found = reader.sum()
    reader.end()
    return found


def parse_condition(text: str) -> Condition:
    """Read a condition such as `now[1/1/5].power_W < 0 and now[array].mpps = 2`.

    Raises
    ------
    LessonError
        If it does not follow the grammar; the message names the place in the text.
    """
    reader = _Reader(text)
    found = [reader.comparison()]
    while reader.next_is("and"):
        reader.take()
        found.append(reader.comparison())
    reader.end()
    return Condition(text.strip(), tuple(found))


def paths(part: Expression | Condition) -> tuple[Path, ...]:
    """Every path in an expression or condition, in reading order."""
    if isinstance(part, Path):
        return (part,)
    if isinstance(part, Arithmetic):
        return paths(part.left) + paths(part.right)
    if isinstance(part, Condition):
        both = [paths(one.left) + paths(one.right) for one in part.comparisons]
        return tuple(path for side in both for path in side)
    return ()


class _Reader:
    """Tokens of one text and where the reading stands."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.tokens: list[tuple[str, str, int]] = []
        self.at = 0
        self.depth = 0
        if len(text) > LONGEST_EXPRESSION:
            raise LessonError(
                f"an expression is {len(text)} characters long",
                expected=f"at most {LONGEST_EXPRESSION} characters",
                mend="Split it into two numbers",
            )
        position = 0
        while text[position:].strip():
            match = _TOKEN.match(text, position)
            if match is None or match.lastgroup is None:
                start = position + len(text[position:]) - len(text[position:].lstrip())
                raise self.wrong(f"'{text[start]}'", start)
            kind = match.lastgroup
            self.tokens.append((kind, match.group(kind), match.start(kind)))
            position = match.end()

    def wrong(self, found: str, position: int) -> LessonError:
        return LessonError(
            f"{found} at character {position + 1} of '{self.text.strip()}' is out of place",
            expected="a number, a path such as now[array].power_W, or one of + - * / ( )",
            mend="Write paths as now, before or delta, a place in square brackets, a point, a quantity",
        )

    def next_is(self, *texts: str) -> bool:
        return self.at < len(self.tokens) and self.tokens[self.at][1] in texts

    def take(self) -> tuple[str, str, int]:
        if self.at >= len(self.tokens):
            raise self.wrong("the end", len(self.text.rstrip()))
        self.at += 1
        return self.tokens[self.at - 1]

    def end(self) -> None:
        if self.at < len(self.tokens):
            _, text, position = self.tokens[self.at]
            raise self.wrong(f"'{text}'", position)

    def comparison(self) -> Comparison:
        left = self.sum()
        if not self.next_is("<", "<=", ">", ">=", "="):
            position = self.tokens[self.at][2] if self.at < len(self.tokens) else len(self.text)
            raise LessonError(
                f"'{self.text.strip()}' compares nothing at character {position + 1}",
                expected="two sides with <, <=, >, >= or = between them",
                mend="For instance now[array].power_W < before[array].power_W",
            )
        _, sign, _ = self.take()
        return Comparison(sign, left, self.sum())

    def sum(self) -> Expression:
        found = self.product()
        while self.next_is("+", "-"):
            _, sign, _ = self.take()
            found = Arithmetic(sign, found, self.product())
        return found

    def product(self) -> Expression:
        found = self.factor()
        while self.next_is("*", "/"):
            _, sign, _ = self.take()
            found = Arithmetic(sign, found, self.factor())
        return found

    def factor(self) -> Expression:
        kind, text, position = self.take()
        self.depth += text in ("(", "-")
        if self.depth > DEEPEST:
            raise self.wrong(f"bracket or sign number {DEEPEST + 1}", position)
        if kind == "number":
            return Constant(float(text))
        if kind == "path":
            return self.path(text, position)
        if text == "-":
            return Arithmetic("*", Constant(-1.0), self.factor())
        if text == "(":
            found = self.sum()
            if not self.next_is(")"):
                raise self.wrong("a missing ')'", len(self.text.rstrip()))
            self.take()
            return found
        raise self.wrong(f"'{text}'", position)

    def path(self, text: str, position: int) -> Path:
        match = _PATH.fullmatch(text)
        if match is None:
            raise self.wrong(f"'{text}'", position)
        when, place, quantity = match.groups()
        if when == "now":
            return Path("now", place, quantity)
        if when == "before":
            return Path("before", place, quantity)
        if when == "delta":
            return Path("delta", place, quantity)
        raise LessonError(
            f"'{when}' at character {position + 1} of '{self.text.strip()}' is no time",
            expected="now, before or delta",
            mend="now is the scenario as it stands, before the one the step began with",
        )
