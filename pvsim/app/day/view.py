"""A day on the roof: its strip below drawing and curves, made when it is first opened."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Callable
from functools import partial
from typing import Any

from pvsim.app.assets import css
from pvsim.app.component import Reply, Wish
from pvsim.app.day.form import Refused, change_day, change_thing, form_values
from pvsim.app.day.report import curves_of, day_lines, energy_rows, energy_sentence
from pvsim.app.day.strip import DayStrip
from pvsim.app.day.words import day_words
from pvsim.app.day.work import DayPlay, DayWork, day_of
from pvsim.app.plain import Plain
from pvsim.app.session.errand import Errand, NotYet
from pvsim.app.session.export import file_stem
from pvsim.app.session.following import Following
from pvsim.app.session.state import State
from pvsim.app.words import _
from pvsim.day.moment import DayMoment, moment_at
from pvsim.errors import PvsimError
from pvsim.files.figure.day import draw_day
from pvsim.files.figure.png import write_png
from pvsim.files.figure.svg import write_svg
from pvsim.numbers import format_setting

__all__ = ["DayView"]


class DayView:
    """Sets up a day, has it played, and shows moments of it.

    Parameters
    ----------
    state : State
        Read, and changed through its commands only.
    """

    def __init__(self, state: State) -> None:
        self._state = state
        document = state.document
        self._work = DayWork(document, self._heard)
        self._errand = None if document is None else Errand(document)
        self._wanted = -1  # the time that was asked for last
        self._away = False  # whether one is being worked out beside the event loop
        if document is not None:
            document.on_session_destroyed(self._destroyed)
        self.root = DayStrip(
            self._obey,
            words=Plain(day_words()),
            stylesheets=[css("controls"), css("day/day")],
            sizing_mode="stretch_width",
        )
        self._following = Following(
            state,
            {self._redraw: ["scenario", "locked", "kept_back", "day_open"], self._tell: ["moment"]},
        )
        self._redraw()

    def close(self) -> None:
        """Stop following the state, and whatever is under way."""
        self._following.close()
        self._work.forget()

    def _destroyed(self, _context: object) -> None:
        self._work.forget()
        if self._errand is not None:
            self._errand.give_up()

    # What the browser says

    def _obey(self, wish: Wish) -> Reply:
        do, value = wish["do"], wish.get("value")
        act = self._acts.get(do)
        if act is None:
            self._state.tell(_("That cannot be done."))
            return None
        try:
            reply = act(self, value)
        except Refused as error:
            self.root.wrong = {error.field: error.sentence}
            return None
        except PvsimError as error:
            self._state.tell(str(error))
            return None
        except (AttributeError, KeyError, TypeError, ValueError):
            self._state.tell(_("That cannot be done."))  # no message of ours looks like that
            return None
        if self.root.wrong and do in ("set", "thing", "add", "remove"):
            self.root.wrong = {}
        return reply

    def _set(self, value: Any) -> None:
        change_day(self._state, str(value["field"]), value["to"])

    def _thing(self, value: Any) -> None:
        change_thing(self._state, int(value["index"]), str(value["field"]), value["to"])

    def _add(self, value: Any) -> None:
        self._state.add_solid(str(value))

    def _remove(self, value: Any) -> None:
        day = self._state.scenario.day
        if day is not None and 0 <= int(value) < len(day.solids):
            self._state.remove_solid(int(value))

    def _compute(self, _value: Any) -> None:
        state = self._state
        if self._barred():
            state.tell(self._barred())
            return
        if state.scenario.day is None or not state.scenario.array.surfaces:
            state.set_day()
        state.when_there(self._start)

    def _start(self) -> None:
        state = self._state
        if state.scenario.day is None:  # it was refused, and said why
            return
        state.show_moment(None)
        try:
            self._work.start(state.scenario)
        except PvsimError as error:
            state.tell(str(error))
        self._redraw()

    def _give_up(self, _value: Any) -> None:
        self._work.forget()
        self._state.show_moment(None)
        self._redraw()

    def _close(self, _value: Any) -> None:
        self._state.open_day(False)

    def _leave(self, _value: Any) -> None:
        self._wanted = -1
        self._state.show_moment(None)

    def _moment(self, value: Any) -> None:
        play = self._work.now
        if play is None or play.scene is None or not self._fresh() or self._barred():
            return
        self._wanted = min(max(int(value), 0), len(play.scene.film.light.hour) - 1)
        if not self._away:  # else it comes when the one under way has come
            self._bring()

    def _export(self, value: Any) -> Reply:
        play, state = self._work.now, self._state
        if play is None or play.energy is None or play.films is None or self._barred():
            return None
        drawing = draw_day(
            play.energy.hour,
            curves_of(play),
            title=play.scenario.title,
            when=_when(play),
            said=energy_sentence(play.energy),
            theme=state.theme,
        )
        name = f"{file_stem(state)}-day"
        if value == "png":
            data = b64encode(write_png(drawing)).decode("ascii")
            return {"file": f"{name}.png", "mime": "image/png", "base64": data}
        return {"file": f"{name}.svg", "mime": "image/svg+xml", "text": write_svg(drawing)}

    _acts: dict[str, Callable[[DayView, Any], Reply]] = {  # noqa: RUF012 -- a table, never changed
        "set": _set,
        "thing": _thing,
        "add": _add,
        "remove": _remove,
        "compute": _compute,
        "give-up": _give_up,
        "close": _close,
        "leave": _leave,
        "moment": _moment,
        "export": _export,
    }

    # A moment: here, or beside the event loop where it takes long

    def _bring(self) -> None:
        play, at = self._work.now, self._wanted
        if play is None or play.scene is None or at < 0:
            return
        voltage_V = play.voltage_V[at] if at < len(play.voltage_V) else ()
        work: Callable[[], DayMoment] = partial(moment_at, play.scene, at, voltage_V=voltage_V)
        try:
            moment = work() if self._errand is None else self._errand.here((play, at), work)
        except NotYet as away:
            assert self._errand is not None
            self._away = True
            self._errand.send(away, self._came)
            return
        except PvsimError as error:
            self._state.tell(str(error))
            return
        if self._fresh() and play is self._work.now:
            self._state.show_moment(moment)
        if self._wanted != at:
            self._bring()

    def _came(self) -> None:
        self._away = False
        if self._wanted >= 0:
            self._bring()

    # What is shown

    def _fresh(self) -> bool:
        """Whether what is known is of the array as it stands."""
        play = self._work.now
        return play is not None and play.day == day_of(self._state.scenario)

    def _barred(self) -> str:
        """Why the day cannot be looked at now; nothing where it can."""
        state = self._state
        if state.locked or state.kept_back:
            return _("A day might answer your prediction. It is played once that is stored.")
        return ""

    def _heard(self) -> None:
        self._tell()
        self.root.lines = Plain(day_lines(self._work.now))

    def _redraw(self, *_events: object) -> None:
        if not self._state.day_open:
            self._work.give_up()
            if self._work.now is not None and self._work.now.running:
                self._work.forget()
            self._tell()
            return
        self.root.form = Plain(form_values(self._state))
        barred = bool(self._barred())
        self.root.lines = Plain({} if barred else day_lines(self._work.now))
        self._tell()

    def _tell(self, *_events: object) -> None:
        state, play, barred = self._state, self._work.now, self._barred()
        moment = state.moment
        self.root.now = Plain(
            {
                "open": state.day_open,
                "barred": barred,
                "stage": "barred" if barred else self._stage(),
                "share": 0.0 if play is None else round(play.share, 3),
                "told": "" if play is None or play.error is None else str(play.error),
                "when": "" if play is None else _when(play),
                "rows": [] if barred or play is None or play.energy is None else energy_rows(play.energy),
                "said": "" if barred or play is None or play.energy is None else energy_sentence(play.energy),
                "at": None if moment is None else moment.at,
            }
        )

    def _stage(self) -> str:
        """What can be seen of the day: "none", "computing", "done", "stale" or "failed"."""
        play = self._work.now
        if play is None:
            return "none"
        if play.error is not None:
            return "failed"
        if not self._fresh():
            return "stale"
        return "computing" if play.running else "done"


def _when(play: DayPlay) -> str:
    """Date and site of a day."""
    day = play.scenario.day
    assert day is not None
    site = day.site
    place = _(site.title) or f"{_north(site.latitude_deg)}, {_east(site.longitude_deg)}"
    step = _("in steps of {step}").format(step=format_setting(play.step_min, "min"))
    return f"{day.date.isoformat()}, {place}, {step}"


def _north(latitude_deg: float) -> str:
    text = _("{degrees}° north") if latitude_deg >= 0.0 else _("{degrees}° south")
    return text.format(degrees=format_setting(abs(latitude_deg)))


def _east(longitude_deg: float) -> str:
    text = _("{degrees}° east") if longitude_deg >= 0.0 else _("{degrees}° west")
    return text.format(degrees=format_setting(abs(longitude_deg)))
