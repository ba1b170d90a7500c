"""Which modules form which string, in which order."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

import numpy as np

from pvsim.cabling.checks import whole
from pvsim.errors import CablingError
from pvsim.words import _, ngettext

__all__ = ["Wiring", "check_lengths", "check_wiring"]

# Of each string the numbers of its modules, from its negative to its positive end.
Wiring = tuple[tuple[int, ...], ...]
MOST_MODULES = 5_000
_MOST_TOLD = 8


def check_wiring(wiring: Sequence[Sequence[int]], modules: int) -> Wiring:
    """A wiring as tuples, when it takes every module once.

    Parameters
    ----------
    wiring : rows of module numbers
        Of each string, from its negative to its positive end; numbers count from 1.
    modules : int
        How many there are.

    Raises
    ------
    CablingError
        If a module is taken twice or left out, a number is unknown or a string is empty; all that is
        wrong in one sentence.
    """
    wrong = []
    given = [list(string) for string in wiring]
    empty = [number for number, string in enumerate(given, 1) if not string]
    if empty or not given:
        wrong.append(_("empty strings: {numbers}").format(numbers=_told(empty)) if empty else _("no strings"))
    named = [number for string in given for number in string]
    known = [one for one in named if _is_known(one, modules)]
    unknown = [one for one in named if not _is_known(one, modules)]
    if unknown:
        wrong.append(_("unknown modules: {numbers}").format(numbers=_told(unknown)))
    twice = [number for number, count in sorted(Counter(known).items()) if count > 1]
    if twice:
        wrong.append(_("taken more than once: {numbers}").format(numbers=_told(twice)))
    left = sorted({*range(1, modules + 1)} - {*known})
    if left:
        wrong.append(_("left out: {numbers}").format(numbers=_told(left)))
    if wrong:
        raise CablingError(
            _("the wiring is not in order: {wrong}").format(wrong="; ".join(wrong)),
            expected=ngettext(
                "strings that take the one module, number 1, once",
                "strings that take each module from 1 to {n} once",
                modules,
            ).format(n=modules),
            mend=_("Take each module into one string, and remove strings without any"),
        )
    return tuple(tuple(map(int, string)) for string in given)


def check_lengths(lengths: Iterable[int], modules: int) -> tuple[int, ...]:
    """Wanted numbers of modules of each string, when together they are all modules there are.

    Raises
    ------
    CablingError
        If they are not, or one is no whole number from 1.
    """
    found = tuple(whole("lengths", one, least=1, most=MOST_MODULES) for one in lengths)
    if sum(found) != modules:
        raise CablingError(
            _("strings of {lengths} modules take {sum} modules").format(
                lengths=_told(found) or "0", sum=sum(found)
            ),
            expected=_("{n}, as many as there are").format(n=modules),
            mend=_("Change the lengths of the strings, or the number of modules"),
        )
    return found


def cut(order: Sequence[int], lengths: Sequence[int]) -> Wiring:
    """An order of modules cut into strings of the wanted lengths."""
    ends = np.cumsum(lengths).tolist()
    return tuple(tuple(order[end - length : end]) for end, length in zip(ends, lengths, strict=True))


def _is_known(number: object, modules: int) -> bool:
    is_whole = isinstance(number, (int, np.integer)) and not isinstance(number, bool)
    return is_whole and 1 <= int(number) <= modules  # type: ignore[call-overload]


def _told(numbers: Sequence[object]) -> str:
    told = ", ".join(str(one)[:20] for one in numbers[:_MOST_TOLD])
    return told + (", ..." if len(numbers) > _MOST_TOLD else "")
