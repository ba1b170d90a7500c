"""Where a fault is, as far as the curve of a part can tell it, and what it cannot."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.place import Level, Place, describe_place
from pvsim.words import _, mark

# In English, marked to be translated when shown; `say_where` fills in what stands in braces.
SPREAD = mark("All of the part, or spread over it: where in it its curve does not tell.")
SUBSTRINGS = mark(
    "Substrings concerned: {count} of {of}. Which of them cannot be told: "
    "with others the curve is nearly the same."
)
SUBSTRINGS_HERE = mark("Substrings concerned: {count} of {of}. The curve fits {place} and no other.")
IN_STRINGS = mark(
    "Strings concerned: {strings} of {of_strings}; substrings in each: {count} of {of}. "
    "Which string cannot be told: "
    "with others the curve is nearly the same."
)
IN_STRING_HERE = mark(
    "Strings concerned: {strings} of {of_strings}; substrings in it: {count} of {of}. "
    "The strings are not alike, and the curve fits {place}."
)
WHOLE_STRINGS = mark(
    "Strings concerned: {strings} of {of_strings}. Which of them cannot be told: "
    "with others the curve is nearly the same."
)
WHOLE_STRING_HERE = mark(
    "Strings concerned: {strings} of {of_strings}. The strings are not alike, and the curve fits {place}."
)
EVERY_STRING = mark("Strings concerned: {strings} of {of_strings}. Where in them cannot be told.")
MODULES = mark(
    "Modules concerned: {count} of {of}. Which of them cannot be told; and where all bypass diodes of as "
    "many modules are short-circuited, the curve is the same."
)
_OTHERS = mark("With {others} in place of {count} the curve would fit nearly as well.")
_OTHER_STRINGS = mark("With {others} strings in place of {strings} the curve would fit nearly as well.")


# What is told in place of the other where unlike places fit nearly as well.
IN_DOUBT = {
    SUBSTRINGS_HERE: SUBSTRINGS,
    IN_STRING_HERE: IN_STRINGS,
    WHOLE_STRING_HERE: WHOLE_STRINGS,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Where:
    """Where a fault is, as far as a curve tells it.

    Parameters
    ----------
    level : Level
        What is counted.
    count, of : int
        How many of them are concerned, and how many the part has; on the curve of an array those of each
        string concerned.
    told : str
        One of the sentences above.
    strings, of_strings : int
        How many strings of the array are concerned; 0 and 0 where the part is no array.
    place : Place or None
        The one place, where the parts are so unlike that the curve tells them apart.
    others, other_strings : tuple of int
        Counts that explain the curve nearly as well: it does not tell which of them it is.
    """

    level: Level
    count: int
    of: int
    told: str
    strings: int = 0
    of_strings: int = 0
    place: Place | None = None
    others: tuple[int, ...] = ()
    other_strings: tuple[int, ...] = ()


def say_where(where: Where) -> str:
    """The sentence of a place, in the language at work."""
    numbers = {
        "count": where.count,
        "of": where.of,
        "strings": where.strings,
        "of_strings": where.of_strings,
        "place": "" if where.place is None else describe_place(where.place),
    }
    said = [_(where.told).format(**numbers)]
    for others, words in ((where.others, _OTHERS), (where.other_strings, _OTHER_STRINGS)):
        if others:
            said.append(_(words).format(others=", ".join(map(str, others)), **numbers))
    return " ".join(said)
