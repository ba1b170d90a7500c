"""The sheet of a poll: what is asked, as plain values, checked before it is kept."""

from __future__ import annotations

import json
from math import isfinite
from typing import Any

from pvsim.errors import StoreError
from pvsim.words import mark

__all__ = ["MAX_CHOICES", "check_scene", "check_sheet", "fits"]

MAX_CHOICES = 12
MAX_SHEET = 32_000  # characters of JSON
MAX_SCENE = 128_000
LARGEST = 1e12  # no quantity of a lesson comes near it
TEXTS = ("lesson", "step", "question", "kind", "unit")


def check_sheet(sheet: object) -> dict[str, Any]:
    """A sheet with all its keys.

    Parameters
    ----------
    sheet : dict
        "lesson", "step", "question" (safe HTML), "kind" ("choice" or "number"), "choices" (safe HTML
        each) for a choice, "unit" (a name of `pvsim.course.number.units`) for a number.

    Raises
    ------
    StoreError
        If it asks nothing that can be answered.
    """
    if not isinstance(sheet, dict) or not set(sheet) <= {*TEXTS, "choices"}:
        raise _refused(mark("the sheet has unknown keys"), ", ".join((*TEXTS, "choices")))
    whole: dict[str, Any] = {key: sheet.get(key, "") for key in TEXTS}
    whole["choices"] = list(sheet.get("choices") or ())
    if not all(isinstance(one, str) for one in (*whole["choices"], *(whole[key] for key in TEXTS))):
        raise _refused(mark("the sheet holds something else than texts"), mark("texts"))
    if whole["kind"] not in ("choice", "number"):
        raise _refused(mark("the sheet asks for “{kind}”"), mark("“choice” or “number”"), kind=whole["kind"])
    allowed = range(2, MAX_CHOICES + 1) if whole["kind"] == "choice" else range(1)
    if len(whole["choices"]) not in allowed:
        raise _refused(
            mark("the sheet has {count} choices"),
            mark("2 to {most} for a choice, none for a number"),
            count=len(whole["choices"]),
            most=MAX_CHOICES,
        )
    if len(json.dumps(whole)) > MAX_SHEET:
        raise _refused(mark("the sheet is too long"), mark("at most {most} characters"), most=MAX_SHEET)
    return whole


def check_scene(scene: object) -> str:
    """A scene as JSON text.

    Raises
    ------
    StoreError
        If it is no dict of plain JSON values, or too long.
    """
    try:
        text = json.dumps(scene, allow_nan=False)
    except (TypeError, ValueError, RecursionError):
        text = ""
    if not isinstance(scene, dict) or not text or len(text) > MAX_SCENE:
        raise StoreError(
            mark("what is on the screen cannot be shown to others"),
            expected=mark("plain JSON of at most {most} characters"),
            mend=mark("Shorten the notes of this step"),
            most=MAX_SCENE,
        )
    return text


def fits(sheet: dict[str, Any], value: object) -> bool:
    """Whether a value answers the sheet: a choice counted from 0, or a finite number."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    if sheet["kind"] == "choice":
        return 0 <= value < len(sheet["choices"]) and value == int(value)
    return isfinite(value) and abs(value) <= LARGEST


def _refused(wrong: str, expected: str, **values: object) -> StoreError:
    return StoreError(wrong, expected=expected, mend=mark("Mend the question in the lesson"), **values)
