"""The solution, a document of its own: the same axes with their curves, the answers, the five levels."""

from __future__ import annotations

from collections.abc import Sequence

from pvsim.array.place import describe_place
from pvsim.exercise.given import LETTERS
from pvsim.exercise.item import ChoiceItem, Item, NumberItem
from pvsim.exercise.paper.document import Block, Document, Grid, Heading, Options, Picture, Prose
from pvsim.exercise.paper.parts import Part
from pvsim.exercise.paper.picture import draw_solved
from pvsim.exercise.paper.scene import figures_of, part_shown, rungs_of
from pvsim.exercise.paper.work_sheet import KEY_ROWS, document_of, key_symbols, points_of, state_names
from pvsim.numbers import decimals_for, format_fixed, format_percent
from pvsim.reading.levels import Rung
from pvsim.words import _, mark

__all__ = ["solution_sheet"]

_LEVELS = {
    "cell": mark("cell"),
    "substring": mark("substring"),
    "module": mark("module"),
    "string": mark("string"),
    "array": mark("array"),
}


def solution_sheet(
    parts: Sequence[Part],
    *,
    title: str,
    language: str,
    who: str = "",
    case: str = "",
    brief: bool = False,
) -> Document:
    """The solution of the work sheet with the same parts, in the language spoken now.

    Parameters
    ----------
    parts, title, language, who, case
        As of the work sheet.
    brief : bool
        Whether the tables are left out that no answer needs: key figures, and the five levels.
    """
    blocks = [(*_solved(one), *(() if brief else _tables(one))) for one in parts]
    return document_of(_("Solution"), blocks, parts, title, language, who, case)


def _solved(part: Part) -> tuple[Block, ...]:
    beside = points_of(part)
    found: list[Block] = [Heading(text=part.title, beside=beside)]
    if part.told:
        found.append(Prose(text=part.told))
    if part.asked is not None:
        found += [Prose(text=part.asked.stem), *_answered(part.asked)]
    drawing, caption = draw_solved(part.scene, _said(part))
    found.append(Picture(drawing=drawing, caption=caption))
    if part.seen is not None:
        stem = [Prose(text=part.seen.stem)] if part.seen.stem else []
        found += [Heading(text=_("At the bench"), level=3), *stem, *_answered(part.seen)]
    if part.explained:
        found += [Heading(text=_("Explanation"), level=3), Prose(text=part.explained)]
    return tuple(found)


def _tables(part: Part) -> tuple[Block, ...]:
    found = (_key_figures(part), _five_levels(rungs_of(part.scene), part))
    return tuple(one for one in found if one is not None)


def _said(part: Part) -> list[str]:
    """Every text of it, for the drawing to have the numbers that they name."""
    found = [part.told, part.explained]
    for item in (part.asked, part.seen):
        if item is not None:
            found += [item.stem, item.solution]
        if isinstance(item, ChoiceItem):
            found += [text for one in item.choices for text in (one.text, one.feedback)]
        if isinstance(item, NumberItem):
            found += [text for one in item.misconceptions for text in (one.idea, one.feedback)]
    return found


def _answered(item: Item) -> list[Block]:
    """The answer, the way to it, and what wrong answers tell."""
    found: list[Block] = []
    if isinstance(item, ChoiceItem):
        right = next(at for at, one in enumerate(item.choices) if one.share == 1.0)
        found.append(Options(texts=tuple(one.text for one in item.choices), right=right))
    else:
        found.append(Prose(text=f"**{_answer(item)}**"))
    if item.solution:
        found.append(Prose(text=item.solution))
    table = _misconceptions(item)
    return [*found, *([table] if table.rows else [])]


def _answer(item: NumberItem) -> str:
    unit = _(item.unit.symbol) if item.unit.symbol else ""
    value = format_fixed(item.value, unit, decimals=item.decimals)
    leeway = format_fixed(item.tolerance, unit, decimals=min(item.decimals + 1, 6))
    said = [_("Answer: {value} ± {tolerance}").format(value=value, tolerance=leeway)]
    for band in item.bands:
        near = format_fixed(band.tolerance, unit, decimals=min(item.decimals + 1, 6))
        share = format_percent(band.share, decimals=0)
        said.append(_("within {tolerance}: {share} of the points").format(tolerance=near, share=share))
    return "; ".join(said)


def _misconceptions(item: Item) -> Grid:
    rows: list[tuple[str, ...]] = []
    if isinstance(item, ChoiceItem):
        for letter, choice in zip(LETTERS, item.choices, strict=False):
            if choice.share != 1.0:
                rows.append((letter, choice.idea, choice.feedback, format_percent(choice.share, decimals=0)))
    else:
        unit = _(item.unit.symbol) if item.unit.symbol else ""
        for one in item.misconceptions:
            value = format_fixed(one.value, unit, decimals=item.decimals)
            rows.append((value, one.idea, one.feedback, format_percent(one.share, decimals=0)))
    columns: tuple[str, ...] = (_("answer"), _("idea behind it"), _("feedback"), _("points"))
    shares: tuple[float, ...] = (0.14, 0.24, 0.52, 0.1)
    worth = {row[-1] for row in rows} - {format_percent(0.0, decimals=0)}
    if not worth:  # nothing to tell where none is worth anything
        rows, columns, shares = [row[:-1] for row in rows], columns[:-1], (0.14, 0.26, 0.6)
    return Grid(caption=_("Misconceptions"), columns=columns, rows=tuple(rows), shares=shares)


def _key_figures(part: Part) -> Grid | None:
    figures = figures_of(part.scene)[:KEY_ROWS]
    if not figures:
        return None
    rows: list[tuple[str, ...]] = []
    for (name, unit), one in zip(key_symbols(), figures, strict=True):
        now = format_fixed(one.now, decimals=one.decimals)
        if one.before is None:
            rows.append((name, now, unit))
            continue
        before = format_fixed(one.before, decimals=one.decimals)
        change = format_fixed(one.now - one.before, decimals=one.decimals, sign=True)
        rows.append((name, before, now, change, unit))
    place = describe_place(part_shown(part.scene))
    caption = _("Key figures of {place}").format(place=place)
    if len(rows[0]) == 3:
        return Grid(
            caption=caption,
            columns=("", _("value"), _("unit")),
            rows=tuple(rows),
            shares=(0.4, 0.4, 0.2),
        )
    columns = ("", *state_names(part), _("difference"), _("unit"))
    return Grid(caption=caption, columns=columns, rows=tuple(rows), shares=(0.2, 0.22, 0.22, 0.22, 0.14))


def _five_levels(found: tuple[Rung, ...], part: Part) -> Grid | None:
    if not found:
        return None
    before, after = state_names(part)
    rows = []
    for one in found:
        was = one.before_W
        decimals = decimals_for(max(abs(one.now_W), abs(was or 0.0)))
        now = format_fixed(one.now_W, decimals=decimals)
        if was is None:
            rows.append((_(_LEVELS[one.level]), describe_place(one.place), "–", now, "–", "–"))
            continue
        earlier = format_fixed(was, decimals=decimals)
        change = format_fixed(one.now_W - was, decimals=decimals, sign=True)
        share = _percent((one.now_W - was) / was) if was > 1e-3 else "–"
        rows.append((_(_LEVELS[one.level]), describe_place(one.place), earlier, now, change, share))
    return Grid(
        caption=_("Five levels: power at work, where the array holds each part"),
        columns=(_("level"), _("part"), f"{before} W", f"{after} W", _("difference W"), _("in %")),
        rows=tuple(rows),
        shares=(0.14, 0.34, 0.13, 0.13, 0.13, 0.13),
        numbers=4,
    )


def _percent(share: float) -> str:
    decimals = 0 if abs(share) >= 1.0 else 1 if abs(share) >= 0.01 else 3
    return format_percent(share, decimals=decimals, sign=True)
