"""What a meter would make of a case, as a column of a study.

    reading = ( "prediction" | "neighbour" ) "[" place "]" "." what "." ( "verdict" | "ratio" )

`prediction` compares a reading with what it should be, `neighbour` with the next string or module; `what` is
a key of PROBES in pvsim/field/probe.py. The verdict is the number of its step in VERDICTS, the ratio is the
effect in units of its expanded uncertainty.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import nan
from typing import Literal

from pvsim.array.place import parse_place
from pvsim.array.solution import ArraySolution
from pvsim.errors import StudyError, nearest
from pvsim.field.neighbour import neighbour_of
from pvsim.field.notice import Noticed, against_neighbour, against_prediction
from pvsim.field.probe import PROBES, Probe

__all__ = ["VERDICTS", "Metered", "check_metered", "metered_value", "read_metered"]

VERDICTS: tuple[Noticed, ...] = ("unchanged", "cannot-be-told", "changed-unless-meter-errs", "changed")
_FORM = re.compile(r"(prediction|neighbour)\s*\[\s*([^\[\]]*?)\s*\]\s*\.\s*([\w-]+)\s*\.\s*(verdict|ratio)")
_BEGINNING = re.compile(r"(prediction|neighbour)\s*\[")
_LONGEST = 300  # characters


@dataclass(frozen=True, slots=True)
class Metered:
    """What a meter would make of a case.

    Parameters
    ----------
    against : "prediction" or "neighbour"
    place : str
        As written; or a name of an axis, perhaps with a level before it.
    what : str
        A key of PROBES.
    number : "verdict" or "ratio"
    """

    against: Literal["prediction", "neighbour"]
    place: str
    what: str
    number: Literal["verdict", "ratio"]


def read_metered(text: str) -> Metered | None:
    """Read such a column; None where it is none.

    Raises
    ------
    StudyError
        If it begins like one, and is none.
    """
    if not isinstance(text, str) or not _BEGINNING.match(text.strip()):
        return None
    found = _FORM.fullmatch(text.strip()) if len(text) <= _LONGEST else None
    if found is None:
        raise StudyError(
            f"a column is {text[:80]!r}",
            expected="what a meter would make of the change, and nothing else in that column",
            mend="Write it like neighbour[string of module].current.verdict, or with ratio",
        )
    against, place, what, number = found.groups()
    if what not in PROBES:
        raise StudyError(
            f"a column asks for a reading of {what[:60]!r}",
            expected="one of " + ", ".join(PROBES),
            mend=nearest(what[:60], PROBES),
        )
    return Metered(against, place, what, number)  # type: ignore[arg-type]


def check_metered(metered: Metered) -> None:
    """Refuse a level where such a meter cannot be put.

    Parameters
    ----------
    metered : Metered
        With a true place in it.

    Raises
    ------
    PvsimError
    """
    Probe(what=metered.what, place=parse_place(metered.place))


def metered_value(metered: Metered, should_be: ArraySolution, as_is: ArraySolution) -> float:
    """The number of one case; not a number where there is no neighbour.

    Parameters
    ----------
    metered : Metered
        With a true place in it.

    Raises
    ------
    PvsimError
        If it cannot be read in one of the arrays.
    """
    probe = Probe(what=metered.what, place=parse_place(metered.place))
    if metered.against == "prediction":
        found = against_prediction(should_be, as_is, probe)
    else:
        other = neighbour_of(as_is, probe.place)
        if other is None:
            return nan
        found = against_neighbour(should_be, as_is, probe, Probe(what=probe.what, place=other))
    return float(VERDICTS.index(found.verdict)) if metered.number == "verdict" else found.ratio
