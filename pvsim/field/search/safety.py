"""The order that keeps people whole: what may be done now, and what the plant is afterwards.

Stop the inverter, open the DC switch, prove zero current, then separate a connector; back the other way
round. Common practice: no DC connection is opened under load (IEC 62548 and IEC 62446-1, from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from pvsim.array.place import WHOLE_ARRAY
from pvsim.field.probe import DISPLAYS
from pvsim.field.search.act import Act
from pvsim.field.search.plant import Plant
from pvsim.words import mark

__all__ = ["CAUTION", "REFUSALS", "Refusal", "after", "caution_of", "refusal_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """Why something is not done.

    Parameters
    ----------
    reason : str
        A key of REFUSALS.
    sentence : str
        The reason and the hazard for people, in English, marked to be translated when shown.
    unsafe : bool
        Whether it would have hurt somebody; else it is only not possible.
    """

    reason: str
    sentence: str
    unsafe: bool


REFUSALS: dict[str, Refusal] = {
    reason: Refusal(reason=reason, sentence=sentence, unsafe=unsafe)
    for reason, unsafe, sentence in (
        (
            "switch-under-load",
            True,
            mark(
                "The inverter still draws current: a switch opened under load draws an arc inside it, "
                "which may weld or burn it; stop the inverter first."
            ),
        ),
        (
            "connector-under-load",
            True,
            mark(
                "The DC switch is closed: a connector separated under current draws an arc that does not "
                "go out by itself and burns hands and roof; stop the inverter and open the switch first."
            ),
        ),
        (
            "not-proven",
            True,
            mark(
                "Nobody has shown that no current flows: a fault may drive current past an open switch, "
                "and a connector separated under it draws an arc; put the clamp meter round every string "
                "first."
            ),
        ),
        (
            "prove-behind-closed-switch",
            True,
            mark(
                "The DC switch is closed: zero current shown now may be current again in the next moment, "
                "and whoever trusts it draws an arc; open the switch first."
            ),
        ),
        (
            "join-onto-closed-switch",
            True,
            mark(
                "The DC switch is closed: a connector plugged onto live strings sparks, and a string the "
                "wrong way round would be shorted; open the switch first."
            ),
        ),
        (
            "part-in-circuit",
            True,
            mark(
                "The string is not separated: taking a part out of it, or testing it with a voltage of one's "
                "own, puts hands and meter into a live circuit; separate the string first."
            ),
        ),
        ("nothing-to-do", False, mark("That is already so.")),
        ("display-dark", False, mark("The inverter is stopped, and its display shows nothing.")),
        (
            "strings-apart",
            False,
            mark("The DC switch is open and parts the strings: the array has no one voltage or current now."),
        ),
        (
            "switch-open",
            False,
            mark("The DC switch is open: the inverter does not start without its strings."),
        ),
        ("cloth-lies", False, mark("The cloth lies somewhere else: lift it first.")),
    )
}

CAUTION = mark(
    "While the cloth slides over the glass, single cells are half covered and may eat their most: lay it in "
    "one quick move, and do not leave it."
)

_TAKEN_OUT = ("open-voltage", "insulation")


def refusal_of(plant: Plant, act: Act) -> Refusal | None:
    """Why an act is not done with the plant as it stands; None if it is."""
    reason = _REASONS[act.kind](plant, act)
    return REFUSALS[reason] if reason else None


def caution_of(plant: Plant, act: Act) -> str:
    """What is to be said before an act that is allowed; "" where nothing is. In English, as CAUTION."""
    return CAUTION if act.kind == "cover" and plant.running else ""


def after(plant: Plant, act: Act, *, zero: bool = False) -> Plant:
    """The plant after an act that was not refused.

    Parameters
    ----------
    zero : bool
        With "prove-zero": whether every string read nothing.
    """
    string = act.place.string or 0
    changes: dict[str, dict[str, Any]] = {
        "stop": {"running": False},
        "start": {"running": True},
        "open-switch": {"switch_closed": False, "proven": False},
        "close-switch": {"switch_closed": True, "proven": False},
        "prove-zero": {"proven": zero},
        "separate": {"separated": tuple(sorted({*plant.separated, string}))},
        "join": {"separated": tuple(one for one in plant.separated if one != string), "proven": False},
        "cover": {"cloth": act.place, "leak": act.leak},
        "lift": {"cloth": None, "leak": 0.0},
    }
    return replace(plant, **changes.get(act.kind, {}))


def _read(plant: Plant, act: Act) -> str:
    if act.what in DISPLAYS:
        return "" if plant.running else "display-dark"
    if act.what in _TAKEN_OUT:
        return _taken_out(plant, act)
    electric = act.what in ("voltage", "current")
    return "strings-apart" if electric and act.place == WHOLE_ARRAY and not plant.switch_closed else ""


def _taken_out(plant: Plant, act: Act) -> str:
    if act.place == WHOLE_ARRAY:
        return "part-in-circuit" if plant.switch_closed else "strings-apart"
    return "" if act.place.string in plant.separated and not plant.switch_closed else "part-in-circuit"


def _separate(plant: Plant, act: Act) -> str:
    if act.place.string in plant.separated:
        return "nothing-to-do"
    if plant.running or plant.switch_closed:
        return "connector-under-load"
    return "" if plant.proven else "not-proven"


def _join(plant: Plant, act: Act) -> str:
    if act.place.string not in plant.separated:
        return "nothing-to-do"
    return "join-onto-closed-switch" if plant.switch_closed else ""


def _start(plant: Plant, _act: Act) -> str:
    if plant.running:
        return "nothing-to-do"
    return "" if plant.switch_closed else "switch-open"


def _open_switch(plant: Plant, _act: Act) -> str:
    if not plant.switch_closed:
        return "nothing-to-do"
    return "switch-under-load" if plant.running else ""


_REASONS: dict[str, Callable[[Plant, Act], str]] = {
    "read": _read,
    "read-run": lambda plant, act: "",
    "trace": _taken_out,
    "stop": lambda plant, act: "" if plant.running else "nothing-to-do",
    "start": _start,
    "open-switch": _open_switch,
    "close-switch": lambda plant, act: "nothing-to-do" if plant.switch_closed else "",
    "prove-zero": lambda plant, act: "prove-behind-closed-switch" if plant.switch_closed else "",
    "separate": _separate,
    "join": _join,
    "cover": lambda plant, act: "" if plant.cloth is None else "cloth-lies",
    "lift": lambda plant, act: "nothing-to-do" if plant.cloth is None else "",
    "picture": lambda plant, act: "",
    "hint": lambda plant, act: "",
}
