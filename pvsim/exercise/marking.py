"""Marks one answer: how much it is worth, whether its unit fits, and the misconception that it shows.

Numbers and units are read as everywhere in lessons (pvsim/course/play/answers.py). A units library was
tried for this and left out: it takes half a second to start, and it reads what people type by the
letters of physics, "C" as coulomb and the German "grad" as a hundredth of a right angle.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import isfinite
from typing import Literal

from pvsim.course.number.units import Unit, unit_meant
from pvsim.course.play.answers import LONGEST_ANSWER, Typed, in_unit, read_number, read_typed
from pvsim.errors import LessonError
from pvsim.exercise.given import LETTERS
from pvsim.exercise.item import ChoiceItem, Item, Misconception, NumberItem
from pvsim.exercise.own_reading import OwnValue, own_value, value_by
from pvsim.words import _, ngettext

__all__ = ["FOLLOWED", "WITHOUT_UNIT", "ItemMark", "UnitVerdict", "Verdict", "mark_answer"]

Verdict = Literal["right", "part", "wrong", "empty", "unreadable"]
UnitVerdict = Literal["", "fits", "missing", "other-kind", "unknown"]

# Two judgements, no source: what an answer keeps of its points
WITHOUT_UNIT = 0.5  # when the item asks for its unit, and it has none
FOLLOWED = 0.5  # when it follows rightly from readings that no meter would show there

_EDGE = 1.0 + 1e-12  # so that the edge itself counts


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemMark:
    """What an answer is worth.

    Parameters
    ----------
    item : str
        Id of the item.
    verdict : Verdict
    share, points, of : float
        Of the item's points; the points; how many there were to get.
    number : float or None
        As understood, in the item's unit; None for a choice, and where there is none.
    unit : UnitVerdict
        Whether the unit fits: "missing" only where the item asks for one; "other-kind" for volts where watts
        were asked for, "unknown" for what is no unit; empty where no number was read.
    idea : str
        The misconception met; empty for none.
    feedback : tuple of str
        What to tell the student, Markdown, in the item's language.
    """

    item: str
    verdict: Verdict
    share: float
    points: float
    of: float
    number: float | None = None
    unit: UnitVerdict = ""
    idea: str = ""
    feedback: tuple[str, ...] = ()


def mark_answer(item: Item, text: str, *, readings: Mapping[str, str] | None = None) -> ItemMark:
    """Mark an answer as it was typed, in the language spoken now.

    Parameters
    ----------
    item : Item
    text : str
        A number with decimal point or comma, with or without its unit; or the letter or the number, from 1,
        of a choice.
    readings : mapping of str to str, optional
        The student's own readings by name, typed in the same way; what the item does not ask for is
        passed over.
    """
    if not text.strip():
        return _mark(item, "empty", 0.0, feedback=(_("There is no answer."),))
    if isinstance(item, ChoiceItem):
        return _mark_choice(item, text)
    return _mark_number(item, text, readings or {})


def _mark_choice(item: ChoiceItem, text: str) -> ItemMark:
    bare = text.strip().strip("()[].").lower()
    letters = LETTERS[: len(item.choices)]
    numbers = [str(at + 1) for at in range(len(letters))]
    if len(bare) == 1 and bare in letters:
        chosen = item.choices[letters.index(bare)]
    elif bare in numbers:
        chosen = item.choices[numbers.index(bare)]
    else:
        said = _("“{text}” is none of the answers: a letter from a to {last} was asked for.")
        return _mark(item, "unreadable", 0.0, feedback=(said.format(text=text[:20], last=letters[-1]),))
    return _mark(
        item, _verdict(chosen.share), chosen.share, idea=chosen.idea, feedback=_told(chosen.feedback)
    )


def _mark_number(item: NumberItem, text: str, readings: Mapping[str, str]) -> ItemMark:
    try:
        typed = read_typed(text, item.unit)
    except LessonError as error:
        return _mark(item, "unreadable", 0.0, feedback=(str(error),))
    unit = _unit_verdict(typed, item)
    number = in_unit(typed, item.unit)
    own, said = _own(item, readings)
    if number is None:
        return _mark(item, "wrong", 0.0, unit=unit, feedback=(_wrong_unit(typed, item, unit), *said))
    found = replace(_judged(item, number, own), number=number, unit=unit)
    share = found.share
    if unit == "missing" and share > 0.0:
        share *= WITHOUT_UNIT
        said = (*said, _("The unit is missing."))
    if own is not None and own.strange and share > 0.0:
        share *= FOLLOWED
    return replace(
        found,
        share=share,
        points=share * item.points,
        verdict=_verdict(share),
        feedback=(*found.feedback, *said),
    )


def _judged(item: NumberItem, number: float, own: OwnValue | None) -> ItemMark:
    """What a number is worth, its unit and readings aside."""
    value = item.value if own is None else own.value
    leeway = item.tolerance if own is None else max(item.tolerance, own.uncertainty)
    off = abs(number - value)
    if off <= leeway * _EDGE:
        return _mark(item, "right", 1.0)
    widened = leeway - item.tolerance  # by what the readings leave open
    met = [(abs(number - far), one) for one, far in _mistakes(item, own)]
    near = [pair for pair in met if pair[0] <= (pair[1].tolerance + widened) * _EDGE and pair[0] < off]
    if near:
        nearest, one = min(near, key=lambda pair: pair[0])
        # A share of one that is the answer itself lies beside each misconception that is near 0 %.
        apart = abs(number - value / 100)
        if one.share == 0.0 and apart < nearest and _is_share(item, number, value, leeway):
            return _slip(item, number, value, leeway)
        return _mark(item, _verdict(one.share), one.share, idea=one.idea, feedback=_told(one.feedback))
    for band in item.bands:
        if off <= (band.tolerance + widened) * _EDGE:
            return _mark(item, _verdict(band.share), band.share, feedback=(_("Near, but not near enough."),))
    return _slip(item, number, value, leeway)


def _mistakes(item: NumberItem, own: OwnValue | None) -> list[tuple[Misconception, float]]:
    found = []
    for one in item.misconceptions:
        own_far = value_by(one.formula, item, own.readings) if own is not None and one.formula else one.value
        found.append((one, own_far))
    return [(one, far) for one, far in found if isfinite(far)]


def _slip(item: NumberItem, number: float, value: float, leeway: float) -> ItemMark:
    """Slips that can be made with any number: its sign, its power of ten, a share in place of per cent."""
    if _is_share(item, number, value, leeway):
        idea = _("a share of one, where per cent were asked for")
        told = _("Per cent are hundredths: the number is right when it is a hundred times as large.")
        return _mark(item, "wrong", 0.0, idea=idea, feedback=(told,))
    if value and abs(-number - value) <= leeway * _EDGE:
        return _mark(
            item, "wrong", 0.0, idea=_("the wrong sign"), feedback=(_("The size is right, the sign is not."),)
        )
    for factor in (1e3, 1e-3):
        if value and abs(number * factor - value) <= min(leeway, abs(value) / 10) * _EDGE:
            idea, told = (
                _("a prefix slipped"),
                _("The digits are right, the power of ten is not: mind m, k and M."),
            )
            return _mark(item, "wrong", 0.0, idea=idea, feedback=(told,))
    return _mark(item, "wrong", 0.0)


def _is_share(item: NumberItem, number: float, value: float, leeway: float) -> bool:
    """Whether a number is right as a share of one, where per cent were asked for."""
    return item.unit.name == "%" and abs(number) < 1 and abs(100 * number - value) <= leeway * _EDGE


def _own(item: NumberItem, given: Mapping[str, str]) -> tuple[OwnValue | None, tuple[str, ...]]:
    """What follows from the readings given, and what is to be said of them."""
    if not item.readings:
        return None, ()
    known: dict[str, float] = {}
    said: list[str] = []
    for one in item.readings:
        text = given.get(one.name, "").strip()
        if not text:
            continue
        try:
            known[one.name] = read_number(text, one.unit)
        except LessonError as error:
            said.append(_("The reading {name}: {problem}").format(name=one.name, problem=error))
    missing = [one.name for one in item.readings if one.name not in known]
    if missing:
        told = ngettext(
            "The reading {names} is missing; the answer is held against what is there.",
            "The readings {names} are missing; the answer is held against what is there.",
            len(missing),
        )
        return None, (*said, told.format(names=", ".join(missing)))
    own = own_value(item, known)
    if not isfinite(own.value) or not isfinite(own.uncertainty):
        return None, (
            _("Nothing can be computed from these readings; the answer is held against what is there."),
        )
    if own.strange:
        told = ngettext(
            "No meter would show the reading {names} there: look where it was taken.",
            "No meter would show the readings {names} there: look where they were taken.",
            len(own.strange),
        )
        said.append(told.format(names=", ".join(own.strange)))
    return own, tuple(said)


def _unit_verdict(typed: Typed, item: NumberItem) -> UnitVerdict:
    if not typed.unit:
        return "missing" if item.unit_needed else "fits"
    meant = unit_meant(typed.unit)
    if meant is None:
        return "unknown"
    return "other-kind" if in_unit(typed, item.unit) is None else "fits"


def _wrong_unit(typed: Typed, item: NumberItem, unit: UnitVerdict) -> str:
    wanted = _symbol(item.unit)
    if unit == "unknown":
        said = _("“{typed}” is no unit; asked for was a number in {wanted}.")
    else:
        said = _("{typed} measures something else; asked for was a number in {wanted}.")
    return said.format(typed=typed.unit[:LONGEST_ANSWER], wanted=wanted)


def _symbol(unit: Unit) -> str:
    return _(unit.symbol) if unit.symbol else _("no unit")


def _verdict(share: float) -> Verdict:
    return "right" if share >= 1.0 else "part" if share > 0.0 else "wrong"


def _told(feedback: str) -> tuple[str, ...]:
    return (feedback,) if feedback else ()


def _mark(
    item: Item,
    verdict: Verdict,
    share: float,
    *,
    unit: UnitVerdict = "",
    idea: str = "",
    feedback: tuple[str, ...] = (),
) -> ItemMark:
    return ItemMark(
        item=item.id,
        verdict=verdict,
        share=share,
        points=share * item.points,
        of=item.points,
        unit=unit,
        idea=idea,
        feedback=feedback,
    )
