"""What a click or Space applies, as one word: "shade:0.2", "mend", "cell-open", "cell-cracked:0.5"."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.array.fault_kind import FAULT_KINDS, fault_kind
from pvsim.errors import ScenarioError, nearest
from pvsim.numbers import short_number
from pvsim.words import _

__all__ = ["Condition", "parse_condition"]


@dataclass(frozen=True, slots=True)
class Condition:
    """A kind and its size.

    Parameters
    ----------
    kind : str
        "shade", "mend", or a key of FAULT_KINDS.
    size : float or None
        The transmission left by a shade, or the size of a fault; None for its usual size.
    """

    kind: str
    size: float | None = None


def parse_condition(text: str) -> Condition:
    """Read a condition.

    Raises
    ------
    ScenarioError
        If the kind is not known or the size is not in its range.
    """
    kind, colon, number = text.partition(":")
    try:
        size = float(number) if colon else None
    except ValueError:
        raise ScenarioError(
            _("“{text}” has a size that is not a number").format(text=text[:40]),
            expected=_("a condition such as shade:0.2"),
            mend=_("Write the size as digits with a decimal point"),
        ) from None
    if kind == "mend" and size is None:
        return Condition(kind)
    if kind == "shade":
        _check(text, size, 0.0, 1.0)
        return Condition(kind, size)
    if kind not in FAULT_KINDS:
        raise ScenarioError(
            _("“{text}” is no condition").format(text=text[:40]),
            expected=_("shade, mend or a kind of fault"),
            mend=nearest(kind[:40], ["shade", "mend", *FAULT_KINDS]),
        )
    known = fault_kind(kind)
    if size is not None:
        _check(text, size, known.least, known.most)
    return Condition(kind, size)


def _check(text: str, size: float | None, least: float, most: float) -> None:
    if size is None or not least <= size <= most:
        raise ScenarioError(
            _("the condition “{text}” has a size that cannot be").format(text=text[:40]),
            expected=_("a number from {least} to {most}").format(
                least=short_number(least), most=short_number(most)
            ),
            mend=_("Choose a size in this range"),
        )
