"""QTI 2.1, read back by a reader of its own that follows the response processing branch by branch.

The published schema is in no package that is known to us: test_qti_engine.py holds the files to what others
quote of it. What a schema would let pass, the numbers, is read again here.
"""

from __future__ import annotations

import io
import xml.etree.ElementTree as ET
import zipfile

import pytest

from pvsim.errors import FileError
from pvsim.exercise import NumberItem
from pvsim.exercise.bank import write_qti
from pvsim.words import speaking
from tests.exercise.bank.numbers import awkward_items, hold
from tests.exercise.samples import choice_item, number_item, shipped

QTI = "{http://www.imsglobal.org/xsd/imsqti_v2p1}"
ORDER = ("responseDeclaration", "outcomeDeclaration", "itemBody", "responseProcessing", "modalFeedback")


def read_back(data):
    """Items by title, as the manifest names their files."""
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        assert package.testzip() is None
        manifest = ET.fromstring(package.read("imsmanifest.xml"))
        files = [one.get("href") for one in manifest.iter() if one.tag.endswith("}resource")]
        assert sorted([*files, "imsmanifest.xml"]) == sorted(package.namelist())
        items = [ET.fromstring(package.read(one)) for one in files]
    return {one.get("title"): one for one in items}


def answers_of(item):
    """(value, tolerance, share) by branch; an "equal" is absolute, with two numbers that agree."""
    most = float(
        item.find(f"{QTI}outcomeDeclaration[@identifier='MAXSCORE']/{QTI}defaultValue/{QTI}value").text
    )
    found = []
    for branch in item.find(f"{QTI}responseProcessing/{QTI}responseCondition"):
        test = branch.find(f"{QTI}equal")
        assert test.get("toleranceMode") == "absolute"
        low, high = map(float, test.get("tolerance").split())
        assert low == high > 0
        score = float(branch.find(f"{QTI}setOutcomeValue[@identifier='SCORE']/{QTI}baseValue").text)
        found.append((float(test.find(f"{QTI}baseValue").text), low, score / most))
    return found


@pytest.mark.parametrize("language", ["en", "de"])
def test_numbers_are_worth_there_what_they_are_worth_here(language):
    with speaking(language):
        items = [*awkward_items(), *shipped(2, language).values()]
        found = read_back(write_qti(items, "a -- title"))
    assert len(found) == len(items)
    numbers = [one for one in items if isinstance(one, NumberItem)]
    hold(numbers, {one.id: answers_of(found[one.id]) for one in numbers})
    for one in numbers:
        correct = found[one.id].find(f"{QTI}responseDeclaration/{QTI}correctResponse/{QTI}value").text
        assert float(correct) == pytest.approx(one.value, rel=1e-9)


def test_a_choice_has_its_shares_and_each_its_own_feedback():
    (item,) = read_back(write_qti([choice_item(points=4.0)])).values()
    scores = [
        float(one.text)
        for one in item.iterfind(f".//{QTI}setOutcomeValue[@identifier='SCORE']/{QTI}baseValue")
    ]
    assert scores == [0.0, 4.0, 2.0]
    told = {one.get("identifier"): "".join(one.itertext()) for one in item.findall(f"{QTI}modalFeedback")}
    assert told == {"answer1": "Look again.", "answer2": "Yes.", "answer3": "Nearly."}
    assert len(item.findall(f".//{QTI}simpleChoice")) == 3


def test_parts_stand_in_the_order_that_the_standard_has():
    for item in read_back(write_qti(awkward_items())).values():
        tags = [one.tag.removeprefix(QTI) for one in item]
        assert tags == sorted(tags, key=ORDER.index)
        body = item.find(f"{QTI}itemBody")
        assert body is not None
        assert all(one.tag.startswith(QTI) for one in body.iter())
        assert not any(name in one.attrib for one in body.iter() for name in ("target", "rel", "class"))


def test_the_same_questions_make_the_same_bytes():
    assert write_qti(awkward_items()) == write_qti(awkward_items())


def test_two_questions_of_one_name_are_refused():
    with pytest.raises(FileError, match="two questions"):
        write_qti([number_item(), number_item()])
