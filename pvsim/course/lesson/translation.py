"""Lays a translation over a lesson: its texts in place of the original's, everything else as it was.

A translation is lessons/<language>/<slug>.md. Its front matter holds texts alone, in the original's order;
its text has the same headings, and in each the same numbers, terms, figures and asides.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Any

from pvsim.course.lesson.track import refuse_order
from pvsim.course.number.evaluation import parse_number
from pvsim.course.table import Report, Table
from pvsim.course.text.blocks import asides, figures
from pvsim.course.text.body import Section
from pvsim.course.text.figure import read_figure
from pvsim.course.text.terms import marked_terms
from pvsim.course.text.text_check import computed
from pvsim.course.text.typed_numbers import plain
from pvsim.course.text.warrant import warrants_in
from pvsim.errors import PvsimError

Sections = Mapping[tuple[str, str], Section]

FORMAT = 1

_DIGITS = re.compile(r"[-+]?\d+(?:\.\d+)?")


def lay_over(original: dict[str, Any], top: Table, slug: str) -> dict[str, Any]:
    """The original's front matter with the translation's texts; problems go to its report.

    Parameters
    ----------
    original : dict
        Front matter that is in order.
    top : Table
        Front matter of the translation.
    slug : str
        Of the lesson, which the translation names.
    """
    top.number("format", least=FORMAT, most=FORMAT)
    named = top.text("translates", longest=80)
    if named and named != slug:
        top.refuse("translates", f"the file translates '{named}'", expected=f"'{slug}', as it is named")
    values = dict(original)
    for key in ("title", "question"):
        values[key] = _text(top, key, original[key])
    for key in ("objectives", "limits"):
        values[key] = _texts(top, key, original[key])
    if "sources" in original and top.has("sources"):
        values["sources"] = _texts(top, "sources", original["sources"])
    if "given" in original or top.has("given"):
        values["given"] = _given(top, original.get("given", {}))
    values |= _scenario(top, original)
    values["step"] = _steps(top, original["step"])
    top.close()
    return values


def check_sections(original: Sections, translated: Sections, report: Report) -> None:
    """Hold every section of a translation to the original's: its headings and what it refers to."""
    steps, found = ({step for step, _ in some} for some in (original, translated))
    for key, section in original.items():
        there = translated.get(key)
        if key[0] not in found:  # told once, for all its parts
            if not key[1]:
                _refuse_missing(key, original, translated, report)
        elif section and not there:
            _refuse_missing(key, original, translated, report)
        elif there is not None:
            _check_alike(section.text, there.text, there.line, _named(key), report)
    for key, section in translated.items():
        strange_step = key[0] not in steps
        if (strange_step and not key[1]) or (not strange_step and section and not original.get(key)):
            report.add(
                section.heading,
                f"the original has no {_named(key)}",
                expected="one of the headings of the original",
                mend="Take it out, or write it in the original first",
            )


def _refuse_missing(
    key: tuple[str, str], original: Sections, translated: Sections, report: Report
) -> None:
    report.add(
        _before(key, original, translated),
        f"{_named(key)} is not translated",
        expected="the headings of the original, in its order",
        mend=f"Write {_heading(key)}, with its text",
    )


def _check_alike(original: str, translated: str, line: int, named: str, report: Report) -> None:
    """Hold a text to the original's: numbers, terms, figures, asides, warrants."""
    for what, wanted, found in (
        ("number", _numbers(original), _numbers(translated)),
        ("term", _terms(original), _terms(translated)),
        ("figure", _figures(original), _figures(translated)),
        ("aside", _asides(original), _asides(translated)),
        ("warrant", _warrants(original), _warrants(translated)),
    ):
        missing, strange = _less(wanted, found), _less(found, wanted)
        for thing in missing:
            report.add(
                line,
                f"{named} lacks the {what} {thing}",
                expected="the same as in the original; a number may differ in signed, size and word",
                mend="Take it over from the original",
            )
        for thing in strange:
            report.add(
                line,
                f"{named} has the {what} {thing}, which the original does not",
                expected="the same as in the original; a number may differ in signed, size and word",
                mend="Take it out, or write it in the original first",
            )


def _less(these: Mapping[Any, list[str]], those: Mapping[Any, list[str]]) -> list[str]:
    """As written: what is more often in these than in those."""
    left = Counter({key: len(texts) for key, texts in these.items()})
    left.subtract({key: len(texts) for key, texts in those.items()})
    return [text for key, count in left.items() if count > 0 for text in these[key][:count]]


def _gather(pairs: Iterable[tuple[Any, str]]) -> dict[Any, list[str]]:
    found: dict[Any, list[str]] = {}
    for key, text in pairs:
        found.setdefault(key, []).append(text)
    return found


def _numbers(text: str) -> dict[Any, list[str]]:
    """Computed numbers by what they compute, in which unit and with how many decimals."""

    def read(inside: str) -> Any:
        try:
            number = parse_number(inside)
        except PvsimError:  # told where the text itself is checked
            return inside
        return number.expression, number.unit.name, number.how.decimals

    return _gather((read(inside), "{{" + inside + "}}") for _, inside in computed(text))


def _terms(text: str) -> dict[Any, list[str]]:
    return _gather((one.id, f"'{one.id}'") for one in marked_terms(text))


def _figures(text: str) -> dict[Any, list[str]]:
    def read(inside: str) -> Any:
        try:
            figure = read_figure(inside)
        except PvsimError:
            return inside
        return figure.kind, figure.place

    return _gather((read(inside), f"'{inside.strip().partition(chr(10))[0]}'") for _, inside in figures(text))


def _asides(text: str) -> dict[Any, list[str]]:
    return _gather((one.name, f"for '{one.name}'") for one in asides(text))


def _warrants(text: str) -> dict[Any, list[str]]:
    """Conditions behind comparisons; where else one is checked may be said wherever a language needs it."""
    found = (" ".join(inside.split()) for _, inside in warrants_in(text))
    return _gather((inside, "{{ " + inside + " }}") for inside in found if inside.startswith("holds"))


def _text(table: Table, key: str, original: Any) -> str:
    text = table.text(key)
    if text and isinstance(original, str):
        line = table.report.line((*table.path, key))
        _check_alike(original, text, line, f"'{key}'", table.report)
    return text


def _texts(table: Table, key: str, original: Any) -> list[str]:
    """A list of texts, as long as the original's."""
    wanted = [original] if isinstance(original, str) else list(original)
    found = table.texts(key, least=1, most=max(len(wanted), 20))
    if found and len(found) != len(wanted):
        table.refuse(
            key,
            f"'{key}' has {len(found)} entries, the original {len(wanted)}",
            expected="one for each of the original, in its order",
        )
    return list(found)


def _given(top: Table, original: Mapping[str, str]) -> dict[str, Any]:
    """The given quantities as the translation writes them."""
    table = top.table("given")
    found = {} if table is None else dict(table.values)
    if len(found) != len(original):
        top.refuse(
            "given",
            f"[given] has {len(found)} entries, the original {len(original)}",
            expected="the quantities of the original in their order",
            mend="Write each as the text has it, with its reason",
        )
        return found
    for mine, theirs in zip(found, original, strict=True):
        if _size(mine) != _size(theirs):
            top.report.add(
                ("given", mine),
                f"'{mine}' stands where the original has '{theirs}'",
                expected="the same quantity, written the way of this language",
                mend="Keep the original's order",
            )
    return found


def _size(quantity: str) -> str | None:
    """The number of a quantity; None when it is spelt out."""
    digits = _DIGITS.match(plain(quantity))
    return f"{float(digits[0]):g}" if digits else None


def _scenario(table: Table, original: dict[str, Any]) -> dict[str, Any]:
    """The scenario that stands in the front matter itself, with title and note translated; else nothing."""
    own = original.get("scenario")
    if not isinstance(own, dict) or not table.has("scenario"):
        return {}
    there = table.table("scenario") or Table({}, (*table.path, "scenario"), table.report)
    texts = {key: there.text(key) for key in ("title", "note") if key in own}
    there.close()
    return {"scenario": own | texts}


def _steps(top: Table, original: Any) -> list[dict[str, Any]]:
    steps: list[dict[str, Any]] = original if isinstance(original, list) else [original]
    tables = top.tables("step")
    ids, wanted = ([str(one.get("id", "")) for one in some] for some in ([t.values for t in tables], steps))
    if ids != wanted:
        refuse_order(top.report, ("step",), ids, wanted)
        return steps
    return [_step(table, step) for table, step in zip(tables, steps, strict=True)]


def _step(table: Table, original: dict[str, Any]) -> dict[str, Any]:
    table.text("id")
    values = original | {"title": _text(table, "title", original["title"])} | _scenario(table, original)
    for key in ("predict", "observe"):
        if key in original:
            values[key] = _question(table, key, original[key])
    table.close()
    return values


def _question(step: Table, key: str, original: dict[str, Any]) -> dict[str, Any]:
    kinds = [kind for kind in ("choice", "mistake") if original.get(kind)]
    if not kinds and not step.has(key):
        return original  # a number, with nothing to tell of wrong ones
    table = step.table(key) or Table({}, (*step.path, key), step.report)
    values = dict(original)
    for kind in kinds:
        values[kind] = _answers(table, kind, original[kind])
    table.close()
    return values


def _answers(table: Table, kind: str, original: Any) -> list[dict[str, Any]]:
    wanted: list[dict[str, Any]] = original if isinstance(original, list) else [original]
    tables = table.tables(kind)
    if len(tables) != len(wanted):
        table.refuse(
            kind,
            f"there are {len(tables)} tables '{kind}', in the original {len(wanted)}",
            expected="one for each of the original, in its order",
            mend=f"Write [[step.{table.path[-1]}.{kind}]] for each",
        )
        return wanted
    found = []
    for one, theirs in zip(tables, wanted, strict=True):
        keys = [key for key in ("text", "idea", "feedback") if key in theirs]
        found.append(theirs | {key: _text(one, key, theirs[key]) for key in keys})
        one.close()
    return found


def _before(key: tuple[str, str], original: Sections, translated: Sections) -> int:
    """Line of the last section of a translation that comes before a missing one."""
    line = 1
    for other in original:
        if other == key:
            break
        if other in translated:
            line = translated[other].line
    return max(line, 1)


def _heading(key: tuple[str, str]) -> str:
    step, part = key
    return f"'### {part}' below '## {step}'" if part else f"'## {step}'" if step else "the opening"


def _named(key: tuple[str, str]) -> str:
    step, part = key
    return f"'### {part}' of '{step}'" if part else f"'## {step}'" if step else "the opening"
