"""Questions as Moodle XML: the one format in which the platform takes units and partial credit as they are.

Numbers and tolerances have a decimal point in every language; a tolerance is absolute there. From memory.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Iterable

import pvsim
from pvsim.course.number.units import Unit
from pvsim.exercise.bank.outcome import number_outcomes, plain_number, stem_html, weight_of
from pvsim.exercise.item import ChoiceItem, Item, NumberItem
from pvsim.exercise.marking import WITHOUT_UNIT
from pvsim.exercise.wording import as_html
from pvsim.files.provenance import one_line
from pvsim.words import _, speaking

__all__ = ["write_moodle_xml"]

_PREFIXED = {"V": ("m", "k"), "A": ("m", "k"), "W": ("m", "k", "M"), "Ω": ("m", "k", "M")}
_SIZES = {"m": 1e-3, "k": 1e3, "M": 1e6}
_TYPED_IN, _NOT_AT_ALL = "0", "3"  # where a unit goes


def write_moodle_xml(items: Iterable[Item], category: str = "") -> str:
    """A bank of questions; see `write_gift`."""
    quiz = ET.Element("quiz")
    quiz.append(ET.Comment(f" Questions with their answers, written by pvsim {pvsim.__version__} "))
    if category:
        named = ET.SubElement(quiz, "question", type="category")
        _text(ET.SubElement(named, "category"), f"$course$/{one_line(category)}")
    for item in items:
        quiz.append(_question(item))
    ET.indent(quiz)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ET.tostring(quiz, encoding="unicode") + "\n"


def _question(item: Item) -> ET.Element:
    kind = "numerical" if isinstance(item, NumberItem) else "multichoice"
    made = ET.Element("question", type=kind)
    _text(ET.SubElement(made, "name"), item.id)
    _html(made, "questiontext", stem_html(item))
    _html(made, "generalfeedback", as_html(item.solution))
    _plain(made, "defaultgrade", plain_number(item.points))
    _plain(made, "penalty", "0.3333333")
    _plain(made, "hidden", "0")
    _plain(made, "idnumber", item.id)
    if isinstance(item, NumberItem):
        _numbers(made, item)
    else:
        _choices(made, item)
    return made


def _numbers(made: ET.Element, item: NumberItem) -> None:
    for one in number_outcomes(item):
        answer = _answer(made, weight_of(one.share, item), "moodle_auto_format", one.value, one.feedback)
        _plain(answer, "tolerance", one.tolerance)
    units = _units(item)
    _plain(made, "unitgradingtype", "1" if item.unit_needed and units else "0")
    _plain(made, "unitpenalty", plain_number(WITHOUT_UNIT))
    _plain(made, "showunits", _TYPED_IN if units else _NOT_AT_ALL)
    _plain(made, "unitsleft", "0")
    if units:
        listed = ET.SubElement(made, "units")
        for name, per_own in units:
            unit = ET.SubElement(listed, "unit")
            _plain(unit, "multiplier", plain_number(per_own))
            _plain(unit, "unit_name", name)


def _units(item: NumberItem) -> list[tuple[str, float]]:
    """The item's unit and those with other prefixes, each with how many of it make one of the item's."""
    unit: Unit = item.unit
    if not unit.symbol:
        return []
    with speaking(item.language):
        found = [(_(unit.symbol), 1.0)]
    bases = [one for one in _PREFIXED if unit.symbol.endswith(one) and len(unit.symbol) <= len(one) + 1]
    for base in bases:
        others = [(base, 1.0), *((f"{prefix}{base}", _SIZES[prefix]) for prefix in _PREFIXED[base])]
        found += [(name, unit.size / size) for name, size in others if name != unit.symbol]
    return found


def _choices(made: ET.Element, item: ChoiceItem) -> None:
    for name, value in (("single", "true"), ("shuffleanswers", "true"), ("answernumbering", "abc")):
        _plain(made, name, value)
    for one in item.choices:
        _answer(made, weight_of(one.share, item), "html", as_html(one.text), as_html(one.feedback))


def _answer(made: ET.Element, weight: str, form: str, text: str, feedback: str) -> ET.Element:
    answer = ET.SubElement(made, "answer", fraction=weight, format=form)
    _plain(answer, "text", text)
    _html(answer, "feedback", feedback)
    return answer


def _html(made: ET.Element, name: str, html: str) -> None:
    _text(ET.SubElement(made, name, format="html"), html)


def _text(made: ET.Element, text: str) -> None:
    _plain(made, "text", text)


def _plain(made: ET.Element, name: str, text: str) -> None:
    ET.SubElement(made, name).text = text
