"""Kinds of fault in families, so that practice can be in blocks of one family first and mixed later.

Blocks before mixed practice: A. A. Darabi et al., 2007 (second-hand).

Of kinds that no reading tells apart (a fuse blown and a cable open; a diode shorted and one the wrong way
round) one alone is here, so that an answer is either right or wrong.
"""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.place import Level
from pvsim.words import mark

__all__ = ["FAMILIES", "HIDDEN_KINDS", "Family", "HiddenKind", "family_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class HiddenKind:
    """A kind of fault as it is hidden.

    Parameters
    ----------
    where : Level
        Of its place.
    least, most : float or None
        Its size is drawn between, each as likely as any other; in the kind's unit. None where it has none.
    judged : Level
        The finest level of place that an answer is asked for.
    """

    where: Level
    judged: Level
    least: float | None = None
    most: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """Kinds that are looked for in like ways.

    Parameters
    ----------
    title : str
        For people, in English, marked to be translated when shown.
    kinds : tuple of str
        Keys of HIDDEN_KINDS.
    """

    title: str
    kinds: tuple[str, ...]


# Sizes: a judgement, no source. Large enough to be found with the kit's meters, small enough to be missed.
HIDDEN_KINDS: dict[str, HiddenKind] = {
    "soiling": HiddenKind(where="module", judged="module", least=0.12, most=0.22),
    "cell-open": HiddenKind(where="cell", judged="substring"),
    "cell-resistive": HiddenKind(where="cell", judged="module", least=0.2, most=0.4),
    "diode-short": HiddenKind(where="diode", judged="substring"),
    "diode-open": HiddenKind(where="diode", judged="substring"),
    "connector-resistive": HiddenKind(where="module", judged="module", least=0.4, most=1.0),
    "module-reversed": HiddenKind(where="module", judged="module"),
    "cable-open": HiddenKind(where="string", judged="string"),
}

FAMILIES: dict[str, Family] = {
    "light": Family(title=mark("light and dirt"), kinds=("soiling",)),
    "cells": Family(title=mark("cells"), kinds=("cell-open", "cell-resistive")),
    "diodes": Family(title=mark("bypass diodes"), kinds=("diode-short", "diode-open")),
    "wiring": Family(
        title=mark("wiring and connectors"), kinds=("connector-resistive", "module-reversed", "cable-open")
    ),
}


def family_of(kind: str) -> str:
    """The key of the family that a kind of HIDDEN_KINDS belongs to."""
    return next(key for key, family in FAMILIES.items() if kind in family.kinds)
