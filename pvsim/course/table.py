"""Strict reading of one table: each key is asked for, and what nobody asked for is refused."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from math import isfinite
from typing import Any

from pvsim.course.problem import Problem
from pvsim.errors import PvsimError, cut_part, nearest
from pvsim.files.source import line_of
from pvsim.files.toml import Slip

KeyPath = tuple[str | int, ...]

MOST_PROBLEMS = 100  # of one file


class Enough(Exception):
    """Ends the reading of a file that has more problems than anybody wants to read."""


@dataclass(slots=True)
class Report:
    """The problems of one file as they are found.

    Parameters
    ----------
    file : str
        Its name, for messages.
    toml : str
        Its TOML, with as many empty lines before it as the file has other lines there.
    whole : str
        What its outermost table is called.
    """

    file: str
    toml: str = ""
    whole: str = "the front matter"
    problems: list[Problem] = field(default_factory=list)

    def add(self, path: KeyPath | int, wrong: str, *, expected: str, mend: str) -> None:
        """Note a problem at a key path or at a line.

        Raises
        ------
        Enough
            When as many have been noted before; whoever began the report stops there.
        """
        if len(self.problems) >= MOST_PROBLEMS:
            raise Enough
        wrong, expected, mend = map(cut_part, (wrong, expected, mend))
        line = path if isinstance(path, int) else self.line(path)
        self.problems.append(Problem(file=self.file, line=line, wrong=wrong, expected=expected, mend=mend))

    def line(self, path: KeyPath) -> int:
        """The line of a key, or of the nearest one around it."""
        return line_of(self.toml, path) or 1

    def take_over(self, path: KeyPath | int, error: PvsimError, about: str = "") -> None:
        """Note an error that another part of pvsim raised."""
        wrong = f"{about}: {error.wrong}" if about else error.wrong
        self.add(path, wrong, expected=error.expected, mend=error.mend)

    def refuse_toml(self, slip: Slip, first_line: int = 1) -> None:
        """Note that a text which begins on this line is no TOML."""
        line = max(slip.line, 1) + first_line - 1
        self.add(line, slip.wrong, expected=slip.expected, mend=slip.mend)


class Table:
    """One TOML table under reading.

    A value of the wrong kind or a missing one is noted and an empty one returned, so
    that a single reading finds every problem of a file.
    """

    def __init__(self, values: dict[str, Any], path: KeyPath, report: Report) -> None:
        self.values = values
        self.path = path
        self.report = report
        self._asked: set[str] = set()
        self._known: set[str] = set()  # those that were only looked for, too

    def has(self, key: str) -> bool:
        """Whether the key is there."""
        self._known.add(key)
        return key in self.values

    def text(self, key: str, *, default: str | None = None, longest: int = 2000) -> str:
        """A text that is not empty."""
        value = self._take(key, str, "a text in quotes", default)
        if not isinstance(value, str):
            return ""
        if value is not default and not 0 < len(value.strip()) <= longest:
            self.refuse(key, f"'{key}' has {len(value)} characters", expected=f"1 to {longest}")
        return value.strip()

    def number(self, key: str, *, least: float, most: float, default: float | None = None) -> float:
        """A number within limits; the lower one in place of what is none."""
        value = self._take(key, (int, float), "a number", default)
        if value is None or isinstance(value, (str, list, dict)):
            return least
        if not least <= value <= most:  # nor is nan
            self.refuse(key, f"'{key}' is {value:g}", expected=f"a number from {least:g} to {most:g}")
            return least
        return float(value)

    def flag(self, key: str) -> bool:
        """true or false; false when missing."""
        value = self._take(key, bool, "true or false", False)
        return value is True

    def texts(self, key: str, *, least: int = 0, most: int = 12) -> tuple[str, ...]:
        """A list of texts; one text alone stands for a list of one."""
        value = self._take(key, (list, str), "a list of texts in quotes", [] if least == 0 else None)
        if isinstance(value, str):
            value = [value]
        if not isinstance(value, list):
            return ()
        if not all(isinstance(one, str) and one.strip() for one in value):
            self.refuse(key, f"'{key}' holds something that is no text", expected="texts in quotes")
            return ()
        if not least <= len(value) <= most:
            self.refuse(key, f"'{key}' has {len(value)} entries", expected=f"{least} to {most}")
        return tuple(one.strip() for one in value)

    def rows(self, key: str, *, most: int, longest: int) -> tuple[tuple[float, ...], ...]:
        """Lists of finite numbers; none when missing."""
        value = self._take(key, list, "a list of lists of numbers", [])
        rows: list[Any] = value if isinstance(value, list) and len(value) <= most else [None]
        fits = (isinstance(row, list) and len(row) <= longest and all(map(_is_finite, row)) for row in rows)
        if not all(fits):
            self.refuse(key, f"'{key}' holds something else than lists of numbers", expected="[[12, 7, 3]]")
            return ()
        return tuple(tuple(float(one) for one in row) for row in rows)

    def choice(self, key: str, known: Iterable[str], default: str | None = None) -> str:
        """One of the known words."""
        known = tuple(known)
        value = self.text(key, default=default)
        if value and value != default and value not in known:
            self.refuse(
                key,
                f"'{key}' is '{value}'",
                expected="one of " + ", ".join(known),
                mend=nearest(value, known),
            )
            return default or known[0]
        return value

    def table(self, key: str) -> Table | None:
        """A table within this one, or None."""
        value = self._take(key, dict, "a table", {}) if key in self.values else None
        return Table(value, (*self.path, key), self.report) if isinstance(value, dict) else None

    def tables(self, key: str) -> list[Table]:
        """A list of tables; one table alone stands for a list of one."""
        value = self._take(key, (list, dict), "a list of tables", [])
        several = value if isinstance(value, list) else [value]
        found: list[Table] = []
        for number, one in enumerate(several):
            if isinstance(one, dict):
                found.append(Table(one, (*self.path, key, number), self.report))
            else:
                self.refuse(key, f"entry {number + 1} of '{key}' is no table", expected="a table")
        return found

    def refuse(self, key: str, wrong: str, *, expected: str, mend: str = "") -> None:
        """Note a problem with a key of this table."""
        self.report.add((*self.path, key), wrong, expected=expected, mend=mend or f"Change '{key}' to fit")

    def close(self) -> None:
        """Refuse every key that nobody asked for."""
        for key in self.values:
            if key not in self._asked:
                place = self._name()
                self.report.add(
                    (*self.path, key),
                    f"{place} has no key '{key}'",
                    expected="only the keys that the format knows",
                    mend=nearest(key, self._asked | self._known),
                )

    def _name(self) -> str:
        return _spoken(self.path) or self.report.whole

    def _take(self, key: str, kind: Any, expected: str, default: Any) -> Any:
        self._asked.add(key)
        if key not in self.values:
            if default is None:
                self.report.add(
                    (*self.path, key),
                    f"{self._name()} lacks '{key}'",
                    expected=f"'{key}' = {expected}",
                    mend=f"Add a line that begins with {key} =",
                )
            return default
        value = self.values[key]
        wrong_flag = isinstance(value, bool) and kind is not bool
        if wrong_flag or not isinstance(value, kind):
            self.refuse(key, f"'{key}' is {value!r}", expected=expected)
            return None
        return value


def _is_finite(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and isfinite(value)


def _spoken(path: KeyPath) -> str:
    """A table's name for people, such as "step 2, predict"; empty for the outermost."""
    parts: list[str] = []
    for part in path:
        if isinstance(part, int):
            parts[-1] += f" {part + 1}"
        else:
            parts.append(part)
    return ", ".join(parts)
