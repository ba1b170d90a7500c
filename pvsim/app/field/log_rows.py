"""The log: what was done, where, and what it read, line by line."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from pvsim.app.field.change_rows import change_text
from pvsim.app.session.field_acts import KIT, READ_TITLES
from pvsim.app.session.field_work import FieldWork
from pvsim.app.session.reading_text import not_done_text, reading_texts
from pvsim.app.words import _, mark
from pvsim.array.place import WHOLE_ARRAY, Place, describe_place
from pvsim.field.search.act import Act, meter_of_act
from pvsim.field.search.safety import REFUSALS
from pvsim.field.search.transcript import Found, Line
from pvsim.numbers import format_fixed, format_setting, unit_symbol

__all__ = ["act_title", "log_lines"]

DONE_TITLES = {
    "stop": mark("Inverter stopped"),
    "start": mark("Inverter started"),
    "open-switch": mark("DC switch opened"),
    "close-switch": mark("DC switch closed"),
    "prove-zero": mark("Zero current looked for"),
    "separate": mark("String separated"),
    "join": mark("String joined"),
    "lift": mark("Cloth taken off"),
    "cover": mark("Cloth laid"),
    "trace": mark("I-V tracer"),
    "picture": mark("Infrared picture"),
    "hint": mark("Hint"),
    "read-run": mark("Voltmeter over modules"),
}
FOUND_TITLES = {
    "short-current": mark("short-circuit current"),
    "open-voltage": mark("open-circuit voltage"),
}


def act_title(act: Act) -> str:
    """What an act is called, once done."""
    if act.kind != "read":
        return _(DONE_TITLES[act.kind])
    group = next(title for title, names in KIT if f"read:{act.what}" in names)
    if group in ("Currents", "Sensors", "Taken out of the circuit"):
        text = _(READ_TITLES[act.what])
        return text[:1].upper() + text[1:]
    return _("{meter}, {what}").format(meter=_(group), what=_(READ_TITLES[act.what]))


def log_lines(work: FieldWork) -> list[dict[str, Any]]:
    """Every line, the first one first; a hint says what it says.

    Returns
    -------
    list of dict
        `minute`, `what`, `where`, `found` (rows of label, value, doubt), `range` (of the meter, where it has
        several), whether somebody had `set` that, `note` (what its figures are), `refused` (a sentence),
        `unsafe`, and what was `changed` on the bench before it.
    """
    lines, hints = [_line(line) for line in work.transcript.lines], iter(work.hints)
    for change in work.changes:
        lines[change.line]["changed"] = change_text(change)
    for shown, line in zip(lines, work.transcript.lines, strict=True):
        if line.act.kind == "hint":
            shown["said"] = next(hints, "")
    return lines


def _line(line: Line) -> dict[str, Any]:
    shown: dict[str, Any] = {
        "minute": format_fixed(line.end_min),
        "what": act_title(line.act),
        "where": _where(line.act),
        "found": [_found(one, line.act) for one in line.found],
        "range": _range(line),
        "set": bool(line.act.range_most),
        "note": _note(line),
        "refused": "",
        "unsafe": False,
        "said": "",
        "changed": "",
    }
    if not shown["where"] and len(line.found) == 1:  # its place is where it was read
        [[where, *figures]] = shown["found"]
        shown |= {"where": where, "found": [["", *figures]]}
    if line.refused:
        refusal = REFUSALS[line.refused]
        shown |= {"what": not_done_text(line.act), "where": "", "refused": _(refusal.sentence)}
        shown["unsafe"] = refusal.unsafe
    return shown


def _note(line: Line) -> str:
    """What the figures of a picture are; of other readings their unit says it."""
    if line.act.kind != "picture" or line.refused:
        return ""
    if line.act.place.module is None:
        return _("how much warmer each module's warmest cell is than the module")
    return _("how much warmer each substring's warmest cell is than the module")


def _range(line: Line) -> str:
    """Of a meter that has several ranges, the one that it chose or was set to."""
    meter = meter_of_act(replace(line.act, range_most=0.0))
    if meter is None or not line.found or len(meter.ranges) == 1:
        return ""
    reading = line.found[0].reading
    text = _("range {most}, set") if line.act.range_most else _("range {most}")
    return text.format(most=format_setting(reading.range_most, unit_symbol(reading.unit)))


def _where(act: Act) -> str:
    if act.kind in ("stop", "start", "open-switch", "close-switch", "prove-zero", "lift", "hint"):
        return ""
    if act.kind == "read-run" and act.last != act.place.module:
        return _("string {string}, modules {first} to {last}").format(
            string=act.place.string, first=act.place.module, last=act.last
        )
    return describe_place(act.place)


def _found(found: Found, act: Act) -> list[str]:
    if found.what == "contrast":
        part = found.place.substring or found.place.module
        name = _("substring {number}") if found.place.substring else _("module {number}")
        return [name.format(number=part), *reading_texts(found.reading, "K")]
    label = _(FOUND_TITLES[found.what]) if found.what in FOUND_TITLES else ""
    if act.kind == "prove-zero" and found.place != WHOLE_ARRAY:
        label = describe_place(Place(found.place.string))
    return [label, *reading_texts(found.reading)]
