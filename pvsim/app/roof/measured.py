"""What was measured, as the drawing tells it: the last reading at each module, and the last of all.

What became another on the bench since then makes a reading one of before the change, and it is told so.
"""

from __future__ import annotations

from dataclasses import dataclass

from pvsim.app.session.bench_change import change_between
from pvsim.app.session.field_work import FieldWork
from pvsim.app.session.reading_text import not_done_text, reading_texts
from pvsim.app.words import _
from pvsim.array.place import Place, describe_place, level_of
from pvsim.array.scenario import Scenario
from pvsim.field.search.safety import REFUSALS

__all__ = ["Measured", "latest_text", "measured_at", "measured_values"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """The last reading at a module.

    Parameters
    ----------
    place : Place
    text : str
    outdated : bool
        Whether the bench was changed since.
    """

    place: Place
    text: str
    outdated: bool


def measured_at(work: FieldWork, bench: Scenario) -> list[Measured]:
    """The last reading at each module, of one module alone."""
    last: dict[Place, tuple[int, str]] = {}
    for number, line in enumerate(work.transcript.lines):
        place, alone = line.act.place, line.act.last in (0, line.act.place.module)
        if level_of(place) == "module" and alone and line.found and line.act.kind != "picture":
            last[place] = number, reading_texts(line.found[-1].reading)[0]
    since = _unchanged_since(work, bench) if last else 0
    return [
        Measured(place=place, text=text, outdated=number < since) for place, (number, text) in last.items()
    ]


def measured_values(found: list[Measured]) -> list[tuple[dict[str, int], str, bool]]:
    """The same for static/roof/measured.js."""
    return [
        ({"string": one.place.string or 1, "module": one.place.module or 1}, one.text, one.outdated)
        for one in found
    ]


def latest_text(work: FieldWork, bench: Scenario) -> str:
    """The last line, where it read something or was refused: for whoever has the drawing in view alone."""
    lines = work.transcript.lines
    if not lines:
        return ""
    line = lines[-1]
    if line.refused:
        return f"{not_done_text(line.act)}. {_(REFUSALS[line.refused].sentence)}"
    if not line.found:
        return ""
    read = "; ".join(" ".join(reading_texts(one.reading)) for one in line.found)
    text = _("{place}: {value}").format(place=describe_place(line.act.place), value=read)
    if _unchanged_since(work, bench) < len(lines):
        return text
    return _("{text} (before the change)").format(text=text)


def _unchanged_since(work: FieldWork, bench: Scenario) -> int:
    """Number of the first line that was read on the bench as it is now; if none was, of the next line."""
    if work.case is not None:
        return 0
    count = len(work.transcript.lines)
    if change_between(work.measured, bench, count) is not None:
        return count
    return work.changes[-1].line if work.changes else 0
