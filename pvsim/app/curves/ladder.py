"""Five levels at once: big at the cell, small at the array."""

from __future__ import annotations

from typing import Any

import param

from pvsim.app.assets import css
from pvsim.app.component import Component, Wish
from pvsim.app.curves.words import level_name, relative_change
from pvsim.app.modules import module_address
from pvsim.app.plain import Plain, plain_values
from pvsim.app.session.following import Following
from pvsim.app.session.state import State
from pvsim.app.words import _
from pvsim.array.place import describe_place
from pvsim.numbers import decimals_for, format_fixed
from pvsim.reading.key_figures import NOTHING
from pvsim.reading.levels import RUNGS, Measure, Rung, rungs

__all__ = ["LadderView", "ladder_rows"]

WATCHED = ["solution", "before", "moment", "focus", "level"]
STILL = 5e-6  # of the power before: a smaller change has per cents that read 0
UNWRITTEN_W = 5e-4  # a smaller power is written as 0.000, and a bar would contradict that
LEFT, RIGHT = -0.6, 1.1  # of what it was: the ends of the bars; beyond them an arrow


class Rungs(Component):
    """The table with its bars."""

    shown = plain_values("Rows and bars: see ladder_rows.")
    words = plain_values("Texts that stay.")
    opened = param.Boolean(default=False)

    _esm = module_address("curves/ladder.js")


class LadderView:
    """What the focused cell, its substring, module, string and the array lost, side by side.

    Parameters
    ----------
    state : State
        Read, and changed through its commands only.
    """

    def __init__(self, state: State) -> None:
        self._state = state
        self._measure: Measure = "held"
        self.root = Rungs(
            self._obey,
            opened=state.unfolded,
            words=Plain(_fixed_words()),
            stylesheets=[css("controls"), css("curves/ladder")],
            sizing_mode="stretch_width",
        )
        self._following = Following(state, {self._redraw: WATCHED, self._put_right: ["righted"]})
        self._redraw()

    def close(self) -> None:
        """Stop following the state."""
        self._following.close()

    def open(self) -> None:
        """Unfold the table."""
        self.root.opened = True

    def _obey(self, wish: Wish) -> None:
        do, value = wish["do"], wish.get("value")
        if do == "level" and value in RUNGS:
            self._state.set_level(value)
        elif do == "opened" and isinstance(value, bool):
            self._state.unfold(value)
        elif do == "measure" and value in ("held", "alone"):
            self._measure = value
            self._redraw()

    def _put_right(self, *_events: object) -> None:
        self._measure = "held"
        self._redraw()

    def _redraw(self, *_events: object) -> None:
        state = self._state
        found = rungs(state.shown_solution, state.shown_before, state.focus, measure=self._measure)
        shown = ladder_rows(found) | {"level": state.level, "measure": self._measure}
        self.root.put(shown=Plain(shown))


def ladder_rows(found: tuple[Rung, ...]) -> dict[str, Any]:
    """Rows as they are written, with the ends of their bars in per cent of the track.

    Parameters
    ----------
    found : tuple of Rung
        From the cell outwards.
    """
    compared = any(one.before_W is not None for one in found)
    shares = [_shares(one) for one in found]
    least = min((share for pair in shares for share in pair), default=1.0)
    most_left = -RIGHT if any(was < 0.0 for was, _now in shares) else LEFT
    left = 0.0 if least >= 0.0 else max(most_left, least - 0.05)
    rows = [_row(one, left) for one in found]
    return {
        "compared": compared,
        "changed": any(row["sign"] for row in rows),
        "zero": _track(0.0, left),
        "rows": rows,
    }


def _row(rung: Rung, left: float) -> dict[str, Any]:
    before = rung.before_W
    decimals = decimals_for(max(abs(rung.now_W), abs(before or 0.0)))
    was, share = _shares(rung)
    change_W = 0.0 if before is None else rung.now_W - before
    still = abs(change_W) < max(NOTHING, STILL * abs(before or 0.0))
    plain = before is None or abs(change_W) < 0.5 * 10.0**-decimals
    change = format_fixed(change_W, decimals=decimals, sign=True)
    percent = relative_change(before, rung.now_W)
    return {
        "level": rung.level,
        "label": level_name(rung.level, rung.place),
        "place": describe_place(rung.place),
        "now": format_fixed(rung.now_W, decimals=decimals),
        "before": "–" if before is None else format_fixed(before, decimals=decimals),
        "change": "–" if before is None else "" if still else change,
        "percent": "" if still and before is not None else percent,
        "short": "0\u00a0%" if still else percent if percent != "–" else f"{change}\u00a0W",
        "was": _track(was, left),
        "end": _track(share, left),
        "beyond": -1 if share < left else (1 if share > RIGHT else 0),
        "sign": 0 if plain else 1 if change_W > 0.0 else -1,
    }


def _shares(rung: Rung) -> tuple[float, float]:
    """Power before and now over the size of what it was, or of what it is where there was none."""
    before = rung.before_W or 0.0
    base = abs(before) if abs(before) >= UNWRITTEN_W else abs(rung.now_W)
    if base < UNWRITTEN_W:
        return 0.0, 0.0
    return before / base, rung.now_W / base


def _track(share: float, left: float) -> float:
    """Where a share lies on the track, in per cent of its width."""
    return round(100.0 * (min(RIGHT, max(left, share)) - left) / (RIGHT - left), 2)


def _fixed_words() -> dict[str, Any]:
    return {
        "title": _("Five levels"),
        "caption": _("Power of the focused cell and of all that holds it, before and now"),
        "measure": _("Power"),
        "measures": [
            {"key": "held", "label": _("at work"), "title": _("Where the array holds each part")},
            {"key": "alone", "label": _("alone"), "title": _("At each part's own maximum power")},
        ],
        "columns": [_("part"), _("of before"), _("before W"), _("now W"), _("change W"), _("in %")],
        "show": _("Show these curves"),
        "first": _("cell"),
        "last": _("array"),
    }
