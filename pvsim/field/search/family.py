"""Kinds of fault in families, so that practice can be in blocks of one family first and mixed later.

Blocks before mixed practice: A. A. Darabi et al., 2007 (second-hand).

Every kind that an array can have is hidden. Of some, no reading of the kit tells which it is: a cable cut or
its fuse blown; a cell shorted or shunted nearly so; resistance at a cell's contacts or in the ribbon from it.
These are one answer (ANSWERS), so that an answer is either right or wrong.
"""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.fault_kind import FAULT_KINDS
from pvsim.array.place import Level
from pvsim.words import mark

__all__ = ["ANSWERS", "FAMILIES", "HIDDEN_KINDS", "Family", "HiddenKind", "answer_of", "family_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class HiddenKind:
    """A kind of fault as it is hidden.

    Parameters
    ----------
    where : Level
        Of its place.
    judged : Level
        The finest level of place that an answer is asked for.
    least, most : float or None
        Its size is drawn between, each as likely as any other; in the kind's unit. None where it has none, or
        the kind's own alone.
    """

    where: Level
    judged: Level
    least: float | None = None
    most: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """Kinds that belong together: looked for in like ways, or told by one answer.

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
    "cell-cracked": HiddenKind(where="cell", judged="substring", least=0.3, most=0.6),
    "cell-resistive": HiddenKind(where="cell", judged="module", least=0.2, most=0.4),
    "ribbon-broken": HiddenKind(where="cell", judged="module", least=0.98, most=0.99),
    "cell-short": HiddenKind(where="cell", judged="substring"),
    "cell-shunt": HiddenKind(where="cell", judged="substring", least=0.01, most=0.03),
    "induced-shunting": HiddenKind(where="string", judged="string", least=0.2, most=0.5),
    "diode-short": HiddenKind(where="diode", judged="substring"),
    "diode-reversed": HiddenKind(where="diode", judged="substring"),
    "diode-open": HiddenKind(where="diode", judged="substring"),
    "diode-resistive": HiddenKind(where="diode", judged="substring", least=0.3, most=0.8),
    "connector-resistive": HiddenKind(where="module", judged="module", least=0.4, most=1.0),
    "module-reversed": HiddenKind(where="module", judged="module"),
    "modules-too-few": HiddenKind(where="string", judged="string", least=1.0, most=1.0),
    "modules-too-many": HiddenKind(where="string", judged="string", least=1.0, most=1.0),
    "cable-open": HiddenKind(where="string", judged="string"),
    "fuse-blown": HiddenKind(where="string", judged="string"),
    "earth-fault": HiddenKind(where="module", judged="string", least=1e3, most=2e4),
    "string-bridge": HiddenKind(where="module", judged="module"),
}

FAMILIES: dict[str, Family] = {
    "light": Family(title=mark("light and dirt"), kinds=("soiling",)),
    "cells": Family(
        title=mark("cells"),
        kinds=(
            "cell-open",
            "cell-cracked",
            "cell-resistive",
            "ribbon-broken",
            "cell-short",
            "cell-shunt",
            "induced-shunting",
        ),
    ),
    "diodes": Family(
        title=mark("bypass diodes"), kinds=("diode-short", "diode-reversed", "diode-open", "diode-resistive")
    ),
    "wiring": Family(
        title=mark("wiring and connectors"),
        kinds=(
            "connector-resistive",
            "module-reversed",
            "modules-too-few",
            "modules-too-many",
            "cable-open",
            "fuse-blown",
        ),
    ),
    "insulation": Family(title=mark("insulation"), kinds=("earth-fault", "string-bridge")),
}

# Kinds that no reading tells apart are one answer, named by the first of them.
_ALIKE: dict[str, tuple[str, tuple[str, ...]]] = {
    "cable-open": (mark("string open: cable or fuse"), ("cable-open", "fuse-blown")),
    "cell-short": (mark("cell bridged: short or low shunt"), ("cell-short", "cell-shunt")),
    "cell-resistive": (
        mark("series resistance at a cell: contact or ribbon"),
        ("cell-resistive", "ribbon-broken"),
    ),
}
_SHARED = {kind: key for key, (_title, kinds) in _ALIKE.items() for kind in kinds}

ANSWERS: dict[str, Family] = {
    kind: Family(title=_ALIKE[kind][0], kinds=_ALIKE[kind][1])
    if kind in _ALIKE
    else Family(title=FAULT_KINDS[kind].title, kinds=(kind,))
    for kind in HIDDEN_KINDS
    if _SHARED.get(kind, kind) == kind
}


def answer_of(kind: str) -> str:
    """The key of ANSWERS that a kind of HIDDEN_KINDS belongs to."""
    return _SHARED.get(kind, kind)


def family_of(kind: str) -> str:
    """The key of the family that a kind of HIDDEN_KINDS belongs to."""
    return next(key for key, family in FAMILIES.items() if kind in family.kinds)
