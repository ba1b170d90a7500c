"""An array whose strings have a tracker each: their curves side by side, and the sum of their powers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.app.curves.cable_table import cable_tables
from pvsim.app.curves.choice import Choice, Picture, chosen_shown, figures_of, flat_span
from pvsim.app.curves.hold_words import array_control
from pvsim.app.curves.labels import held_shown, named_shown
from pvsim.app.curves.point_table import curve_table
from pvsim.app.curves.words import difference_shown, key_rows
from pvsim.app.words import _, ngettext
from pvsim.array.place import WHOLE_ARRAY
from pvsim.array.solution import ArraySolution
from pvsim.circuit import Characteristic, PowerPoint
from pvsim.files.figure.key_points import earlier_point, held_point, key_points, point_parts
from pvsim.numbers import decimals_for, format_fixed, format_number
from pvsim.reading.axes import Axes, axes_of, leaves_axes
from pvsim.reading.curve import tracker_curve
from pvsim.reading.difference import Difference, difference_of, magnified, widest_gap
from pvsim.reading.key_figures import KeyFigure
from pvsim.reading.terminals import tracker_point
from pvsim.reading.unbroken import breakdown_voltage, unbroken_strings

__all__ = ["Strand", "strands", "tracker_picture"]

MOST_NAMED = 4  # strands whose points carry a label; more labels find no room
MOST_KEYS = 5  # trackers that get a column of their own among the key figures


@dataclass(frozen=True, slots=True, kw_only=True)
class Strand:
    """Equal trackers: one curve that stands for each of them.

    Parameters
    ----------
    strings : tuple of int
        The strings at these trackers, from 1.
    now, before : Characteristic, Characteristic or None
        Of one of them.
    held : PowerPoint
        Where its tracker holds it.
    """

    strings: tuple[int, ...]
    now: Characteristic
    before: Characteristic | None
    held: PowerPoint

    @property
    def name(self) -> str:
        """As people say it: "string 2", "strings 1, 3"."""
        return strings_name(self.strings)


def strings_name(strings: tuple[int, ...]) -> str:
    """Strings by their numbers; many of them by how many there are."""
    if len(strings) > 3:
        return _("{count} strings").format(count=len(strings))
    numbers = ", ".join(str(number) for number in strings)
    return ngettext("string {numbers}", "strings {numbers}", len(strings)).format(numbers=numbers)


def strands(solution: ArraySolution, earlier: ArraySolution | None, axes: Axes) -> tuple[Strand, ...]:
    """The trackers' curves, equal ones together, in order of the first of each.

    Parameters
    ----------
    earlier : ArraySolution or None
        What to compare with; a tracker that it does not have is not compared.
    axes : Axes
        The curves are drawn as far as these reach.
    """
    then = {} if earlier is None else {one.strings: k for k, one in enumerate(earlier.trackers)}
    groups: list[tuple[int, int | None, list[int]]] = []
    for k, tracker in enumerate(solution.trackers):
        before = then.get(tracker.strings)
        for first, old, members in groups:
            if _alike(solution, first, k) and _alike(earlier, old, before):
                members.append(k)
                break
        else:
            groups.append((k, before, [k]))
    return tuple(
        Strand(
            strings=tuple(number for k in members for number in solution.trackers[k].strings),
            now=tracker_curve(solution, first, axes),
            before=None if earlier is None or old is None else tracker_curve(earlier, old, axes),
            held=tracker_point(solution, first),
        )
        for first, old, members in groups
    )


def _alike(solution: ArraySolution | None, one: int | None, other: int | None) -> bool:
    """Whether two trackers see equal circuits; trackers that there are not are equal."""
    if solution is None or one is None or other is None:
        return one is other
    circuits = [solution.built.trackers[k].circuit for k in (one, other)]
    return circuits[0] is circuits[1] or circuits[0] == circuits[1]


def tracker_picture(
    solution: ArraySolution, earlier: ArraySolution | None, choice: Choice
) -> Picture:
    """Work out what the curves show of all trackers at once.

    No wire joins the strings, so there is no characteristic of all of them: what can be added is
    their power alone.
    """
    unbroken = unbroken_strings(solution.scenario)
    if earlier is not None:
        unbroken += unbroken_strings(earlier.scenario) if len(earlier.trackers) > 1 else ()
    held = [tracker_point(solution, k) for k in range(len(solution.trackers))]
    reverse = choice.reverse
    if reverse is None:
        reverse = min(one.voltage_V for one in held) < axes_of(*unbroken).voltage_V[0]
    breakdown_V = breakdown_voltage(solution.scenario, WHOLE_ARRAY)
    axes = choice.fitted or axes_of(*unbroken, reverse=reverse, breakdown_V=breakdown_V)
    found = strands(solution, earlier, axes)
    compared = [one for one in found if one.before is not None]
    changes, factor, delta = _differences(found, axes, choice, reverse=reverse)
    peak = max(changes, key=lambda one: abs(one.peak), default=None)
    told, greatest = difference_shown(_("each tracker"), peak, choice.quantity, factor)
    points = [point for one in found for point in key_points(one.now, said=False)]
    for one in sorted(found[:MOST_NAMED], key=lambda one: -one.held.power_W):
        points.append(held_point(one.held, point_parts(one.held, one.now), f"{one.name}: "))
    points += [earlier_point(one) for one in _widest(compared, axes)]
    keys = key_rows(_key_figures(solution, earlier))
    curves = [one.now for one in found] + [one.before for one in found if one.before is not None]
    shown = chosen_shown(choice, "array", axes, delta, reverse=reverse) | {
        "offer": choice.fitted is None and any(leaves_axes(one, axes) for one in curves),
        "compared": bool(compared),
        "named": named_shown(points, choice, axes, greatest),
        "held": held_shown([one.held for one in found]),
        "key": keys,
        "keyCompared": earlier is not None,
        "caption": _("Maximum power of each tracker's strings"),
        "difference": told,
    }
    shown["titles"] = {
        "current": _("current of each tracker in A"),
        "power": _("power of each tracker in W"),
        "difference": shown["difference"]["title"],
    }
    if choice.view == "parts":
        shown["partsNote"] = _sum_sentence(solution, found)
    if choice.view == "table":
        curves_told = [curve_table(one.name, one.now, one.before, axes) for one in found]
        shown["tables"] = (cable_tables(solution, earlier) if choice.cables else []) + curves_told
    alone = _("No wire joins their strings: there is no curve of all.")
    shown["control"] = array_control(solution, text=delivered(solution), more=alone)
    return Picture(
        now=tuple(one.now for one in found),
        before=tuple(one.before for one in found if one.before is not None),
        change=tuple(changes),
        axes=axes,
        delta=delta,
        figures=figures_of(choice),
        sentences={
            "current": _sentence(found, "current"),
            "power": _sentence(found, "power"),
            "difference": shown["difference"]["spoken"],
        },
        shown=shown,
    )


def delivered(solution: ArraySolution) -> str:
    """What all trackers give together."""
    power = format_fixed(solution.power_W, "W", decimals=decimals_for(solution.power_W))
    return _("{count} trackers deliver {power}").format(count=len(solution.trackers), power=power)


def _differences(
    found: tuple[Strand, ...], axes: Axes, choice: Choice, *, reverse: bool
) -> tuple[list[Difference], float, tuple[float, float]]:
    if choice.view != "difference" or not any(one.before for one in found):
        return [], 1.0, flat_span(choice, axes)
    changes = [
        difference_of(one.now, one.before, choice.quantity, reverse=axes if reverse else None)
        for one in found
        if one.before is not None
    ]
    span = axes.power_W if choice.quantity == "power" else axes.current_A
    return changes, *magnified(changes, span)


def _widest(compared: list[Strand], axes: Axes) -> list[PowerPoint]:
    """Where an earlier curve lies farthest from its present one: there it is named."""
    gaps = [
        (abs(np.interp(point.voltage_V, one.now.voltage_V, one.now.current_A) - point.current_A), point)
        for one in compared
        if one.before is not None and (point := widest_gap(one.now, one.before, axes)) is not None
    ]
    return [max(gaps, key=lambda gap: gap[0])[1]] if gaps else []


def _key_figures(solution: ArraySolution, earlier: ArraySolution | None) -> list[KeyFigure]:
    """The trackers' maximum powers, or the least and greatest of many, and their sum."""
    now = [one.characteristic.mpp.power_W for one in solution.trackers]
    trackers = () if earlier is None else earlier.trackers
    then = {one.strings: one.characteristic.mpp.power_W for one in trackers}
    before = [then.get(one.strings) for one in solution.trackers]
    total = sum(now)
    columns: list[tuple[str, str, float, float | None]] = []
    if len(now) <= MOST_KEYS:
        for tracker, power, old in zip(solution.trackers, now, before, strict=True):
            name = _("maximum power of {strings}").format(strings=strings_name(tracker.strings))
            columns.append((", ".join(str(number) for number in tracker.strings), name, power, old))
    else:
        known = [one for one in before if one is not None]
        same = len(known) == len(now)
        least, most = (min(known), max(known)) if same else (None, None)
        columns.append((_("least"), _("least maximum power of a tracker"), min(now), least))
        columns.append((_("most"), _("greatest maximum power of a tracker"), max(now), most))
    changes = [
        _power_change(("P", index), name, power, old, total) for index, name, power, old in columns
    ]
    name = _("maximum powers of all trackers, added")
    return [*changes, _power_change(("ΣP", ""), name, total, sum(then.values()) if then else None, total)]


def _power_change(
    symbol: tuple[str, str], name: str, now: float, before: float | None, scale: float
) -> KeyFigure:
    return KeyFigure(
        key="pmp", symbol=symbol, name=name, unit="W", now=now, before=before, decimals=decimals_for(scale)
    )


def _sum_sentence(solution: ArraySolution, found: tuple[Strand, ...]) -> str:
    """Why no curves are added, and what can be."""
    terms = []
    for one in found:
        power = format_fixed(one.held.power_W, "W", decimals=decimals_for(solution.power_W))
        count = f"{len(one.strings)} × " if len(one.strings) > 1 else ""
        terms.append(f"{count}{power} ({one.name})")
    total = format_fixed(solution.power_W, "W", decimals=decimals_for(solution.power_W))
    said = _(
        "Each string has a tracker of its own and no wire joins them: neither their currents nor their "
        "voltages add up, and there is no curve of all. Only their powers add: {terms} = {total}."
    )
    return said.format(terms=" + ".join(terms), total=total)


def _sentence(found: tuple[Strand, ...], quantity: str) -> str:
    """What a figure of all trackers shows, for those who cannot see it."""
    said = []
    for one in found:
        if quantity == "current":
            text = _("{name} short-circuit {isc}, open-circuit {voc}, held at {V} and {I}")
            told = text.format(
                name=one.name,
                isc=format_number(one.now.isc_A, "A"),
                voc=format_number(one.now.voc_V, "V"),
                V=format_number(one.held.voltage_V, "V"),
                I=format_number(one.held.current_A, "A"),
            )
        else:
            text = _("{name} greatest power {pmp} at {vmp}")
            told = text.format(
                name=one.name,
                pmp=format_number(one.now.mpp.power_W, "W"),
                vmp=format_number(one.now.mpp.voltage_V, "V"),
            )
        if one.before is not None:
            told += ", " + _("greatest power before {pmp}").format(
                pmp=format_number(one.before.mpp.power_W, "W")
            )
        said.append(told)
    what = _("Current against voltage of each tracker") if quantity == "current" else _(
        "Power against voltage of each tracker"
    )
    return f"{what}: " + "; ".join(said) + "."
