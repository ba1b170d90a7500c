"""Would you notice, on one axis: every meter at a place, its effect in units of what it may be off by.

The axis is the ratio d / U of an effect and its expanded uncertainty U = k u, from one decade to the next
beyond one tenth and even within:

    t(x) = sign(x) log10(1 + |x| / 0.1)

A row has a lane for each comparison, and in each lane the bands of the verdict: within them an effect is not
noticed, beyond them it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import copysign, log10

import numpy as np

from pvsim.array.place import Place, describe_place
from pvsim.field.meter import COVERAGE
from pvsim.field.meter_words import against_words, meter_words, notice_words
from pvsim.field.notice import NOTICED, Notice
from pvsim.field.rule import RULES, Chances
from pvsim.field.survey import Sight, best_of, notices_of
from pvsim.files.figure.axis import Axis, Tick, tick_text
from pvsim.files.figure.model import Band, Caption, Entry, Figure, Panel, Point, Trace
from pvsim.files.provenance import one_line, provenance
from pvsim.numbers import format_number, format_setting
from pvsim.words import _, ngettext

__all__ = ["notice_figure", "noticed_sentence"]

_EVEN = 0.1  # of U: within it the axis is about even
_LEAST = 3.0  # of U: as far as the axis reaches on either side
_MOST = 1e6  # and what lies farther is drawn there
_LANE = 0.36  # of a line of type: from the middle of a lane to its edges
_ROLES = {False: "current", True: "power"}  # of marks, by whether they are beside a neighbour
_DASHES: dict[float, tuple[float, ...]] = {5.0: (), 2.0: (2.0, 2.0)}


def noticed_sentence(sights: Sequence[Sight]) -> str:
    """How many of the meters would notice, and which tells most."""
    best = best_of(sights)
    if best is None:
        return ""
    meters, words = len(sights), notice_words(best)
    sure = sum("changed" in {one.verdict for one in notices_of([sight])} for sight in sights)
    if sure:
        said = ngettext(
            "Of {meters} meter {sure} would notice; best: {best}.",
            "Of {meters} meters {sure} would notice; best: {best}.",
            meters,
        )
    elif best.verdict != "unchanged":
        said = ngettext(
            "Of {meters} meter none would notice; nearest to it: {best}, {ratio} of what it may be off by.",
            "Of {meters} meters none would notice; nearest to it: {best}, {ratio} of what it may be off by.",
            meters,
        )
    else:
        said = ngettext(
            "Of {meters} meter none would notice: it cannot show so small a change.",
            "Of {meters} meters none would notice: none can show so small a change.",
            meters,
        )
    ratio = format_number(abs(best.ratio), digits=2)
    return said.format(meters=meters, sure=sure, best=words, ratio=ratio)


def notice_figure(sights: Sequence[Sight], place: Place, *, title: str) -> Figure:
    """The figure of a survey.

    Parameters
    ----------
    sights : sequence of Sight
        Of one place, at least one.
    title : str
        Of the scenario.
    """
    version, scenario, *limits = provenance(title)
    said = noticed_sentence(sights)
    heading = _("Would you notice? Meters at {place}").format(place=describe_place(place))
    return Figure(
        heading=heading,
        said=said,
        legend=_legend(sights),
        panels=(_panel(sights),),
        notes=(
            _("U covers 95 % of what reading and comparison may be off by (k = {k}).").format(
                k=format_setting(COVERAGE)
            ),
            f"{version}. {scenario}",
            *limits,
        ),
        title=one_line(f"{heading}, {_(title)}"),
        description=" ".join([said, *map(_told, sights)]),
    )


def _told(sight: Sight) -> str:
    """One row, for those who cannot see it."""
    parts = [
        _("{against} {ratio}, {verdict}").format(
            against=against_words(beside=one.neighbour is not None),
            ratio=format_number(one.ratio, digits=2),
            verdict=_(NOTICED[one.verdict]),
        )
        for one in notices_of([sight])
    ]
    return f"{meter_words(sight.probe.what)}: {'; '.join(parts)}."


def _legend(sights: Sequence[Sight]) -> tuple[Entry, ...]:
    beside = any(sight.beside for sight in sights)
    ruled = any(sight.alone_rules for sight in sights)
    points = [Entry(text=against_words(beside=False), role=_ROLES[False], point="round")]
    if beside:
        points.append(Entry(text=against_words(beside=True), role=_ROLES[True], point="diamond"))
    bands = [
        Entry(text=_("filled: changed"), role="ink", point="round"),
        Entry(text=_(NOTICED["changed-unless-meter-errs"]), role="faint", band=True),
        Entry(text=_(NOTICED["cannot-be-told"]), role="middle", band=True, hatched=True),
        Entry(text=_(NOTICED["unchanged"]), role="before", band=True),
    ]
    rules = [
        Entry(
            text=_("{percent} % lower").format(percent=format_setting(one)), role="ink", dash=_DASHES[one]
        )
        for one in RULES
        if ruled
    ]
    return (*points, *bands, *rules)


def _panel(sights: Sequence[Sight]) -> Panel:
    """Rows from the top, each a line for its name and one for each lane."""
    lanes = 2 if any(sight.beside for sight in sights) else 1
    height = len(sights) * (1.0 + lanes) + 0.3
    ratios = [one.ratio for one in notices_of(sights)]
    least, most = _reach(max(-one for one in ratios)), _reach(max(ratios))
    bands: list[Band] = []
    traces: list[Trace] = []
    points: list[Point] = []
    captions: list[Caption] = []
    y = height
    for sight in sights:
        captions.append(Caption(y=y - 0.6, text=meter_words(sight.probe.what)))
        pairs = ((sight.alone, sight.alone_rules), (sight.beside, sight.beside_rules))
        for lane, (notice, rules) in enumerate(pairs, start=1):
            if notice is not None:
                at = y - lane - 0.5
                bands += _bands(notice, at)
                traces += [_rule(notice, one, at) for one in rules if _falls(notice, one) >= -least]
                points.append(_point(notice, at, -least, most))
        y -= 1.0 + lanes
    return Panel(
        across=_axis(-least, most),
        up=Axis(least=0.0, most=height),
        traces=tuple(traces),
        points=tuple(points),
        bands=tuple(bands),
        captions=tuple(captions),
        lines=height * 1.15,
    )


def _even(ratio: float) -> float:
    """Where a ratio lies on the axis."""
    return copysign(log10(1.0 + abs(ratio) / _EVEN), ratio)


def _reach(farthest: float) -> float:
    """How far one side of the axis reaches, in U: to the decade beyond what lies farthest there."""
    if farthest <= 0.8 * _LEAST:
        return _LEAST
    return min(_MOST, float(10.0 ** np.ceil(log10(1.1 * farthest))))


def _axis(least: float, most: float) -> Axis:
    decades = [10.0**k for k in range(7)]
    sets = ([0.1, *decades], decades, decades[::2], decades[:1])
    ladder = [
        tuple(
            Tick(value=_even(one), text=tick_text(one))
            for one in (*(-size for size in reversed(sizes)), 0.0, *sizes)
            if least <= one <= most
        )
        for sizes in sets
    ]
    title = _("effect / U (expanded uncertainty)")
    return Axis(least=_even(least), most=_even(most), title=title, ladder=tuple(ladder))


def _bands(notice: Notice, at: float) -> list[Band]:
    """Of the verdicts, the widest first."""
    by_itself = notice.random_uncertainty / notice.uncertainty
    a_step = 0.5 * notice.step / notice.expanded_uncertainty
    edges = [(1.0, "faint", False), (by_itself, "middle", True), (min(a_step, 1.0), "before", False)]
    return [
        Band(across=(-_even(edge), _even(edge)), up=(at - _LANE, at + _LANE), role=role, hatched=hatched)
        for edge, role, hatched in edges
    ]


def _falls(notice: Notice, rule: Chances) -> float:
    """Where a rule lies: the effect it asks for, in U."""
    return -rule.percent / 100.0 * abs(rule.compared) / notice.expanded_uncertainty


def _rule(notice: Notice, rule: Chances, at: float) -> Trace:
    x = _even(_falls(notice, rule))
    dash = _DASHES[rule.percent]
    ends = np.array([at - _LANE, at + _LANE])
    return Trace(x=np.array([x, x]), y=ends, role="ink", width=1.6, dash=dash)


def _point(notice: Notice, at: float, least: float, most: float) -> Point:
    beside = notice.neighbour is not None
    return Point(
        x=_even(min(max(notice.ratio, least), most)),
        y=at,
        role=_ROLES[beside],
        radius=5.0 if beside else 4.0,
        hollow=notice.verdict != "changed",
        shape="diamond" if beside else "round",
    )
