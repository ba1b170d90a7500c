"""One question with its key: what is asked, what is right, what each wrong answer tells.

Hand-outs, marking and question banks all work from these values, whether an item comes from a lesson's own
question or from an exercise with new numbers. All texts are Markdown with their numbers filled in. Nothing
that a student is given is made from an Item: that is a `GivenItem` (pvsim/exercise/given.py).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from pvsim.array.checks import finite, refuse, text, truth, tuple_of, whole
from pvsim.course.number.units import Unit
from pvsim.prompt import summary
from pvsim.words import _

__all__ = [
    "MOST_POINTS",
    "Band",
    "ChoiceItem",
    "Item",
    "ItemChoice",
    "ItemReading",
    "Misconception",
    "NumberItem",
]

MOST_POINTS = 100.0
MOST_DECIMALS = 6
LONGEST_TEXT = 8_000
LONGEST_ID = 120
LARGEST = 1e12  # no quantity of a lesson comes near it


@dataclass(frozen=True, slots=True, kw_only=True)
class Misconception:
    """A wrong number that tells what somebody was thinking.

    Parameters
    ----------
    value, tolerance : float
        In the item's unit: what they answer, and how far off is still meant.
    idea, feedback : str
        The idea behind it in a few words, and what to tell who has it.
    share : float
        Of the points, that such an answer is worth; 0 to 1.
    formula : str
        The number from the student's own readings, as of the item; empty where it has none.
    """

    value: float
    tolerance: float
    idea: str
    feedback: str
    share: float = 0.0
    formula: str = ""

    def __post_init__(self) -> None:
        finite(self, "value", least=-LARGEST, most=LARGEST)
        finite(self, "tolerance", least=0.0, most=LARGEST)
        finite(self, "share", least=0.0, most=1.0)
        text(self, "idea", most=LONGEST_TEXT)
        text(self, "feedback", most=LONGEST_TEXT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Answers that are near, and what they are worth.

    Parameters
    ----------
    tolerance : float
        How far off, in the item's unit.
    share : float
        Of the points; 0 to 1.
    """

    tolerance: float
    share: float

    def __post_init__(self) -> None:
        finite(self, "tolerance", least=0.0, most=LARGEST)
        finite(self, "share", least=0.0, most=1.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemReading:
    """A reading that a student takes, and works on with.

    Parameters
    ----------
    name : str
        As the item's formula has it.
    ask : str
        What is read.
    unit : Unit
    value : float
        What is there, in `unit`.
    meter : str
        Key of a meter of `pvsim.field.kit.KIT`, whose stated limits it has; or empty.
    limit : float
        How far it may be off where no meter is named, in `unit`.
    """

    name: str
    ask: str
    unit: Unit
    value: float
    meter: str = ""
    limit: float = 0.0

    def __post_init__(self) -> None:
        finite(self, "value", least=-LARGEST, most=LARGEST)
        finite(self, "limit", least=0.0, most=LARGEST)
        text(self, "ask", most=LONGEST_TEXT)


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberItem:
    """A question that is answered with a number.

    Parameters
    ----------
    id : str
        Stays what it is for ever: "diode/half-cells/predict".
    language : str
        Of its texts.
    stem : str
        What is asked.
    points : float
        For a right answer.
    value, tolerance : float
        The right number, and how far off still counts in full, in `unit`. The tolerance is absolute.
    unit : Unit
    decimals : int
        With which the number is written where it is shown.
    bands : tuple of Band
        Partial credit beyond the tolerance; each wider than the one before, and worth less.
    misconceptions : tuple of Misconception
    unit_needed : bool
        Whether a number without its unit loses a part of the points.
    readings : tuple of ItemReading
        Of the student's own, that the answer is computed from.
    formula : str
        The number from these, in SI units, each by `$` and its name; empty where there are none.
    solution : str
        The way to the answer; may be empty.

    Raises
    ------
    ScenarioError
        If a value cannot be.
    """

    id: str
    language: str
    stem: str
    points: float = 1.0
    value: float
    tolerance: float
    unit: Unit
    decimals: int
    bands: tuple[Band, ...] = ()
    misconceptions: tuple[Misconception, ...] = ()
    unit_needed: bool = False
    readings: tuple[ItemReading, ...] = ()
    formula: str = ""
    solution: str = ""

    __repr__ = summary

    def __post_init__(self) -> None:
        _check_common(self)
        finite(self, "value", least=-LARGEST, most=LARGEST)
        finite(self, "tolerance", least=0.0, most=LARGEST)
        whole(self, "decimals", least=0, most=MOST_DECIMALS)
        tuple_of(self, "bands", Band, most=6)
        tuple_of(self, "misconceptions", Misconception, most=12)
        tuple_of(self, "readings", ItemReading, most=6)
        truth(self, "unit_needed")
        steps = [(self.tolerance, 1.0), *((one.tolerance, one.share) for one in self.bands)]
        if any(near[0] >= far[0] or near[1] <= far[1] for near, far in pairwise(steps)):
            refuse(self, "bands", self.bands, _("each wider than the one before it, and worth less"))
        if bool(self.readings) != bool(self.formula):
            refuse(self, "formula", self.formula, _("one where there are readings, and none elsewhere"))


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemChoice:
    """One of several answers.

    Parameters
    ----------
    text : str
    share : float
        Of the points: 1 for the right one; a wrong one may be worth a part, or cost one. -1 to 1.
    idea, feedback : str
        The misconception behind it (empty for the right one), and what to tell who chose it.
    """

    text: str
    share: float
    idea: str = ""
    feedback: str = ""

    def __post_init__(self) -> None:
        finite(self, "share", least=-1.0, most=1.0)
        for name in ("text", "idea", "feedback"):
            text(self, name, most=LONGEST_TEXT)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoiceItem:
    """A question that is answered by choosing one of several answers; fields as of NumberItem.

    Raises
    ------
    ScenarioError
        If not exactly one choice is worth all points.
    """

    id: str
    language: str
    stem: str
    points: float = 1.0
    choices: tuple[ItemChoice, ...]
    solution: str = ""

    __repr__ = summary

    def __post_init__(self) -> None:
        _check_common(self)
        tuple_of(self, "choices", ItemChoice, least=2, most=12)
        right = sum(one.share == 1.0 for one in self.choices)
        if right != 1:
            refuse(self, "choices", right, _("exactly one that is worth all points"))


Item = NumberItem | ChoiceItem


def _check_common(item: Item) -> None:
    text(item, "id", most=LONGEST_ID)
    text(item, "stem", most=LONGEST_TEXT)
    text(item, "solution", most=LONGEST_TEXT)
    finite(item, "points", least=0.0, most=MOST_POINTS)
