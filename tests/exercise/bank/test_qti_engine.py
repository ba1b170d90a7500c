"""QTI 2.1, marked by the engine of others and held to what it quotes of the published schema."""

from __future__ import annotations

import io
import xml.etree.ElementTree as ET
import zipfile

import pytest

from pvsim.exercise import ChoiceItem, NumberItem
from pvsim.exercise.bank import write_qti
from pvsim.words import speaking
from tests.exercise.bank import engine
from tests.exercise.bank.numbers import awkward_items, hold_marks
from tests.exercise.samples import choice_item, shipped

pytestmark = pytest.mark.filterwarnings("ignore::DeprecationWarning:pyslet")


@pytest.fixture(scope="module", autouse=True)
def pyslet():
    engine.fetch()


@pytest.mark.parametrize("language", ["en", "de"])
def test_an_engine_of_others_marks_numbers_as_pvsim_does(language, tmp_path):
    with speaking(language):
        items = [*awkward_items(), *shipped(2, language).values()]
        found = engine.engines(write_qti(items, "a -- title"), tmp_path)
    assert len(found) == len(items)
    numbers = [one for one in items if isinstance(one, NumberItem)]
    assert len(numbers) > 10
    hold_marks(numbers, lambda name, number: found[name].mark(f"{number:.12f}")[0])


def test_it_marks_choices_and_brings_each_its_feedback(tmp_path):
    items = [choice_item(points=4.0), *(one for one in shipped(2).values() if isinstance(one, ChoiceItem))]
    assert len(items) > 2
    for name, found in engine.engines(write_qti(items), tmp_path).items():
        (item,) = (one for one in items if one.id == name)
        marks = [found.mark(f"choice{k + 1}") for k in range(len(item.choices))]
        assert [share for share, _ in marks] == pytest.approx([one.share for one in item.choices])
        told = {one.identifier for one in found.item.QTIModalFeedback}
        assert [feedback in told for _, feedback in marks] == [bool(one.feedback) for one in item.choices]


def test_a_wrong_number_brings_no_feedback_and_a_misconception_its_own(tmp_path):
    (item,) = (one for one in awkward_items() if one.id == "small")
    (found,) = engine.engines(write_qti([item]), tmp_path).values()
    told = {one.identifier for one in found.item.QTIModalFeedback}
    assert found.mark("7") == (0.0, "none")
    assert "none" not in told
    assert [found.mark(f"{value:f}")[1] for value in (item.value, item.misconceptions[0].value)] == [
        "answer1", "answer2",
    ]  # fmt: skip
    assert {"answer1", "answer2"} <= told


def test_every_element_is_as_the_published_schema_has_it():
    with speaking("de"):
        items = [*awkward_items(), *shipped(2, "de").values()]
        data = write_qti(items)
    missing = set()
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        for name in package.namelist():
            if name != "imsmanifest.xml":
                missing |= engine.look_at(ET.fromstring(package.read(name)))
    assert missing == {
        # XHTML, which pyslet reads by XHTML's own rules, and a place in a line
        *("p code", "p em", "p strong", "p sub", "pre code", "p textEntryInteraction"),
        # what is quoted of classes that these stand on, under no name of theirs
        *(f"choiceInteraction {one}" for one in ("maxChoices", "responseIdentifier", "shuffle")),
        *(f"responseDeclaration {one}" for one in ("baseType", "cardinality", "identifier")),
        *(f"textEntryInteraction {one}" for one in ("expectedLength", "responseIdentifier")),
        *("correctResponse value", "simpleChoice identifier"),
    }


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ('toleranceMode="absolute"', ""),  # what must be there is not
        ('identifier="SCORE"', 'identifier="SCORE" note="1"'),  # what the schema does not know
        ("<responseIf>", "<responseElse /><responseIf>"),  # out of order
        ("</itemBody>", "<simpleChoice /></itemBody>"),  # in a place where it does not belong
    ],
)
def test_what_the_schema_does_not_let_pass_is_found(right, wrong):
    with zipfile.ZipFile(io.BytesIO(write_qti(awkward_items()[:1]))) as package:
        (name,) = (one for one in package.namelist() if one != "imsmanifest.xml")
        text = package.read(name).decode()
    engine.look_at(ET.fromstring(text))
    assert right in text
    with pytest.raises(AssertionError):
        engine.look_at(ET.fromstring(text.replace(right, wrong, 1)))
