"""Texts of the field desk that stay."""

from __future__ import annotations

from typing import Any

from pvsim.app.words import _
from pvsim.field.meter import COVERAGE
from pvsim.field.search.case import LEVELS
from pvsim.numbers import format_fixed

__all__ = ["field_words"]


def field_words() -> dict[str, Any]:
    """The texts for static/field, once for the browser."""
    return {
        "title": _("On the roof"),
        "close": _("Close the field desk"),
        "plant": _("The plant"),
        "kit": _("Instruments"),
        "at": _("Put at: {place}"),
        "at_label": _("Where instruments are put"),
        "levels": [
            ["array", _("Array")],
            ["string", _("String")],
            ["module", _("Module")],
            ["substring", _("Substr.")],
            ["cell", _("Cell")],
        ],
        "range": _("Range"),
        "range_hint": _("Beyond a range that is set, a meter shows OL; far below its end it knows less."),
        "run": _("from {first} to"),
        "to": _("last module of the run"),
        "minutes": _("{n} min gone"),
        "log": _("Log"),
        "columns": [_("min"), _("what"), _("where"), _("reading")],
        "changed": _("Changed:"),
        "none": _("Nothing measured yet."),
        "empty": _("Nothing measured yet. Choose a part in the drawing, then an instrument."),
        "doubt": _("± covers 95 % (k = {k})").format(k=format_fixed(COVERAGE)),
        "elsewhere": _("The lines below were read on another array."),
        "clear": _("New log"),
        "meters": _("Set of meters"),
        "meters_hint": _("Each set has errors of its own, within what its data sheets allow."),
        "save": _("Save as CSV"),
        "curve": _("Traced curve"),
        "compare": _("Compare with the model"),
        "picture": _("Infrared picture"),
        "picture_hint": _("Point at a pixel to read it. Colours go from the coldest to the warmest."),
        "tabs": [["bench", _("Bench")], ["search", _("Search")]],
        "tabs_label": _("What is measured"),
        "lead": _(
            "Somewhere in an array one fault is hidden, at level {level} two. Meters have errors, cells "
            "differ, and each act costs minutes. Find out what it is and where."
        ).format(level=max(number for number, level in LEVELS.items() if level.hidden > 1)),
        "set": _("Searches to practise, one family after the other"),
        "own": _("With a number of your own"),
        "seed": _("Your number"),
        "seed_hint": _("The same number, level and kinds of fault hide the same fault for ever."),
        "level": _("Level"),
        "family": _("Kinds of fault"),
        "begin": _("Begin the search"),
        "invented": _("The arrays are invented."),
        "answer": _("Your answer"),
        "no_place": _("choose a part in the drawing"),
        "answer_lead": _("Turn to the faulty part in the drawing, as finely as you know it."),
        "kind": _("What it is"),
        "choose": _("choose …"),
        "where": _("Where"),
        "sure": _("How sure you are"),
        "say": _("Answer"),
        "again": _("Put its array on the bench"),
        "not_there": _("Another array is on the bench; places here are those of the search."),
        "touched": _("You changed what the drawing shows; meters read the array of the search as it is."),
        "reveal": _("Show the fault on the bench"),
        "hint": _("Take a hint"),
        "work_again": _("Work it out again"),
        "working": _("Working out what each reading could have told …"),
        "debrief": _("How the search went"),
        "replay": _("The search once more"),
        "replay_lead": _(
            "One bit halves what is possible. What a reading tells is reckoned for every fault that could be "
            "there."
        ),
        "then": _("Likeliest then:"),
        "better": _("More was to be had by"),
        "best": _("The computed best search"),
        "own_measure": _("Expected information per minute is pvsim's own measure of a search."),
        "room": _("With a class"),
        "room_open": _("Open a class for phones"),
        "room_hint": _("Phones vote on what is read next. They learn nothing of what is hidden."),
        "room_close": _("Close the class"),
        "join": _("Answer on your phone"),
        "ask": _("What do we read next?"),
        "ask_class": _("Ask the class: what do we read next?"),
        "choosing": _("Working out what to choose from …"),
        "end_vote": _("End the vote"),
        "drop_vote": _("Drop this question"),
        "do_most": _("Do what most want"),
        "do_this": _("Do {letter} instead"),
        "tied": _("As many want another; their order was drawn."),
        "votes": _("The room's search"),
        "caution": _(
            "pvsim teaches an order, it gives no leave. On a real roof: qualified people, two of them, the "
            "local code, and meters rated for the cold open-circuit voltage."
        ),
    }
