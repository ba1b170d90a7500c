"""What an act takes besides the readings of its line: the camera's whole picture, the tracer's whole curve.

Both are of the array as it stood then, whatever becomes of it, and are worked out with the act itself.
"""

from __future__ import annotations

from dataclasses import replace

from pvsim.app.session.bench_change import change_between
from pvsim.app.session.field_work import FieldWork, Taken
from pvsim.errors import OvertimeError, PvsimError
from pvsim.field.search.act import Act
from pvsim.field.search.plant import solved
from pvsim.field.search.transcript import Line, Roof, do
from pvsim.field.thermogram import take_thermogram
from pvsim.field.trace import trace_curve

__all__ = ["done", "done_all", "with_taken"]


def done(roof: Roof, work: FieldWork, act: Act) -> FieldWork:
    """The work with one more act, done or refused, and on the bench what became another before it.

    Raises
    ------
    PvsimError
        As `do`.
    """
    transcript = do(roof, work.transcript, act).transcript
    number = len(transcript.lines) - 1
    work = replace(work, transcript=transcript)
    if work.case is None:
        change = change_between(work.measured, roof.scenario, number)
        changes = work.changes if change is None else (*work.changes, change)
        work = replace(work, measured=roof.scenario, changes=changes)
    return _with(roof, work, number)


def done_all(roof: Roof, work: FieldWork, acts: tuple[Act, ...]) -> FieldWork:
    """The work with acts one after the other, up to one that is refused.

    Raises
    ------
    PvsimError
        As `do`.
    """
    for act in acts:
        work = done(roof, work, act)
        if work.transcript.lines[-1].refused:
            break
    return work


def with_taken(roof: Roof, work: FieldWork) -> FieldWork:
    """Work that was done again from its lines alone, with the last picture and curve that it took."""
    lines = work.transcript.lines
    for kind in ("picture", "trace"):
        numbers = [number for number, line in enumerate(lines) if line.act.kind == kind and line.found]
        if numbers:
            work = _with(roof, work, numbers[-1])
    return work


def _with(roof: Roof, work: FieldWork, number: int) -> FieldWork:
    line = work.transcript.lines[number]
    if line.act.kind not in ("picture", "trace") or not line.found:
        return work
    taken = _taken(roof, line, number)
    return replace(work, picture=taken) if line.act.kind == "picture" else replace(work, curve=taken)


def _taken(roof: Roof, line: Line, number: int) -> Taken | None:
    """What the line's readings were taken from; None where a planned module was left out.

    Raises
    ------
    OvertimeError
        If it is not solved within the time given.
    """
    solution, place = solved(roof.scenario, line.plant), line.act.place
    take = take_thermogram if line.act.kind == "picture" else trace_curve
    try:
        shown = take(solution, place, serial=roof.seed, time_min=line.end_min, number=number)
    except OvertimeError:
        raise  # whoever asked has given it too little time, and will give it more
    except PvsimError:
        return None
    return Taken(number=number, place=place, shown=shown)
