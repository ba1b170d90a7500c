"""A search as a browser's tab keeps it, so that a page loaded anew goes on: what was done, and no more.

The fault is not in it: it comes from number and level again, and readings come from doing the acts again.
"""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

from pvsim.app.session.field_taken import with_taken
from pvsim.app.session.field_work import FieldWork, begun
from pvsim.app.words import _
from pvsim.array.place import WHOLE_ARRAY, format_place, parse_place
from pvsim.errors import FileError
from pvsim.field.search.act import Act
from pvsim.field.search.transcript import MAX_LINES, do

__all__ = ["MOST_KEPT", "kept_text", "work_kept"]

MOST_KEPT = 100_000  # signs; MAX_LINES of the longest acts are shorter


def kept_text(work: FieldWork) -> str:
    """The text that is kept; "" where there is nothing to go on with."""
    if work.case is None or work.over:
        return ""
    acts = [
        [line.act.kind, format_place(line.act.place), line.act.what, line.act.last, line.act.leak]
        for line in work.transcript.lines
    ]
    case = [work.case.seed, work.case.level, work.case.family]
    return json.dumps({"case": case, "acts": acts, "hints": list(work.hints)}, separators=(",", ":"))


def work_kept(text: str) -> FieldWork:
    """What was kept, done again.

    Raises
    ------
    PvsimError
        If it is not what `kept_text` gives.
    """
    try:
        kept = _read(text)
        seed, level, family = kept["case"]
        acts = [
            Act(kind=kind, place=parse_place(at) if at else WHOLE_ARRAY, what=what, last=last, leak=leak)
            for kind, at, what, last, leak in kept["acts"]
        ]
        hints = tuple(str(one) for one in kept["hints"])
    except (KeyError, TypeError, ValueError, RecursionError):
        raise FileError(
            _("the search that this tab has kept cannot be read"),
            expected=_("what the page itself has kept"),
            mend=_("Begin the search again with its number"),
        ) from None
    work = begun(seed, level, family)
    assert work.case is not None
    transcript = work.transcript
    for act in acts:
        transcript = do(work.case, transcript, act).transcript
    return with_taken(work.case, replace(work, transcript=transcript, hints=hints[:MAX_LINES]))


def _read(text: str) -> dict[str, Any]:
    if len(text) > MOST_KEPT:
        raise ValueError
    kept = json.loads(text)
    if not isinstance(kept, dict) or len(kept["acts"]) > MAX_LINES:
        raise ValueError
    return kept
