"""The words of the data sheet's dialog."""

from __future__ import annotations

from pvsim.app.words import _

__all__ = ["dialog_words"]


def dialog_words() -> dict[str, str]:
    """By name, what static/sheet writes on buttons and lines of its own."""
    return {
        "title": _("Data sheet"),
        "lead": _(
            "Type what the paper says. What can be inferred from it is shown step by step; what no paper "
            "says is assumed and marked so."
        ),
        "close": _("Close"),
        "start": _("Start from"),
        "example": _("{title} (invented)"),
        "open": _("Open a sheet file…"),
        "save": _("Save the sheet as a file"),
        "work": _("Work it out"),
        "stale": _("The sheet was changed since this was worked out."),
        "wrong_one": _("One thing is to be mended, marked at its field."),
        "wrong_more": _("{count} things are to be mended, each marked at its field."),
        "usual": _("{least} to {most}; usual {usual}"),
        "results": _("What follows"),
        "empty": _("Nothing is worked out yet."),
        "stopped": _("Here the reasoning ends: no cell can be fitted. The reason stands at its field."),
        "next": _("Next step"),
        "all": _("Show all"),
        "step": _("Step {at} of {count}"),
        "hidden": _("Ask first, then show."),
        "done": _("All {count} steps are shown."),
        "use_title": _("Use this module"),
        "use_ready": _("“{title}” goes into the scenario, its file and its link."),
        "use_now": _("Take it for all modules"),
        "use_new": _("Build a new array of it"),
        "use_strings": _("Strings"),
        "use_modules": _("Modules in each"),
        "use_note": _("A new array takes faults and shadows away. Undo brings everything back."),
        "use": _("Use this module"),
        "replace": _("Replace it"),
        "both": _("Keep both"),
        "substring": _("Substring {number}"),
        "no_box": _("no way to the box"),
    }
