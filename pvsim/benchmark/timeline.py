"""What the notes of page_watch.js say: how late curves were painted, and what waited.

A note is (what, milliseconds, number). Notes stand in the order in which the page came to them, so
an event may carry an earlier time than the note before it: it waited its turn.
"""

from __future__ import annotations

from collections.abc import Sequence

Note = tuple[str, float, int]
FIGURES = ("current", "power")


def press_to_paint_ms(notes: Sequence[Note]) -> list[float | None]:
    """For each press: from its event to the end of the paint of both figures with its result.

    Parameters
    ----------
    notes : sequence of Note

    Returns
    -------
    list of float or None
        In ms; None for a press whose result never came. Its result is the first curve that came
        with or after the answer to the first message it caused, and before the next press's own.
    """
    presses = [k for k, note in enumerate(notes) if note[0] == "pointerdown"]
    asked = [_next(notes, k, "asked") for k in presses]
    answers = [None if k is None else _answer(notes, k) for k in asked]
    found: list[float | None] = []
    for n, press in enumerate(presses):
        begin = answers[n]
        end = next((k for k in answers[n + 1 :] if k is not None), len(notes))
        curve = None if begin is None else _next(notes, begin, "curve")
        if curve is None or curve > end:
            found.append(None)
            continue
        painted = _painted_ms(notes, curve)
        found.append(None if painted is None else painted - notes[press][1])
    return found


def release_to_rest_ms(notes: Sequence[Note]) -> float | None:
    """From the last release to the end of the last paint with a new curve; 0 if that was before it.

    None when the last curve was never painted, or a message never answered.
    """
    release = _last(notes, "pointerup")
    curve = _last(notes, "curve")
    if release is None or curve is None or waiting_at_end(notes):
        return None
    painted = _painted_ms(notes, curve)
    return None if painted is None else max(0.0, painted - notes[release][1])


def most_unanswered(notes: Sequence[Note]) -> int:
    """The largest number of messages that were on their way at once."""
    most = asked = answered = 0
    for what, _at, number in notes:
        if what == "asked":
            asked = max(asked, number)
            answered = answered or number - 1
        elif what == "answered":
            answered = max(answered, number)
        most = max(most, asked - answered)
    return most


def waiting_at_end(notes: Sequence[Note]) -> bool:
    """Whether the last message was left without an answer."""
    asked, answered = _last(notes, "asked"), _last(notes, "answered")
    return asked is not None and (answered is None or notes[answered][2] < notes[asked][2])


def rate_Hz(notes: Sequence[Note], what: str) -> float:
    """How often a thing happened, from its first to its last time; 0 for fewer than two."""
    times = [at for name, at, _number in notes if name == what]
    return 1e3 * (len(times) - 1) / (times[-1] - times[0]) if len(times) > 1 else 0.0


def count(notes: Sequence[Note], what: str) -> int:
    """How often a thing happened."""
    return sum(note[0] == what for note in notes)


def _next(notes: Sequence[Note], start: int, what: str) -> int | None:
    return next((k for k in range(start, len(notes)) if notes[k][0] == what), None)


def _last(notes: Sequence[Note], what: str) -> int | None:
    return next((k for k in reversed(range(len(notes))) if notes[k][0] == what), None)


def _answer(notes: Sequence[Note], asked: int) -> int | None:
    """Where the answer stands to the message asked at `asked`, or to a later one."""
    number = notes[asked][2]
    return next(
        (k for k in range(asked, len(notes)) if notes[k][0] == "answered" and notes[k][2] >= number), None
    )


def _painted_ms(notes: Sequence[Note], curve: int) -> float | None:
    """When both figures were first painted after a curve came."""
    ends = [_next(notes, curve, figure) for figure in FIGURES]
    return max(notes[k][1] for k in ends if k is not None) if None not in ends else None
