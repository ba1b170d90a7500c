"""The curves of the part in view: what it gives, what changed, how it is built, where it is held."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import isfinite
from typing import Any, cast

import panel as pn

from pvsim.app.assets import css
from pvsim.app.component import Wish
from pvsim.app.curves.choice import Choice, Picture
from pvsim.app.curves.desk import Desk
from pvsim.app.curves.figures import (
    DifferenceFigure,
    curve_columns,
    difference_columns,
    make_difference,
    make_figures,
    model_ids,
    set_axes,
)
from pvsim.app.curves.hold_words import load_of, slide_value
from pvsim.app.curves.picture import picture
from pvsim.app.curves.scale import set_scale
from pvsim.app.curves.words import fixed_words, level_entries
from pvsim.app.held import held
from pvsim.app.number_field import read_number
from pvsim.app.plain import Plain
from pvsim.app.session.following import Following
from pvsim.app.session.parameters import CURVE_VIEWS
from pvsim.app.session.state import State
from pvsim.app.words import _
from pvsim.array.operation import Operation
from pvsim.array.place import SHOWN_LEVELS, Level
from pvsim.circuit import PowerPoint
from pvsim.errors import PvsimError
from pvsim.reading.axes import axes_around
from pvsim.reading.outward import array_at
from pvsim.reading.terminals import tracker_point

__all__ = ["CurvesView"]

WATCHED = ["solution", "before", "moment", "focus", "level", "theme", "view", "kept_back", "locked", "large"]


class CurvesView:
    """Curves, differences, construction, operating point and tables of the part in view.

    Parameters
    ----------
    state : State
        Read, and changed through its commands only.
    """

    def __init__(self, state: State) -> None:
        self._state = state
        self._choice = Choice()
        self._reversed: dict[str, bool] = {}
        self._part: tuple[Any, ...] = ()
        self._sent: dict[str, Any] = {}
        self._picture: Picture
        self.figures = figures = make_figures()
        self.difference: DifferenceFigure | None = None
        self.root = Desk(
            self._obey,
            current=pn.pane.Bokeh(figures.current, sizing_mode="stretch_both"),
            power=pn.pane.Bokeh(figures.power, sizing_mode="stretch_both"),
            ids=Plain(model_ids(figures)),
            words=Plain(fixed_words()),
            stylesheets=[css("controls"), css("curves/curves")],
            sizing_mode="stretch_both",
            min_height=0,
        )
        self._following = Following(state, {self._redraw: WATCHED, self._put_right: ["righted"]})
        self._redraw()

    def close(self) -> None:
        """Stop following the state."""
        self._following.close()

    def show(self, view: str) -> None:
        """Show "curves", the "difference", how the curve is built from its "parts", or the "table"."""
        self._state.set_view(view)

    # What the browser says

    def _obey(self, wish: Wish) -> None:
        do, value = wish["do"], wish.get("value")
        try:
            self._look(do, value)
            self._hold(do, value)
        except PvsimError as error:
            self._state.tell(str(error))
        except (AttributeError, OverflowError, TypeError, ValueError):
            pass  # no wish of this page

    def _look(self, do: str, value: Any) -> None:
        """Whatever changes what is looked at."""
        state = self._state
        if do == "level" and value in SHOWN_LEVELS:
            state.set_level(value)
        elif do == "view" and value in CURVE_VIEWS:
            state.set_view(value)
        elif do == "quantity" and value in ("current", "power"):
            self._choose(quantity=value)
        elif do == "stage" and value in ("series", "parallel"):
            self._choose(stage=value, cursor=None)
        elif do == "reverse":
            self._reversed[state.level] = bool(value)
            self._choose(reverse=bool(value), fitted=None)
        elif do == "fit":
            seen = self._picture
            fitted = axes_around(*seen.now, *seen.before, reverse=seen.shown["reverse"])
            self._choose(fitted=fitted if value else None)
        elif do == "cursor":
            self._choose(cursor=_finite(value))

    def _hold(self, do: str, value: Any) -> None:
        """Whatever moves the operating point; a drag is one step to undo."""
        state = self._state
        if do == "stroke":
            if value == "begin":
                state.begin_stroke()
            elif value == "end":
                state.end_stroke()
        elif do in ("slide", "typed"):
            self._slide(do, value)
        elif do == "operation":
            self._hold_as(str(value))
        elif do == "point":
            V, I = _finite(value.get("V")), _finite(value.get("I"))
            part = PowerPoint(voltage_V=V, current_A=I, power_W=V * I)
            kind = state.scenario.operation.kind
            held = array_at(state.shown_solution, state.view_place(), part)
            self._hold_at("voltage" if kind == "mpp" else kind, held)

    def _slide(self, do: str, said: Any) -> None:
        """The slider or the field beside it: the cursor of the construction, or the operating point."""
        control = self._picture.shown["control"]
        least, most = control["least"], control["most"]
        kind = control["kind"]
        if do == "typed":
            ends = (1e-3, 1e6) if kind == "load" else (least, most) if kind == "cursor" else (-1e4, 1e4)
            name = _("the cursor") if kind == "cursor" else _("the operating point")
            value = read_number(said, name=name, least=ends[0], most=ends[1], unit=control["unit"])
        else:
            value = slide_value(kind, min(most, max(least, _finite(said))))
        if kind == "cursor":
            self._choose(cursor=value)
        else:
            self._operate("voltage" if kind == "mpp" else kind, value)

    def _hold_as(self, kind: str) -> None:
        """Another way to hold the array, at the point where it is."""
        if kind == "mpp":
            self._operate("mpp", None)
        elif kind in ("voltage", "current", "load"):
            self._hold_at(kind, tracker_point(self._state.shown_solution, 0))

    def _hold_at(self, kind: str, point: PowerPoint) -> None:
        values = {"voltage": point.voltage_V, "current": point.current_A, "load": load_of(point)}
        self._operate(kind, float(f"{values[kind]:.5g}"))

    def _operate(self, kind: Any, value: float | None) -> None:
        """Hold the array elsewhere; where it is held already nothing needs to be said."""
        if self._state.scenario.operation != Operation(kind, value):
            self._state.set_operation(kind, value)

    # What is shown

    def _choose(self, **chosen: Any) -> None:
        self._choice = replace(self._choice, **chosen)
        self._redraw()

    def _put_right(self, *_events: object) -> None:
        """Let go of what was chosen here alone."""
        self._reversed.clear()
        self._choice = Choice()
        self._redraw()

    def _redraw(self, *_events: object) -> None:
        state = self._state
        places = {level: state.view_place(level) for level in SHOWN_LEVELS}
        place = places[cast(Level, state.level)]
        told = "cables" not in state.kept_back
        notices = not (state.locked or state.kept_back)
        self._choice = replace(
            self._choice, view=state.view, cables=told, notices=notices, large=state.large
        )
        part = (state.level, state.scenario.array, state.scenario.module_types)
        if len(self._part) != len(part) or any(a is not b for a, b in zip(part, self._part, strict=True)):
            # Another part in view: its own axes, and no cursor yet.
            self._part = part
            reverse = self._reversed.get(state.level)
            self._choice = replace(self._choice, reverse=reverse, fitted=None, cursor=None, stage="")
        try:
            solutions = state.shown_solution, state.shown_before
            now = picture(*solutions, place, state.level, self._choice, theme=state.theme)
        except PvsimError as error:  # a part alone may not settle where the array did: keep the last curves
            if not self._sent:
                raise
            state.tell(str(error))
            return
        self._picture = now
        shown = now.shown | {"levels": level_entries(places)}
        figures = self.figures
        with held():
            set_axes(figures, now.axes)
            self._put("now", figures.now, now.now, curve_columns)
            self._put("before", figures.before, now.before, curve_columns)
            self._put("lines", figures.parts, now.lines, dict)
            if self._choice.view == "difference" or self.difference is not None:
                self._show_difference(now)
            plots = {"current": figures.current, "power": figures.power}
            if self.difference is not None:
                plots["difference"] = self.difference.plot
            for name, plot in plots.items():
                sentence = now.sentences[name]
                if plot.html_attributes.get("aria-label") != sentence:
                    plot.html_attributes = {"role": "img", "aria-label": sentence}
            self.root.put(shown=Plain(shown))

    def _show_difference(self, now: Picture) -> None:
        """The magnified difference; its figure is made when it is first looked at."""
        figure = self.difference
        if figure is None:
            self.difference = figure = make_difference(self.figures)
            self.root.difference = pn.pane.Bokeh(figure.plot, sizing_mode="stretch_both")
            self.root.ids = Plain(model_ids(self.figures, figure))
        set_scale(figure.delta, now.delta)
        self._put("change", figure.change, now.change, difference_columns)

    def _put(self, name: str, target: Any, value: Any, columns: Callable[[Any], dict[str, Any]]) -> None:
        """Send the columns of a curve once; an unchanged one stays where it is."""
        if name not in self._sent or not _same(self._sent[name], value):
            self._sent[name] = value
            target.data = columns(value)


def _same(sent: Any, value: Any) -> bool:
    if isinstance(sent, tuple) and isinstance(value, tuple):
        return len(sent) == len(value) and all(a is b for a, b in zip(sent, value, strict=True))
    return sent is value


def _finite(value: Any) -> float:
    number = float(value)
    if not isfinite(number):
        raise ValueError("not a finite number")
    return number
