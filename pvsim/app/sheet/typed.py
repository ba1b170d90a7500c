"""From what was typed in the fields to a data sheet; all that is wrong is told at once, each at its field."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from pvsim.app.number_field import read_number
from pvsim.app.sheet.form import REVERSE_FIELDS, label_of, unit_of
from pvsim.app.words import _
from pvsim.errors import PvsimError, ScenarioError, SheetError
from pvsim.numbers import format_setting
from pvsim.sheet.assumed import REVERSES, SHUNTS, Assumptions, Span, assumption_problems
from pvsim.sheet.coefficient import UNITS, Coefficient, Unit
from pvsim.sheet.data_sheet import BOUNDS, DataSheet, sheet_problems
from pvsim.sheet.sheet_file import SheetFile

__all__ = ["SheetRefused", "read_typed", "told_at_fields"]

COUNTS = ("cells", "rows", "columns", "bypass_diodes")
OPTIONAL = ("cell_width_mm", "cell_height_mm", "bifaciality")
LONGEST = 5_000  # characters of a field; a note has 4,000 at most
ANY = 1e4  # of a coefficient: see Coefficient
_UNIT_BEHIND = re.compile(r"(?P<number>[^\s%A-Za-z°℃]+(?:[eE][+-]?\d+)?)\s*(?P<unit>[%A-Za-z°℃].*)")
_KEYS = re.compile(r"\b[a-z]+(?:_[a-zA-Z0-9]+)+\b")

Problem = dict[str, Any]


class SheetRefused(Exception):
    """What was typed is no data sheet.

    Parameters
    ----------
    problems : list of dict
        Each with the `field` it is told at, the fields `beside` that are wrong with it, and `text`.
    """

    def __init__(self, problems: list[Problem]) -> None:
        super().__init__(" ".join(one["text"] for one in problems))
        self.problems = problems


def read_typed(fields: Mapping[str, Any]) -> SheetFile:
    """The sheet that was typed.

    Parameters
    ----------
    fields : mapping
        Text by field, as `typed_values` has it; not trusted.

    Raises
    ------
    SheetRefused
        With everything that is wrong, at most one thing at a field.
    """
    typed = {name: value[:LONGEST] for name, value in fields.items() if isinstance(value, str)}
    problems: dict[str, Problem] = {}

    def keep(name: str, read: Any) -> dict[str, Any]:
        try:
            return {name: read(name, typed.get(name, "").strip())}
        except PvsimError as error:
            problems[name] = _problem(name, str(error))
            return {}

    sheet: dict[str, Any] = {name: typed.get(name, "").strip() for name in ("title", "note")}
    if not sheet["title"]:
        mend = _("Type what stands at the head of the paper")
        problems["title"] = _problem("title", str(_missing("title", _("a name for the module"), mend)))
        del sheet["title"]
    for name in BOUNDS:
        sheet |= keep(name, _read_plain)
    for name in UNITS:
        sheet |= keep(name, lambda name, text: _read_coefficient(name, text, typed.get(f"{name}_unit", "")))
    chosen: dict[str, Any] = {name: typed.get(name, "") for name in ("shunt", "reverse")}
    assumed = dict(chosen)
    for name in ("shunt_ohm_cm2", *REVERSE_FIELDS):
        assumed |= keep(name, lambda name, text: _read_assumed(name, text, chosen))
    for error in (*sheet_problems(sheet), *assumption_problems(assumed)):
        (told,) = told_at_fields(error)
        problems.setdefault(told["field"], told)
    if problems:
        order = [*DataSheet.__dataclass_fields__, *Assumptions.__dataclass_fields__]
        raise SheetRefused(sorted(problems.values(), key=lambda one: order.index(one["field"])))
    return SheetFile(sheet=DataSheet(**sheet), assumed=Assumptions(**assumed))


def told_at_fields(error: SheetError) -> list[Problem]:
    """A refusal of the sheet itself in the words of the page, at the field to begin at."""
    first, *beside = error.fields or ("title",)

    def named(text: str) -> str:
        return _KEYS.sub(lambda found: _label(found[0]), text)

    wrong = error.wrong
    if error.found:
        wrong = _("{name} is {value}").format(name=_quoted(first), value=error.found)
    elif wrong.startswith(f"{first} "):
        wrong = f"{_quoted(first)} {wrong[len(first) + 1 :]}"
    told = PvsimError(named(wrong), expected=named(error.expected), mend=named(error.mend))
    return [{"field": first, "beside": beside, "text": str(told)}]


def _problem(name: str, text: str) -> Problem:
    return {"field": name, "beside": [], "text": text}


def _quoted(name: str) -> str:
    # TRANSLATORS: the name of a field within a sentence
    return _("“{name}”").format(name=label_of(name))


def _label(key: str) -> str:
    """A key of the file as the page calls it; whatever is none stays."""
    known = {*DataSheet.__dataclass_fields__, *Assumptions.__dataclass_fields__}
    return label_of(key) if key in known else key


def _missing(name: str, expected: str, mend: str) -> ScenarioError:
    return ScenarioError(_("{name} is missing").format(name=_quoted(name)), expected=expected, mend=mend)


def _read_plain(name: str, text: str) -> float | int | None:
    """A number of the paper that stands alone."""
    least, most, _unit = BOUNDS[name]
    unit = unit_of(name)
    if not text and name in OPTIONAL:
        return 0.0 if name == "bifaciality" else None
    share = 100.0 if unit == "%" else 1.0
    label = label_of(name)
    if not text:
        expected = _("a number from {least} to {most}").format(
            least=format_setting(least), most=format_setting(most, unit)
        )
        if name in COUNTS:
            raise _missing(name, expected, _("Count it on the front of the module, or on its picture"))
        raise _missing(name, expected, _("It stands on the paper, for 1000 W/m² and 25 °C"))
    value = read_number(text, name=label, least=share * least, most=share * most, unit=unit)
    # "0.7" is how many papers write 70 %; no module has less than one per cent.
    value = value if share > 1.0 and value <= 1.0 and "%" not in text else value / share
    return round(value) if name in COUNTS and value == round(value) else value


def _read_coefficient(name: str, text: str, unit: str) -> Coefficient:
    """A coefficient in the unit chosen, or in the one that was typed behind it."""
    known: list[Unit] = list(UNITS[name].values())
    behind = _UNIT_BEHIND.fullmatch(text)
    if behind:
        plain = behind["unit"].replace(" ", "").replace("°C", "K").replace("℃", "K").replace("/C", "/K")
        found = next((one for one in known if one == plain), None)
        if found is None:
            raise ScenarioError(
                _("{name}: “{text}” is not the unit asked for").format(
                    name=label_of(name), text=behind["unit"][:20]
                ),
                expected=_("a coefficient in one of {units}").format(units=", ".join(known)),
                mend=_("Take the unit that stands on the paper"),
            )
        text, unit = behind["number"], found
    expected = _("a number with its sign, in {unit}").format(unit=unit if unit in known else ", ".join(known))
    if not text:
        raise _missing(name, expected, _("It stands on the paper among the temperature coefficients"))
    try:
        value = read_number(text, name=label_of(name), least=-ANY, most=ANY)
    except ScenarioError as error:
        raise ScenarioError(error.wrong, expected=expected, mend=error.mend) from error
    return Coefficient(value=value, unit=unit)  # type: ignore[arg-type]


def _read_assumed(name: str, text: str, chosen: Mapping[str, Any]) -> float | None:
    """A value within the range chosen; the usual one where none was typed."""
    span = _span(name, chosen)
    if not text or span is None:  # a range that is unknown is refused by itself
        return None
    return read_number(text, name=label_of(name), least=span.least, most=span.most, unit=unit_of(name))


def _span(name: str, chosen: Mapping[str, Any]) -> Span | None:
    if name == "shunt_ohm_cm2":
        return SHUNTS[chosen["shunt"]][1] if chosen["shunt"] in SHUNTS else None
    reverse = REVERSES.get(chosen["reverse"])
    return getattr(reverse, name) if reverse else None
