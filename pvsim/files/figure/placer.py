"""Where labels stand, so that none lies on another one, on a point, or beyond the frame.

One algorithm in two forms: this one for figures that are written out, `static/shared/placer.js` for the page,
where text is measured and the plot is resized. Both give the same places to the last digit.

1.  Labels choose in the order given. A label that must stand ranks above those that need not; among equals
    the one that chooses first.
2.  A label may stand at twelve distances from its point on the sides it prefers and between them, moved into
    the frame; and where none of these is good, anywhere on a raster over the frame. One that stays near may
    stand at the least distance on its sides alone, and is moved no farther than that.
3.  A place is open if it lies within the frame, clear of every box that is taken and of every label that
    ranks higher. A label of lower rank that stands there has to choose anew.
4.  Of the open places it takes the cheapest: first the one that displaces fewest, then near to the point and
    on a side preferred; not on a line, be it a curve or a guide, and the less so the more of the line it
    would cover; and not where the way to its point leads through another label or through what is taken, nor
    where another label's way leads, which is worse than to lie on a thin line; nor where it leads across a
    line. To cross a guide is the least of these.
5.  Three rounds, then whoever was displaced or found nothing tries again, until nothing moves. If a label
    that need not stand has found but a dear place, on top of curves, the lowest in rank of these goes, and
    all choose anew.
6.  Whoever has no place by then is left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, sqrt

import numpy as np
from numpy.typing import NDArray

from pvsim.circuit.floats import Floats

__all__ = ["SIDES", "Box", "Place", "Wish", "place"]

# Right above, left above, right below, left below, above, below, right, left.
SIDES = ((1, -1), (-1, -1), (1, 1), (-1, 1), (0, -1), (0, 1), (1, 0), (-1, 0))

_BETWEEN = ((0.5, -1.0), (-0.5, -1.0), (0.5, 1.0), (-0.5, 1.0))
_GAPS = (7, 14, 24, 38, 47, 56, 68, 80, 95, 110, 127, 145)
_ROUNDS = 3
_DEAREST = 260  # what a place may cost, unless the label must stand
_WAY = (0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9)
_CROSSING, _CROSSING_GUIDE = 30, 10  # of its way by a line, and by a guide, each time
_THROUGH = 75  # words or a box that a way leads through, each time
_TOUCHED, _COVERED, _COVERED_FAR = 60, 9, 14  # for each line that it lies on; for each point of it
_CROWDED, _FAR, _STEP_px = 150, 40, 8
_CLEAR_px = 2  # between two labels, and between a label and a point
_BESIDE_px = 3  # between a line and a label's sides; above and below it its letters leave as much
_DISPLACED = 1e6  # more than anything else costs


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A rectangle in px, y down."""

    x: float
    y: float
    width: float
    height: float

    def meets(self, other: Box) -> bool:
        """Whether the two have more than an edge in common."""
        return (
            self.x < other.x + other.width
            and other.x < self.x + self.width
            and self.y < other.y + other.height
            and other.y < self.y + self.height
        )

    def grown(self, by: float) -> Box:
        """The box with a border around it."""
        return Box(x=self.x - by, y=self.y - by, width=self.width + 2 * by, height=self.height + 2 * by)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """A label that wants a place.

    Parameters
    ----------
    x, y : float
        Its point, in px.
    width, height : float
        Its size, in px.
    prefer : tuple of int
        Sides that are tried, the best first, as counted in SIDES; all of them if empty.
    must : bool
        Stands on a curve rather than nowhere, and ranks above those that need not.
    far : bool
        Keeps farther from curves.
    near : bool
        Stands beside its point or not at all.
    """

    x: float
    y: float
    width: float
    height: float
    prefer: tuple[int, ...] = ()
    must: bool = False
    far: bool = False
    near: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Place(Box):
    """Where a label stands, and what that costs."""

    cost: float


def place(
    wishes: Sequence[Wish],
    frame: Box,
    lines: Sequence[Floats] = (),
    taken: Sequence[Box] = (),
    guides: Sequence[Floats] = (),
) -> list[Place | None]:
    """Find places for labels.

    Parameters
    ----------
    wishes : sequence of Wish
        In the order in which they choose.
    frame : Box
        None leaves it.
    lines : sequence of (n, 2)
        Curves and axes, each as points a few px apart: labels keep off them where they can, and so do the
        ways to their points.
    taken : sequence of Box
        What no label may touch.
    guides : sequence of (n, 2)
        Thin or dotted lines, given as the others: labels keep off them as well, but their ways may cross.

    Returns
    -------
    list of Place or None
        One a label; None where there is no room.
    """
    kept = _sides([box.grown(_CLEAR_px) for box in taken])
    drawn = _drawn(lines, guides)
    by_rank = sorted(range(len(wishes)), key=lambda k: not wishes[k].must)
    rank = {k: n for n, k in enumerate(by_rank)}
    places: list[Place | None] = [None] * len(wishes)
    gone: set[int] = set()
    known: dict[tuple[Place | int | None, ...], Place | None] = {}  # most choose again among the same others

    def look(k: int) -> Place | None:
        others = [(one.grown(_CLEAR_px), n) for n, one in enumerate(places) if one is not None and n != k]
        higher = [box for box, n in others if rank[n] < rank[k]]
        lower = [box for box, n in others if rank[n] > rank[k]]
        leading = [_way(at, wishes[n]) for n, at in enumerate(places) if at is not None and n != k]
        ways = np.array(leading).reshape(-1, len(_WAY), 2)
        closed = np.concatenate([kept, _sides(higher)])
        about = np.concatenate([kept, _sides([box for box, _n in others])])
        return _best(wishes[k], frame, drawn, closed, lower, about, ways)

    def choose(k: int) -> bool:
        among = (k, *places[:k], *places[k + 1 :])
        if among not in known:
            known[among] = look(k)
        found = known[among]
        if found is None:
            return False
        for n, one in enumerate(places):
            if one is not None and n != k and found.meets(one.grown(_CLEAR_px)):
                places[n] = None
        places[k] = found
        return True

    while True:
        for _round in range(_ROUNDS):
            for k in range(len(wishes)):
                if k not in gone:
                    choose(k)
        while any(k not in gone and places[k] is None and choose(k) for k in by_rank):
            pass
        dear = [k for k in by_rank if not wishes[k].must and (at := places[k]) and at.cost > _DEAREST]
        if not dear:
            return places
        gone.add(dear[-1])
        places[dear[-1]] = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Drawn:
    """All lines as one: the points (n, 2), whose each is (n,), where pieces begin and end (m, 2), and what it
    costs to cross each (m,).
    """

    points: Floats
    line: NDArray[np.int_]
    starts: Floats
    ends: Floats
    costs: NDArray[np.int_]


def _drawn(lines: Sequence[Floats], guides: Sequence[Floats]) -> _Drawn:
    each = [np.asarray(one, dtype=float).reshape(-1, 2) for one in (*lines, *guides)]
    costs = [_CROSSING] * len(lines) + [_CROSSING_GUIDE] * len(guides)
    none = [np.empty((0, 2))]
    return _Drawn(
        points=np.concatenate([*none, *each]),
        line=np.repeat(np.arange(len(each)), [len(one) for one in each]),
        starts=np.concatenate([*none, *(one[:-1] for one in each)]),
        ends=np.concatenate([*none, *(one[1:] for one in each)]),
        costs=np.repeat(np.array(costs, dtype=int), [max(len(one) - 1, 0) for one in each]),
    )


def _crossed(way: Floats, drawn: _Drawn) -> int:
    """What it costs that lines cross a way; what they do at its point, where it ends, does not count."""
    here, there = way[0], way[-1]
    starts, ends = drawn.starts, drawn.ends
    by_way = (_side(here, there, starts) > 0) != (_side(here, there, ends) > 0)
    by_line = (_side(starts, ends, here) > 0) != (_side(starts, ends, there) > 0)
    return int(drawn.costs[by_way & by_line].sum())


def _side(start: Floats, end: Floats, at: Floats) -> Floats:
    """On which side of a line, from its start to its end, a place lies, by its sign."""
    along, off = end - start, at - start
    found: Floats = along[..., 0] * off[..., 1] - along[..., 1] * off[..., 0]
    return found


def _best(
    wish: Wish,
    frame: Box,
    drawn: _Drawn,
    closed: Floats,
    lower: list[Box],
    about: Floats,
    ways: Floats,
) -> Place | None:
    """The cheapest open place of one label."""
    width, height = wish.width, wish.height
    left, right = frame.x + 1, frame.x + frame.width - 4 - width
    top, bottom = frame.y, frame.y + frame.height - 1 - height
    if right < left or bottom < top:
        return None
    best: Place | None = None
    displaces = 0
    least = (inf, 0)  # what the best costs with what it displaces, and when it comes to be tried
    passed = about[~_inside(np.array([[wish.x, wish.y]]), about)]  # all but what lies on the point itself

    def consider(x: float, y: float, cost: float, turn: int) -> None:
        nonlocal best, displaces, least
        if (cost, turn) >= least:
            return
        here = Box(x=x, y=y, width=width, height=height)
        displaced = sum(here.meets(box) for box in lower)
        way = _way(here, wish)
        crossings = int(_inside(way, passed).sum())
        at_x, at_y = ways[:, :, 0], ways[:, :, 1]
        through = (at_x > x) & (at_x < x + width) & (at_y > y) & (at_y < y + height)
        cost += _THROUGH * (crossings + int(through.any(axis=1).sum()))
        if (cost + _DISPLACED * displaced, turn) >= least:
            return
        px, py = drawn.points[:, 0], drawn.points[:, 1]
        near = (px > x - _BESIDE_px) & (px < x + width + _BESIDE_px)
        covered = near & (py > y) & (py < y + height)
        touched = len(set(drawn.line[covered].tolist()))
        cost += _TOUCHED * touched + (_COVERED_FAR if wish.far else _COVERED) * int(covered.sum())
        if (cost + _DISPLACED * displaced, turn) >= least:
            return
        cost += _crossed(way, drawn)
        if (cost + _DISPLACED * displaced, turn) < least:
            best, displaces = Place(x=x, y=y, width=width, height=height, cost=cost), displaced
            least = (cost + _DISPLACED * displaced, turn)

    # What is closed is seen of many places at once. The cheapest are considered first, and beyond what the
    # best costs none is better; of equals the first in turn stays.
    lefts, tops, rights, bottoms = closed.T
    places = np.array(_beside(wish, (left, right), (top, bottom))).reshape(-1, 3)
    xs, ys = places[:, :1], places[:, 1:2]
    shut = (xs < rights) & (lefts < xs + width) & (ys < bottoms) & (tops < ys + height)
    costs = np.where(shut.any(axis=1), inf, places[:, 2])
    for k in np.argsort(costs, kind="stable").tolist():
        x, y, _cost = places[k].tolist()
        if costs[k] > least[0] or costs[k] == inf:
            break
        consider(x, y, float(costs[k]), k)
    found: Place | None = best  # what consider() has put there
    if wish.near or (found is not None and not displaces and found.cost <= _CROWDED):
        return found
    columns, rows = _steps(left, right, 2 * _STEP_px), _steps(top, bottom, _STEP_px)
    # By their columns and by their rows.
    across = (columns[:, None] < rights) & (lefts < columns[:, None] + width)
    down = (rows[:, None] < bottoms) & (tops < rows[:, None] + height)
    at_row, at_column = np.nonzero(down.astype(float) @ across.T.astype(float) == 0.0)
    x_free, y_free = columns[at_column], rows[at_row]
    to_x, to_y = x_free + width / 2 - wish.x, y_free + height / 2 - wish.y
    costs = _FAR + 0.6 * np.sqrt(to_x * to_x + to_y * to_y)
    for k in np.argsort(costs, kind="stable").tolist():
        if costs[k] > least[0]:
            break
        consider(float(x_free[k]), float(y_free[k]), float(costs[k]), len(places) + k)
    return best


def _beside(
    wish: Wish, across: tuple[float, float], down: tuple[float, float]
) -> list[tuple[float, float, float]]:
    """Places around a label's point in their turn, nearer ones first, and what each costs by itself."""
    found = []
    sides = [SIDES[side] for side in wish.prefer or range(len(SIDES))]
    for gap in _GAPS[:1] if wish.near else _GAPS:
        for order, (sx, sy) in enumerate([*sides, *(() if wish.near else _BETWEEN)]):
            wanted_x = wish.x + sx * gap * (0.75 if sy else 1) - wish.width * (0.5 - sx / 2)
            wanted_y = wish.y + sy * gap * (0.75 if sx else 1) - wish.height * (0.5 - sy / 2)
            x, y = max(across[0], min(across[1], wanted_x)), max(down[0], min(down[1], wanted_y))
            moved = _length(x - wanted_x, y - wanted_y)
            if not wish.near or moved <= gap:
                found.append((x, y, order * 1.5 + gap * 0.6 + 4 * moved))
    return found


def _steps(first: float, last: float, step: float) -> Floats:
    """From one place to the next until the last is passed; added up, as the page does it."""
    found = []
    while first <= last:
        found.append(first)
        first += step
    return np.array(found)


def _sides(boxes: Sequence[Box]) -> Floats:
    """Left, top, right and bottom of each box, for what is compared with many at once."""
    rows = [(box.x, box.y, box.x + box.width, box.y + box.height) for box in boxes]
    return np.array(rows, dtype=float).reshape(-1, 4)


def _way(here: Box, wish: Wish) -> Floats:
    """Points along the straight way from a place to the label's point."""
    x = max(here.x, min(here.x + here.width, wish.x))
    y = max(here.y, min(here.y + here.height, wish.y))
    return np.array([(x + t * (wish.x - x), y + t * (wish.y - y)) for t in _WAY])


def _inside(points: Floats, sides: Floats) -> NDArray[np.bool_]:
    """Of each box, whether any of the points lies within."""
    x, y = points[:, :1], points[:, 1:]
    left, top, right, bottom = sides.T
    found: NDArray[np.bool_] = ((x > left) & (x < right) & (y > top) & (y < bottom)).any(axis=0)
    return found


def _length(x: float, y: float) -> float:
    """Not `hypot`, whose last digit is not the same everywhere."""
    return sqrt(x * x + y * y)
