"""A search that is over: what was hidden, what of the answer is right, what each reading could have told."""

from __future__ import annotations

from typing import Any

from pvsim.app.field.change_rows import fault_text
from pvsim.app.field.log_rows import act_title
from pvsim.app.field.vote_rows import votes_values
from pvsim.app.session.field_work import FieldWork
from pvsim.app.words import _
from pvsim.array.place import describe_place
from pvsim.field.search.answer import Answer, Judgement
from pvsim.field.search.debrief import Debrief, LineTold, Verdict
from pvsim.field.search.family import ANSWERS
from pvsim.field.search.score import score_of
from pvsim.field.search.telling import describe_act, describe_answered, describe_look
from pvsim.field.search.transcript import Line
from pvsim.numbers import format_fixed, format_percent

__all__ = ["debrief_values"]

STRANGE = 0.5  # rather not explained than explained
SAID_bit = 0.005  # less is 0.00


def debrief_values(work: FieldWork) -> dict[str, Any]:
    """What the desk tells of it, as far as that is worked out; {} before it is over.

    Returns
    -------
    dict
        `head`, one sentence; `rows` of label and text; `lines`, one for each of the log: `minute`, `what`,
        `told`, `share` (0 to 1, for a bar), `then`, `better`; `best`, lines of the computed best search;
        `votes`, how a class had voted on what was read; `working`, whether more comes; `failed`, one sentence
        where that could not be worked out.
    """
    told = work.debrief or work.so_far
    if told is None:
        return {}
    rows = [*_hidden_rows(told, work.answers), *_figure_rows(told)]
    if told.unsafe:
        rows.append([_("Unsafe acts refused"), format_fixed(told.unsafe)])
    if told.hints:
        rows.append([_("Hints taken"), format_fixed(told.hints)])
    best = work.debrief.best.transcript.lines if work.debrief is not None else ()
    return {
        "head": _("Found.") if told.solved else _("Not found this time."),
        "solved": told.solved,
        "rows": rows,
        "lines": [_line(line, one) for line, one in zip(work.transcript.lines, told.lines, strict=False)],
        "best": [
            _("minute {minute}: {act}").format(minute=format_fixed(line.end_min), act=describe_act(line.act))
            for line in best
        ],
        "votes": votes_values(work),
        "working": work.debrief is None and not work.undone,
        "failed": _failed(work.undone),
    }


def _failed(why: str) -> str:
    """That the debrief could not be worked out, why, and what to do; "" where it could."""
    if not why:
        return ""
    return _(
        "What the readings could have told was not worked out, because {why}; your answer is kept, and you "
        "can have it worked out again."
    ).format(why=why)


def _figure_rows(told: Verdict) -> list[list[str]]:
    """Minutes, score and how sure; before the best search is known, minutes alone."""
    if not isinstance(told, Debrief):
        return [[_("Minutes"), format_fixed(told.minutes)]]
    score = score_of(told)
    return [
        [
            _("Minutes"),
            _("{mine}; the computed best search needs {best}").format(
                mine=format_fixed(told.minutes), best=format_fixed(told.best_minutes)
            ),
        ],
        [_("Score"), _("{points} of 100").format(points=format_fixed(score.points))],
        [
            _("How sure"),
            _("off by {brier} (Brier score: 0 is best, 0.25 is a coin, 1 is sure and wrong)").format(
                brier=format_fixed(score.brier, decimals=2)
            ),
        ],
    ]


def _hidden_rows(debrief: Verdict, answers: tuple[Answer, ...]) -> list[list[str]]:
    rows = []
    for fault, judgement in zip(debrief.faults, debrief.judgements, strict=True):
        rows.append([_("What was hidden"), fault_text(fault)])
        rows.append([_("What of it you have"), _right_text(judgement)])
    given = [
        _("{kind}, {place}").format(kind=_(ANSWERS[one.kind].title), place=describe_place(one.place))
        for one in answers
    ]
    rows.append([_("Your answer"), "; ".join(given)])
    return rows


def _right_text(judgement: Judgement) -> str:
    parts = [
        (_("kind"), judgement.kind),
        (_("family"), judgement.family),
        (_("string"), judgement.string),
        (_("module"), judgement.module),
        (_("substring"), judgement.substring),
    ]
    return ", ".join(f"{name} {'✓' if right else '✗'}" for name, right in parts if right is not None)


def _line(line: Line, told: LineTold) -> dict[str, Any]:
    text = ""
    if line.refused:
        text = _("refused")
    elif told.better is not None:
        text = _told(told)
    better, rate, mine = "", _bit(told.better_rate_bit_min), _bit(told.rate_bit_min)
    if told.better is not None and told.better_rate_bit_min > 1.05 * told.rate_bit_min and rate != mine:
        better = _("{look}: {better} a minute against {mine}").format(
            look=describe_look(told.better), better=rate, mine=mine
        )
    kind_and_place = "; ".join(describe_answered(one) for one in told.likeliest)
    return {
        "minute": format_fixed(line.end_min),
        "what": act_title(line.act) if line.act.kind == "hint" else describe_act(line.act),
        "told": text,
        "share": round(told.share, 3),
        "then": _("{answer} ({share})").format(
            answer=kind_and_place, share=format_percent(told.share, decimals=0)
        )
        if told.better is not None
        else "",
        "better": better,
    }


def _told(told: LineTold) -> str:
    """What a reading told; where nothing that may be hidden explains it, that."""
    figures = {"gained": _bit(told.gained_bit), "expected": _bit(told.expected_bit)}
    if told.unexplained < STRANGE:
        return _("told {gained}; {expected} was to be expected").format(**figures)
    if told.gained_bit < SAID_bit:
        return _(
            "nothing that may be hidden here explains this reading, so it told nothing; {expected} was to be "
            "expected"
        ).format(**figures)
    return _(
        "told {gained}; {expected} was to be expected; nothing that may be hidden here explains all of it"
    ).format(**figures)


def _bit(value: float) -> str:
    return format_fixed(value, _("bit"), decimals=2)
