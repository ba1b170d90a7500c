"""Why an act is not done yet, in one sentence: what the array is like and what the step wants."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from pvsim.array import FAULT_KINDS
from pvsim.array.index import array_index, cell_at
from pvsim.array.part_place import cells_of, diodes_of, place_holds
from pvsim.array.place import WHOLE_ARRAY, Place, describe_place, parse_place
from pvsim.array.scenario import Scenario
from pvsim.course.lesson.lesson import Step
from pvsim.course.number.checks import MANY, check_holds, mean_temperature_C
from pvsim.course.number.evaluation import Readings, holds, value_of
from pvsim.course.number.expression import Condition, Path
from pvsim.course.number.quantities import QUANTITIES, SYMBOLIC
from pvsim.course.number.solved_scenario import Situation, solved
from pvsim.course.number.units import UNITS, Format, unit_for, write_number
from pvsim.course.play.roof_lacking import ROOF_REASONS, same_modules
from pvsim.errors import PvsimError
from pvsim.field.search.case import SearchCase
from pvsim.words import _, mark, ngettext

MOST_NAMED = 3  # places in one sentence

_WHAT = {
    "p_mp_W": mark("the greatest power of {place}"),
    "voltage_V": mark("the voltage of {place}"),
    "current_A": mark("the current of {place}"),
    "power_W": mark("the power of {place}"),
    "eaten_W": mark("the power eaten by {place}"),
    "wires_W": mark("the heat in the wires of {place}"),
    "cable_m": mark("the cable of {place}"),
    "loop_m2": mark("the loop of {place}"),
    "irradiance_W_m2": mark("the light on {place}"),
    "sunlight_W": mark("the light on {place}"),
    "rear_light_W_m2": mark("the light on the rear side"),
    "light_W_m2": mark("the light"),
    "temperature_C": mark("the temperature of {place}"),
    "steady_temperature_C": mark("the temperature of {place}"),
}
_SYMBOLIC = {
    "darkest": mark("the darkest cell"),
    "weakest": mark("the cell with the least power"),
    "hottest": mark("the hottest cell"),
}
_OPERATIONS = {
    "mpp": mark("at its MPP"),
    "voltage": mark("at a voltage"),
    "current": mark("at a current"),
    "load": mark("by a load"),
}


def lacking(step: Step, live: Situation) -> str:
    """The first thing that keeps the step's act from being done.

    Parameters
    ----------
    live : Situation
        The array as it stands.

    Returns
    -------
    str
        A sentence such as "Cell 25 is shaded too."; empty before anything was changed, when nothing is
        lacking, and where another array altogether is on the bench.
    """
    if live.scenario == step.start or another_array(step, live.scenario):
        return ""
    try:
        for check in step.done_when:
            if not check_holds(check, live.scenario, live.solution):
                text = REASON_OF[check.kind](step, live, **dict(check.arguments))
                return text[:1].upper() + text[1:]
    except PvsimError:  # the places the step speaks of are not built
        return ""
    return ""


def another_array(step: Step, scenario: Scenario) -> bool:
    """Whether something else is on the bench than what the step's act can make of its array."""
    if step.finish.array == step.start.array:
        return scenario.array != step.start.array
    return not same_modules(scenario, step.start)


def _shaded(step: Step, live: Situation, *, place: Place, at_most: float, least: float, most: float) -> str:
    share, dark = _number(100.0 * at_most, "%"), _dark(live, place, at_most)
    if len(dark) > most:
        wanted = _dark(solved(step.finish), place, at_most)
        besides = sorted(dark - wanted)
        if wanted <= dark:
            return ngettext("{places} is shaded too.", "{places} are shaded too.", len(besides)).format(
                places=_named(live.scenario, besides)
            )
    elif not dark:
        text = _("no cell of {place} gets at most {share} of the light.")
        return text.format(place=_part(live.scenario, place), share=share)
    text = ngettext(
        "{n} cell of {place} gets at most {share} of the light; the step wants {wanted}.",
        "{n} cells of {place} get at most {share} of the light; the step wants {wanted}.",
        len(dark),
    )
    place_ = _part(live.scenario, place)
    return text.format(n=len(dark), place=place_, share=share, wanted=_count(least, most))


def _dark(situation: Situation, place: Place, at_most: float) -> set[int]:
    """Flat numbers of the cells of a place that get at most this share of the light."""
    cells = cells_of(situation.scenario, place)
    light = situation.solution.cells.irradiance_W_m2[cells]
    limit = at_most * situation.scenario.light.irradiance_W_m2 * (1 + 1e-9)  # the limit itself counts
    return {int(one) + cells.start for one in np.flatnonzero(light <= limit)}


def _lit(step: Step, live: Situation, *, place: Place) -> str:
    cells = cells_of(live.scenario, place)
    light, full = live.solution.cells.irradiance_W_m2[cells], live.scenario.light.irradiance_W_m2
    dim = [int(one) + cells.start for one in np.flatnonzero(light < 0.99 * full)]
    text = ngettext("{places} is not in full light.", "{places} are not in full light.", len(dim))
    return text.format(places=_named(live.scenario, dim))


def _fault(step: Step, live: Situation, *, place: Place, kind: str) -> str:
    title, where = _(FAULT_KINDS[kind].title), _part(live.scenario, place)
    elsewhere = [one.place for one in live.scenario.faults if one.kind == kind]
    if elsewhere:
        there = _part(live.scenario, elsewhere[0])
        return _("“{fault}” is at {there}; the step wants it at {place}.").format(
            fault=title, there=there, place=where
        )
    return _("there is no “{fault}” at {place} yet.").format(fault=title, place=where)


def _no_fault(step: Step, live: Situation, *, place: Place) -> str:
    found = next(one for one in live.scenario.faults if place_holds(live.scenario, place, one.place))
    title = _(FAULT_KINDS[found.kind].title)
    return _("“{fault}” at {place} is not mended yet.").format(
        fault=title, place=_part(live.scenario, found.place)
    )


def _diodes(step: Step, live: Situation, *, place: Place, least: float, most: float) -> str:
    on = int(np.count_nonzero(live.solution.diodes.conducting[diodes_of(live.scenario, place)]))
    return ngettext(
        "{n} bypass diode of {place} conducts; the step wants {wanted}.",
        "{n} bypass diodes of {place} conduct; the step wants {wanted}.",
        on,
    ).format(n=on, place=_part(live.scenario, place), wanted=_count(least, most))


def _irradiance(step: Step, live: Situation, *, irradiance_W_m2: float, within_W_m2: float) -> str:
    return _("the light is set to {now}; the step wants {wanted}.").format(
        now=_number(live.scenario.light.irradiance_W_m2, "W/m2"), wanted=_number(irradiance_W_m2, "W/m2")
    )


def _temperature(step: Step, live: Situation, *, temperature_C: float, within_K: float) -> str:
    return _("the cells are at {now}; the step wants {wanted}.").format(
        now=_number(mean_temperature_C(live.solution), "degC"), wanted=_number(temperature_C, "degC")
    )


def _operating(step: Step, live: Situation, *, kind: str, least: float, most: float) -> str:
    held = live.scenario.operation
    unit = {"voltage": "V", "current": "A", "load": "ohm"}.get(kind, "")
    wanted = _(_OPERATIONS[kind])
    if least > -MANY and most < MANY:
        wanted = _("at {least} to {most}").format(least=_number(least, unit), most=_number(most, unit))
    now = _(_OPERATIONS[held.kind])
    if held.kind == kind and held.value is not None:
        now = _("at {value}").format(value=_number(held.value, unit))
    return _("the array is held {now}; the step wants it {wanted}.").format(now=now, wanted=wanted)


def _condition(step: Step, live: Situation, *, that: Condition) -> str:
    here = Readings(live, live)
    failed = next(one for one in that.comparisons if not holds(Condition("", (one,)), here))
    turned = {"<": ">", "<=": ">=", ">": "<", ">=": "<=", "=": "="}
    left, right, sign = failed.left, failed.right, failed.sign
    if not isinstance(left, Path):
        left, right, sign = right, left, turned[sign]
    if not isinstance(left, Path) or left.quantity not in _WHAT:
        return _("something is still different from what the step wants.")
    name = _(_SYMBOLIC[left.place]) if left.place in SYMBOLIC else _part(live.scenario, _place(left.place))
    unit = unit_for(QUANTITIES[left.quantity].dimension).name
    texts = {
        "<": _("{what} is {now}; the step wants less than {bound}."),
        ">": _("{what} is {now}; the step wants more than {bound}."),
        "=": _("{what} is {now}; the step wants {bound}."),
    }
    return texts[sign[0]].format(
        what=_(_WHAT[left.quantity]).format(place=name),
        now=_number(value_of(left, here), unit),
        bound=_number(value_of(right, here), unit),
    )


def _search(step: Step, live: Situation, *, case: SearchCase) -> str:
    return _("the search has no answer yet.")


def _place(text: str) -> Place:
    return WHOLE_ARRAY if text == "array" else parse_place(text)


def _named(scenario: Scenario, cells: Sequence[int]) -> str:
    """Cells by name as long as they are few, else how many."""
    if len(cells) > MOST_NAMED:
        return ngettext("{n} cell", "{n} cells", len(cells)).format(n=len(cells))
    index = array_index(scenario)
    names = [_part(scenario, cell_at(index, one)) for one in cells]
    return (
        names[0]
        if len(names) == 1
        else _("{some} and {last}").format(some=", ".join(names[:-1]), last=names[-1])
    )


def _part(scenario: Scenario, place: Place) -> str:
    """A place in words; where there is a single module its own part is enough."""
    text = describe_place(place)
    single = len(scenario.array.strings) == 1 and len(scenario.array.strings[0].modules) == 1
    return text.rpartition(", ")[2] if single else text


def _count(least: float, most: float) -> str:
    few, many = int(least), int(most)
    if most >= MANY:
        return _("at least {n}").format(n=few)
    return str(few) if few == many else _("{least} to {most}").format(least=few, most=many)


def _number(value: float, unit: str) -> str:
    """A value in SI units, or in per cent, with three figures and no zeros at its end."""
    written = f"{value:.3g}"
    decimals = 0 if "e" in written else len(written.partition(".")[2])
    size = UNITS[unit].size if unit == "%" else 1.0
    return write_number(value * size, UNITS[unit], Format(decimals=decimals))


REASON_OF: dict[str, Callable[..., str]] = {
    "shaded": _shaded,
    "lit": _lit,
    "fault": _fault,
    "no_fault": _no_fault,
    "diodes_conducting": _diodes,
    "irradiance": _irradiance,
    "cell_temperature": _temperature,
    "operating": _operating,
    **ROOF_REASONS,
    "holds": _condition,
    "search_answered": _search,
}
