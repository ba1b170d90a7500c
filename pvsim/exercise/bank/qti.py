"""Questions as IMS QTI 2.1: a package with a manifest and a file for each item.

Its schema would let a tolerance "abc" pass, and relative tolerances fail for negative answers; so tolerances
are absolute, and tests read the numbers again. Names of elements and attributes from memory.
"""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as ET
import zipfile
from collections.abc import Iterable, Sequence

from pvsim.errors import FileError
from pvsim.exercise.bank.outcome import number_outcomes, plain_number, stem_html
from pvsim.exercise.item import ChoiceItem, Item, NumberItem
from pvsim.exercise.wording import as_html

__all__ = ["qti_item", "write_qti"]

QTI = "http://www.imsglobal.org/xsd/imsqti_v2p1"
PACKAGE = "http://www.imsglobal.org/xsd/imscp_v1p1"
_SCHEMA = "http://www.w3.org/2001/XMLSchema-instance"
_LONG_AGO = (1980, 1, 1, 0, 0, 0)  # so that the same questions make the same bytes
_NO_NAME = re.compile(r"[^A-Za-z0-9_-]+")
_FOREIGN = ("target", "rel", "data-term", "class", "type")  # attributes that its XHTML does not know


def write_qti(items: Iterable[Item], title: str = "") -> bytes:
    """A content package, as the bytes of a zip file.

    Raises
    ------
    FileError
        If two items have one id.
    """
    made = [(_name(one), qti_item(one)) for one in items]
    names = [name for name, _text in made]
    if len(set(names)) != len(names):
        twice = next(one for one in names if names.count(one) > 1)
        raise FileError(
            f"two questions would be called '{twice}'", expected="ids that differ", mend="Rename one of them"
        )
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as package:
        files = [
            ("imsmanifest.xml", _manifest(names, title)),
            *((f"{name}.xml", text) for name, text in made),
        ]
        for name, text in files:
            package.writestr(zipfile.ZipInfo(name, _LONG_AGO), text.encode("utf-8"))
    return out.getvalue()


def qti_item(item: Item) -> str:
    """One question as the text of its file."""
    number = isinstance(item, NumberItem)
    root = ET.Element(
        "assessmentItem",
        {
            "xmlns": QTI,
            "xmlns:xsi": _SCHEMA,
            "xsi:schemaLocation": f"{QTI} http://www.imsglobal.org/xsd/qti/qtiv2p1/imsqti_v2p1.xsd",
            "identifier": _name(item),
            "title": item.id,
            "adaptive": "false",
            "timeDependent": "false",
            "xml:lang": item.language,
        },
    )
    kind = "float" if number else "identifier"
    declared = ET.SubElement(
        root, "responseDeclaration", identifier="RESPONSE", cardinality="single", baseType=kind
    )
    right = plain_number(item.value) if isinstance(item, NumberItem) else _right(item)
    ET.SubElement(ET.SubElement(declared, "correctResponse"), "value").text = right
    for name, base, default in (
        ("SCORE", "float", "0"),
        ("MAXSCORE", "float", plain_number(item.points)),
        ("FEEDBACK", "identifier", "none"),
    ):
        outcome = ET.SubElement(
            root, "outcomeDeclaration", identifier=name, cardinality="single", baseType=base
        )
        ET.SubElement(ET.SubElement(outcome, "defaultValue"), "value").text = default
    body = ET.SubElement(root, "itemBody")
    body.extend(_elements(stem_html(item)))
    cases = _numbers(body, item) if isinstance(item, NumberItem) else _choices(body, item)
    _processing(root, item, cases, number)
    for at, (_value, _tolerance, _share, feedback) in enumerate(cases, start=1):
        if feedback:
            told = ET.SubElement(
                root, "modalFeedback", outcomeIdentifier="FEEDBACK", showHide="show", identifier=f"answer{at}"
            )
            told.extend(_elements(feedback))
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ET.tostring(root, encoding="unicode") + "\n"


_Case = tuple[str, str, float, str]  # value, tolerance, share, feedback


def _numbers(body: ET.Element, item: NumberItem) -> list[_Case]:
    line = ET.SubElement(body, "p")
    ET.SubElement(line, "textEntryInteraction", responseIdentifier="RESPONSE", expectedLength="12")
    solution = as_html(item.solution)
    return [(one.value, one.tolerance, one.share, one.feedback or solution) for one in number_outcomes(item)]


def _choices(body: ET.Element, item: ChoiceItem) -> list[_Case]:
    asked = ET.SubElement(
        body, "choiceInteraction", responseIdentifier="RESPONSE", shuffle="true", maxChoices="1"
    )
    cases: list[_Case] = []
    for at, one in enumerate(item.choices, start=1):
        choice = ET.SubElement(asked, "simpleChoice", identifier=f"choice{at}")
        choice.extend(_elements(as_html(one.text)))
        cases.append((f"choice{at}", "", one.share, as_html(one.feedback)))
    return cases


def _processing(root: ET.Element, item: Item, cases: Sequence[_Case], number: bool) -> None:
    """The first case that fits decides."""
    condition = ET.SubElement(ET.SubElement(root, "responseProcessing"), "responseCondition")
    for at, (value, tolerance, share, _feedback) in enumerate(cases, start=1):
        branch = ET.SubElement(condition, "responseIf" if at == 1 else "responseElseIf")
        if number:
            test = ET.SubElement(
                branch, "equal", toleranceMode="absolute", tolerance=f"{tolerance} {tolerance}"
            )
        else:
            test = ET.SubElement(branch, "match")
        ET.SubElement(test, "variable", identifier="RESPONSE")
        ET.SubElement(test, "baseValue", baseType="float" if number else "identifier").text = value
        for name, base, set_to in (
            ("SCORE", "float", plain_number(share * item.points)),
            ("FEEDBACK", "identifier", f"answer{at}"),
        ):
            outcome = ET.SubElement(branch, "setOutcomeValue", identifier=name)
            ET.SubElement(outcome, "baseValue", baseType=base).text = set_to


def _right(item: ChoiceItem) -> str:
    return f"choice{next(at for at, one in enumerate(item.choices, start=1) if one.share == 1.0)}"


def _elements(html: str) -> list[ET.Element]:
    """HTML as elements; what was rendered here closes every tag."""
    found = list(ET.fromstring(f"<div>{html}</div>"))
    for one in (below for top in found for below in top.iter()):
        for name in _FOREIGN:
            one.attrib.pop(name, None)
    return found


def _name(item: Item) -> str:
    return "q-" + _NO_NAME.sub("-", item.id)


def _manifest(names: Sequence[str], title: str) -> str:
    root = ET.Element("manifest", {"xmlns": PACKAGE, "identifier": "pvsim-questions"})
    metadata = ET.SubElement(root, "metadata")
    ET.SubElement(metadata, "schema").text = "QTIv2.1 Package"
    ET.SubElement(metadata, "schemaversion").text = "1.0.0"
    ET.SubElement(root, "organizations")
    listed = ET.SubElement(root, "resources")
    for name in names:
        one = ET.SubElement(
            listed, "resource", identifier=name, type="imsqti_item_xmlv2p1", href=f"{name}.xml"
        )
        ET.SubElement(one, "file", href=f"{name}.xml")
    if title:
        root.insert(0, ET.Comment(f" {title.replace('--', '-')} "))
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ET.tostring(root, encoding="unicode") + "\n"
