"""What follows from a data sheet, step by step, as a class is led through it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from pvsim.app.sheet.joining import joining_picture
from pvsim.app.sheet.tables import parameter_table, residual_table
from pvsim.app.words import _, mark
from pvsim.errors import SheetError
from pvsim.numbers import format_number
from pvsim.sheet.assumed import assumptions_text
from pvsim.sheet.bands import HALVES_V, SERIES_V, voltage_per_counted_cell_V
from pvsim.sheet.data_sheet import cell_area_cm2, size_text
from pvsim.sheet.finding import Finding, sentence
from pvsim.sheet.hot_spot import HotSpot, hot_spot_findings
from pvsim.sheet.reasoning import infer
from pvsim.sheet.sheet_file import SheetFile
from pvsim.sheet.sheet_module import SheetModule, module_from_sheet

__all__ = ["Outcome", "outcome_of"]

Item = dict[str, Any]
Outcome = tuple[list[Item], "SheetModule | None", "SheetError | None"]

SCALE_V = 0.85  # how far the scale reaches where nothing lies beyond
ROOM = 1.08  # and how much farther than what does

# The steps by which a sheet is reasoned through: name, question, which findings belong to it.
QUESTIONS = (
    ("voltage", mark("How many volts are that for one counted cell?"), ("voltage-per-cell",)),
    (
        "series",
        mark("What does that allow, and what not?"),
        ("all-in-series", "two-halves", "cell-shape", "more-chains", "check-the-count"),
    ),
    ("diodes", mark("How many cells does one bypass diode span?"), ("cells-per-diode",)),
    ("columns", mark("How are the columns joined, so that the diodes reach their box?"), ("columns",)),
    ("kind", mark("What kind of cell can it be?"), ()),
    ("cell", mark("Which cell goes through the four points?"), ()),
    ("module", mark("Does the whole module do what the paper says?"), ()),
    ("shaded", mark("What does a single shaded cell meet?"), ()),
)
BEARINGS = {
    "allowed": mark("allowed"),
    "excluded": mark("excluded"),
    "open": mark("left open"),
    "doubt": mark("look again"),
}
FACTS = ("voltage-per-cell", "reverse-voltage")  # what these say is worked out, and neither allowed nor open


def outcome_of(file: SheetFile) -> Outcome:
    """Reason a sheet through, and fit its cells where that can be done.

    Parameters
    ----------
    file : SheetFile

    Returns
    -------
    (steps, module, refusal)
        Steps for static/sheet/steps.js, in order: each with its question, findings, and perhaps a scale,
        tables, a picture of the cells. The module, or why there is none: then the steps end where the
        reasoning does.
    """
    sheet = file.sheet
    reasoning = infer(sheet)
    made, refusal = None, None
    try:
        made = module_from_sheet(sheet, file.assumed)
    except SheetError as error:
        refusal = error
    known = {about for _name, _question, abouts in QUESTIONS for about in abouts}
    found: dict[str, Iterable[Finding]] = {
        name: [one for one in reasoning.findings if one.about in abouts]
        for name, _question, abouts in QUESTIONS
    }
    found["kind"] = [one for one in reasoning.findings if one.about not in known]
    more: dict[str, Item] = {"voltage": {"scale": _cell_scale(file, bands=False)}}
    more["series"] = {"scale": _cell_scale(file, bands=True)}
    if reasoning.structure is not None:
        more["columns"] = {"ways": joining_picture(sheet, reasoning.structure)}
    if made is not None:
        found["cell"] = made.doubts
        found["shaded"] = hot_spot_findings(made.hot_spot)
        assumed = (assumptions_text(file.assumed, cell_area_cm2(sheet)), size_text(sheet))
        more["cell"] = {"table": parameter_table(made), "note": " ".join(filter(None, assumed))}
        more["module"] = {"table": residual_table(made)}
        more["shaded"] = {"scale": _reverse_scale(made.hot_spot), "caution": _caution()}
    steps = [
        {"id": name, "question": _(question), "findings": _told(found[name]), **more.get(name, {})}
        for name, question, _abouts in QUESTIONS
        if found[name] or name in more
    ]
    return steps, made, refusal


def _told(findings: Iterable[Finding]) -> list[Item]:
    return [
        {
            "bearing": one.bearing,
            "mark": _("found") if one.about in FACTS else _(BEARINGS[one.bearing]),
            "text": sentence(one),
        }
        for one in findings
    ]


def _caution() -> str:
    return _(
        "A calculation on an assumed value, and no promise. Do not try it out on a module: a cell that takes "
        "power gets hot enough to burn. Measuring it is for qualified people, with the maker's data."
    )


def _cell_scale(file: SheetFile, *, bands: bool) -> Item:
    """Volts for each counted cell, and where silicon cells lie."""
    each = voltage_per_counted_cell_V(file.sheet)
    shown = [(HALVES_V, _("two halves counted")), (SERIES_V, _("all in series"))] if bands else []
    return _scale(
        max(SCALE_V, ROOM * each),
        [(each, _("Voc for each counted cell"), "found")],
        [{"from": low, "to": high, "label": label} for (low, high), label in shown],
        _("Voltage of one counted cell"),
    )


def _reverse_scale(spot: HotSpot) -> Item:
    """Volts in reverse at a shaded cell, beside the breakdown assumed."""
    marks = [
        (spot.at_mpp_V, _("with the others at their best"), "found"),
        (spot.most_V, _("the most"), "found"),
        (spot.breakdown_V, _("breakdown, assumed"), "assumed"),
    ]
    most = ROOM * max(at for at, _text, _kind in marks)
    return _scale(most, marks, [], _("Reverse voltage of a shaded cell"))


def _scale(most: float, marks: Sequence[tuple[float, str, str]], bands: list[Item], title: str) -> Item:
    return {
        "title": title,
        "most": most,
        "unit": "V",
        "bands": bands,
        "marks": [
            {"at": at, "read": format_number(at, "V", digits=3), "label": label, "kind": kind}
            for at, label, kind in marks
        ],
    }
