"""Would anybody notice? What a change does to each reading beside how well it is known: figure, tables."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pvsim.app.words import _
from pvsim.array.place import Place, describe_place, level_of
from pvsim.array.solution import ArraySolution
from pvsim.circuit import budget
from pvsim.errors import OvertimeError
from pvsim.field.meter import COVERAGE
from pvsim.field.meter_words import against_words, meter_words
from pvsim.field.notice import NOTICED, Notice
from pvsim.field.notice_figure import notice_figure, noticed_sentence
from pvsim.field.rule import RULES, Chances
from pvsim.field.survey import Sight, survey
from pvsim.files.figure.sheet import Sheet, lay_out_bare
from pvsim.files.figure.svg import write_inline_svg
from pvsim.numbers import format_fixed, format_percent, format_setting, unit_symbol

__all__ = ["notice_shown", "notice_tables", "sights_at"]

LONGEST_S = 1.0  # that anybody waits for it
_MOST_DECIMALS = 3
_SHEET = Sheet(width=390.0)  # the page shows it as wide as it has room for, its type with it
_LARGE = Sheet(width=440.0, type_scale=1.4)
_RARE = 0.005  # a smaller chance is not written as none at all


def sights_at(solution: ArraySolution, earlier: ArraySolution | None, place: Place) -> tuple[Sight, ...]:
    """What the meters that can be put at a place would make of the change; none without one to compare with.

    Parameters
    ----------
    solution, earlier : ArraySolution
        As it is, and as it should be.
    place : Place
        The whole array, a string or a module; meters can be put nowhere else.
    """
    if earlier is None or earlier is solution or level_of(place) not in ("array", "string", "module"):
        return ()
    try:
        with budget.within(LONGEST_S):
            return survey(earlier, solution, place)
    except OvertimeError:
        return ()


def notice_shown(
    sights: Sequence[Sight], place: Place, *, title: str, large: bool = False
) -> dict[str, Any] | None:
    """What it comes to in a sentence, and the figure; None where there is nothing to show.

    Parameters
    ----------
    title : str
        Of the scenario.
    large : bool
        In large type.
    """
    if not sights:
        return None
    figure = notice_figure(sights, place, title=title)
    drawn = write_inline_svg(lay_out_bare(figure, _LARGE if large else _SHEET))
    return {"said": noticed_sentence(sights), "figure": drawn, "large": large}


def notice_tables(sights: Sequence[Sight], place: Place) -> list[dict[str, Any]]:
    """The same as tables: one of the meters, one of a trained eye's rules; none where nothing is to be told.

    Returns
    -------
    list of dict
        As `curve_table` gives.
    """
    if not sights:
        return []
    heads = [_("Meter"), _("change"), against_words(beside=False), against_words(beside=True)]
    caption = _("What typical meters would notice at {place}; ± covers 95 % (k = {k})").format(
        place=describe_place(place), k=format_fixed(COVERAGE, decimals=0)
    )
    rows = [_row(sight) for sight in sights]
    groups = [(head, 1) for head in heads]
    meters = {"caption": caption, "groups": groups, "columns": [], "rows": rows, "words": True}
    return [meters, *_rule_tables(sights)]


def _row(sight: Sight) -> dict[str, Any]:
    alone, beside = sight.alone, sight.beside
    decimals = _decimals(alone)
    change = _effect(alone, decimals, unit_symbol(alone.unit))
    judged = "–" if beside is None else _judged_beside(beside, decimals)
    return {"cells": [meter_words(sight.probe.what), change, _judged(alone, decimals), judged], "name": ""}


def _effect(notice: Notice, decimals: int, unit: str = "") -> str:
    """The change, in more decimals where it would be none and is not called that."""
    while notice.verdict != "unchanged" and decimals < _MOST_DECIMALS and not round(notice.effect, decimals):
        decimals += 1
    return format_fixed(notice.effect, unit, decimals=decimals, sign=True)


def _judged(notice: Notice, decimals: int) -> str:
    """The verdict, and within what it was given: "changed (±0.21)"."""
    wide = format_fixed(notice.expanded_uncertainty, decimals=decimals)
    return _("{verdict} (±{wide})").format(verdict=_(NOTICED[notice.verdict]), wide=wide)


def _judged_beside(notice: Notice, decimals: int) -> str:
    """The same with the change of the difference, which is not the place's own: "changed (−0.33 ±0.21)"."""
    return _("{verdict} ({change} ±{wide})").format(
        verdict=_(NOTICED[notice.verdict]),
        change=_effect(notice, decimals),
        wide=format_fixed(notice.expanded_uncertainty, decimals=decimals),
    )


def _decimals(notice: Notice) -> int:
    """As many as show the uncertainty with two figures."""
    wide, decimals = notice.expanded_uncertainty, 0
    while wide < 10.0 and decimals < _MOST_DECIMALS:
        wide, decimals = 10.0 * wide, decimals + 1
    return decimals


def _rule_tables(sights: Sequence[Sight]) -> list[dict[str, Any]]:
    """How often a trained eye's rule is wrong, a row for each comparison."""
    rows = [
        {"cells": [_compared(sight, beside), *_chances(rules)], "name": ""}
        for sight in sights
        for beside, rules in ((False, sight.alone_rules), (True, sight.beside_rules))
        if rules
    ]
    if not rows:
        return []
    heads = [_("{percent} % lower").format(percent=format_setting(one)) for one in RULES]
    caption = _(
        "A trained eye's rule calls faulty what reads so much lower (common practice, no source): "
        "how often it does so to a sound array, and how often it misses this change"
    )
    groups = [(_("Meter"), 1), *((head, 2) for head in heads)]
    columns = ["", *(word for _one in RULES for word in (_("false alarm"), _("missed")))]
    return [{"caption": caption, "groups": groups, "columns": columns, "rows": rows, "words": True}]


def _compared(sight: Sight, beside: bool) -> str:
    return f"{meter_words(sight.probe.what)}, {against_words(beside=beside)}"


def _chances(rules: Sequence[Chances]) -> list[str]:
    return [_chance(one) for rule in rules for one in (rule.false_alarm, rule.missed)]


def _chance(share: float) -> str:
    """In whole per cent, and what is not quite none or all as such: "< 1 %"."""
    if 0.0 < share < _RARE:
        return f"< {format_percent(0.01, decimals=0)}"
    if 1.0 - _RARE < share < 1.0:
        return f"> {format_percent(0.99, decimals=0)}"
    return format_percent(share, decimals=0)
