"""Strict reading of one table: each key is asked for, and what nobody asked for is refused."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import isfinite
from typing import Any

from pvsim.course.problem import Problem
from pvsim.errors import PvsimError, cut_part, nearest
from pvsim.files.source import line_of
from pvsim.files.strict import Strict
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


class Table(Strict):
    """One TOML table under reading, which notes its refusals and goes on.

    So a single reading finds every problem of a file. What nobody asked for is refused at the end.
    """

    def __init__(self, values: dict[str, Any], path: KeyPath, report: Report) -> None:
        super().__init__(values, path)
        self.report = report
        self._known: set[str] = set()  # those that were only looked for

    def has(self, key: str) -> bool:
        """Whether the key is there."""
        self._known.add(key)
        return key in self.values

    def text(self, key: str, default: str | None = None, *, longest: int | None = 2000) -> str:
        """A text that is not empty, without the blanks around it."""
        return super().text(key, default, longest=longest)

    def flag(self, key: str, default: bool | None = False) -> bool:
        """true or false; false when missing."""
        return super().flag(key, default)

    def texts(self, key: str, *, least: int = 0, most: int = 12) -> tuple[str, ...]:
        """A list of texts; one text alone stands for a list of one."""
        listed = self._listed(key, str, required=least > 0)
        found = self._text_entries(key, listed, empty=False)
        counts = isinstance(self.values.get(key), list) and len(found) == len(listed)
        if counts and not least <= len(found) <= most:
            self.refuse(key, f"'{key}' has {len(found)} entries", expected=f"{least} to {most}")
        return tuple(one.strip() for one in found)

    def rows(self, key: str, *, most: int, longest: int) -> tuple[tuple[float, ...], ...]:
        """Lists of finite numbers; none when missing."""
        rows: list[Any] = self.entries(key, most=most)[:most]
        fits = (isinstance(row, list) and len(row) <= longest and all(map(_is_finite, row)) for row in rows)
        if not all(fits):
            self.refuse(key, f"'{key}' holds something else than lists of numbers", expected="[[12, 7, 3]]")
            return ()
        return tuple(tuple(float(one) for one in row) for row in rows)

    def table(self, key: str) -> Table | None:
        """A table within this one, or None."""
        value = self._take(key, {}, "a table", "...")
        if key in self.values and isinstance(value, dict):
            return Table(value, (*self.path, key), self.report)
        if key in self.values:
            self._refuse_kind((key,), value, "a table", f"Write it as [{key}]")
        return None

    def tables(self, key: str) -> list[Table]:
        """A list of tables; one table alone stands for a list of one."""
        found: list[Table] = []
        for position, one in enumerate(self._listed(key, dict)):
            if isinstance(one, dict):
                found.append(Table(one, (*self.path, key, position), self.report))
            else:
                self._refuse_kind((key, position), one, "a table", f"Write it as [[{key}]]")
        return found

    def refuse(self, key: str, wrong: str, *, expected: str, mend: str = "") -> None:
        """Note a problem with a key of this table."""
        self.report.add((*self.path, key), wrong, expected=expected, mend=mend or f"Change '{key}' to fit")

    def close(self) -> None:
        """Refuse every key that nobody asked for."""
        for key in self.values:
            if key not in self._asked:
                self.report.add(
                    (*self.path, key),
                    f"{self._name()} has no key '{key}'",
                    expected="only the keys that the format knows",
                    mend=nearest(key, self._asked | self._known),
                )

    def _listed(self, key: str, alone: type, *, required: bool = False) -> list[Any]:
        """A list, or one thing of a kind that may stand for a list of one."""
        if isinstance(self.values.get(key), alone):
            self._asked.add(key)
            return [self.values[key]]
        return self.entries(key, required=required)

    def _name(self) -> str:
        return _spoken(self.path) or self.report.whole

    def _refuse_value(self, more: KeyPath, said: str, *, expected: str, mend: str) -> None:
        *outer, last = more
        name = f"entry {last + 1} of '{outer[-1]}'" if isinstance(last, int) else f"'{last}'"
        self.report.add((*self.path, *more), f"{name} {said}", expected=expected, mend=mend)

    def _refuse_absence(self, key: str, *, kind: str, example: str) -> None:
        self.report.add(
            (*self.path, key),
            f"{self._name()} lacks '{key}'",
            expected=f"'{key}' = {kind}",
            mend=f"Add a line that begins with {key} =",
        )


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
