"""The words of the drawing: tools, faults in groups, cautions, labels for screen readers."""

from __future__ import annotations

from typing import Any

from pvsim.app.roof.read_out import BROKEN, NAMES
from pvsim.app.roof.wire_words import wire_words
from pvsim.app.session.field_acts import KIT, tool_title
from pvsim.app.words import _, mark, voltage_symbol
from pvsim.array.fault_kind import FAULT_KINDS

__all__ = ["CAUTIONS", "FAULT_GROUPS", "roof_words"]

LIVE = mark(
    "Modules are live whenever light falls on them, with the inverter off too. Never separate a connector "
    "that carries current: a DC arc does not go out by itself."
)
BURN = mark("On a real roof: an open bypass diode with shade on its substring can burn.")
REVERSED = mark(
    "On a real roof: a reversed bypass diode shorts its substring and heats up in any light; it can burn."
)
HOT = mark("On a real roof: a burnt contact heats up when its diode conducts; the junction box can burn.")
SHORTING = mark("On a real roof: shorting live parts needs proper equipment and qualified people.")

CAUTIONS: dict[str, str] = {
    "cable-open": LIVE,
    "fuse-blown": LIVE,
    "connector-resistive": LIVE,
    "module-reversed": LIVE,
    "modules-too-few": LIVE,
    "modules-too-many": LIVE,
    "diode-open": BURN,
    "diode-resistive": HOT,
    "diode-reversed": REVERSED,
    "diode-short": SHORTING,
    "cell-short": SHORTING,
}

# By what is picked: (scope, title, first choice, sets of (title, ((condition, short name), ...))).
FAULT_GROUPS: tuple[tuple[str, str, str, tuple[tuple[str, tuple[tuple[str, str], ...]], ...]], ...] = (
    (
        "cell",
        mark("Cell"),
        "cell-open",
        (
            (
                mark("Dead cell"),
                (
                    ("shade:0", mark("dark")),
                    ("cell-open", mark("open")),
                    ("cell-short", mark("short")),
                    ("cell-cracked", mark("cracked")),
                ),
            ),
            (
                mark("Weak cell"),
                (
                    ("cell-shunt", mark("low shunt")),
                    ("cell-resistive", mark("high series")),
                    ("ribbon-broken", mark("ribbon broken")),
                ),
            ),
        ),
    ),
    (
        "diode",
        mark("Diode"),
        "diode-open",
        (
            (
                mark("Bypass diode"),
                (
                    ("diode-open", mark("open")),
                    ("diode-short", mark("short")),
                    ("diode-reversed", mark("reversed")),
                    ("diode-resistive", mark("burnt contact")),
                ),
            ),
        ),
    ),
    (
        "module",
        mark("Module"),
        "connector-resistive",
        (
            (
                mark("Module"),
                (
                    ("connector-resistive", mark("bad connector")),
                    ("module-reversed", mark("reversed")),
                    ("soiling", mark("soiled")),
                ),
            ),
        ),
    ),
    (
        "string",
        mark("String"),
        "cable-open",
        (
            (
                mark("String"),
                (
                    ("cable-open", mark("cable open")),
                    ("fuse-blown", mark("fuse blown")),
                    ("modules-too-few", mark("too few modules")),
                    ("modules-too-many", mark("too many")),
                    ("induced-shunting", mark("PID shunting")),
                    ("soiling", mark("soiled")),
                ),
            ),
        ),
    ),
)


def roof_words() -> dict[str, Any]:
    """Every text of the drawing, keyed as the script asks for them."""
    group_of: dict[str, str] = {}
    for scope, _title, _first, sets in FAULT_GROUPS:
        for condition in (one for _name, kinds in sets for one, _short in kinds):
            # Some belong to several parts: at first they are offered for the usual one.
            usual = condition in FAULT_KINDS and FAULT_KINDS[condition].scope == scope
            if usual or condition not in group_of:
                group_of[condition] = scope
    return {
        "roof": _("The roof"),
        "path": _("Where you are"),
        "address": _("Go to a place"),
        "address_hint": _(
            "2 (string), 2/5 (module), 2/5/14 (cell), 2/5/s3 (substring), 2/5/d3 (diode), or in words"
        ),
        "go": _("Go"),
        "tools": _("What a click or Space does"),
        "trays": {
            "look": _("Look"),
            "shade": _("Shade"),
            "break": _("Break"),
            "mend": _("Mend"),
            "shadow": _("Shadows"),
            "wire": _("Wire"),
            "measure": _("Measure"),
        },
        "probes": [
            [name, _("{group}: {tool}").format(group=_(group), tool=_(tool_title(name))), _(group)]
            for group, names in KIT
            for name in names
            if name != "lift"
        ],
        "probe": _("Instrument"),
        "measure_hint": _("Click a part to measure it."),
        "measure_hint_touch": _("Tap a part to measure it."),
        "wire": wire_words(),
        "look_hint_touch": _("Tap to choose, tap twice to go nearer; the path above leads back."),
        "look_hint": _("Click to choose. Double-click or Enter goes nearer, Esc goes back."),
        "first_hint": {
            "module": _("Click a module: its cells get {percent} of the light. Click it again to undo that."),
            "cell": _("Click a cell: it gets {percent} of the light. Click it again to undo that."),
            "look": _("Choose Shade or Break above, then point at a cell."),
        },
        "more_tools": _("More"),
        "mend_hint": {
            "module": _("Click or drag over modules to be mended."),
            "cell": _("Click or drag over what is to be mended."),
        },
        "mend_all": _("Mend everything"),
        "light_to": {"module": _("Light let through to modules"), "cell": _("Light let through to cells")},
        "units": {"module": _("modules"), "cell": _("cells")},
        "other_share": _("Another share of light let through, in per cent"),
        "clear": _("Clear"),
        "needs_number": _("“{text}” cannot be used here: type a number from {least} to {most}."),
        "needs_whole": _("“{text}” cannot be used here: type a whole number from {least} to {most}."),
        "what_breaks": _("What breaks"),
        "modules": _("modules"),
        "add": _("Add"),
        "add_shadow": _("Add a shadow"),
        "on_roof": _("On the roof"),
        "shadow_keys": _(
            "Arrows move it by 1 cm, with Shift 10 cm; Alt and arrows stretch it; [ and ] turn it; "
            "Delete removes it"
        ),
        "shadow_at": _("{kind}: x {x} m, y {y} m, {width} by {height} m, turned {angle} degrees"),
        "band_at": _("{kind}: {height} m high"),
        "remove": _("Remove"),
        "resize": _("Stretch"),
        "turn": _("Turn"),
        "fields": {
            "x": _("x"),
            "y": _("y"),
            "width": _("wide"),
            "height": _("high"),
            "angle": _("turned"),
            "through": _("light"),
        },
        "shadows": [
            ["pole", _("pole")],
            ["rectangle", _("chimney")],
            ["leaf", _("leaf")],
            ["dropping", _("dropping")],
            ["snow-edge", _("snow edge")],
            ["front-row", _("front row")],
            ["rear-beam", _("beam")],
        ],
        "choose_fault": _("Choose what is wrong with it, then click it again."),
        "go_nearer": _("This fault sits in a smaller part: go nearer first (Enter)."),
        "cannot_shade": _("Shade falls on cells: choose one of them."),
        "kinds": {
            kind: {
                "title": _(one.title),
                "meaning": _(one.meaning),
                "scope": one.scope,
                "scopes": list(one.scopes),
                "group": group_of.get(kind, ""),
                "unit": one.unit,
                "size": one.size,
                "size_name": _(one.size_name),
                "least": one.least,
                "most": one.most,
            }
            for kind, one in FAULT_KINDS.items()
        },
        "groups": [
            {
                "scope": scope,
                "title": _(title),
                "first": first,
                "sets": [
                    {
                        "title": _(name),
                        "kinds": [
                            [
                                condition,
                                _(short),
                                _(FAULT_KINDS[condition].meaning)
                                if condition in FAULT_KINDS
                                else _("No light reaches the cell; it is sound."),
                            ]
                            for condition, short in kinds
                        ],
                    }
                    for name, kinds in sets
                ],
            }
            for scope, title, first, sets in FAULT_GROUPS
        ],
        "cautions": {condition: _(caution) for condition, caution in CAUTIONS.items()},
        "levels": {
            "array": _("Array"),
            "string": _("String"),
            "module": _("Module"),
            "substring": _("Substring"),
            "cell": _("Cell"),
        },
        "quantity": _("What the cells show"),
        "quantities": [
            ["irradiance", _("Light")],
            ["voltage", _("Voltage")],
            ["power", _("Power")],
            ["temperature", _("Temperature")],
        ],
        "marks": [
            ["eats", _("eats power")],
            ["shaded", _("less light")],
            ["on", _("diode conducts")],
            ["open", _("open")],
            ["before", _("measured before the change")],
        ],
        "measured": _("measured: {value}"),
        "measured_before": _("measured before the change: {value}"),
        "tracker": _("Tracker"),
        "box": _("Junction box"),
        "reversed": _("reversed"),
        "array_grid": _("Array, module by module"),
        "string_grid": _("String {string}, module by module"),
        "module_grid": _("Module {module} of string {string}, cell by cell"),
        "string_row": _("String {string}"),
        "row": _("Row {row}"),
        "junction": _("Junction box"),
        "junction_row": _("Leads and bypass diodes"),
        "cell": _("cell {cell}"),
        "diode": _("bypass diode {diode}"),
        "module": _("module {module}"),
        "string": _("string {string}"),
        "conducts": _("conducts {current}"),
        "runs_back": _("lets {current} run back"),
        "blocks": _("blocks"),
        "broken_diodes": {kind: _(what) for kind, what in BROKEN.items()},
        "one_diode": _("one diode conducts"),
        "many_diodes": _("{count} diodes conduct"),
        "minus": _("minus lead"),
        "plus": _("plus lead"),
        "read": {level: _(name) for level, name in NAMES.items()},
        "said": {
            "shaded": _("less light"),
            "eats": _("eats power"),
            "bypassed": _("bypassed"),
            "some_eat": _("some cells eat power"),
        },
        "circuit": {
            "voltage": voltage_symbol(),
            "source": _("light"),
            "diode": _("diode"),
            "second_diode": _("diode 2"),
            "shunt": _("shunt"),
            "breakdown": _("breakdown"),
            "leak": _("leak"),
            "series": _("series"),
            "added": _("added"),
            "gives": _("gives"),
            "eats": _("eats"),
            "idles": _("idles"),
        },
    }
