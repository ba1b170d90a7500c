"""What can be done on the roof, in groups: instruments, switches, cloths, with their minutes and places."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from pvsim.app.session.field_acts import KIT, RANGED_GROUPS, act_of, tool_title
from pvsim.app.session.reading_text import minutes_text
from pvsim.app.session.state import State
from pvsim.app.words import _, mark, pgettext
from pvsim.array.place import WHOLE_ARRAY, Place, describe_place
from pvsim.errors import PvsimError
from pvsim.field.search.act import Act, minutes_of
from pvsim.field.search.plant import AS_FOUND, Plant
from pvsim.field.search.transcript import plant_after
from pvsim.numbers import format_setting, unit_symbol

__all__ = ["ACT_TITLES", "ALTERED", "is_altered", "kit_groups", "plant_rows"]

ACT_TITLES = {
    "stop": mark("Stop"),
    "start": mark("Start"),
    "open-switch": mark("Open"),
    "close-switch": mark("Close"),
    "prove-zero": mark("Prove"),
    "separate": mark("Separate"),
    "join": mark("Join again"),
}

ALTERED = mark(
    "Drawing and curves go on showing the array at work, as if nothing were switched, separated or covered."
)


def kit_groups(state: State, at: Place) -> list[dict[str, Any]]:
    """Each group with what is in it, and the ranges of its meter where one can be set.

    Returns
    -------
    list of dict
        `title`; `tools`, each of `name`, `title`, `minutes`, `at` (where) and why it is `off`; `range` ({}
        where none is set by hand): `meter`, `title`, `options` of value and label, `value`.
    """
    plant = plant_after(state.field.transcript)
    return [
        {
            "title": _(title),
            "tools": [tool for name in names if (tool := _tool(state, name, at, plant))],
            "range": _range(state, title),
        }
        for title, names in KIT
    ]


def _range(state: State, group: str) -> dict[str, Any]:
    meter = RANGED_GROUPS.get(group)
    if meter is None:
        return {}
    options = [["0", _("automatic")]]
    for one in meter.ranges:
        options.append([f"{one.most:g}", format_setting(one.most, unit_symbol(meter.unit))])
    return {
        "meter": meter.key,
        "title": _("Range of the {meter}").format(meter=_(meter.name)),
        "options": options,
        "value": f"{dict(state.field.ranges).get(meter.key, 0.0):g}",
    }


def _tool(state: State, name: str, at: Place, plant: Plant) -> dict[str, Any] | None:
    kind, _colon, _what = name.partition(":")
    if (kind == "lift") != (plant.cloth is not None) and kind in ("lift", "cover"):
        return None  # a cloth lies, or none does
    try:
        act = act_of(state, name, at)
    except PvsimError as error:
        return {"name": name, "title": _(tool_title(name)), "minutes": "", "at": "", "off": str(error)}
    tool: dict[str, Any] = {
        "name": name,
        "title": _(tool_title(name)),
        "minutes": minutes_text(minutes_of(act)),
        "at": describe_place(plant.cloth or act.place) if kind == "lift" else describe_place(act.place),
        "off": "",
    }
    if kind == "read-run":
        modules = state.scenario.array.strings[(act.place.string or 1) - 1].modules
        tool |= {"first": act.place.module, "most": len(modules)}
    return tool


def is_altered(plant: Plant) -> bool:
    """Whether it stands otherwise than the drawing shows it: no longer at work, or under a cloth."""
    return replace(plant, proven=False) != AS_FOUND


def plant_rows(state: State) -> list[dict[str, Any]]:
    """Switches of the plant: what each is called, how it stands, and what can be done with it."""
    plant = plant_after(state.field.transcript)
    string = state.focus.string or 1
    apart = string in plant.separated

    def act(kind: str) -> dict[str, str]:
        place = Place(string) if kind in ("separate", "join") else WHOLE_ARRAY
        minutes = minutes_text(minutes_of(Act(kind=kind, place=place)))
        return {"name": kind, "title": _(ACT_TITLES[kind]), "minutes": minutes}

    rows: list[tuple[str, str, Callable[[], list[dict[str, str]]]]] = [
        (
            _("Inverter"),
            _("runs") if plant.running else _("stopped"),
            lambda: [act("stop" if plant.running else "start")],
        ),
        (
            _("DC switch"),
            pgettext("a switch", "closed") if plant.switch_closed else pgettext("a switch", "open"),
            lambda: [act("open-switch" if plant.switch_closed else "close-switch")],
        ),
        (
            _("Zero current"),
            _("proven") if plant.proven else _("not proven"),
            lambda: [] if plant.proven else [act("prove-zero")],
        ),
        (
            _("String {number}").format(number=string),
            _("separated") if apart else _("joined"),
            lambda: [act("join" if apart else "separate")],
        ),
    ]
    return [{"title": title, "now": now, "acts": acts()} for title, now, acts in rows]
