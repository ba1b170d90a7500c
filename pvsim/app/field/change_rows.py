"""Changes of the bench, as the log and its file tell them."""

from __future__ import annotations

from pvsim.app.session.bench_change import BenchChange, Part
from pvsim.app.words import _, mark
from pvsim.array.fault import Fault
from pvsim.array.fault_kind import fault_kind
from pvsim.array.place import describe_place, format_place
from pvsim.numbers import format_setting

__all__ = ["change_cells", "change_text", "fault_text"]

MOST_NAMED = 3  # faults of one change, set or mended
PART_TITLES: dict[Part, str] = {
    "array": mark("another array"),
    "light": mark("light"),
    "shade": mark("shade or soiling"),
    "weather": mark("weather"),
    "operation": mark("operating point"),
    "cells": mark("how cells differ"),
}


def fault_text(fault: Fault) -> str:
    """A fault and where it is."""
    kind = _(fault_kind(fault.kind).title)
    return _("{kind}, {place}").format(kind=kind, place=describe_place(fault.place))


def change_text(change: BenchChange | None) -> str:
    """What became another, in one line; "" where nothing did."""
    if change is None:
        return ""
    told = [*_faults(_("set: {fault}"), change.come), *_faults(_("mended: {fault}"), change.gone)]
    told += [_part(change, part) for part in change.parts]
    return "; ".join(told)


def change_cells(change: BenchChange) -> list[tuple[str, str]]:
    """For the file: what became another, and where; faults as "set:KIND" and "mended:KIND"."""
    faults = [(f"set:{one.kind}", format_place(one.place)) for one in change.come]
    faults += [(f"mended:{one.kind}", format_place(one.place)) for one in change.gone]
    return [*faults, *((part, "") for part in change.parts)]


def _faults(words: str, faults: tuple[Fault, ...]) -> list[str]:
    told = [words.format(fault=fault_text(one)) for one in faults[:MOST_NAMED]]
    more = len(faults) - MOST_NAMED
    return [*told, words.format(fault=_("{n} more").format(n=more))] if more > 0 else told


def _part(change: BenchChange, part: Part) -> str:
    before, after = change.before.irradiance_W_m2, change.after.irradiance_W_m2
    if part == "light" and before != after:
        return _("light: {now}, before {before}").format(
            now=format_setting(after, "W/m²"), before=format_setting(before, "W/m²")
        )
    return _(PART_TITLES[part])
