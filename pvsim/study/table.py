"""What a study gives back: a row for each case, a column for each axis and each number read."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pvsim.array.place import Place, format_place
from pvsim.circuit.floats import Floats
from pvsim.errors import StudyError, nearest
from pvsim.prompt import drawn, summary
from pvsim.study.case import Case
from pvsim.study.study import PROBLEM, Study
from pvsim.study.variation import VARIATIONS


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StudyTable:
    """The cases of a study that were worked on, in their order.

    `table["lost_W"]` is a column: numbers as floats, places and words as texts.

    Parameters
    ----------
    study : Study
    planned : int
        How many cases it has; more than there are rows when it was stopped.
    cases : tuple of Case
        The values of the axes, row by row.
    values : (rows, columns)
        What was read; not a number where there was none.
    problems : tuple of str
        Why a case could not be solved or read, row by row; empty where it could.
    """

    study: Study
    planned: int
    cases: tuple[Case, ...]
    values: Floats
    problems: tuple[str, ...]

    __repr__ = summary
    _repr_html_ = drawn

    @property
    def names(self) -> tuple[str, ...]:
        """Names of all columns, with their units: axes, what was read, then "problem"."""
        axes = [axis.name for axis in self.study.axes]
        return (*axes, *(column.name for column in self.study.columns), PROBLEM)

    @property
    def failed(self) -> int:
        """How many rows have a problem."""
        return sum(map(bool, self.problems))

    def __len__(self) -> int:
        return len(self.cases)

    def __getitem__(self, name: str) -> NDArray[np.float64] | NDArray[np.str_]:
        names = self.names
        if name not in names:
            raise StudyError(
                f"the table has no column {str(name)[:60]!r}",
                expected="one of " + ", ".join(names),
                mend=nearest(str(name)[:60], names),
            )
        if name == PROBLEM:
            return np.array(self.problems, dtype=np.str_)
        position = names.index(name)
        if position >= len(self.study.axes):
            return self.values[:, position - len(self.study.axes)]
        values = [case[position] for case in self.cases]
        if VARIATIONS[self.study.axes[position].vary].values == "numbers":
            return np.array(values, dtype=np.float64)
        return np.array(list(map(value_text, values)), dtype=np.str_)


def value_text(value: object) -> str:
    """The value of an axis as a text: a number in full, a place like 2/5/14."""
    return format_place(value) if isinstance(value, Place) else str(value)
