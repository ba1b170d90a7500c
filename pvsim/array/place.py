"""Places in an array: the whole, a string, a module, a substring, a cell, a bypass diode.

Numbers count from 1. Module 1 of a string is the one at its negative end; a cell's number
is its position in wiring order within its module, substring by substring, chain by chain.

    array    2    2/5    2/5/s3    2/5/14    2/5/d3
    whole  string module substring  cell     bypass diode of substring 3
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Literal

from pvsim.array.limits import MAX_CELLS_PER_MODULE, MAX_MODULES_PER_STRING, MAX_STRINGS, MAX_SUBSTRINGS
from pvsim.errors import ScenarioError
from pvsim.words import _, language, languages, mark, speaking

Level = Literal["array", "string", "module", "substring", "cell", "diode"]
LEVELS: tuple[Level, ...] = ("array", "string", "module", "substring", "cell", "diode")
SHOWN_LEVELS = LEVELS[:5]  # each within the one before; a diode lies beside its substring's cells

_MOST = {
    "string": MAX_STRINGS,
    "module": MAX_MODULES_PER_STRING,
    "cell": MAX_CELLS_PER_MODULE,
    "diode": MAX_SUBSTRINGS,
    "substring": MAX_SUBSTRINGS,
}
_ABSENT = {
    "string": mark("there is no string {number}"),
    "module": mark("there is no module {number}"),
    "cell": mark("there is no cell {number}"),
    "diode": mark("there is no bypass diode {number}"),
    "substring": mark("there is no substring {number}"),
}
_SHORT = re.compile(r"(\d{1,6})(?:/(\d{1,6})(?:/([sd]?)(\d{1,6}))?)?")
_BY_SPACES = re.compile(r"\d{1,6}( [sd]?\d{1,6}){1,2}")
_WORDS = re.compile(
    r"string (\d{1,6})(?: module (\d{1,6})(?: (cell|substring|diode|bypass diode) (\d{1,6}))?)?"
)

_NEARBY = re.compile(
    r"(?:module (\d{1,6}))?(?:(?:^| )(cell|substring|diode|bypass diode) (\d{1,6}))?"
)


@dataclass(frozen=True, slots=True)
class Place:
    """A place in the array; what is not given means the whole of the level above.

    Parameters
    ----------
    string, module : int or None
        Numbers from 1.
    cell, diode, substring : int or None
        At most one of them, and only with a module.

    Raises
    ------
    ScenarioError
        If a number is not a whole number from 1, or a level is left out in between.
    """

    string: int | None = None
    module: int | None = None
    cell: int | None = None
    diode: int | None = None
    substring: int | None = None

    def __post_init__(self) -> None:
        for name, most in _MOST.items():
            number = getattr(self, name)
            if number is None:
                continue
            if isinstance(number, bool) or not isinstance(number, int) or not 1 <= number <= most:
                raise ScenarioError(
                    _(_ABSENT[name]).format(number=repr(number)[:40]),
                    expected=_("a whole number from {least:,} to {most:,}").format(least=1, most=most),
                    mend=_("A place is counted from 1, like 2/5/14: string 2, module 5, cell 14"),
                )
        inner = (self.cell is not None) + (self.diode is not None) + (self.substring is not None)
        gap = (self.module is None and inner > 0) or (self.string is None and self.module is not None)
        if gap or inner > 1:
            raise ScenarioError(
                _("the place {place} is not one place").format(place=repr(self)),
                expected=_("a string, then a module in it, then one cell, substring or diode of it"),
                mend=_("Write it like 2/5/14: string 2, module 5, cell 14"),
            )

    def __repr__(self) -> str:
        named = {"cell": self.cell, "diode": self.diode, "substring": self.substring}
        inner = [f"{kind}={number}" for kind, number in named.items() if number is not None]
        outer = [str(number) for number in (self.string, self.module) if number is not None]
        return f"Place({', '.join([*outer, *inner])})"


WHOLE_ARRAY = Place()


def level_of(place: Place) -> Level:
    """The level of a place: "array", "string", "module", "substring", "cell" or "diode"."""
    if place.cell is not None:
        return "cell"
    if place.substring is not None:
        return "substring"
    if place.diode is not None:
        return "diode"
    if place.module is not None:
        return "module"
    return "array" if place.string is None else "string"


def parse_place(text: str, near: Place | None = None) -> Place:
    """Read a place as people write it.

    Parameters
    ----------
    text : str
        "array", "2", "2/5", "2/5/14", "2/5/s3", "2/5/d3", or in words: "string 2, module 5,
        cell 14", with the names of parts in English or in the language spoken now.
    near : Place, optional
        Where somebody is who types this: "module 4" is one of that string, "cell 14" one of that module,
        and the names of parts may be of any language that pvsim speaks.

    Raises
    ------
    ScenarioError
        If the text is not a place.
    """
    plain = " ".join(str(text).lower().replace(",", " ").split()) if len(str(text)) <= 80 else ""
    if near is not None or language().code != "en":
        plain = _in_english(plain, any_language=near is not None)
    if _BY_SPACES.fullmatch(plain):  # 2, 5, 14 means 2/5/14
        plain = plain.replace(" ", "/")
    if plain in ("array", "whole array", "the whole array"):
        return WHOLE_ARRAY
    numbers: tuple[str | None, ...]
    if short := _SHORT.fullmatch(plain.replace(" ", "")):
        string, module, sign, inner = short.groups()
        kind = {"s": "substring", "d": "diode"}.get(sign or "", "cell")
    elif words := _WORDS.fullmatch(plain):
        string, module, sign, inner = words.groups()
        kind = "diode" if sign == "bypass diode" else sign or "cell"
    elif plain and near is not None and (nearby := _NEARBY.fullmatch(plain)):
        number, sign, inner = nearby.groups()
        string, module = str(near.string or 1), number or str(near.module or 1)
        kind = "diode" if sign == "bypass diode" else sign or "cell"
    else:
        raise ScenarioError(
            _("{text} is not a place").format(text=repr(str(text)[:80])),
            expected=_(
                "array, 2 (a string), 2/5 (a module), 2/5/14 (a cell), 2/5/s3 (a substring) or "
                "2/5/d3 (a bypass diode)"
            ),
            mend=_("Write string number / module number / cell number, each counted from 1"),
        )
    numbers = (string, module, inner)
    values = tuple(None if one is None else int(one) for one in numbers)
    if values[2] is None:
        return Place(values[0], values[1])
    return Place(values[0], values[1], **{kind: values[2]})


def _in_english(plain: str, *, any_language: bool) -> str:
    """The place with English names of parts, where it is written in the language spoken now, or in any."""
    names = dict(_names_of_parts(language().code))
    for other in languages() if any_language else ():
        names |= _names_of_parts(other.code)
    longest_first = sorted(names, key=len, reverse=True)  # "bypass diode" before "diode"
    known = "|".join(map(re.escape, longest_first))
    return re.sub(rf"\b({known})\b", lambda found: names[found[0]], plain)


@cache
def _names_of_parts(code: str) -> dict[str, str]:
    """The English name of every part by its name in a language, in small letters."""
    with speaking(code):
        return {
            _("the whole array").lower(): "array",
            _("bypass diode").lower(): "bypass diode",
            _("array").lower(): "array",
            _("substring").lower(): "substring",
            _("string").lower(): "string",
            _("module").lower(): "module",
            _("cell").lower(): "cell",
            _("diode").lower(): "diode",
        }


def format_place(place: Place) -> str:
    """The short text of a place, which `parse_place` reads back: "2/5/14"."""
    if place.string is None:
        return "array"
    if place.module is None:
        return str(place.string)
    head = f"{place.string}/{place.module}"
    if place.cell is not None:
        return f"{head}/{place.cell}"
    if place.substring is not None:
        return f"{head}/s{place.substring}"
    if place.diode is not None:
        return f"{head}/d{place.diode}"
    return head


def describe_place(place: Place) -> str:
    """The place in words: "string 2, module 5, cell 14"."""
    if place.string is None:
        return _("the whole array")
    parts = [_("string {string}").format(string=place.string)]
    if place.module is not None:
        parts.append(_("module {module}").format(module=place.module))
    if place.cell is not None:
        parts.append(_("cell {cell}").format(cell=place.cell))
    if place.substring is not None:
        parts.append(_("substring {substring}").format(substring=place.substring))
    if place.diode is not None:
        parts.append(_("bypass diode {diode}").format(diode=place.diode))
    return ", ".join(parts)
