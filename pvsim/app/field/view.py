"""The field desk: what can be done on the roof, and what it read; made when it is first opened."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pvsim.app.assets import css
from pvsim.app.component import Reply, Wish
from pvsim.app.field.curve import curve_csv, curve_values
from pvsim.app.field.debrief_rows import debrief_values
from pvsim.app.field.desk import FieldDesk
from pvsim.app.field.kit_rows import ALTERED, is_altered, kit_groups, plant_rows
from pvsim.app.field.log_file import log_csv
from pvsim.app.field.log_rows import log_lines
from pvsim.app.field.picture import picture_values
from pvsim.app.field.room_rows import room_values
from pvsim.app.field.search_form import answer_from, practice_values, search_values, set_values, start_values
from pvsim.app.field.words import field_words
from pvsim.app.later import Later
from pvsim.app.number_field import read_whole
from pvsim.app.plain import Plain
from pvsim.app.session.export import file_stem
from pvsim.app.session.field_acts import act_of, pointed_at
from pvsim.app.session.field_pasts import pasts_text
from pvsim.app.session.field_work import FieldWork, gone_place, is_about
from pvsim.app.session.following import Following
from pvsim.app.session.state import State
from pvsim.app.words import _
from pvsim.array.part_place import place_at
from pvsim.array.place import SHOWN_LEVELS, WHOLE_ARRAY, Place, describe_place, level_of
from pvsim.array.scatter import MOST_SEED
from pvsim.course.lesson.step_search import SetSearch
from pvsim.errors import PvsimError
from pvsim.field.kit import RANGED
from pvsim.field.search.safety import CAUTION
from pvsim.field.search.transcript import plant_after
from pvsim.numbers import format_fixed

__all__ = ["FieldView"]

SHOWN = (
    "scenario", "focus", "level", "field", "field_open", "field_tab", "pasts", "locked", "kept_back",
    "computing", "offering", "lecture",
)  # fmt: skip
PHONE_MS = 400  # so that sixty phones redraw the bars twice a second


class FieldView:
    """Shows what can be measured and what was, and has it done.

    Parameters
    ----------
    state : State
        Read, and changed through its commands only.
    searches : tuple of SetSearch
        That the course gives as practice.
    """

    def __init__(self, state: State, searches: tuple[SetSearch, ...] = ()) -> None:
        self._state = state
        self._searches = searches
        self._drawn: FieldWork | None = None  # whose log, picture, curve and debrief the desk shows
        self._level = ""  # where somebody wants the meters; "" for what has the ring in the drawing
        self.root = FieldDesk(
            self._obey,
            words=Plain(field_words()),
            start=Plain(start_values()),
            stylesheets=[css("controls"), css("field/field")],
            sizing_mode="stretch_both",
        )
        heard = {self._turn: ["focus", "level"], self._yield: ["lesson"], self._redraw: SHOWN}
        self._following = Following(state, heard)
        later = Later(self._redraw, state.document)
        room = state.classroom
        self._deaf = room.watch(lambda: later.ask(PHONE_MS)) if room is not None else lambda: None
        self._redraw()

    def close(self) -> None:
        """Stop following the state and its class."""
        self._following.close()
        self._deaf()

    def _obey(self, wish: Wish) -> Reply:
        try:
            return self._acts[wish["do"]](self, wish.get("value"))
        except PvsimError as error:
            self._state.tell(str(error))
        except (AttributeError, KeyError, OverflowError, TypeError, ValueError):
            self._state.tell(_("That cannot be done."))  # no message of ours looks like that
        return None

    def _act(self, value: Any) -> None:
        last = int(value.get("last", 0))
        self._state.measure(act_of(self._state, str(value["name"]), self._at(), last=last))

    def _put(self, value: Any) -> None:
        if value not in SHOWN_LEVELS:
            raise ValueError(value)
        self._level = str(value)
        self._redraw()

    def _close(self, _value: Any) -> None:
        self._state.open_field(False)

    def _clear(self, _value: Any) -> None:
        self._state.clear_log()

    def _meters(self, value: Any) -> None:
        number = read_whole(value, name=_("Set of meters"), least=0, most=MOST_SEED)
        self._state.take_meters(number)

    def _range(self, value: Any) -> None:
        meters = {one.key: one for one in RANGED}
        self._state.set_range(meters[value["meter"]], float(value["most"]))

    def _begin(self, value: Any) -> None:
        try:
            seed = read_whole(value["seed"], name=_("Your number"), least=0, most=MOST_SEED)
        except PvsimError as error:
            self.root.wrong = {"seed": str(error)}
            return
        self.root.wrong = {}
        self._state.begin_search(seed, int(value["level"]), str(value["family"]))

    def _answer(self, value: Any) -> None:
        kind, sure_percent = str(value["kind"]), float(value["sure"])
        self._state.answer_search(answer_from(self._state, kind, self._at(), sure_percent))

    def _tab(self, value: Any) -> None:
        self._state.open_field(tab=str(value))

    def _hint(self, _value: Any) -> None:
        self._state.take_hint()

    def _pasts(self, value: Any) -> None:
        self._state.take_pasts(str(value))

    def _again(self, _value: Any) -> None:
        self._state.show_search_again()

    def _leave(self, _value: Any) -> None:
        self._state.leave_search()

    def _reveal(self, _value: Any) -> None:
        self._state.show_hidden()

    def _debrief(self, _value: Any) -> None:
        self._state.debrief_again()

    def _class(self, value: Any) -> None:
        if value:
            self._state.open_class()
        else:
            self._state.close_class()

    def _ask(self, _value: Any) -> None:
        self._state.ask_class()

    def _end_vote(self, _value: Any) -> None:
        self._state.end_vote()

    def _drop_vote(self, _value: Any) -> None:
        self._state.drop_ballot()

    def _voted(self, value: Any) -> None:
        self._state.do_voted(int(value))

    def _save(self, _value: Any) -> Reply:
        text = log_csv(self._state.field, self._state.scenario)
        return {"file": f"{file_stem(self._state)}-log.csv", "mime": "text/csv", "text": text}

    def _compare(self, _value: Any) -> Reply:
        """Hand the traced curve to the dialog for measured curves, as a file like any other."""
        if not curve_values(self._state.field).get("comparable"):
            raise ValueError
        text = curve_csv(self._state.field, self._state.scenario.title)
        return {"curve": f"{file_stem(self._state)}-curve.csv", "text": text}

    _acts: dict[str, Callable[[FieldView, Any], Reply]] = {  # noqa: RUF012 -- a table, never changed
        "act": _act,
        "put": _put,
        "tab": _tab,
        "close": _close,
        "clear": _clear,
        "meters": _meters,
        "range": _range,
        "save": _save,
        "compare": _compare,
        "begin": _begin,
        "answer": _answer,
        "hint": _hint,
        "pasts": _pasts,
        "again": _again,
        "leave": _leave,
        "reveal": _reveal,
        "debrief": _debrief,
        "class": _class,
        "ask": _ask,
        "end-vote": _end_vote,
        "drop-vote": _drop_vote,
        "voted": _voted,
    }

    def _at(self) -> Place:
        """Where meters are put."""
        state = self._state
        if not self._level:
            return pointed_at(state)
        return WHOLE_ARRAY if self._level == "array" else place_at(state.scenario, state.focus, self._level)

    def _yield(self, *_events: object) -> None:
        """A lesson that is opened has its text in this place."""
        if self._state.field_open:
            self._state.open_field(False)

    def _turn(self, *_events: object) -> None:
        self._level = ""

    def _redraw_room(self) -> None:
        state = self._state
        if state.classroom is not None and state.classroom.trouble:
            state.tell(state.classroom.trouble)
        room = Plain(room_values(state) if state.field_open else {})
        if room != self.root.room:
            self.root.room = room

    def _redraw(self, *_events: object) -> None:
        state = self._state
        if not state.field_open:
            self.root.now = Plain({"open": False, "kept": state.kept_search()})
            return
        barred = state.barred_from_measuring()
        at = self._at()
        plant = plant_after(state.field.transcript)
        self.root.now = Plain(
            {
                "open": True,
                "tab": state.field_tab,
                "barred": barred,
                "gone": gone_place(state.field, state.scenario) is not None,
                "busy": state.computing,
                "place": describe_place(at),
                "level": "substring" if level_of(at) == "diode" else level_of(at),
                "minutes": format_fixed(state.field.transcript.minutes),
                "plant": [] if barred else plant_rows(state),
                "kit": [] if barred else kit_groups(state, at),
                "altered": _(ALTERED) if not barred and is_altered(plant) else "",
                "caution": _(CAUTION) if plant.running and plant.cloth is None else "",
                "elsewhere": not is_about(state.field, state.scenario) and state.field.case is None,
                "meters": state.field.meters,
                "search": search_values(state, at),
                "kept": state.kept_search(),
                "practice": practice_values(state),
                "practised": set_values(state, self._searches),
                "pasts": pasts_text(state.pasts),
            }
        )
        self._redraw_room()
        if state.field is not self._drawn:  # of all that leads here, a turn in the drawing is the commonest
            self._drawn = state.field
            self._redraw_work(state.field)

    def _redraw_work(self, work: FieldWork) -> None:
        """What was done so far, as far as it shows anything new."""
        debrief = Plain(debrief_values(work))
        if debrief != self.root.debrief:
            self.root.debrief = debrief
        log = Plain({"lines": log_lines(work)})
        if log != self.root.log:
            self.root.log = log
            self.root.picture = Plain(picture_values(work))
        curve = Plain(curve_values(work))
        if curve != self.root.curve:
            self.root.curve = curve
