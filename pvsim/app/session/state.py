"""The commands of a session: the only way in for views, keys, files and lessons.

Views read the parameters (see Record) and watch them; they change them through the commands.
A command that cannot be carried out says why in `notice` and leaves all else as it was.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import Any, cast

from pvsim.app.session import history as past
from pvsim.app.session.sentences import (
    describe_change_of,
    describe_changes,
    describe_fault,
    describe_operation,
    describe_places,
    result_sentence,
)
from pvsim.app.session.session import (
    CURVE_VIEWS,
    FIRST_CONDITION,
    KEPT_SOLUTIONS,
    Record,
    first_view,
)
from pvsim.app.session.shadows import SHADOW_TITLES, new_shadow
from pvsim.app.session.tool import parse_condition
from pvsim.app.words import _, speaking
from pvsim.array import change
from pvsim.array.array import Module, String
from pvsim.array.catalogue import CATALOGUE
from pvsim.array.fault import Fault
from pvsim.array.fault_kind import FAULT_KINDS, fault_kind
from pvsim.array.operation import Operation, OperationKind
from pvsim.array.part_place import place_at, place_holds
from pvsim.array.place import SHOWN_LEVELS, WHOLE_ARRAY, Place, describe_place, level_of, parse_place
from pvsim.array.scenario import SHOWN_QUANTITIES, FirstView, Quantity, Scenario, check_place
from pvsim.errors import FileError, PvsimError, ScenarioError, nearest
from pvsim.files.curve_file import is_curve
from pvsim.files.demo import read_demo
from pvsim.files.link import unpack
from pvsim.files.provenance import one_line
from pvsim.files.scenario_file import read_scenario
from pvsim.numbers import format_setting

__all__ = ["KEPT_SOLUTIONS", "State"]

USUAL_ROW = 20  # modules; a new string of no more lies in one row


class State(Record):
    """One learner's array, what was found about it, how the page shows it, and what can be done.

    Parameters
    ----------
    scenario : Scenario
        What is set up at first; solved at once.
    """

    # Changes of the array

    def paint(self, places: Sequence[Place], transmission: float) -> None:
        """Let `transmission` (0 to 1) of the light through to these places; 1 takes the shade away."""
        places = tuple(places)
        where = describe_places(self._stroked(places))
        if transmission >= 1.0:
            transmission, what = 1.0, _("{where} in full light").format(where=where)
        else:
            what = _("{where} shaded to {percent}").format(
                where=where, percent=format_setting(100.0 * transmission, "%")
            )
        self._commit(lambda now: change.paint_over(now, places, transmission), what, places, stroke=True)

    def apply_condition(self, place: Place) -> None:
        """Do what `condition` says at this place; the second time on the same place undoes it."""
        try:
            condition = parse_condition(self.condition)
            kind, size = condition.kind, condition.size
            if kind == "shade":
                again = change.painted_transmission(self.scenario, place) == size
                self.paint([place], 1.0 if again or size is None else size)
            elif kind == "mend":
                self.mend(place)
            else:
                target = self._scoped(place, kind)
                if any(fault.kind == kind for fault in change.faults_at(self.scenario, target)):
                    self.mend(target, kind)
                else:
                    self.break_part(target, kind, size)
        except PvsimError as error:
            self._refuse(error)

    def break_part(self, place: Place, kind: str, size: float | None = None) -> None:
        """Give the part at this place a fault; `size` in the unit of the kind, None for its usual size."""

        def broken(now: Scenario) -> Scenario:
            return change.add_fault(now, Fault(kind, place, size))

        title = _(FAULT_KINDS[kind].title) if kind in FAULT_KINDS else kind
        self._commit(broken, describe_fault(place, title), (place,))

    def mend(self, place: Place, kind: str | None = None) -> None:
        """Take all faults and paint off this place and what it holds; or one kind of fault at it."""

        def mended(now: Scenario) -> Scenario:
            for fault in now.faults:
                chosen = fault.place == place if kind else place_holds(now, place, fault.place)
                if chosen and kind in (None, fault.kind):
                    now = change.remove_fault(now, fault)
            if kind is None:
                painted = [one.place for one in now.light.painted if place_holds(now, place, one.place)]
                now = change.clear_paint(now, painted)
            return now

        what = _("{where} mended").format(where=describe_place(place))
        self._commit(mended, what, (place,), stroke=True)

    def mend_all(self) -> None:
        """Take every fault, paint and shadow away and leave the rest as it is."""

        def mended(now: Scenario) -> Scenario:
            return change.set_light(replace(now, faults=()), painted=(), shadows=())

        self._commit(mended, _("everything mended"))

    def add_shadow(self, kind: str, **where: float) -> None:
        """Let a shadow of this kind fall on the roof; `where` names fields of Shadow."""
        what = _(SHADOW_TITLES.get(kind, kind))
        self._commit(lambda now: change.add_shadow(now, new_shadow(now, kind, **where)), what)

    def move_shadow(self, index: int, x_m: float, y_m: float) -> None:
        """Move a shadow; moves between begin_stroke and end_stroke are one step to undo."""
        self._commit(lambda now: change.move_shadow(now, index, x_m, y_m), _("the shadow moved"), stroke=True)

    def change_shadow(self, index: int, **changes: float) -> None:
        """Resize or turn a shadow, with changes named as the fields of Shadow."""
        self._commit(
            lambda now: change.change_shadow(now, index, **changes), _("the shadow changed"), stroke=True
        )

    def remove_shadow(self, index: int) -> None:
        """Take a shadow away."""
        self._commit(lambda now: change.remove_shadow(now, index), _("the shadow taken away"))

    def set_light(self, **changes: float) -> None:
        """Change irradiance, diffuse share or rear irradiance, named as the fields of Light."""
        self._commit(lambda now: change.set_light(now, **changes), describe_changes(changes), stroke=True)

    def set_weather(self, **changes: Any) -> None:
        """Change temperatures, wind or the way heat is treated, named as the fields of Weather."""
        self._commit(lambda now: change.set_weather(now, **changes), describe_changes(changes), stroke=True)

    def set_array(self, **changes: Any) -> None:
        """Change tracking, wiring, orientation and the like, named as the fields of Array."""
        self._commit(lambda now: change.set_array(now, **changes), describe_changes(changes))

    def set_string(self, *, length: int | None = None, **changes: Any) -> None:
        """Change the string in focus, or all when the whole array is: fields of String, or its length."""
        place = self._string_in_focus()

        def changed(now: Scenario) -> Scenario:
            if length is not None:
                now = change.set_string_length(now, length, place)
            return change.set_strings(now, place, **changes)

        said = describe_changes({"length": length, **changes} if length is not None else changes)
        self._commit(changed, describe_change_of("string", place, said))

    def set_modules(self, **changes: Any) -> None:
        """Change modules, fields of Module: the one in focus, or all of the string or array shown."""
        place = self.modules_in_view()
        said = describe_changes({name: self._named(name, value) for name, value in changes.items()})
        self._commit(
            lambda now: change.set_modules(now, place, **changes), describe_change_of("module", place, said)
        )

    def modules_in_view(self) -> Place:
        """What changes of modules go to: the module in focus, from afar all of the string or of the array."""
        place = self._string_in_focus()
        near = self.level not in ("array", "string")
        return replace(place, module=self.focus.module) if near and place.string else place

    def _named(self, name: str, value: Any) -> Any:
        """A module type by its title, which people read."""
        known = {one.name: one for one in (*CATALOGUE.values(), *self.scenario.module_types)}
        return _(known[value].title) if name == "type" and value in known else value

    def _string_in_focus(self) -> Place:
        return Place(self.focus.string) if self.level != "array" else WHOLE_ARRAY

    def build_array(self, strings: int, modules: int, kind: str) -> None:
        """Put equal strings of one module type on the roof, in perfect order; light and weather stay."""

        def built(now: Scenario) -> Scenario:
            string = String(modules=(Module(kind),) * modules)
            row = max(modules, USUAL_ROW)
            array = replace(now.array, strings=(string,) * strings, modules_per_row=row)
            clear = replace(now.light, painted=(), shadows=())
            title = _("{strings} × {modules} modules").format(strings=strings, modules=modules)
            operation, view = Operation(), FirstView(quantity=now.first_view.quantity)
            return replace(
                now,
                title=title,
                note="",
                array=array,
                light=clear,
                faults=(),
                operation=operation,
                first_view=view,
            )

        self._commit(built, _("a new array"), begins=True)

    def set_operation(self, kind: str, value: float | None = None) -> None:
        """Operate the array at its MPP, a voltage (V), a current (A) or a load (ohm)."""
        self._commit(
            lambda now: change.set_operation(now, cast(OperationKind, kind), value),
            describe_operation(kind, value),
            stroke=True,
        )

    # Going back and forth

    def undo(self) -> None:
        """Go one step back."""
        if self.locked_now():
            return
        if self._let_go():
            self._update(said=_("What was being worked out is let go."))
        elif self._history.can_go_back:
            self._travel(past.back, _("undone ({what})").format(what=self._history.current.what))

    def redo(self) -> None:
        """Go one step forward again."""
        if not self.locked_now() and self._history.can_go_forward:
            self._let_go()
            self._travel(past.forward, "")

    def reset(self) -> None:
        """Back to the scenario as it was opened; undo brings the work back."""
        self._commit(lambda _now: self._origin, _("back to the start"))

    # What to compare with

    def keep_before(self, *, silently: bool = False) -> None:
        """Keep the present state as the one all further changes are compared with."""
        said = self.said if silently else _("The present curves are kept to compare with.")
        self._update(comparison="kept", before=self.solution, before_scenario=self.scenario, said=said)

    def compare_with(self, scenario: Scenario) -> None:
        """Compare all further changes with another scenario, as an address carries it."""

        def compare() -> None:
            settled = self._settled_or_told(scenario)
            if settled is not None:
                before_scenario, before, _released = settled
                self._update(comparison="kept", before=before, before_scenario=before_scenario)

        self.when_there(partial(self._carry_out, compare))

    def drop_before(self) -> None:
        """Compare with the state before the last change again."""
        said = _("Compared with the state before the last change.")
        self.when_there(
            partial(self._carry_out, lambda: self._update(comparison="last", said=said, **self._last()))
        )

    def compare_nothing(self) -> None:
        """Show no earlier state."""
        self._update(comparison="off", before=None, before_scenario=None, said=_("Nothing to compare with."))

    # What is shown

    def set_focus(self, place: Place | str, level: str | None = None) -> None:
        """Look at a place, given as such or as typed ("2/5/14"; "string 2, module 5, cell 14")."""
        try:
            if isinstance(place, str):
                place = parse_place(place, near=self.focus)
            check_place(self.scenario, place)
        except PvsimError as error:
            self._refuse(error)
            return
        self._update(focus=place, level=level or self.level, notice="")

    def set_level(self, level: str) -> None:
        """Show the curves of this level, of the part that holds the focus."""
        self._choose("level", level, SHOWN_LEVELS)

    def set_quantity(self, quantity: str) -> None:
        """Write this quantity into the cells."""
        self._choose("quantity", quantity, SHOWN_QUANTITIES)

    def set_view(self, view: str) -> None:
        """Show "curves", the "difference", how the curve is built from its "parts", or the "table"."""
        if view == "parts" and "parts" in self.kept_back:
            self.tell(_("This would answer your prediction. It is shown once that is stored."))
            return
        self._choose("view", view, CURVE_VIEWS)

    def lock(self, locked: bool, kept_back: Sequence[str] = ()) -> None:
        """Let changes wait or not, and keep out of sight what would answer a prediction."""
        kept_back = tuple(kept_back)
        view = CURVE_VIEWS[0] if self.view in kept_back else self.view
        self._update(locked=locked, kept_back=kept_back, view=view)

    def unfold(self, unfolded: bool = True) -> None:
        """Unfold the five levels, or fold them."""
        self._update(unfolded=bool(unfolded))

    def set_condition(self, condition: str, *, handed: bool = False) -> None:
        """Choose what a click or Space does: "shade:0.2", "mend", or a kind of fault.

        With `handed`, its tool is taken up even where it was the condition already: a finger begins by
        looking.
        """
        try:
            parse_condition(condition)
        except PvsimError as error:
            self._refuse(error)
            return
        self._update(condition=condition, handed=self.handed + handed, notice="")

    # Whole scenarios

    def replace(
        self, scenario: Scenario, what: str = "", *, fresh: bool = False, at_once: bool = False
    ) -> None:
        """Put another scenario in place, also while changes are locked.

        Parameters
        ----------
        scenario : Scenario
            What comes.
        what : str
            The words for it, for undo and for the sentence said.
        fresh : bool
            Begin a new history here, with this scenario as the one reset goes back to.
        at_once : bool
            Not beside the event loop, however long it takes; so it always is where it is not fresh.
        """
        self._let_go()
        put = partial(self._put, scenario, what, fresh=fresh)
        if fresh and not at_once:
            self._carry_out(put)
        else:  # a lesson goes on with it
            put()

    def _put(self, scenario: Scenario, what: str, *, fresh: bool) -> None:
        settled = self._settled_or_told(scenario)
        if settled is None:
            return
        scenario, solution, released = settled
        self.end_stroke()
        if fresh:
            self._history, self._origin, self._aside = past.start(scenario), scenario, None
            view = {**first_view(scenario), "comparison": "last"}
        else:
            self._history, view = past.add(self._history, scenario, what), {}
        before = None if fresh else self.solution
        said = result_sentence(what, before, solution)
        self._publish(scenario, solution, said=said, notice=released, **view)

    def open_scenario(self, text: str, name: str = "") -> None:
        """Open a scenario file by its text; `name` is for the sentence when it is refused."""

        def read() -> Scenario:
            if is_curve(text):
                raise FileError(
                    _("“{name}” is a table of a curve, and the page opens scenarios").format(
                        name=one_line(name or _("the file"))[:80]
                    ),
                    expected=_("a scenario file that pvsim saved (TOML)"),
                    mend=_(
                        "A measured curve is drawn beside a computed one with "
                        "“pvsim export svg SCENARIO --beside CURVE.csv”"
                    ),
                )
            with speaking("en"):  # what is wrong in a file is told in the language of its keys
                return read_scenario(text, name or "the file")

        self._open(read)

    def open_kept(self, text: str) -> None:
        """Open a bench that the browser's tab has kept; where a lesson has its own array, it lies aside."""
        if not text:
            self.tell(
                _("The array of this address is too large for it: only the tab it was made in has kept it.")
            )
            return
        try:
            with speaking("en"):
                scenario = read_scenario(text, "what this tab kept")
        except PvsimError as error:
            self._refuse(error)
            return
        if self.own_scenario is not None:
            self.take_aside(scenario)
        else:
            what = _("{title} opened").format(title=_(scenario.title))
            self.replace(scenario, what, fresh=True, at_once=True)  # the next address is its own

    def open_link(self, text: str, *, at_once: bool = False) -> None:
        """Open the scenario packed into an address; `at_once` for a lesson, which goes on with it."""
        self._open(lambda: unpack(text), at_once=at_once)

    def choose_demo(self, name: str) -> None:
        """Open one of the scenarios that come with pvsim."""
        self._open(lambda: read_demo(name))

    # How it is shown

    def show(self, *, theme: str | None = None, large: bool | None = None, keys: bool | None = None) -> None:
        """Choose the looks of the page: colours, type size, single-letter keys."""
        wanted = {"theme": theme, "large": large, "keys": keys}
        self._update(**{name: value for name, value in wanted.items() if value is not None})

    def put_right(self) -> None:
        """Show what the page opens with: curves, folded levels, the usual tool, no choice of one view."""
        self.set_condition(FIRST_CONDITION, handed=True)
        self._update(view=CURVE_VIEWS[0], unfolded=False, righted=self.righted + 1)

    def view_place(self, level: str | None = None) -> Place:
        """The part at `level` (default: the level shown) that holds the focus; the first one below it."""
        return place_at(self.scenario, self.focus, level or self.level)

    def scenario_as_shown(self) -> Scenario:
        """The scenario with what the page shows now as its first view, for files and links."""
        view = replace(self.scenario.first_view, focus=self.focus, quantity=cast(Quantity, self.quantity))
        return replace(self.scenario, first_view=view)

    def _open(self, read: Callable[[], Scenario], *, at_once: bool = False) -> None:
        if self.locked_now():
            return
        try:
            scenario = read()
        except PvsimError as error:
            self._refuse(error)
            return
        what = _("{title} opened").format(title=_(scenario.title))
        self.replace(scenario, what, fresh=True, at_once=at_once)

    def _choose(self, name: str, value: str, known: Sequence[str]) -> None:
        if value not in known:
            expected = "one of " + ", ".join(known)
            self._refuse(
                ScenarioError(
                    f"“{value[:40]}” is no {name}", expected=expected, mend=nearest(value[:40], known)
                )
            )
            return
        self._update(**{name: value, "notice": ""})

    def _scoped(self, place: Place, kind: str) -> Place:
        """The part a fault of this kind would hit when somebody points at `place`."""
        known = fault_kind(kind)
        if level_of(place) in known.scopes:
            return place
        return place_at(self.scenario, place, known.scope)
