"""What was measured, as the drawing tells it: the last reading at each module, and the last of all."""

from __future__ import annotations

from pvsim.app.session.reading_text import not_done_text, reading_texts
from pvsim.app.words import _
from pvsim.array.place import describe_place, level_of
from pvsim.field.search.safety import REFUSALS
from pvsim.field.search.transcript import Transcript

__all__ = ["latest_text", "measured_texts"]


def measured_texts(transcript: Transcript) -> list[tuple[dict[str, int], str]]:
    """The last reading at each module, of one module alone, with its place."""
    last: dict[tuple[int, int], str] = {}
    for line in transcript.lines:
        place, alone = line.act.place, line.act.last in (0, line.act.place.module)
        if level_of(place) == "module" and alone and line.found and line.act.kind != "picture":
            last[place.string or 1, place.module or 1] = reading_texts(line.found[-1].reading)[0]
    return [({"string": string, "module": module}, text) for (string, module), text in last.items()]


def latest_text(transcript: Transcript) -> str:
    """The last line, where it read something or was refused: for whoever has the drawing in view alone."""
    line = transcript.lines[-1] if transcript.lines else None
    if line is None:
        return ""
    if line.refused:
        return f"{not_done_text(line.act)}. {_(REFUSALS[line.refused].sentence)}"
    if not line.found:
        return ""
    read = "; ".join(" ".join(reading_texts(one.reading)) for one in line.found)
    return _("{place}: {value}").format(place=describe_place(line.act.place), value=read)
