"""What is wrong in a lesson file, where, and how to mend it."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.errors import LessonError


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing in a course folder that has to be mended.

    Parameters
    ----------
    file : str
        Name of the file within the course folder.
    line : int
        Line counted from 1; 0 when the whole file is meant.
    wrong, expected, mend : str
        As in every error of pvsim.
    """

    file: str
    line: int
    wrong: str
    expected: str
    mend: str

    @property
    def where(self) -> str:
        """File and line as one clause."""
        return f"{self.file}, line {self.line}" if self.line else self.file

    def __str__(self) -> str:
        stop = "" if self.mend.endswith("?") else "."
        return f"{self.where}: {self.wrong}; expected {self.expected}. {self.mend.rstrip('.')}{stop}"


def as_error(problem: Problem, others: int = 0) -> LessonError:
    """The error that a problem is raised as, saying how many more there are."""
    more = f" ({others} more)" if others else ""
    return LessonError(
        f"{problem.where}: {problem.wrong}{more}", expected=problem.expected, mend=problem.mend
    )
