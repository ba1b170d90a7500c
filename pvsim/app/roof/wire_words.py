"""The words of mounting and wiring on the drawing."""

from __future__ import annotations

from typing import Any

from pvsim.app.words import _
from pvsim.array.cables import SECTIONS_mm2

__all__ = ["wire_words"]


def wire_words() -> dict[str, Any]:
    """Texts by what they are said of; see WireWords in static/types.d.ts."""
    return {
        "free": _("Mount freely"),
        "free_hint": _("So far each string is a row. On surfaces of a roof any modules can form a string."),
        "caution": _(
            "On a real roof: modules are live in any light. Never separate a connector that carries current: "
            "a DC arc does not go out by itself. Licensed people wire, local codes first."
        ),
        "tools": _("Mounting and wiring"),
        "tool": {
            "string": _("Draw"),
            "turn": _("Turn"),
            "put": _("Put down"),
            "take": _("Take away"),
        },
        "how_much": _("How much at once"),
        "scope": {"one": _("one"), "row": _("row"), "string": _("string")},
        "put_hint": _("Click a free place: a module without a string comes there."),
        "which_string": _("String"),
        "draw_string": _("Draw string {string}, from its minus to its plus"),
        "new_string": _("Draw a new string, number {string}"),
        "all_strings": _("All strings at once"),
        "order": _("Order of all strings"),
        "orders": {
            "row by row": _("row by row"),
            "serpentine": _("serpentine"),
            "leapfrog": _("every other one and back"),
            "blocks": _("blocks of {rows} × {columns}"),
        },
        "shortest": _("the shortest"),
        "wire_so": _("Wire so"),
        "stop": _("Stop"),
        "strings": _("strings"),
        "strings_title": _("Strings, for usual orders and the search"),
        "box": _("Meeting box"),
        "box_keys": _("Where the strings meet: drag it, or arrows move it by 10 cm, with Shift by 1 m"),
        "box_x": _("Meeting box, from the left"),
        "box_y": _("Meeting box, from the top"),
        "section": _("Copper cross-section of the cables"),
        "sections": list(SECTIONS_mm2),
        "side": _("Side view"),
        "side_foot": _("{height} high · faces {azimuth}°"),
        "side_text": _(
            "Surface {letter} from its side: tilted by {tilt} degrees, lower edge {height} above the ground, "
            "faces {azimuth} degrees from north"
        ),
        "empty": _("No module lies here."),
        "taken": _("A module lies here already."),
        "in_hand": _("String {string} is drawn next"),
        "spot_free": _("place {spot}, free"),
        "spot_spare": _("place {spot}, module in no string"),
        "spot_module": _("place {spot}, string {string}, module {module}"),
        "drawn": _("number {number} of the string being drawn"),
        "row": _("Surface {surface}, row {row}"),
        "grid": _("Places on the roof"),
    }
