"""The words of the notes window."""

from __future__ import annotations

from typing import Any

from pvsim.app.words import _, pgettext

__all__ = ["notes_words"]


def notes_words() -> dict[str, Any]:
    """The words of the notes window."""
    return {
        "title": _("Notes"),
        "class": _("Class"),
        "connecting": _("Connecting …"),
        "connected": _("Connected"),
        "lost": _("No connection. This page tries again by itself."),
        "wait": _("The notes appear here as soon as the lecture shows its first step."),
        "refused": _(
            "These notes open from the lecture itself: the address is not complete, or the class is over."
        ),
        "over": _("This class is over."),
        "now": _("Now"),
        "next": pgettext("the step after this one", "Next"),
        "no_notes": _("No notes for this step."),
        "last": _("This is the last step."),
        "clock": _("Elapsed"),
        "planned": _("of {minutes} min"),
        "late": _("{minutes} min over time"),
        "answers": _("Answers"),
        "round": _("round {number}"),
        "asking": pgettext("a round of answers", "open"),
        "not_asking": pgettext("a round of answers", "closed"),
        "trouble": _("Trouble with the store"),
        "moments": {
            "opening": _("Opening"),
            "ask": pgettext("a moment of a lecture", "Ask"),
            "act": _("Act"),
            "look": _("Look"),
            "explain": _("Explain"),
            "closing": _("Closing"),
        },
    }
