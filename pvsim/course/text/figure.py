"""A small figure as a lesson declares it, in a block fenced as ```figure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from pvsim.course.number.expression import Path
from pvsim.course.number.quantities import find_quantity
from pvsim.errors import LessonError, nearest
from pvsim.files.toml import Slip, read_toml

Kind = Literal["current", "power", "levels"]
KINDS: tuple[Kind, ...] = get_args(Kind)


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure.

    Parameters
    ----------
    kind : "current", "power" or "levels"
        An I-V characteristic, a P-V characteristic, or the change at every level from the
        place up to the array.
    place : str
        The part shown, as in a path.
    caption : str
        Below it; Markdown with computed numbers.
    """

    kind: Kind
    place: str
    caption: str

    @property
    def paths(self) -> tuple[Path, ...]:
        """What has to exist for the figure to be drawn."""
        return (Path("now", self.place, "p_mp_W"),)


def read_figure(text: str) -> Figure:
    """Read the TOML of a figure block: one of the kinds with a place, and a caption.

    Raises
    ------
    LessonError
        If it is something else.
    """
    shape = 'current = "1/1/14" (or power, levels) and caption = "..."'
    values = read_toml(text)
    if isinstance(values, Slip):
        raise LessonError(f"in the figure, {values.wrong}", expected=shape, mend=values.mend)
    for key in values:
        if key not in (*KINDS, "caption"):
            raise LessonError(
                f"a figure has no key '{key}'", expected=shape, mend=nearest(key, (*KINDS, "caption"))
            )
    kinds = [kind for kind in KINDS if kind in values]
    caption = values.get("caption")
    if len(kinds) != 1 or not all(isinstance(value, str) and value for value in values.values()):
        raise LessonError(
            f"the figure shows {len(kinds)} things",
            expected=shape,
            mend="Write one figure block for each thing shown",
        )
    if not isinstance(caption, str):
        raise LessonError("the figure has no caption", expected=shape, mend='Add caption = "..."')
    find_quantity("p_mp_W", values[kinds[0]])
    return Figure(kind=kinds[0], place=values[kinds[0]], caption=caption)
