"""The words of a lecture that stay: names of moments, keys, and what is said before it begins."""

from __future__ import annotations

from typing import Any

from pvsim.app.words import _
from pvsim.course.lecture.results import INVENTED

__all__ = ["lecture_keys", "lecture_words", "moment_name"]


def moment_name(moment: str) -> str:
    """What a moment is called on the screen."""
    return {
        "opening": _("The question"),
        "ask": _("What do you expect?"),
        "act": _("Now do it"),
        "look": _("What do you see?"),
        "explain": _("Why"),
        "closing": _("What remains"),
    }[moment]


def lecture_keys() -> list[tuple[str, list[str], str, str]]:
    """The keys of a lecture, for its foot and its first sheet.

    Returns
    -------
    list of (act, keys, short name, meaning)
        A single letter or mark among the keys can be switched off (WCAG 2.1.4).
    """
    on = ["→", _("PgDn"), _("Space")]
    return [
        ("back", ["←", _("PgUp")], _("Back"), _("One cue back")),
        ("next", on, _("Next"), _("On: the rest of a long text, then the next cue")),
        ("reveal", ["V"], _("Reveal"), _("Show or hide the answers of the class; then what was to be seen")),
        ("again", ["A"], _("Again"), _("A second round, after the class has talked")),
        ("hands", ["H"], _("Hands"), _("Into the field for raised hands; Enter leaves it")),
        ("right", ["R"], _("Put right"), _("Everything as this cue wants it, whatever was pressed")),
        ("blank", ["B", "."], _("Blank"), _("A dark screen, and back")),
        ("class", ["O"], _("Class"), _("Open the class for phones, or close it")),
        ("notes", ["N"], _("Notes"), _("Your notes in a window of their own")),
    ]


def lecture_words() -> dict[str, Any]:
    """Texts of the lecture that never change while it is held."""
    return {
        "region": _("Lecture"),
        "keys": _("Keys"),
        "letters": _("Single letters are keys"),
        "invented": _(INVENTED),
        "replay": _("Replay"),
        "begin": _("Begin"),
        "rehearse": _("Rehearse"),
        "rehearse_note": _("with an imaginary class, invented by a die"),
        "play_again": _("Replay it"),
        "save": _("Save the lecture file"),
        "results": _("Results of the class"),
        "results_csv": _("Save as CSV"),
        "results_print": _("Print"),
        "results_close": _("Back to the lecture"),
        "search": _("Search for a hidden fault"),
        "rehearsal": _("Rehearsal"),
        "leave": _("Leave"),
        "leave_sure": _("Press again to end"),
        "cues": _("Cues"),
        "plan": _("Plan"),
        "more": _("More below: press → again"),
        "blanked": _("The screen is blanked. Any key of the lecture brings it back."),
        "caution": _("Caution"),
        "do": _("Do it for me"),
        "seek": _("Begin the search"),
        "show_fault": _("Show the fault"),
        "hands": _("Hands"),
        "numbers": _("Numbers called out"),
        "fewer": _("One hand fewer for {letter}"),
        "another": _("One hand more for {letter}"),
        "count": _("Hands for {letter}"),
        "ahead": _("{time} ahead"),
        "behind": _("{time} behind"),
        "on_time": _("on time"),
        "of": _("{now} of {planned} min"),
        "join": _("Answer on your phone"),
        "answers_table": _("Answers of the class"),
        "right": _("right"),
        "idea": _("The idea behind it"),
    }
