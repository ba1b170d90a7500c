"""Lays the texts of another language over the exercises of a lesson; everything else stays as it was.

format = 1
translates = "diode"

[[exercise]]
id = "one-in-the-shade"
stem = "..."

[[exercise.mistake]]
idea = "..."
feedback = "..."
"""

from __future__ import annotations

from collections import Counter
from typing import Any

from pvsim.course.table import KeyPath, Table
from pvsim.course.text.typed_numbers import COMPUTED
from pvsim.exercise.draw import MARKED
from pvsim.exercise.making import TEXTS

__all__ = ["lay_texts_over"]

FORMAT = 1
LISTS = ("mistake", "choice", "reading")  # of an exercise, whose entries have texts


def lay_texts_over(original: dict[str, Any], top: Table, lesson: str) -> dict[str, Any]:
    """The original's table with the translation's texts; problems go to its report.

    Parameters
    ----------
    original : dict
        A file of exercises that is in order.
    top : Table
        Of the translation.
    lesson : str
        Which it is to name.
    """
    top.whole("format", least=FORMAT, most=FORMAT)
    named = top.text("translates", longest=80)
    if named != lesson:
        top.refuse("translates", f"the file translates '{named}'", expected=f"'{lesson}', as it is named")
    given = top.table("given")
    written, found = _listed(original["exercise"]), top.tables("exercise")
    laid: list[dict[str, Any]] = []
    if len(found) != len(written):
        wrong = f"there are {len(found)} exercises"
        top.refuse("exercise", wrong, expected=f"the {len(written)} of the original, in its order")
    for one, table in zip(written, found, strict=False):
        name = table.text("id", longest=40)
        if name != one["id"]:
            table.refuse("id", f"'{name}' stands there", expected=f"'{one['id']}', as in the original")
        laid.append(_entry(one, table))
        table.close()
    top.close()
    return {**original, "exercise": laid, **({"given": given.values} if given else {})}


def _entry(original: dict[str, Any], table: Table) -> dict[str, Any]:
    """One table with the texts of its translation, and of the lists in it."""
    values = dict(original)
    for key in TEXTS:
        if isinstance(original.get(key), str):
            values[key] = table.text(key, longest=4000)
            _check_alike(original[key], values[key], (*table.path, key), table)
    for key in LISTS:
        if key not in original:
            continue
        written, found = _listed(original[key]), table.tables(key)
        if len(found) != len(written):
            wrong = f"there are {len(found)} tables '{key}'"
            table.refuse(key, wrong, expected=f"the {len(written)} of the original, in its order")
        values[key] = [_entry(one, inner) for one, inner in zip(written, found, strict=False)]
        for inner in found:
            inner.close()
    return values


def _listed(part: Any) -> list[dict[str, Any]]:
    return part if isinstance(part, list) else [part]


def _check_alike(original: str, translated: str, path: KeyPath, table: Table) -> None:
    """Hold a text to the original's numbers, computed and drawn."""
    wanted, found = _numbers(original), _numbers(translated)
    for one in [*(wanted - found), *(found - wanted)]:
        table.report.add(
            path,
            f"'{path[-1]}' {'lacks' if one in wanted - found else 'has'} {one}",
            expected="the numbers of the original, each as often as there",
            mend="Take them over as they are written",
        )


def _numbers(text: str) -> Counter[str]:
    computed = ["{{ " + " ".join(inside.split()) + " }}" for inside in COMPUTED.findall(text)]
    return Counter([*computed, *(f"${name}" for name in MARKED.findall(COMPUTED.sub("", text)))])
