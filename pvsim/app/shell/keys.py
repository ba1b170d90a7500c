"""The keys of the page, for the help and for the one listener that hears them."""

from __future__ import annotations

from pvsim.app.words import _, mark

__all__ = ["key_name", "page_keys", "region_keys"]

MODIFIERS = (mark("Ctrl"), mark("Shift"))


def key_name(key: str) -> str:
    """What is printed on the keys: "Ctrl+Z", in German "Strg+Z"."""
    for modifier in MODIFIERS:
        key = key.replace(modifier, _(modifier))
    return key


def page_keys() -> list[tuple[str, str, str]]:
    """Keys that work anywhere on the page.

    Returns
    -------
    list of (key, action, meaning)
        One letter without Ctrl is a shortcut that can be switched off (WCAG 2.1.4).
    """
    return [
        ("Ctrl+Z", "undo", _("Undo")),
        ("Ctrl+Shift+Z", "redo", _("Redo; Ctrl+Y too")),
        ("F6", "region", _("To the next region: bar, roof, curves, text; with Shift to the one before")),
        ("K", "keep", _("Keep the present curves to compare with, or let them go")),
        ("1 – 5", "level", _("Show the array, string, module, substring, cell")),
        ("W", "worst", _("To the cell that gives least or eats most")),
        ("T", "theme", _("Light or dark")),
        ("L", "large", _("Large type")),
        ("?", "help", _("This list")),
    ]


def region_keys() -> list[tuple[str, str]]:
    """Keys that work in one region, with their meaning."""
    return [
        (_("Arrows, Home, End"), _("Roof: go from part to part")),
        (_("Space"), _("Roof: do what the chosen tool does to it; again to take it back")),
        (_("Enter, Backspace"), _("Roof: nearer, farther")),
        (_("PgUp, PgDn"), _("Roof: the module or shadow before, after")),
        (_("[, ], Delete"), _("Roof: turn or remove the chosen shadow")),
        (_("Space, Delete"), _("Roof, while wiring: draw the string on through a module; take it away")),
        (_("PgUp, PgDn"), _("Roof, while wiring: another string, the last a new one")),
        (_("Esc"), _("Close what is open and go back to where you were")),
        (_("Tab"), _("From control to control; the roof is one stop")),
    ]
