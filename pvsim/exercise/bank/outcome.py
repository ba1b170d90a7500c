"""What a bank says of answers, however it is written: numbers with absolute tolerances, weights, words."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from pvsim.errors import FileError
from pvsim.exercise.item import Item, NumberItem
from pvsim.exercise.own_reading import own_value
from pvsim.exercise.wording import as_html
from pvsim.words import _, speaking

__all__ = ["WEIGHTS", "NumberOutcome", "number_outcomes", "plain_number", "stem_html", "weight_of"]

# Per cent that the platform of GIFT and of its own XML takes, of either sign, and no others; from memory.
WEIGHTS = (
    "100",
    "90",
    "83.33333",
    "80",
    "75",
    "70",
    "66.66667",
    "60",
    "50",
    "40",
    "33.33333",
    "30",
    "25",
    "20",
    "16.66667",
    "14.28571",
    "12.5",
    "11.11111",
    "10",
    "5",
    "0",
)
_NEAR = 2e-3  # per cent: a third may be written 0.3333


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberOutcome:
    """Numbers that are all worth the same.

    Parameters
    ----------
    value, tolerance : str
        Digits with a decimal point, in the item's unit; the tolerance is absolute.
    share : float
        Of the points.
    feedback : str
        HTML; empty for none.
    """

    value: str
    tolerance: str
    share: float
    feedback: str = ""


def number_outcomes(item: NumberItem) -> tuple[NumberOutcome, ...]:
    """What each number is worth: a platform takes the first that fits.

    A platform knows nothing of a student's own readings. Where an answer is computed from them, it is held
    against what is there, and their uncertainty is added to each tolerance.
    """
    leeway = 0.0
    if item.readings:
        leeway = own_value(item, {one.name: one.value for one in item.readings}).uncertainty
    with speaking(item.language):
        near = as_html(_("Near, but not near enough."))
    found = [
        NumberOutcome(
            value=plain_number(item.value), tolerance=plain_number(item.tolerance + leeway), share=1.0
        )
    ]
    reach = [item.value - item.tolerance - leeway, item.value + item.tolerance + leeway]
    for one in item.misconceptions:
        # A mistake is met nowhere that is nearer to the answer.
        tolerance = min(one.tolerance + leeway, abs(one.value - item.value) / 2.0)
        if reach[0] <= one.value <= reach[1]:
            continue
        found.append(
            NumberOutcome(
                value=plain_number(one.value),
                tolerance=plain_number(tolerance),
                share=one.share,
                feedback=as_html(one.feedback),
            )
        )
    for band in item.bands:
        tolerance = band.tolerance + leeway
        found.append(
            NumberOutcome(
                value=plain_number(item.value),
                tolerance=plain_number(tolerance),
                share=band.share,
                feedback=near,
            )
        )
    return tuple(found)


def plain_number(value: float) -> str:
    """Ten significant digits with a decimal point, whatever is spoken, and no power of ten."""
    digits = f"{Decimal(f'{value + 0.0:.9e}'):f}"
    return digits.rstrip("0").rstrip(".") if "." in digits else digits


def weight_of(share: float, item: Item) -> str:
    """The weight of a share, in per cent as the platform writes it.

    Raises
    ------
    FileError
        If the platform has none so large.
    """
    size = 100.0 * abs(share)
    near = min(WEIGHTS, key=lambda one: abs(float(one) - size))
    if abs(float(near) - size) > _NEAR:
        raise FileError(
            f"an answer of '{item.id}' is worth {size:g} % of its points, which this bank cannot say",
            expected="a share that is one of " + ", ".join(WEIGHTS) + " per cent",
            mend=f"Give it the share {float(near) / 100.0:g}, or write the bank as QTI",
        )
    return f"-{near}" if share < 0.0 and near != "0" else near


def stem_html(item: Item) -> str:
    """What is asked as HTML, with the unit that the answer is wanted in."""
    parts = [as_html(item.stem)]
    if isinstance(item, NumberItem):
        with speaking(item.language):
            for one in item.readings:
                parts.append(as_html(f"{one.name}: {one.ask}, {_(one.unit.symbol)}"))
            if item.unit.symbol and item.unit.name != "times":  # which the question asks for in words
                parts.append(as_html(_("Answer in {unit}.").format(unit=_(item.unit.symbol))))
    return "".join(parts)
