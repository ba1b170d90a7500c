"""What is shown, as an entry of the browser's history: Back goes there, and changes nothing of the array."""

from __future__ import annotations

from typing import Any

from pvsim.app.session.parameters import CURVE_VIEWS
from pvsim.app.session.state import State
from pvsim.array.part_place import place_at
from pvsim.array.place import SHOWN_LEVELS, format_place
from pvsim.errors import PvsimError

__all__ = ["SHOWN", "show_again", "shown_of"]

SHOWN = ("lesson", "view", "level", "focus", "scenario", "cue")  # parameters of the state that it is made of
LONGEST = 80  # characters of anything that comes back from a browser


def shown_of(state: State) -> dict[str, Any]:
    """What a step of the browser's history holds: lesson and step, the cue of a lecture, part and view.

    A part is named down to its module: going from cell to cell is no step.
    """
    if state.cue >= 0:
        return {"cue": state.cue}
    near = state.level if state.level in ("array", "string") else "module"
    try:
        place = format_place(place_at(state.scenario, state.focus, near))
    except PvsimError:  # a module that a fault has left out
        place = format_place(state.focus)
    return {"lesson": state.lesson, "level": state.level, "place": place, "view": state.view}


def show_again(state: State, wanted: object) -> None:
    """Show what an entry holds, as far as it is still there; untrusted."""
    fields = wanted if isinstance(wanted, dict) else {}
    cue = fields.get("cue")
    if state.cue >= 0 or cue is not None:  # nobody leaves a lecture by going back, nor gets into one
        if state.cue >= 0 and isinstance(cue, int) and not isinstance(cue, bool) and cue >= 0:
            state.cue = min(cue, 10_000)
        return
    lesson, level, view = fields.get("lesson"), fields.get("level"), fields.get("view")
    if isinstance(lesson, str):
        state.lesson = lesson[:LONGEST]
    if level in SHOWN_LEVELS and isinstance(fields.get("place"), str):
        state.set_focus(fields["place"][:LONGEST], level)
    if view in CURVE_VIEWS:
        state.set_view(view)
