"""The drawing of the roof: shows what the state holds and hands every wish to its commands."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from typing import Any

import numpy as np
import param

from pvsim.app.assets import css
from pvsim.app.component import Component, Reply, Wish
from pvsim.app.modules import module_address
from pvsim.app.plain import Plain, plain_values
from pvsim.app.roof.cell import cell_circuit
from pvsim.app.roof.measured import Measured, latest_text, measured_at, measured_values
from pvsim.app.roof.mounting_scene import cables_text, earlier_routes
from pvsim.app.roof.mounting_wishes import mounting_command, searching_text
from pvsim.app.roof.read_out import reading
from pvsim.app.roof.scene import scene_payload
from pvsim.app.roof.state_payload import light_alone, state_payload
from pvsim.app.roof.words import roof_words
from pvsim.app.session.field_acts import act_of
from pvsim.app.session.field_work import FieldWork, gone_place, is_about, searched_on
from pvsim.app.session.following import Following
from pvsim.app.session.state import State
from pvsim.app.words import _
from pvsim.array.index import array_index, cell_at, module_at
from pvsim.array.layout import roof_of
from pvsim.array.part_place import place_at, place_holds
from pvsim.array.place import SHOWN_LEVELS, Place, format_place, level_of, parse_place
from pvsim.array.scenario import check_place
from pvsim.errors import PvsimError, ScenarioError
from pvsim.field.search.case import the_visible
from pvsim.field.search.transcript import plant_after

__all__ = ["RoofView"]

SHOWN = (
    "scenario", "solution", "focus", "level", "quantity", "condition", "handed", "theme", "locked",
    "moment", "kept_back", "can_undo", "lesson", "lecture", "before", "searching", "field",
)  # fmt: skip
MOST_CELLS_A_MESSAGE = 5000
NOT_MEASURED = FieldWork()
SHADOW_FIELDS = {
    "x": "x_m",
    "y": "y_m",
    "width": "width_m",
    "height": "height_m",
    "angle": "angle_deg",
    "through": "transmission",
}


class RoofDrawing(Component):
    """The drawing itself."""

    scene = plain_values("What seldom changes: see scene_payload.")
    now = plain_values("What often changes: see state_payload.")
    words = plain_values("Texts; set once.")

    _esm = module_address("roof/roof.js")


class RoofView:
    """Shows the roof of a state and carries out what is done on it."""

    def __init__(self, state: State) -> None:
        self._state = state
        self._roof: object = None
        self._scene: dict[str, Any] = {}
        self._scenes = 0
        self._held = self._outdated = False
        self.root = RoofDrawing(
            self._carry_out,
            together=self._together,
            words=Plain(roof_words()),
            stylesheets=[css("controls"), css("roof/roof")],
            sizing_mode="stretch_both",
            min_height=300,
        )
        self._redraw()
        self._following = Following(state, {self._changed: SHOWN})

    def close(self) -> None:
        """Stop watching the state."""
        self._following.close()

    # Out: what is shown

    def _changed(self, *_events: object) -> None:
        self._outdated = True
        if not self._held:
            self._redraw()

    def _redraw(self) -> None:
        self._outdated = False
        state = self._state
        roof = roof_of(state.scenario)
        values: dict[str, Plain] = {}
        if roof is not self._roof:
            self._roof = roof
            scene = scene_payload(state.scenario)
            if scene != self._scene:  # a fault is of another roof that looks the same
                self._scene = scene
                self._scenes += 1
                values["scene"] = Plain({"key": self._scenes, **scene})
        back = "values" in state.kept_back
        quantity = "irradiance" if back else state.quantity
        moment = state.moment
        now = state_payload(
            state.scenario,
            state.shown_solution,
            quantity=quantity,
            level=state.level,
            focus=state.focus,
            full_W_m2=None if moment is None else moment.full_W_m2,
        )
        if moment is not None:
            now["day"] = [np.round(one * 1000.0).ravel().tolist() for one in moment.shadows]
        if back:
            now |= light_alone(now)
        place = state.focus
        shown = place if level_of(place) == "diode" and state.level != "cell" else self._shown_place()
        there = is_about(state.field, state.scenario) and not gone_place(state.field, state.scenario)
        work = state.field if there else NOT_MEASURED
        read = measured_at(work, state.scenario)
        cloth = plant_after(work.transcript).cloth
        now |= {
            "scene": self._scenes,
            "level": state.level,
            "focus": _fields(place),
            "quantity": quantity,
            "condition": state.condition,
            "handed": state.handed,
            "theme": state.theme,
            "locked": state.locked,
            "fresh": not (state.can_undo or state.can_redo or state.locked or state.lesson or state.lecture),
            "kept_back": back,
            "readout": _("Figures are shown once your prediction is stored.")
            if back
            else self._told(reading(state.shown_solution, shown), read, shown),
            "cables": ""
            if back or "cables" in state.kept_back
            else cables_text(state.shown_solution, state.shown_before),
            "earlier": earlier_routes(state.scenario, state.before_scenario),
            "section": 0 if (cables := state.scenario.array.cables) is None else cables.section_mm2,
            "read": measured_values(read),
            "seeking": searched_on(state.field, state.scenario),
            "latest": latest_text(work, state.scenario),
            "cloth": None if cloth is None else _fields(cloth),
            "searching": searching_text(state.searching),
        }
        if state.level == "cell" and not back:
            now["cell"] = self._cell()
        values["now"] = Plain(now)
        self.root.put(**values)

    def _shown_place(self) -> Place:
        """What the line under the drawing speaks of: the focus, or the part of the level that holds it."""
        state = self._state
        if state.level == "array":
            return state.focus if level_of(state.focus) != "array" else Place()
        return (
            state.focus
            if level_of(state.focus) in ("cell", "substring")
            else place_at(state.scenario, state.focus, state.level)
        )

    def _told(self, read: str, measured: list[Measured], place: Place) -> str:
        """What is under attention; of a search what the array should do, until its fault is drawn."""
        for one in measured:
            if one.outdated and one.place == place:
                told = _("measured before the change: {value}").format(value=one.text)
                return f"{read}; {told}"
        state = self._state
        case = state.field.case or state.lesson_search
        if case is not None and state.scenario == the_visible(case):
            return _("as it should be: {read}").format(read=read)
        if searched_on(state.field, state.scenario):
            return _("as you changed it here: {read}").format(read=read)
        return read

    def _cell(self) -> dict[str, Any] | None:
        try:
            place = place_at(self._state.scenario, self._state.focus, "cell")
            return cell_circuit(self._state.shown_solution, place)
        except ScenarioError:
            return None  # a module that a fault has left out

    # In: what was done

    @contextmanager
    def _together(self) -> Iterator[None]:
        """For the wishes of one message: every view redraws once, after the last."""
        self._held = True
        try:
            with param.parameterized.batch_call_watchers(self._state):
                yield
        finally:
            self._held = False
            if self._outdated:
                self._redraw()

    def _carry_out(self, wish: Wish) -> Reply:
        try:
            command = self._command(wish)
        except PvsimError as error:
            self._state.tell(str(error))
        except (AttributeError, KeyError, TypeError, ValueError):
            self._state.tell(_("That cannot be done."))  # no message of ours looks like that
        else:
            return command()
        return None

    def _command(self, wish: Wish) -> Callable[[], Reply]:
        """The command a wish asks for, its values read but nothing done yet."""
        state, act, stroke = self._state, wish["do"], wish.get("stroke")
        if act == "show":
            return partial(state.set_focus, str(wish["focus"]), _known(wish.get("level"), SHOWN_LEVELS))
        if act == "choose":
            return partial(self._choose, wish.get("quantity"), wish.get("condition"))
        if act == "go":
            return partial(self._go, str(wish["text"]))
        if act == "paint":
            paint = partial(state.paint, self._places(wish), float(wish["to"]))
            return partial(self._in_stroke, stroke, paint)
        if act == "mend" and "at" in wish:
            return partial(self._in_stroke, stroke, partial(self._mend, self._places(wish)))
        if act == "mend":
            return partial(self._alone, partial(state.mend, parse_place(str(wish["place"]))))
        if act == "mend-all":
            return state.mend_all
        if act == "apply":
            return partial(self._alone, partial(state.apply_condition, parse_place(str(wish["place"]))))
        if act == "shadow":
            changes = {field: float(wish[name]) for name, field in SHADOW_FIELDS.items() if name in wish}
            change = partial(state.change_shadow, int(wish["index"]), **changes)
            return partial(self._in_stroke, stroke, change)
        if act == "shadow-add":
            where = {"x_m": float(wish["x"]), "y_m": float(wish["y"])}
            return partial(state.add_shadow, str(wish["kind"]), **where)
        if act == "field":
            return state.open_field
        if act == "measure":
            return partial(self._measure, str(wish["name"]), parse_place(str(wish["place"])))
        if act == "shadow-remove":
            return partial(state.remove_shadow, int(wish["index"]))
        return mounting_command(state, wish, in_stroke=partial(self._in_stroke, stroke), alone=self._alone)

    def _measure(self, name: str, place: Place) -> None:
        """Put an instrument at what was pointed at."""
        try:
            self._state.measure(act_of(self._state, name, place))
        except PvsimError as error:
            self._state.tell(str(error))

    def _choose(self, quantity: object, condition: object) -> None:
        if quantity is not None:
            self._state.set_quantity(str(quantity))
        if condition is not None:
            self._state.set_condition(str(condition))

    def _mend(self, places: list[Place]) -> None:
        """Mend cells or modules: those that are only shaded all at once, broken ones one by one."""
        now = self._state.scenario
        broken = [place for place in places if any(place_holds(now, place, one.place) for one in now.faults)]
        shaded = [place for place in places if place not in broken]
        if shaded:
            self._state.paint(shaded, 1.0)
        for place in broken:
            self._state.mend(place)

    def _in_stroke(self, stroke: object, command: Callable[[], None]) -> None:
        """What belongs to one press of the pointer is one step to undo."""
        if stroke is None:
            self._alone(command)
        else:
            with self._state.stroke(stroke):
                command()

    def _alone(self, command: Callable[[], None]) -> None:
        """A step of its own, also while a slider elsewhere is held."""
        self._state.end_stroke()
        command()

    def _go(self, text: str) -> dict[str, Any]:
        """Go to a typed place; the reply says why when it cannot be gone to."""
        state = self._state
        try:
            place = parse_place(text, near=state.focus)
            check_place(state.scenario, place)
        except PvsimError as error:  # told beside the box alone, where it moves nothing
            return {"address": str(error)}
        level = level_of(place)
        if level == "diode" or (level == "cell" and state.level != "cell"):
            level = "module"
        state.tell("")
        state.set_focus(place, level)
        return {"address": "", "typed": text, "place": format_place(place)}

    def _places(self, wish: Wish) -> list[Place]:
        """The cells or modules of a stroke, from their numbers over the array."""
        index = array_index(self._state.scenario)
        place_of = {"cell": cell_at, "module": module_at}[wish.get("of", "cell")]
        return [place_of(index, int(number)) for number in list(wish["at"])[:MOST_CELLS_A_MESSAGE]]


def _known(value: object, names: tuple[str, ...]) -> str | None:
    if value is not None and value not in names:
        raise ValueError(value)
    return value if isinstance(value, str) else None


def _fields(place: Place) -> dict[str, int]:
    names = ("string", "module", "cell", "diode", "substring")
    return {name: getattr(place, name) for name in names if getattr(place, name) is not None}
