"""What a student is given of an item: the question and where its answer goes, and nothing of its key."""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.exercise.item import ChoiceItem, Item
from pvsim.words import _

__all__ = ["LETTERS", "GivenItem", "given_of"]

LETTERS = "abcdefghijkl"  # of choices, in their order


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenItem:
    """A question as it is handed out; whatever prints or writes it can know no more.

    Parameters
    ----------
    id, stem : str
        As of the item; the stem is Markdown.
    points : float
    unit : str
        Symbol that belongs behind the blank; empty for a bare number, a choice, or where the student has to
        write the unit.
    choices : tuple of str
        Texts of the choices, lettered in this order; none where a number is asked for.
    readings : tuple of (str, str, str)
        What has to be read first: its name, what it is, the symbol of its unit.
    """

    id: str
    stem: str
    points: float
    unit: str = ""
    choices: tuple[str, ...] = ()
    readings: tuple[tuple[str, str, str], ...] = ()


def given_of(item: Item) -> GivenItem:
    """What of an item may be handed out, in the language spoken now."""
    if isinstance(item, ChoiceItem):
        texts = tuple(one.text for one in item.choices)
        return GivenItem(id=item.id, stem=item.stem, points=item.points, choices=texts)
    return GivenItem(
        id=item.id,
        stem=item.stem,
        points=item.points,
        unit="" if item.unit_needed or not item.unit.symbol else _(item.unit.symbol),
        readings=tuple((one.name, one.ask, _(one.unit.symbol)) for one in item.readings),
    )
