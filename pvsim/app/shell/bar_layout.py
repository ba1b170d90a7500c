"""What stands in the top bar: its buttons, and the fields of each panel that opens from it.

Plain values for static/shell/top_bar.js, which draws them; every text is here, to be translated.
"""

from __future__ import annotations

from typing import Any

import pvsim
from pvsim.app.shell.keys import key_name, page_keys, region_keys
from pvsim.app.shell.limit_fields import limit_layout
from pvsim.app.shell.opened_file import MAX_FILE_BYTES
from pvsim.app.shell.scatter_fields import scatter_layout
from pvsim.app.shell.surface_fields import surface_layout
from pvsim.app.words import _
from pvsim.files.demo import FIRST_DEMO, demo_names, read_demo
from pvsim.words import language, languages

__all__ = ["bar_layout", "help_text"]

Item = dict[str, Any]


def bar_layout() -> Item:
    """The whole bar."""
    return {
        "name": "pvsim",
        "label": _("Bench"),
        "items": [
            _menu("scenario", _("Scenario"), _scenario()),
            _button("undo", _("Undo"), "Ctrl+Z"),
            _button("redo", _("Redo"), "Ctrl+Shift+Z"),
            _button("reset", _("Back to the start")),
            _menu("compare", _("Compare"), _compare()),
            _menu("light", _("Light"), _light()),
            _menu("weather", _("Temperature"), _weather()),
            _menu("array", _("Array"), _array()),
            _menu("string", _("String"), _string()),
            _menu("operation", _("Operation"), _operation()),
            _menu("files", _("Files"), _files()),
            _button("theme", _("Dark colours"), "T", toggle=True),
            _button("large", _("Large type"), "L", toggle=True),
            _languages(),
            _button("help", _("Help, keys and cautions"), "?"),
        ],
        "help": help_text(),
        "words": {
            "close": _("Close"),
            "copied": _("Copied."),
            "copy_by_hand": _("Select the link and copy it."),
            "link_alone": _(
                "It opens on this machine only, while pvsim runs here. For others save the scenario as a "
                "file, or start “pvsim serve --network”."
            ),
            "link_network": _("It opens for everybody on this network, while pvsim runs here."),
        },
    }


def help_text() -> Item:
    """Keys, cautions, and what the model leaves out."""
    return {
        "title": _("Help"),
        "keys_title": _("Keys"),
        "keys": [[key_name(key), meaning] for key, _action, meaning in page_keys()]
        + [list(row) for row in region_keys()],
        "letters": _("Single letters and digits are shortcuts"),
        "cautions_title": _("Before you touch a real array"),
        "cautions": [
            _("Modules are live whenever light falls on them, with the inverter off too."),
            _("Never separate a connector that carries current: a DC arc does not go out by itself."),
            _("A module with an open bypass diode can burn where it is shaded."),
            _("Shorting a string needs equipment made for it."),
            _("Use meters rated for the highest voltage the string reaches on the coldest morning."),
            _("Work at height needs two persons; electrical work needs qualified and licensed people."),
            _("Local codes come first."),
        ],
        "limits_title": _("What the model leaves out"),
        "limits": [
            _("Steady state only: no capacitance, no switching, no tracker that hunts."),
            _("All cells of a module type are alike until you change one, or let them scatter."),
            _(
                "Each cell has one temperature: no spots within it, no heat to its neighbours; "
                "both sides are in the open air, however a module is mounted."
            ),
            _(
                "All module types and sites that come along are invented. pvsim teaches; it is no design or "
                "safety tool."
            ),
        ],
        "version": f"pvsim {pvsim.__version__}" if hasattr(pvsim, "__version__") else "pvsim",
    }


def _button(name: str, label: str, keys: str = "", *, toggle: bool = False) -> Item:
    return {"kind": "button", "id": name, "label": label, "keys": key_name(keys), "toggle": toggle}


def _menu(name: str, label: str, fields: list[Item]) -> Item:
    return {"kind": "menu", "id": name, "label": label, "fields": fields}


def _languages() -> Item:
    """The choice of a language, each by its own name; an icon, for those who cannot read the others."""
    names = [[one.code, one.name] for one in languages()]
    label = _("Language")
    field = {"kind": "languages", "id": "language", "label": label, "options": names, "now": language().code}
    return _menu("language", label, [field]) | {"icon": True}


def _number(
    name: str, label: str, unit: str, least: float, most: float, step: float, *, slider: bool = True
) -> Item:
    return {
        "kind": "number", "id": name, "label": label, "unit": unit,
        "least": least, "most": most, "step": step, "slider": slider,
    }  # fmt: skip


def _choice(name: str, label: str, options: list[tuple[str, str]]) -> Item:
    return {"kind": "choice", "id": name, "label": label, "options": [list(one) for one in options]}


def _note(name: str, text: str = "") -> Item:
    return {"kind": "note", "id": name, "text": text}


def _act(name: str, label: str, *, main: bool = False, edge: bool = True) -> Item:
    return {"kind": "act", "id": name, "label": label, "main": main, "edge": edge}


def _module_types(name: str, *, at_once: bool = False) -> Item:
    """A list of module types; what it offers comes with the values, as a scenario may bring its own."""
    return {"kind": "select", "id": name, "label": _("Module type (data invented)"), "at_once": at_once}


def _scenario() -> list[Item]:
    names = sorted(demo_names(), key=lambda name: (name != FIRST_DEMO, name))
    demos = [(name, _(read_demo(name).title), _(read_demo(name).note)) for name in names]
    return [
        _note("scenario_note"),
        {"kind": "list", "id": "demo", "label": _("Open a site"), "options": [list(one) for one in demos]},
    ]


def _compare() -> list[Item]:
    options = [("last", _("the last change")), ("kept", _("a kept state")), ("off", _("nothing"))]
    return [
        _choice("comparison", _("Compare with"), options),
        _note(
            "compare_note",
            _("The earlier curves stay as faint lines, and every difference is written beside them."),
        ),
        _act("keep", _("Keep the present curves"), main=True),
    ]


def _light() -> list[Item]:
    presets = [("sun", _("Full sun")), ("haze", _("Haze")), ("overcast", _("Overcast")), ("dark", _("Night"))]
    return [
        {
            "kind": "presets",
            "id": "light_preset",
            "label": _("Sky"),
            "options": [list(one) for one in presets],
        },
        _number("irradiance", _("In-plane irradiance"), "W/m²", 0, 1400, 10),
        _number("diffuse", _("Diffuse share, which a shadow lets through"), "%", 0, 100, 1),
        _number("rear", _("Rear irradiance, for bifacial modules"), "W/m²", 0, 400, 5),
        {"kind": "rule"},
        _act("day", _("A day on the roof…")),
    ]


def _weather() -> list[Item]:
    ways = [("fixed", _("given")), ("steady", _("from light")), ("feedback", _("from light and power"))]
    return [
        _choice("heat", _("Cell temperature"), ways),
        _note("heat_note"),
        _number("cell_temperature", _("Every cell"), "°C", -40, 90, 1),
        _number("ambient", _("Air"), "°C", -40, 50, 1),
        _number("wind", _("Wind at the modules"), "m/s", 0, 20, 0.5),
    ]


def _array() -> list[Item]:
    return [
        _choice(
            "tracking", _("MPP tracking"), [("one", _("one tracker")), ("per-string", _("one per string"))]
        ),
        _choice("wiring", _("Wiring"), [("strings", _("strings")), ("cross-tied", _("cross-tied"))]),
        _choice(
            "orientation", _("Modules lie"), [("portrait", _("portrait")), ("landscape", _("landscape"))]
        ),
        _number("main_cable", _("Main cable, there and back"), "Ω", 0, 100, 0.01, slider=False),
        *surface_layout(),
        *scatter_layout(),
        {"kind": "rule"},
        _number("strings", _("Strings"), "", 1, 8, 1, slider=False),
        _number("modules", _("Modules in each"), "", 1, 24, 1, slider=False),
        _module_types("type"),
        _act("build", _("Build this array"), main=True),
        _note("build_note", _("Building takes faults and shadows away; undo brings them back.")),
        {"kind": "rule"},
        _note("sheet_note", _("A module of your own, from what its maker's paper says:")),
        {"kind": "opens", "id": "sheet", "label": _("Enter a data sheet…"), "event": "pvsim:sheet"},
    ]


def _string() -> list[Item]:
    has = [("no", _("without")), ("yes", _("with"))]
    return [
        _note("string_note"),
        _number("length", _("Modules"), "", 1, 24, 1, slider=False),
        _number("factor", _("Light on it, of that on the array"), "%", 0, 200, 5, slider=False),
        _number("cable", _("Cable, there and back"), "Ω", 0, 100, 0.05, slider=False),
        _number("connector", _("Each pair of connectors"), "Ω", 0, 100, 0.001, slider=False),
        _choice("fuse", _("Fuse"), has),
        _choice("blocking", _("Blocking diode"), has),
        {"kind": "rule"},
        _note("module_note"),
        _module_types("module_type", at_once=True),
        _choice("turned", _("Mounted"), [("no", _("upright")), ("yes", _("turned by 180°"))]),
        *limit_layout(),
    ]


def _operation() -> list[Item]:
    kinds = [("mpp", _("MPP")), ("voltage", _("voltage")), ("current", _("current")), ("load", _("load"))]
    return [
        _choice("operation", _("Each tracker holds its strings at"), kinds),
        _note("operation_note"),
        _number("voltage", _("Voltage"), "V", -1000, 2000, 1, slider=False),
        _number("current", _("Current"), "A", -100, 200, 0.1, slider=False),
        _number("load", _("Load resistance"), "Ω", 0.001, 1_000_000, 1, slider=False),
    ]


def _files() -> list[Item]:
    return [
        {
            "kind": "file",
            "id": "open",
            "label": _("Open a scenario file…"),
            "accept": ".toml,text/plain",
            "most": MAX_FILE_BYTES,
        },
        {"kind": "opens", "id": "traced", "label": _("Open a measured curve…"), "event": "pvsim:curve"},
        _act("save", _("Save the scenario (TOML)")),
        {"kind": "rule"},
        {"kind": "link", "id": "link", "label": _("Link to exactly this state"), "act": _("Copy link")},
        {"kind": "rule"},
        _act("export_csv", _("Characteristic as CSV")),
        _act("export_svg", _("Figure as SVG")),
        _act("export_png", _("Figure as PNG")),
        _act("export_bench_svg", _("Array and curves as SVG")),
        _act("export_bench_png", _("Array and curves as PNG")),
        _note("export_note"),
        {"kind": "rule"},
        _act("print", _("Print as a hand-out…")),
        _act("export_sheet", _("Work sheet as PDF")),
        _act("export_solution", _("Its solution as PDF")),
        {
            "kind": "opens",
            "id": "closing-paper",
            "label": _("Closing test on paper…"),
            "event": "pvsim:closing",
        },
    ]
