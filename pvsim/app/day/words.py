"""Texts of the day's strip that stay."""

from __future__ import annotations

from typing import Any

from pvsim.app.day.report import line_titles
from pvsim.app.session.day_commands import SOLID_TITLES
from pvsim.app.words import _

__all__ = ["day_words"]


def day_words() -> dict[str, Any]:
    """The texts for static/day, once for the browser."""
    return {
        "title": _("A day on the roof"),
        "close": _("Close the day"),
        "tabs": [["setup", _("Set up")], ["day", _("Day")]],
        "tabs_label": _("What the strip shows"),
        # setting up
        "place": _("Place"),
        "date": _("Date"),
        "date_hint": _("Year first, such as 2026-06-21"),
        "things": _("What throws shadows"),
        "thing": _("{title} {number}"),
        "add": _("Add"),
        "add_what": [[kind, _(title)] for kind, title in SOLID_TITLES.items()],
        "add_label": _("What to add"),
        "remove": _("Take away: {thing}"),
        "no_things": _("Nothing stands around the roof yet."),
        "axes": _(
            "In m: x to the right and y away from you as you look at the front of the first surface, "
            "heights from the ground."
        ),
        "plan": _("Plan of the roof with what stands around it"),
        # playing it
        "compute": _("Play the day"),
        "again": _("Play it again"),
        "computing": _("Working it out …"),
        "give_up": _("Give up"),
        "none": _("A clear day: power against time, and what shadow, faults and trackers cost of it."),
        "stale": _("Something has changed since: this is the day as it was before."),
        # picture and film
        "picture": _("Power against time"),
        "lines": line_titles(),
        "table": _("Energy of the day"),
        "columns": [_("case"), _("kWh"), _("less by"), _("in %")],
        "film": _("Film of the day"),
        "play": _("Play"),
        "pause": _("Pause"),
        "time": _("Time of the day"),
        "leave": _("End the film"),
        "sun": _("Sun {azimuth}° from north, {elevation}° high"),
        "off": _("not shown on the roof"),
        "export_svg": _("SVG"),
        "export_svg_title": _("Power against time as SVG"),
        "export_png": _("PNG"),
        "export_png_title": _("Power against time as PNG"),
    }
