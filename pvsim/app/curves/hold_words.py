"""The control that holds the array at a point of its curve, or moves the cursor, in words."""

from __future__ import annotations

from collections.abc import Sequence
from math import log10
from typing import Any

from pvsim.app.words import _, ngettext, voltage_symbol
from pvsim.array.operation import Operation
from pvsim.array.place import WHOLE_ARRAY, Place, format_place
from pvsim.array.solution import ArraySolution
from pvsim.circuit import Characteristic, PowerPoint
from pvsim.numbers import format_fixed, format_number
from pvsim.reading.diodes import conducting_diodes
from pvsim.reading.terminals import tracker_point
from pvsim.reading.unbroken import held_scale

__all__ = ["array_control", "conducting_text", "held_load", "hold_control", "load_of", "slide_value"]

STEPS = 400
UNITS = {"mpp": "V", "voltage": "V", "current": "A", "load": "Ω"}


def hold_control(
    operation: Operation, point: PowerPoint, unbroken: Characteristic, *, several: bool = False
) -> dict[str, Any]:
    """The slider and the field beside it.

    Parameters
    ----------
    operation : Operation
        How the array is held.
    point : PowerPoint
        Where that is on the array's curve.
    unbroken : Characteristic
        Of the array in good order: it sets the slider's range, which stays while things change.
    several : bool
        Each string has a tracker of its own: the first is shown, and all are moved alike.
    """
    names = {
        "mpp": _("Voltage of the array, found by the tracker"),
        "voltage": _("Voltage of the array"),
        "current": _("Current of the array"),
        "load": _("Load resistance of the array"),
    }
    if several:
        names = {
            "mpp": _("Voltage of string 1, found by its tracker"),
            "voltage": _("Voltage at every tracker"),
            "current": _("Current at every tracker"),
            "load": _("Load resistance at every tracker"),
        }
    least, most = slide_range(operation.kind, unbroken)
    value = {"current": point.current_A, "load": operation.value or 0.0}.get(operation.kind, point.voltage_V)
    number = format_number(value, digits=4).replace("\u202f", "")
    return {
        "kind": operation.kind,
        "modes": [
            {"key": "mpp", "label": _("MPP"), "title": _("At maximum power, where a tracker holds it")},
            {
                "key": "voltage",
                "label": voltage_symbol(),
                "title": _("At a fixed voltage, as a battery holds it"),
            },
            {"key": "current", "label": "I", "title": _("At a fixed current")},
            {"key": "load", "label": "R", "title": _("On a load resistance")},
        ],
        "least": least,
        "most": most,
        "step": (most - least) / STEPS,
        "value": log10(value) if operation.kind == "load" and value > 0.0 else value,
        "number": number,
        "unit": UNITS[operation.kind],
        "label": names[operation.kind],
        "short": _("trackers at") if several else _("array at"),
    }


def array_control(
    solution: ArraySolution,
    place: Place = WHOLE_ARRAY,
    *,
    text: str,
    lead: str = "",
    of: str = "",
    where: str = "",
    more: str = "",
) -> dict[str, Any]:
    """The control of an array at work, with what is read off beside it.

    Parameters
    ----------
    place : Place
        The part in view: its bypass diodes are named.
    text, lead, of, where, more : str
        What is held, what that is called, how far from its maximum it is, where the array is, and
        what has to be known of it.
    """
    several = len(solution.trackers) > 1
    point, scale = tracker_point(solution, 0), held_scale(solution)
    forward, backward = (conducting_diodes(solution, place, backward=back) for back in (False, True))
    diodes = conducting_text(forward, backward)
    if more:
        diodes = f"{more} {diodes[:1].upper()}{diodes[1:]}."
    told = {"text": text, "lead": lead, "of": of, "where": where, "more": diodes}
    return hold_control(solution.scenario.operation, point, scale, several=several) | told


def slide_range(kind: str, unbroken: Characteristic) -> tuple[float, float]:
    """What the slider runs over: V, A, or the logarithm of ohms."""
    if kind == "current":
        return 0.0, 1.1 * unbroken.isc_A
    if kind == "load":
        middle = log10(load_of(unbroken.mpp))
        return middle - 1.5, middle + 1.5
    return 0.0, 1.02 * unbroken.voc_V


def slide_value(kind: str, value: float) -> float:
    """The operation's value for a place of the slider, with as many digits as are worth keeping."""
    return float(f"{10.0**value if kind == 'load' else value:.4g}")


def load_of(point: PowerPoint) -> float:
    """The resistance that would hold this point, kept between 1 mohm and 1 Mohm."""
    if point.current_A <= 0.0 or point.voltage_V <= 0.0:
        return 1.0
    return min(1e6, max(1e-3, point.voltage_V / point.current_A))


def held_load(operation: Operation) -> dict[str, Any] | None:
    """The line that is drawn for what holds the array; none for a tracker."""
    if operation.kind == "mpp" or not operation.value:
        return None
    return {"kind": operation.kind, "value": operation.value}


def conducting_text(forward: Sequence[Place], backward: Sequence[Place] = ()) -> str:
    """Which bypass diodes conduct here: how many, and the first three by name.

    Parameters
    ----------
    forward : sequence of Place
        Those that take a current past their substring.
    backward : sequence of Place
        Those that let their substring's own current run back, as short and reversed ones do.
    """
    texts = []
    if forward:
        frame = ngettext(
            "{count} bypass diode conducts: {names}", "{count} bypass diodes conduct: {names}", len(forward)
        )
        texts.append(_named(frame, forward))
    if backward:
        frame = ngettext(
            "{count} bypass diode lets current run back: {names}",
            "{count} bypass diodes let current run back: {names}",
            len(backward),
        )
        texts.append(_named(frame, backward))
    return ", ".join(texts) or _("no bypass diode conducts")


def _named(frame: str, diodes: Sequence[Place]) -> str:
    names = ", ".join(format_place(place) for place in diodes[:3]) + (" …" if len(diodes) > 3 else "")
    return frame.format(count=format_fixed(len(diodes)), names=names)
