"""What classes of deviation and families of fault mean, each in a sentence for people."""

from __future__ import annotations

from pvsim.numbers import format_percent, significant
from pvsim.traced.ranking import Ranked, Ranking
from pvsim.traced.shape import Shape
from pvsim.traced.stranger import say_stranger
from pvsim.traced.where import say_where
from pvsim.words import _, mark

__all__ = [
    "CAUSES",
    "MEANINGS",
    "family_sentence",
    "ranking_sentence",
    "shape_sentence",
    "share_text",
    "size_text",
]

# Usual causes of each class, after IEC 62446-1 (from memory).
CAUSES: dict[Shape, str] = {
    "steps": mark("Usual causes: uneven shade or dirt, broken cells, bypass diodes that conduct."),
    "low-current": mark("Usual causes: even dirt or haze, aged cells, a light sensor that reads too high."),
    "low-voltage": mark(
        "Usual causes: bypass diodes short-circuited or conducting, a module missing, cells warmer than was "
        "measured, potential-induced shunting."
    ),
    "rounder-knee": mark("Usual causes: aged cells, or many that differ a little."),
    "slope-at-isc": mark("Usual causes: shunted cells, or light that differs a little from cell to cell."),
    "slope-at-voc": mark("Usual causes: resistance of contacts and connectors, cables too thin or too long."),
}
MEANINGS: dict[str, str] = {
    "healthy": mark("The part does what its model does."),
    "soiling": mark("Dirt takes the same share of the light everywhere, or the light sensor read too high."),
    "shaded-cell": mark(
        "A cell carries less current than the others, and the bypass diode of its substring takes over."
    ),
    "bypassed": mark(
        "A substring gives no voltage: its bypass diode is short-circuited, or a cell or ribbon in it is "
        "open and the diode carries the current."
    ),
    "series-resistance": mark("Contacts, connectors or cables take a voltage that grows with the current."),
    "shunt": mark("Current leaks past the junctions of all cells alike."),
    "module-missing": mark("The string has fewer modules than the model."),
    "string-open": mark("A string gives no current: its cable, a connector or its fuse is open."),
}


def shape_sentence(shape: Shape) -> str:
    """What usually makes a class of deviation."""
    return _(CAUSES[shape])


def family_sentence(name: str) -> str:
    """What a family of fault is; nothing for one that has no sentence."""
    return _(MEANINGS[name]) if name in MEANINGS else ""


def size_text(one: Ranked) -> str:
    """The size at which a fault fits best: "share of the light lost: 6.1 %"; nothing where it has none."""
    if one.size is None:
        return ""
    return f"{_(one.family.size_name)}: {format_percent(one.size)}"


def share_text(share: float) -> str:
    """A likelihood in per cent; one that is all but certain or impossible is not written as if it were."""
    if share < 0.001:
        return _("below {share}").format(share=format_percent(0.001))
    return _("above {share}").format(share=format_percent(0.999)) if share > 0.999 else format_percent(share)


def ranking_sentence(found: Ranking) -> str:
    """What a ranking comes to."""
    first = found.ranked[0]
    if found.stranger is not None:
        return say_stranger(found.stranger)
    if found.none_of_these and first.misfit <= found.most_misfit:
        return _(
            "None of these: even the likeliest, {family}, misses the curve in a way that noise does not; "
            "something else or something besides it is likelier."
        ).format(family=_(first.family.title))
    if found.none_of_these:
        return _(
            "None of these: even the likeliest, {family}, misses the curve by more than noise allows "
            "(misfit {misfit}, allowed {most})."
        ).format(family=_(first.family.title), misfit=_misfit(first.misfit), most=_misfit(found.most_misfit))
    if len(found.ranked) < 2:
        likeliest = _("Likeliest: {family} ({share}).").format(
            family=_(first.family.title), share=share_text(first.share)
        )
        return likeliest + _told(first)
    second = found.ranked[1]
    both = _("Likeliest: {family} ({share}). Runner-up: {second} ({second_share}).").format(
        family=_(first.family.title),
        share=share_text(first.share),
        second=_(second.family.title),
        second_share=share_text(second.share),
    )
    return both + _told(first)


def _told(one: Ranked) -> str:
    """Where it is, as a sentence to be added."""
    return "" if one.where is None else " " + say_where(one.where)


def _misfit(value: float) -> str:
    return significant(value, 3)
