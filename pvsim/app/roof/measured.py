"""What was measured, as the drawing writes it on the parts: the last reading at each module."""

from __future__ import annotations

from pvsim.app.session.reading_text import reading_texts
from pvsim.array.place import level_of
from pvsim.field.search.transcript import Transcript

__all__ = ["measured_texts"]


def measured_texts(transcript: Transcript) -> list[tuple[dict[str, int], str]]:
    """The last reading at each module, of one module alone, with its place."""
    last: dict[tuple[int, int], str] = {}
    for line in transcript.lines:
        place, alone = line.act.place, line.act.last in (0, line.act.place.module)
        if level_of(place) == "module" and alone and line.found and line.act.kind != "picture":
            last[place.string or 1, place.module or 1] = reading_texts(line.found[-1].reading)[0]
    return [({"string": string, "module": module}, text) for (string, module), text in last.items()]
