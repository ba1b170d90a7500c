"""The words of the measured curve's dialog."""

from __future__ import annotations

from pvsim.app.words import _

__all__ = ["dialog_words"]


def dialog_words() -> dict[str, str]:
    """By name, what static/traced writes on buttons and lines of its own."""
    return {
        "title": _("Measured curve"),
        "lead": _(
            "A current-voltage curve from a tracer or a spreadsheet is laid over the model of the part it "
            "was measured on."
        ),
        "kept": _(
            "The curve stays with this page: it goes into no scenario, file or link, and is gone when the "
            "page is loaded again."
        ),
        "close": _("Close"),
        "start": _("Where the curve is from"),
        "open": _("Open a curve file…"),
        "drop": _("or drop it anywhere on the page"),
        "example": _("Try it with an invented curve"),
        "found": _("What was recognised"),
        "file": _("File"),
        "columns": _("Columns and first rows"),
        "quantity_of": _("Quantity of {column}"),
        "unit_of": _("Unit of {column}"),
        "assumed": _("assumed"),
        "written": _("as written"),
        "chosen": _("chosen"),
        "unused": _("not used"),
        "sign": _("Current delivered by the part counts"),
        "sign_plus": _("as positive"),
        "sign_minus": _("as negative"),
        "leave_out": _("Leave rows without usable numbers out ({count})"),
        "confirm": _("Confirm the columns"),
        "where": _("What it is held against"),
        "part": _("Part that was measured"),
        "part_hint": _("For another string or module, choose it in the drawing first."),
        "procedure": _("Translation"),
        "procedure_none": _("none: the model goes to the light and temperature of the measurement"),
        "procedure_first": _("IEC 60891, procedure 1: currents shifted, light changed by at most 30\u00a0%"),
        "procedure_second": _("IEC 60891, procedure 2: currents scaled with the light"),
        "lay": _("Lay it over the model"),
        "results": _("Measured and model"),
        "empty": _("Nothing is laid over the model yet."),
        "stale": _("The bench was changed since this was laid over it."),
        "behind": _("Something was changed since this was laid over."),
        "working_lay": _("The model is being worked out…"),
        "working_rank": _("Faults are held against the curve…"),
        "stop": _("Stop"),
        "stopped": _("Stopped. “Lay it over the model” begins again."),
        "shapes": _("Shape of the curve"),
        "faults": _("Faults, the likeliest first"),
        "faults_note": _(
            "Each family of fault is fitted to the curve at the light and temperature of the measurement. "
            "Faults of one family in different places often have one curve, so nothing is said of where: "
            "cell 1, substring 1 and string 1 stand for all. Two faults at once are none of these."
        ),
        "likelihood": _("Likelihood"),
        "fits": _("within noise"),
        "misses": _("misses more than noise allows"),
        "plant": _("Put on the bench"),
        "plant_label": _("Put on the bench: {fault}"),
        "plant_note": _("It is one step; undo takes it off again. The curve stays here."),
        "points": _("The points as a table"),
        "correction": _("How it was translated"),
        "caution": _(
            "A ranking is no finding: what is suspected is looked for at the array, by qualified people, "
            "with the array made safe and after local codes."
        ),
    }
