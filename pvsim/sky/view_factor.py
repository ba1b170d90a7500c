"""View factors in two dimensions, between strips that run on without end, by crossed strings.

A strip is seen from its end, as a segment from one point to another. It radiates to its left: who goes
round a room against the clock has the room on the left. Unhindered, with the strings pulled tight between
the ends (H. C. Hottel; in every textbook of radiation)

    F = (crossed - uncrossed) / (2 L)

Where other strips stand between, the first one is cut at every point from which two ends of the others
are seen in one line. From all of a piece the same ends bound what is seen, each such pair of ends is a
pair of strings, and the sum over pieces and pairs is exact: the integral of the sine of the angle at
which an end is seen is the change of the distance to it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from pvsim.sky.checks import points, refuse
from pvsim.sky.floats import ArrayLike, Floats
from pvsim.words import _

MOST_OBSTRUCTIONS = 40
_NOTHING = 1e-12  # of the first segment's length


def view_factor(first: ArrayLike, second: ArrayLike, obstructions: Sequence[ArrayLike] = ()) -> float:
    """Share of what one segment's left side radiates that reaches another's left side.

    Parameters
    ----------
    first, second : (2, 2)
        Start and end, each x and y, in m. What of one lies behind the other does not see it.
    obstructions : sequence of (2, 2)
        Other segments, opaque from both sides; they may touch the two.

    Returns
    -------
    float
        0 to 1. Times the first one's length it is the same both ways.

    Raises
    ------
    SkyError
        If a segment has no length or is no pair of finite points, or there are too many.

    Notes
    -----
    Crossed strings (H. C. Hottel), piece by piece as said at the top of this file.
    """
    if len(obstructions) > MOST_OBSTRUCTIONS:
        refuse("len(obstructions)", len(obstructions), _("at most {most}").format(most=MOST_OBSTRUCTIONS))
    one, two = _segment(first, "first"), _segment(second, "second")
    others = [_segment(other, "obstructions") for other in obstructions]
    length = float(np.hypot(*(one[1] - one[0])))
    before, target = _left_part(one, two), _left_part(two, one)
    if before is None or target is None:
        return 0.0
    ahead = [part for part in (_left_part(other, one) for other in others) if part is not None]
    hiding = [part for part in (_left_part(other, two) for other in ahead) if part is not None]
    ends = np.concatenate([target, *hiding])
    seen = sum(_seen(a, b, target, hiding) for a, b in _pieces(before, ends, _NOTHING * length))
    return float(min(max(seen / length, 0.0), 1.0))


def _segment(values: ArrayLike, name: str) -> Floats:
    segment = points(values, name, shape=(2, 2))
    if np.hypot(*(segment[1] - segment[0])) <= 0.0:
        refuse(name, values, _("two points that lie apart"), _("Leave out a segment without length"))
    return segment


def _left_of(point: Floats, line: Floats) -> float:
    """How far a point is to the left of a line, in m."""
    along = line[1] - line[0]
    x, y = point - line[0]
    return float((along[0] * y - along[1] * x) / np.hypot(*along))


def _left_part(segment: Floats, line: Floats) -> Floats | None:
    """What of a segment lies to the left of a line, in its own sense; None if nothing does."""
    a, b = (_left_of(end, line) for end in segment)
    none = _NOTHING * float(np.hypot(*(segment[1] - segment[0])))
    if a <= none and b <= none:
        return None
    if a >= 0.0 and b >= 0.0:
        return segment
    cut = segment[0] + a / (a - b) * (segment[1] - segment[0])
    return np.stack([cut, segment[1]] if a < 0.0 else [segment[0], cut])


def _pieces(segment: Floats, ends: Floats, least: float) -> list[tuple[Floats, Floats]]:
    """The segment cut where two of the ends are seen in one line."""
    along = segment[1] - segment[0]
    length = float(np.hypot(*along))
    cuts = [0.0, 1.0]
    for i, end in enumerate(ends):
        for other in ends[:i]:
            way = other - end
            across = float(along[0] * way[1] - along[1] * way[0])
            if abs(across) > 1e-15 * length * float(np.hypot(*way)):
                x, y = end - segment[0]
                cuts.append(float((x * way[1] - y * way[0]) / across))
    shares = sorted(share for share in cuts if 0.0 <= share <= 1.0)
    places = [segment[0] + share * along for share in shares]
    spans = zip(shares, shares[1:], places, places[1:], strict=False)
    return [(a, b) for low, high, a, b in spans if (high - low) * length > least]


def _seen(a: Floats, b: Floats, target: Floats, hiding: list[Floats]) -> float:
    """What a piece sees of the target times the piece's length; the same ends bound it from all of it."""
    tangent = (b - a) / np.hypot(*(b - a))
    middle = (a + b) / 2.0

    def sine(end: Floats) -> float:
        return float((end - middle) @ tangent / np.hypot(*(end - middle)))

    def string(end: Floats) -> float:  # the integral of the sine along the piece
        return float(np.hypot(*(end - a)) - np.hypot(*(end - b)))

    low, high = sorted(target, key=sine)
    total, reached = 0.0, low
    for near, far in sorted((sorted(part, key=sine) for part in hiding), key=lambda part: sine(part[0])):
        if sine(near) >= sine(high):
            break
        if sine(near) > sine(reached):
            total += string(near) - string(reached)
        if sine(far) > sine(reached):
            reached = far
    if sine(reached) < sine(high):
        total += string(high) - string(reached)
    return 0.5 * total
