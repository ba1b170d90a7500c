"""The sheet that is handed out: nothing of a key, and of a solution only the ends of its axes."""

from __future__ import annotations

from collections.abc import Sequence

import pvsim
from pvsim.exercise.given import GivenItem, given_of
from pvsim.exercise.paper.document import (
    Block,
    Caution,
    Document,
    Grid,
    Heading,
    Options,
    Picture,
    Prose,
    Together,
    Writing,
)
from pvsim.exercise.paper.parts import Part
from pvsim.exercise.paper.picture import draw_blank
from pvsim.files.provenance import one_line, provenance
from pvsim.numbers import format_setting
from pvsim.words import _, ngettext, voltage_symbol

__all__ = ["KEY_ROWS", "answer_room", "document_of", "key_symbols", "points_of", "state_names", "work_sheet"]

KEY_ROWS = 5  # Isc, Voc, Imp, Vmp, Pmp


def work_sheet(
    parts: Sequence[Part], *, title: str, language: str, who: str = "", case: str = ""
) -> Document:
    """A work sheet, in the language spoken now.

    Parameters
    ----------
    parts : sequence of Part
    title : str
        Of the lesson or the scenario.
    language : str
        Its code.
    who, case : str
        Printed on its lines; empty lines are filled in by hand.
    """
    return document_of(
        _("Work sheet"), [_handed_out(one) for one in parts], parts, title, language, who, case
    )


def document_of(
    kind: str,
    blocks: Sequence[tuple[Block, ...]],
    parts: Sequence[Part],
    title: str,
    language: str,
    who: str,
    case: str,
) -> Document:
    """Blocks with what stands above and below them."""
    names = list(dict.fromkeys(one.scene.finish.title for one in parts))
    version, _scenario, *limits = provenance(names[0])
    scenarios = _("Scenario: {title}").format(title=", ".join(one_line(_(name)) for name in names))
    fields = ((_("Name"), one_line(who)), (_("Date"), ""))
    return Document(
        kind=kind,
        title=one_line(title),
        language=language,
        fields=(*fields, (_("Case"), case)) if case else fields,
        parts=tuple(blocks),
        notes=(f"{version}. {scenarios}", *limits),
        foot=f"pvsim {pvsim.__version__} · {kind}: {one_line(title)}",
    )


def points_of(part: Part) -> str:
    """Points as they stand beside a question; a lesson's own are not counted."""
    item = part.asked
    if item is None or part.does or part.seen is not None:
        return ""
    points = format_setting(item.points)
    return ngettext("{n} point", "{n} points", 1 if item.points == 1.0 else 2).format(n=points)


def state_names(part: Part) -> tuple[str, str]:
    """What the array before and after are called."""
    if part.scene.tells_finish:
        return _("in good order"), _("as it is")
    return _("before"), _("after")


def key_symbols() -> tuple[tuple[str, str], ...]:
    """Symbols of the figures that are read off, with their units."""
    u = voltage_symbol()
    return (("I~sc~", "A"), (f"{u}~oc~", "V"), ("I~mp~", "A"), (f"{u}~mp~", "V"), ("P~mp~", "W"))


def _handed_out(part: Part) -> tuple[Block, ...]:
    asked = None if part.asked is None else given_of(part.asked)
    seen = None if part.seen is None else given_of(part.seen)
    beside = points_of(part)
    found: list[Block] = [Heading(text=part.title, beside=beside)]
    if part.told:
        found.append(Prose(text=part.told))
    if asked is not None:
        found.append(Prose(text=asked.stem))
    said = [part.told, part.does]
    for one in (asked, seen):
        if one is not None:
            said += [one.stem, *one.choices, *(ask for _name, ask, _unit in one.readings)]
    drawing, caption = draw_blank(part.scene, said)
    found.append(Picture(drawing=drawing, caption=caption))
    if asked is not None and asked.readings:
        found += [Caution(text=one) for one in part.cautions]
        found.append(_readings(asked))
    reason = Writing(label=_("Reason"), lines=3)
    if asked is None:
        found.append(Together(blocks=(_key_figures(part), reason)))
        found += [Caution(text=one) for one in part.cautions]
        return tuple(found)
    room = answer_room(asked, _("My prediction"))
    found.append(Together(blocks=(Heading(text=_("Prediction"), level=3), *room, reason)))
    then: list[Block] = []
    if part.does or seen is not None:
        then.append(Heading(text=_("At the bench"), level=3))
        if not asked.readings:
            then += [Caution(text=one) for one in part.cautions]
        then += [Prose(text=part.does)] if part.does else []
        if seen is not None:
            then += [Prose(text=seen.stem)] if seen.stem else []
            then += answer_room(seen, _("I read"))
    elif not asked.readings:
        found += [Caution(text=one) for one in part.cautions]
    if then:
        found.append(Together(blocks=tuple(then)))
    found.append(_key_figures(part))
    return tuple(found)


def answer_room(given: GivenItem, label: str) -> list[Block]:
    """Where the answer goes: a blank with its unit, or the choices with a box each."""
    if given.choices:
        return [Options(texts=given.choices)]
    return [Writing(label=label, unit=given.unit)]


def _readings(given: GivenItem) -> Grid:
    rows = tuple((f"**{name}**", ask, "", unit) for name, ask, unit in given.readings)
    return Grid(
        caption=_("My readings"),
        columns=("", _("what is read"), _("reading"), _("unit")),
        rows=rows,
        shares=(0.1, 0.5, 0.25, 0.15),
    )


def _key_figures(part: Part) -> Grid:
    """The figures that one reads off a curve, to be filled in."""
    if part.scene.start is None:
        columns: tuple[str, ...] = ("", _("predicted"), _("read"), _("unit"))
        shares: tuple[float, ...] = (0.2, 0.3, 0.3, 0.2)
    else:
        was, _now = state_names(part)
        columns = ("", was, _("after, predicted"), _("after, read"), _("difference"), _("unit"))
        if part.scene.tells_finish:
            columns = ("", was, _("predicted"), _("read"), _("difference"), _("unit"))
        shares = (0.1, 0.17, 0.22, 0.23, 0.18, 0.1)
    rows = tuple((name, *[""] * (len(columns) - 2), unit) for name, unit in key_symbols())
    return Grid(caption=_("Key figures, read off the curves"), columns=columns, rows=rows, shares=shares)
