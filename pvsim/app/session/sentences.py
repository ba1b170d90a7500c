"""One sentence that says what a change did, for the status line and for screen readers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from pvsim.app.words import _, ngettext
from pvsim.array.place import Place, describe_place, level_of
from pvsim.array.solution import ArraySolution
from pvsim.files.units import split_unit
from pvsim.numbers import decimals_of_change, format_fixed, format_percent, format_setting, unit_symbol

__all__ = [
    "count_word",
    "describe_change_of",
    "describe_changes",
    "describe_fault",
    "describe_operation",
    "describe_places",
    "result_sentence",
    "sentence_start",
]

STEADY_W = 0.005  # below what the finest sentence shows
STEADY = 5e-5  # of the power before: a smaller change has per cents that read 0.00
MOST_PERCENT = 200  # beyond it watts say more


def count_word(count: int) -> str:
    """A small count in words, a large one in digits."""
    words = (
        _("no"), _("one"), _("two"), _("three"), _("four"), _("five"),
        _("six"), _("seven"), _("eight"), _("nine"), _("ten"),
    )  # fmt: skip
    return words[count] if count < len(words) else format_fixed(count)


def sentence_start(text: str) -> str:
    """The text with a capital first letter, unless a file's name comes first."""
    first = text.partition(" ")[0].rstrip(".,:;")
    return text if "." in first else text[:1].upper() + text[1:]


def describe_places(places: Sequence[Place]) -> str:
    """One place in full, several by how many and what holds them all."""
    if not places:
        return _("nothing")
    if len(places) == 1:
        return describe_place(places[0])
    levels = {level_of(place) for place in places}
    names = _("{count} places of {whole}")
    if levels == {"cell"}:
        names = _("{count} cells of {whole}")
    elif levels == {"module"}:
        names = _("{count} modules of {whole}")
    return names.format(count=count_word(len(places)), whole=describe_place(_holder(places)))


def _holder(places: Sequence[Place]) -> Place:
    """The module that holds all these places, else the string, else the array."""
    first = places[0]
    if len({place.string for place in places}) > 1:
        return Place()
    same_module = len({place.module for place in places}) == 1
    return Place(first.string, first.module) if same_module else Place(first.string)


def describe_change_of(part: str, place: Place, said: str) -> str:
    """What became of strings or modules: "all strings, with a fuse", "all modules of string 2, upright"."""
    if part == "string" or level_of(place) == "module":
        where = describe_place(place) if place.string else _("all strings")
    elif place.string:
        where = _("all modules of {whole}").format(whole=describe_place(place))
    else:
        where = _("all modules")
    return f"{where}, {said}"


def describe_changes(changes: Mapping[str, Any]) -> str:
    """What fields of light, weather, array, string or module were set to: "in-plane irradiance 600 W/m²"."""
    numbers = {
        "irradiance_W_m2": _("in-plane irradiance {x}"),
        "diffuse_fraction": _("diffuse share {x}"),
        "rear_irradiance_W_m2": _("rear irradiance {x}"),
        "cell_temperature_C": _("cells at {x}"),
        "ambient_temperature_C": _("air at {x}"),
        "wind_m_s": _("wind {x}"),
        "main_cable_resistance_ohm": _("main cable {x}"),
        "cable_resistance_ohm": _("cable {x}"),
        "connector_resistance_ohm": _("each pair of connectors {x}"),
        "irradiance_factor": _("{x} of the light on the array"),
    }
    fitted = {
        "fuse": (_("with a fuse"), _("without a fuse")),
        "blocking_diode": (_("with a blocking diode"), _("without a blocking diode")),
        "rotated": (_("turned by 180°"), _("upright")),
    }
    choices = {
        "fixed": _("cell temperature given"),
        "steady": _("cell temperature from the light"),
        "feedback": _("cell temperature from light and power"),
        "one": _("one tracker for all strings"),
        "per-string": _("one tracker per string"),
        "strings": _("plain strings"),
        "cross-tied": _("strings cross-tied"),
        "portrait": _("modules in portrait"),
        "landscape": _("modules in landscape"),
    }
    said = []
    for name, value in changes.items():
        if name in fitted:
            said.append(fitted[name][0 if value else 1])
        elif name == "length":
            counted = ngettext("{x} module in series", "{x} modules in series", int(value))
            said.append(counted.format(x=format_setting(value)))
        elif name == "type":
            said.append(_("of the type “{title}”").format(title=value))
        elif name in ("diffuse_fraction", "irradiance_factor"):
            said.append(numbers[name].format(x=format_percent(value, decimals=0)))
        elif name in numbers:
            said.append(numbers[name].format(x=format_setting(value, unit_symbol(split_unit(name)[1]))))
        elif isinstance(value, str):
            said.append(choices.get(value, ""))
    return ", ".join(part for part in said if part) or _("something changed")


def describe_operation(kind: str, value: float | None) -> str:
    """Where the trackers hold the array: "held at 400 V"."""
    if kind == "mpp" or value is None:
        return _("held at the greatest power")
    unit = {"voltage": "V", "current": "A", "load": unit_symbol("ohm")}.get(kind, "")
    return _("held at {value}").format(value=format_setting(value, unit))


def describe_fault(place: Place, title: str) -> str:
    """A place and its fault: "string 2, module 5, cell 14 open"."""
    where = describe_place(place)
    part = where.rpartition(", ")[2].rstrip("0123456789 ")
    if title.startswith(part + " "):
        return where + title.removeprefix(part)
    return f"{where}, {title}"


def diodes_clause(solution: ArraySolution) -> str:
    """How many bypass diodes conduct; short or reversed ones let current run back."""
    count = int(np.count_nonzero(solution.diodes.conducting))
    back = int(np.count_nonzero(solution.diodes.backward))
    forth = ngettext("{count} diode conducts", "{count} diodes conduct", count)
    if not back:
        return forth.format(count=count_word(count))
    said = ngettext("{count} diode lets current run back", "{count} diodes let current run back", back)
    clauses = [said.format(count=count_word(back))]
    if count:
        clauses.insert(0, forth.format(count=count_word(count)))
    return ", ".join(clauses)


def result_sentence(what: str, before: ArraySolution | None, now: ArraySolution) -> str:
    """What was done and what it did to the array, in one sentence.

    Parameters
    ----------
    what : str
        What was done, as a clause: "cell 14 of module 5 shaded to 20 %".
    before, now : ArraySolution
        The solutions before and after; without a before only the present power is said.
    """
    if before is None:
        result = _("the array gives {power}").format(power=_power(now))
    else:
        result = _change(before, now)
    sentence = f"{what}: {result}; {diodes_clause(now)}." if what else f"{result}; {diodes_clause(now)}."
    return sentence_start(sentence)


def _change(before: ArraySolution, now: ArraySolution) -> str:
    """What became of the array's power; a change that its figures could not show is none."""
    change_W = now.power_W - before.power_W
    if abs(change_W) < max(STEADY_W, STEADY * abs(before.power_W)):
        return _("the array stays at {power}").format(power=_power(now))
    if change_W > 0.0:
        frame, signed = _("the array rises from {before} to {power}"), _("plus {percent}")
    else:
        frame, signed = _("the array falls from {before} to {power}"), _("minus {percent}")
    decimals = decimals_of_change(change_W, abs(before.power_W))
    result = frame.format(
        before=format_fixed(before.power_W, "W", decimals=decimals),
        power=format_fixed(now.power_W, "W", decimals=decimals),
    )
    if before.power_W <= 1.0 or abs(change_W) > MOST_PERCENT / 100.0 * before.power_W:
        return result  # of next to nothing, or of a power taken up, per cents say nothing
    fraction = abs(change_W / before.power_W)
    percent = format_percent(fraction, decimals=max(1, decimals_of_change(100.0 * fraction)))
    return result + ", " + signed.format(percent=percent)


def _power(solution: ArraySolution) -> str:
    return format_fixed(solution.power_W, "W", decimals=decimals_of_change(0.0, abs(solution.power_W)))
