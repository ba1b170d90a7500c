"""What on the page would answer a prediction before it is given, and so has to be kept back till then."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields

from pvsim.array.module import cell_substrings, substring_cells
from pvsim.array.place import Place, format_place
from pvsim.array.scenario import Scenario, as_built, module_type
from pvsim.course.lesson.lesson import NumberQuestion, Step
from pvsim.course.number.evaluation import Readings, holds, value_of
from pvsim.course.number.expression import Path, paths
from pvsim.errors import PvsimError

HIDES = {
    "curves": "the characteristics, with their marked points and the figures below",
    "parts": "how a characteristic is built from those of its parts",
    "values": "what the cells are coloured and labelled with, and the figures beside and below the drawing",
    "levels": "the powers at five levels",
    "cables": "metres, loops and losses of this wiring and of others",
    "day": "the day's film, its picture and its energies",
}
_OF_CABLES = ("cable_m", "extension_m", "extensions", "joints", "loop_m2", "cable_drop_V", "cable_W")
_OF_A_DAY = (
    "day_kWh", "day_open_kWh", "day_followed_kWh", "day_lost", "noon_lost", "worst_lost", "worst_off_noon_h",
)  # fmt: skip
NEAR = 0.01  # of the right answer: a figure on the page that is so close to it reads as the answer

_OF_A_CURVE = ("isc_A", "voc_V", "i_mp_A", "v_mp_V", "p_mp_W", "fill_factor", "mpps")
_AT_WORK = ("voltage_V", "current_A", "power_W")
_SHOWN = {
    "curves": (*_OF_A_CURVE, *_AT_WORK),
    "values": _AT_WORK,
    "levels": ("power_W", "p_mp_W"),
}


def giveaways(step: Step, readings: Readings) -> frozenset[str]:
    """Names in HIDES of what shows the answer while the array is as the step begins.

    Parameters
    ----------
    readings : Readings
        The step done, and before.

    Notes
    -----
    Four things give a prediction away: it asks for what the page reckons of other wirings or of a whole
    day without any act; the right answer speaks of the array as it is, such as the
    voltage of a maximum that is marked; a figure that is shown is the right answer; or the act only
    holds the array elsewhere, and how its curve is built shows every part there already.
    """
    found = set(_told_as_it_is(step, readings)) | set(_reckoned_without_the_act(step))
    if isinstance(step.predict, NumberQuestion):
        found |= set(_shown_as_a_figure(step, step.predict, readings))
    if "curves" not in found and _only_held_elsewhere(step):
        found.add("parts")
    return frozenset(found)


def covered(step: Step) -> tuple[str, ...]:
    """What a step keeps back; whoever sees no curves sees not how they are built either."""
    return tuple(one for one in HIDES if one in step.hides or (one == "parts" and "curves" in step.hides))


def _told_as_it_is(step: Step, readings: Readings) -> Iterator[str]:
    """Regions that show what the right answer reads, where that does not change."""
    if isinstance(step.predict, NumberQuestion):
        read, when = paths(step.predict.answer), "before"
    else:
        right = next((one for one in step.predict.choices if one.right and one.when), None)
        if right is None or right.when is None:
            return
        read, when = paths(right.when), "now"
        if not holds(right.when, Readings(readings.before, readings.before)):
            return
    if not read or any(path.when != when for path in read):
        return
    for region, shown in _SHOWN.items():
        if any(path.quantity in shown for path in read):
            yield region


def _reckoned_without_the_act(step: Step) -> Iterator[str]:
    """Regions that compare wirings, or days with and without a shadow, for whoever opens them."""
    if isinstance(step.predict, NumberQuestion):
        read = paths(step.predict.answer)
    else:
        read = tuple(
            path for one in step.predict.choices if one.right and one.when for path in paths(one.when)
        )
    for region, known in (("cables", _OF_CABLES), ("day", _OF_A_DAY)):
        if any(path.quantity in known for path in read):
            yield region


def _shown_as_a_figure(step: Step, question: NumberQuestion, readings: Readings) -> Iterator[str]:
    truth = abs(value_of(question.answer, readings))
    unit = question.unit.name
    for region, shown in _SHOWN.items():
        for quantity in shown:
            if quantity.rpartition("_")[2] != unit:
                continue
            for place in _parts_in_view(step.start, step.look.focus or Place()):
                figure = _figure(place, quantity, readings)
                if figure is not None and abs(abs(figure) - truth) <= NEAR * truth:
                    yield region


def _figure(place: str, quantity: str, readings: Readings) -> float | None:
    try:
        return value_of(Path("before", place, quantity), readings)
    except PvsimError:  # a diode has no curve
        return None


def _only_held_elsewhere(step: Step) -> bool:
    names = [one.name for one in fields(Scenario)]
    changed = [name for name in names if getattr(step.start, name) != getattr(step.finish, name)]
    return changed == ["operation"]


def _parts_in_view(scenario: Scenario, focus: Place) -> Iterator[str]:
    """The parts that the five levels show of a focus, as a lesson writes them, and its bypass diode."""
    string, module = focus.string or 1, focus.module or 1
    kind = module_type(scenario, as_built(scenario)[string - 1].modules[module - 1].type)
    part = focus.substring or focus.diode
    cell = focus.cell or (substring_cells(kind, part)[0] if part else 1)
    number = int(cell_substrings(kind)[cell - 1])
    yield "array"
    yield format_place(Place(string))
    yield format_place(Place(string, module))
    yield format_place(Place(string, module, substring=number))
    yield format_place(Place(string, module, cell=cell))
    if kind.substrings[number - 1].diode is not None:
        yield format_place(Place(string, module, diode=number))
