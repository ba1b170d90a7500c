"""Why an act on a mounted array is not done yet, in one sentence."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date as Date

from pvsim.array.array import mounted_modules
from pvsim.array.day import solid_kind
from pvsim.array.mounting import Spot, format_spot
from pvsim.array.route import route_as
from pvsim.array.scenario import Scenario
from pvsim.array.usual_wirings import equal_lengths, mounted_spots, usual_wirings
from pvsim.course.lesson.lesson import Step
from pvsim.course.number.roof_checks import ANY_SOLID
from pvsim.course.number.solved_scenario import Situation
from pvsim.course.number.units import UNITS, Format, write_number
from pvsim.reading.cables import all_cables, string_cables
from pvsim.words import _, mark, ngettext

__all__ = ["ROOF_REASONS", "same_modules"]

MOST_NAMED = 3  # places in one sentence
MANY = 1e6

_ORDERS = {
    "row by row": mark("row by row"),
    "serpentine": mark("as a serpentine"),
    "leapfrog": mark("every other one and back"),
}


def same_modules(one: Scenario, other: Scenario) -> bool:
    """Whether two arrays have the same modules on the same places, however they are turned and wired."""
    return _mounted(one) == _mounted(other)


def _mounted(scenario: Scenario) -> object:
    if not scenario.array.surfaces:
        return scenario.array
    return {(module.spot, module.type) for _at, module in mounted_modules(scenario.array)}


def _wired(step: Step, live: Situation, *, like: str, strings: float) -> str:
    array = live.scenario.array
    if array.unwired:
        count = len(array.unwired)
        return ngettext("{n} module is in no string.", "{n} modules are in no string.", count).format(n=count)
    if len(array.strings) != strings:
        count = len(array.strings)
        text = ngettext(
            "there is {n} string; the step wants {wanted}.",
            "there are {n} strings; the step wants {wanted}.",
            count,
        )
        return text.format(n=count, wanted=int(strings))
    usual = usual_wirings(live.scenario, equal_lengths(len(mounted_spots(live.scenario)), int(strings)))
    now, wanted = all_cables(string_cables(live.solution)), route_as(live.scenario, usual[like])
    if now.bought_m > wanted.bought_m:
        return _("the strings take {now} of cable; wired {order} they take {wanted}.").format(
            now=_metres(now.bought_m), order=_order(like), wanted=_metres(wanted.bought_m)
        )
    if now.extensions > wanted.extensions:
        return _("{n} leads need an extension; wired {order} it is {wanted}.").format(
            n=now.extensions, order=_order(like), wanted=wanted.extensions
        )
    return _("a string spans a larger loop than it does wired {order}.").format(order=_order(like))


def _cable(step: Step, live: Situation, *, least_m: float, most_m: float) -> str:
    if live.scenario.array.unwired:
        return _wired(step, live, like="row by row", strings=0)
    now = all_cables(string_cables(live.solution)).bought_m
    text = _("the strings take {now} of cable; the step wants at most {wanted}.")
    if now < least_m:
        text = _("the strings take {now} of cable; the step wants at least {wanted}.")
    return text.format(now=_metres(now), wanted=_metres(least_m if now < least_m else most_m))


def _turned(step: Step, live: Situation, *, spots: tuple[Spot, ...]) -> str:
    found = {module.spot for _at, module in mounted_modules(live.scenario.array) if module.rotated}
    besides, left = found - set(spots), set(spots) - found
    if besides:
        text = ngettext("{places} is turned too.", "{places} are turned too.", len(besides))
        return text.format(places=_named(spot for spot in besides if spot is not None))
    text = ngettext("{places} is not turned yet.", "{places} are not turned yet.", len(left))
    return text.format(places=_named(left))


def _stands(
    step: Step, live: Situation, *, thing: str, least: float, most: float, lowest_m: float, highest_m: float
) -> str:
    day = live.scenario.day
    found = [one for one in (day.solids if day else ()) if thing in (ANY_SOLID, solid_kind(one))]
    if least <= len(found) <= most:
        high = next(
            height for one in found if not lowest_m <= (height := getattr(one, "height_m", 0.0)) <= highest_m
        )
        text = _("what throws the shadow is {now} high; the step wants at most {wanted}.")
        if high < lowest_m:
            text = _("what throws the shadow is {now} high; the step wants at least {wanted}.")
        return text.format(now=_metres(high), wanted=_metres(lowest_m if high < lowest_m else highest_m))
    wanted = str(int(least)) if most in (least, MANY) else f"{int(least)}–{int(most)}"
    return ngettext(
        "{n} thing throws a shadow; the step wants {wanted}.",
        "{n} things throw shadows; the step wants {wanted}.",
        len(found),
    ).format(n=len(found), wanted=wanted)


def _dated(step: Step, live: Situation, *, date: Date) -> str:
    day = live.scenario.day
    if day is None:
        return _("the array has no day.")
    return _("the day is {now}; the step wants {wanted}.").format(
        now=day.date.isoformat(), wanted=day.date.replace(month=date.month, day=date.day).isoformat()
    )


def _order(like: str) -> str:
    if like in _ORDERS:
        return _(_ORDERS[like])
    rows, _by, columns = like.removeprefix("blocks ").partition(" x ")
    return _("in blocks of {rows} × {columns}").format(rows=rows, columns=columns)


def _metres(value: float) -> str:
    return write_number(value, UNITS["m"], Format(decimals=1))


def _named(spots: Iterable[Spot]) -> str:
    """Places by name as long as they are few, else how many."""
    names = [format_spot(spot) for spot in sorted(spots)]
    if len(names) > MOST_NAMED:
        return ngettext("{n} module", "{n} modules", len(names)).format(n=len(names))
    return ", ".join(names)


ROOF_REASONS: dict[str, Callable[..., str]] = {
    "wired": _wired,
    "cable": _cable,
    "turned": _turned,
    "stands": _stands,
    "dated": _dated,
}
