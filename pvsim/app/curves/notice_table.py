"""Would anybody notice? What a change does to each reading beside how well that can be known, as a table."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from pvsim.app.words import _, mark
from pvsim.array.place import Place, describe_place, level_of
from pvsim.array.solution import ArraySolution
from pvsim.circuit import budget
from pvsim.errors import OvertimeError, PvsimError
from pvsim.field.meter import COVERAGE
from pvsim.field.notice import NOTICED, Notice, against_neighbour, against_prediction
from pvsim.field.probe import PROBES, Probe, meter_of
from pvsim.numbers import format_fixed

__all__ = ["notice_tables"]

LONGEST_S = 1.0  # that anybody waits for it
WHAT = {
    "voltage": mark("voltage at work"),
    "open-voltage": mark("open-circuit voltage"),
    "current": mark("current"),
    "irradiance": mark("irradiance"),
    "back": mark("back, mean"),
    "insulation": mark("insulation"),
}
DISPLAYS = ("power", "display-voltage", "display-current")
UNITS = {"W/m2": "W/m²", "Mohm": "MΩ"}
_MOST_DECIMALS = 3


def notice_tables(
    solution: ArraySolution, earlier: ArraySolution | None, place: Place
) -> list[dict[str, Any]]:
    """One table of the meters that can be put at a place; none without a state to compare with.

    Parameters
    ----------
    solution, earlier : ArraySolution
        As it is, and as it should be.
    place : Place
        The whole array, a string or a module; meters can be put nowhere else.

    Returns
    -------
    list of dict
        As `curve_table` gives.
    """
    if earlier is None or earlier is solution or level_of(place) not in ("array", "string", "module"):
        return []
    rows = []
    try:
        with budget.within(LONGEST_S):
            for what, kind in PROBES.items():
                if level_of(place) in kind.levels and _stands_there(solution, what, place):
                    rows += _rows(solution, earlier, Probe(what=what, place=place))
    except OvertimeError:
        return []
    if not rows:
        return []
    heads = [_("Meter"), _("change"), _("against what it should be"), _("against its neighbour")]
    caption = _("What typical meters would notice at {place}; ± covers 95 % (k = {k})").format(
        place=describe_place(place), k=format_fixed(COVERAGE, decimals=0)
    )
    groups = [(head, 1) for head in heads]
    return [{"caption": caption, "groups": groups, "columns": [], "rows": rows, "words": True}]


def _stands_there(solution: ArraySolution, what: str, place: Place) -> bool:
    """Whether a meter belongs to this place: the display of one tracker is the array's, and no string's."""
    return what not in DISPLAYS or level_of(place) == "array" or len(solution.trackers) > 1


def _rows(solution: ArraySolution, earlier: ArraySolution, probe: Probe) -> list[dict[str, Any]]:
    """The row of a meter; none where it cannot be put in both states."""
    try:
        alone = against_prediction(earlier, solution, probe)
    except OvertimeError:
        raise
    except PvsimError:
        return []
    meter = meter_of(probe)
    name = _(meter.name)  # a display's says what it shows
    if probe.what not in DISPLAYS:
        name = _("{meter}, {what}").format(meter=name, what=_(WHAT[probe.what]))
    decimals = finer = _decimals(alone)
    while alone.verdict != "unchanged" and finer < _MOST_DECIMALS and not round(alone.effect, finer):
        finer += 1
    change = format_fixed(alone.effect, UNITS.get(meter.unit, meter.unit), decimals=finer, sign=True)
    beside = _beside(solution, earlier, probe)
    cells = [name, change, _judged(alone, decimals), "–" if beside is None else _judged(beside, decimals)]
    return [{"cells": cells, "name": ""}]


def _judged(notice: Notice, decimals: int) -> str:
    """The verdict, and within what it was given: "changed (±0.21)"."""
    wide = format_fixed(COVERAGE * notice.uncertainty, decimals=decimals)
    return _("{verdict} (±{wide})").format(verdict=_(NOTICED[notice.verdict]), wide=wide)


def _decimals(notice: Notice) -> int:
    """As many as show the uncertainty with two figures."""
    wide, decimals = COVERAGE * notice.uncertainty, 0
    while wide < 10.0 and decimals < _MOST_DECIMALS:
        wide, decimals = 10.0 * wide, decimals + 1
    return decimals


def _beside(solution: ArraySolution, earlier: ArraySolution, probe: Probe) -> Notice | None:
    """The same beside the next string, or the next module of the string; None where there is none."""
    place, strings = probe.place, solution.index.strings
    if place.string is None:
        return None
    if place.module is None:
        other = replace(place, string=place.string % len(strings) + 1)
    else:
        other = replace(place, module=place.module % len(strings[place.string - 1].modules) + 1)
    if other == place:
        return None
    try:
        return against_neighbour(earlier, solution, probe, replace(probe, place=other))
    except OvertimeError:
        raise
    except PvsimError:
        return None
