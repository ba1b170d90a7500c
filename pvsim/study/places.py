"""Places of a study: every part of a level, and the part of another level that goes with a place."""

from __future__ import annotations

import re
from dataclasses import dataclass

from pvsim.array.index import array_index, cell_slice, module_range
from pvsim.array.part_place import place_at
from pvsim.array.place import LEVELS, WHOLE_ARRAY, Level, Place, format_place, level_of, parse_place
from pvsim.array.scenario import Scenario
from pvsim.errors import StudyError, nearest

_EVERY = re.compile(r"every (\w+)(?: of (.+))?")


@dataclass(frozen=True, slots=True)
class Every:
    """Every part of one level within a place, as many as the array has.

    Parameters
    ----------
    level : Level
        Of the parts.
    within : Place
        The array, a string, a module, or a substring for its cells.

    Raises
    ------
    StudyError
        If there is no such level, or no part of it lies within such a place.
    """

    level: Level
    within: Place = WHOLE_ARRAY

    def __post_init__(self) -> None:
        if self.level not in LEVELS:
            raise StudyError(
                f"values name every '{str(self.level)[:40]}'",
                expected="one of " + ", ".join(LEVELS),
                mend=nearest(str(self.level)[:40], LEVELS),
            )
        inside = {"array": LEVELS, "string": LEVELS[1:], "module": LEVELS[2:], "substring": ("cell",)}
        if self.level not in inside.get(level_of(self.within), ()):
            raise StudyError(
                f"values name every {self.level} of {format_place(self.within)}, which holds none",
                expected="parts of a place that holds several",
                mend="Write for instance every cell, every module of 2, every cell of 2/5/s1",
            )


def parse_every(text: str) -> Every:
    """Read "every cell" or "every cell of 2/5".

    Raises
    ------
    PvsimError
        If the text does not say so.
    """
    found = _EVERY.fullmatch(" ".join(text.split()))
    if not found:
        raise StudyError(
            f"values are {text[:60]!r}",
            expected="a list, or a text such as every cell, or every module of 2",
            mend='Write "every" and a level, then perhaps "of" and a place',
        )
    return Every(found[1], parse_place(found[2]) if found[2] else WHOLE_ARRAY)  # type: ignore[arg-type]


def format_every(every: Every) -> str:
    """The text that `parse_every` reads back."""
    within = "" if every.within == WHOLE_ARRAY else f" of {format_place(every.within)}"
    return f"every {every.level}{within}"


def places_of(scenario: Scenario, every: Every) -> tuple[Place, ...]:
    """The places meant, in the order string, module, cell (diode, substring).

    Raises
    ------
    ScenarioError
        If the array, as built, has no such place to look within.
    """
    level, within = every.level, every.within
    index = array_index(scenario)
    if level == "array":
        return (WHOLE_ARRAY,)
    first, last = module_range(index, within)
    modules = [(int(index.module_string[m]) + 1, int(index.module_number[m]) + 1) for m in range(first, last)]
    if level == "string":
        return tuple(dict.fromkeys(Place(string) for string, _ in modules))
    if level == "module":
        return tuple(Place(*module) for module in modules)
    found: list[Place] = []
    for m, (string, number) in zip(range(first, last), modules, strict=True):
        kind = index.kinds[index.module_kind[m]]
        if level == "substring":
            found += [Place(string, number, substring=k + 1) for k in range(kind.substrings)]
        elif level == "diode":
            found += [Place(string, number, diode=int(k) + 1) for k in kind.diode_substring]
        else:
            here = cell_slice(index, within) if within.module else slice(*index.cell_start[m : m + 2])
            start = int(index.cell_start[m])
            found += [Place(string, number, cell=k + 1) for k in range(here.start - start, here.stop - start)]
    return tuple(found)


def at_level(scenario: Scenario, place: Place, level: Level) -> Place:
    """The part of another level that goes with a place.

    Returns
    -------
    Place
        The part that holds the place, or, where the place is the larger one, its first part:
        of module 2/5 the cell 2/5/1, the diode 2/5/d1, the string 2.

    Raises
    ------
    ScenarioError
        If the array, as built, does not have the place.
    """
    if level_of(place) == level or level == "array":
        return place if level_of(place) == level else WHOLE_ARRAY
    if level not in ("string", "module"):
        cell_slice(array_index(scenario), place)  # refuses a place the array does not have
    return place_at(scenario, place, level)
