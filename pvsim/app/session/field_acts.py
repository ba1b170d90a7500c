"""What a press of an instrument means: the act, at the part that it is put at."""

from __future__ import annotations

from pvsim.app.session.field_work import on_ranges
from pvsim.app.session.state import State
from pvsim.app.words import mark
from pvsim.array.part_place import place_at
from pvsim.array.place import WHOLE_ARRAY, Level, Place, level_of
from pvsim.field.kit import CLAMP_METER, VOLTMETER
from pvsim.field.probe import DISPLAYS, PROBES
from pvsim.field.search.act import ACTS, CLOTH_LEAK, Act

__all__ = [
    "KIT",
    "OTHER_TITLES",
    "RANGED_GROUPS",
    "READ_TITLES",
    "act_of",
    "place_for",
    "pointed_at",
    "tool_title",
]

READ_TITLES = {
    "power": mark("power"),
    "display-voltage": mark("voltage"),
    "display-current": mark("current"),
    "voltage": mark("as it stands"),
    "open-voltage": mark("by itself, open"),
    "current": mark("clamp meter"),
    "irradiance": mark("irradiance"),
    "back": mark("warmth of the back"),
    "insulation": mark("insulation tester"),
}
OTHER_TITLES = {
    "read-run": mark("over modules"),
    "picture": mark("picture"),
    "trace": mark("I-V tracer"),
    "cover:0": mark("opaque"),
    "cover:leak": mark("cardboard"),
    "lift": mark("take it off"),
}
# Of groups whose meter can be set to a range.
RANGED_GROUPS = {"Voltmeter": VOLTMETER, "Currents": CLAMP_METER}
# By group: its title, then what is in it, by the names that a press says.
KIT: tuple[tuple[str, tuple[str, ...]], ...] = (
    (mark("Inverter display"), ("read:power", "read:display-voltage", "read:display-current")),
    (mark("Voltmeter"), ("read:voltage", "read:open-voltage", "read-run")),
    (mark("Currents"), ("read:current",)),
    (mark("Sensors"), ("read:irradiance", "read:back")),
    (mark("Infrared camera"), ("picture",)),
    (mark("Taken out of the circuit"), ("trace", "read:insulation")),
    (mark("Cloth"), ("cover:0", "cover:leak", "lift")),
)
_FINE: tuple[Level, ...] = ("cell", "substring", "module", "string", "array")  # the finest first


def tool_title(name: str) -> str:
    """What an instrument of KIT is called within its group; in English, as marked."""
    kind, _colon, what = name.partition(":")
    return READ_TITLES[what] if kind == "read" else OTHER_TITLES[name]


def pointed_at(state: State) -> Place:
    """What has the ring in the drawing: from afar the part under attention, from near the part in view."""
    return state.focus if state.level == "array" else state.view_place()


def act_of(state: State, name: str, at: Place, *, last: int = 0) -> Act:
    """The act that a press means, its meter on the range that it is set to.

    Parameters
    ----------
    name : str
        A name of KIT, or a kind of ACTS that needs no more.
    at : Place
        What it is put at, or what is to hold the part that it is put at.
    last : int
        Of "read-run", the number of the last module.

    Raises
    ------
    ScenarioError
        If it cannot be done there.
    KeyError
        If nothing is called so.
    """
    kind, _colon, what = name.partition(":")
    levels = PROBES[what].levels if kind == "read" else ACTS[kind][1]
    if what in DISPLAYS and state.scenario.array.tracking != "per-string":
        levels = ("array",)  # one tracker, one display
    place = place_for(state, tuple(one for one in _FINE if one in levels), at)
    if kind == "read":
        return on_ranges(state.field, Act(kind="read", what=what, place=place))
    if kind == "read-run":
        run = Act(kind="read-run", place=place, last=max(last, place.module or 0))
        return on_ranges(state.field, run)
    if kind == "cover":
        return Act(kind="cover", place=place, leak=CLOTH_LEAK if what == "leak" else 0.0)
    return Act(kind=kind, place=place)


def place_for(state: State, levels: tuple[Level, ...], at: Place) -> Place:
    """Of these levels the finest that holds a part; where none does, the coarsest within it."""
    here = level_of(at)
    if here == "diode":
        here = "substring"
    around = [one for one in _FINE[_FINE.index(here) :] if one in levels]
    level = around[0] if around else next(one for one in reversed(_FINE) if one in levels)
    return WHOLE_ARRAY if level == "array" else place_at(state.scenario, at, level)
