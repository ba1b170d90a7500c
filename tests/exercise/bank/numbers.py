"""What a bank that was read back by somebody else is held against."""

from __future__ import annotations

from pvsim.course.number.units import UNITS
from pvsim.exercise import Band, Misconception
from tests.exercise.samples import choice_item, number_item, power_item

AWKWARD = 'Is ~tilde = {brace} #hash : colon \\\\ back\n\n$5 -> **100 %**? // `a` <b> & "c" V~oc~'


def awkward_items():
    """Items whose texts hold whatever means something in a format, and numbers of all sizes and signs."""
    wrong = Misconception(
        value=-4.2e-5, tolerance=1e-6, idea="a", feedback="No: ~ = # { } \\\\ }", share=0.25
    )
    small = number_item(
        id="small", stem=AWKWARD, value=-3.1e-5, tolerance=1e-6, bands=(Band(tolerance=5e-6, share=1 / 3),),
        misconceptions=(wrong,), solution="Because: {#}",
    )  # fmt: skip
    large = number_item(
        id="large",
        stem="Read:\n\n```\none\n\ntwo\n```",
        value=1234567.25,
        tolerance=1000.0,
        bands=(),
        misconceptions=(),
        points=0.5,
    )
    german = number_item(id="german", language="de", value=0.5, tolerance=0.05, bands=(), misconceptions=())
    unit = number_item(id="unit", value=0.6, tolerance=0.01, unit=UNITS["V"], unit_needed=True, bands=(),
                       misconceptions=())  # fmt: skip
    return [small, large, german, unit, power_item(id="own"), choice_item(id="choice", stem=AWKWARD)]


def worth(answers, number):
    """What the first answer that fits is worth; 0 where none does."""
    return next((share for value, tolerance, share in answers if abs(number - value) <= tolerance), 0.0)


def hold(items, answers_of, exact=1e-6):
    """Every number item is worth at the platform what pvsim's own marking says, at many numbers."""
    hold_marks(items, lambda name, number: worth(answers_of[name], number))
    for item in _marked(items):
        value, tolerance, _share = answers_of[item.id][0]
        assert abs(value - item.value) <= exact * abs(item.value)
        assert abs(tolerance - item.tolerance) <= exact * item.tolerance


def hold_marks(items, share_at):
    """The same of a platform that marks by itself: share_at(name of an item, number answered)."""
    from pvsim.exercise import mark_answer

    for item in _marked(items):
        reach = [item.tolerance, *(one.tolerance for one in item.bands)]
        tried = [
            item.value + sign * part * one
            for one in reach
            for sign in (-1, 1)
            for part in (0, 0.5, 0.99, 1.01)
        ]
        tried += [one.value for one in item.misconceptions] + [-item.value, item.value * 1000.0, 0.0]
        for number in tried:
            mark = mark_answer(item, f"{number:.9f}" + (f" {item.unit.symbol}" if item.unit_needed else ""))
            assert abs(share_at(item.id, number) - mark.share) < 1e-4, (item.id, number)


def _marked(items):
    from pvsim.exercise import NumberItem

    return [item for item in items if isinstance(item, NumberItem) and not item.readings]
