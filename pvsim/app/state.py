"""What one session is: the scenario, its solution and what the page shows of them.

Views read the parameters and watch them; they change them through the commands only.
A command that cannot be carried out says why in `notice` and leaves all else as it was.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import param
from panel.io import hold

from pvsim.app import history as past
from pvsim.app.numbers import format_percent
from pvsim.app.places import holds, nearest_place, place_at
from pvsim.app.shadows import SHADOW_TITLES, new_shadow
from pvsim.app.spoken import (
    describe_changes,
    describe_fault,
    describe_operation,
    describe_places,
    result_sentence,
    sentence_start,
)
from pvsim.app.words import _
from pvsim.array import change
from pvsim.array.array import Module, String
from pvsim.array.fault import Fault
from pvsim.array.fault_kind import FAULT_KINDS, fault_kind
from pvsim.array.operation import Operation
from pvsim.array.place import Place, describe_place, level_of, parse_place
from pvsim.array.scenario import FirstView, Scenario, check_place
from pvsim.array.solve import ArraySolution, solve_array
from pvsim.errors import PvsimError, ScenarioError
from pvsim.files.demo import read_demo
from pvsim.files.link import unpack
from pvsim.files.scenario_file import read_scenario

__all__ = ["LEVELS", "QUANTITIES", "State"]

LEVELS = ("array", "string", "module", "substring", "cell")
QUANTITIES = ("irradiance", "voltage", "power", "temperature")
COMPARISONS = ("last", "kept", "off")
KEPT_SOLUTIONS = 6  # so that undo and redo by a few steps need no solve


class State(param.Parameterized):
    """One learner's array, what was found about it and how the page shows it.

    Parameters
    ----------
    scenario : Scenario
        What is set up at first; solved at once.

    Raises
    ------
    PvsimError
        If that first scenario cannot be solved.
    """

    scenario = param.ClassSelector(class_=Scenario, doc="What is set up; its solution is always `solution`.")
    solution = param.Parameter(None, doc="The ArraySolution of `scenario`.")
    before = param.Parameter(None, doc="The ArraySolution to compare with, or None.")
    before_scenario = param.Parameter(None, doc="The scenario of `before`, or None.")
    comparison = param.Selector(
        default="last",
        objects=list(COMPARISONS),
        doc="What `before` is: the state before the last change, one kept on purpose, or nothing.",
    )

    notice = param.String("", doc="Why the last command was not carried out, or a hint; plain words.")
    said = param.String("", doc="What the last command did, in one sentence.")

    focus = param.ClassSelector(class_=Place, doc="The place under attention; deeper than `level` at times.")
    level = param.Selector(default="array", objects=list(LEVELS), doc="The level whose curves are shown.")
    quantity = param.Selector(default="irradiance", objects=list(QUANTITIES), doc="What the cells show.")
    condition = param.String("shade:0.2", doc='What a click applies: "shade:0.2", "mend" or a kind of fault.')

    theme = param.Selector(default="light", objects=["light", "dark"], doc="Colours of the page.")
    lecture = param.Boolean(False, doc="Large type and thick lines, for a projector.")
    keys = param.Boolean(True, doc="Whether single letters are shortcuts (WCAG 2.1.4).")
    lesson = param.String("", doc="The lesson that is open and its step, as the address carries them.")

    locked = param.Boolean(False, doc="Changes wait until a prediction is stored.")
    can_undo = param.Boolean(False, doc="Whether a step is left to undo.")
    can_redo = param.Boolean(False, doc="Whether a step is left to redo.")

    def __init__(self, scenario: Scenario, **params: Any) -> None:
        self._solutions: OrderedDict[Scenario, ArraySolution] = OrderedDict()
        self._history = past.start(scenario)
        self._origin = scenario
        self._in_stroke = False
        self._stroke_changed = False
        solution = self._solve(scenario)
        values = {"scenario": scenario, "solution": solution, **_first_view(scenario), **params}
        super().__init__(**values)
        self.said = result_sentence("", None, solution)

    # Changes of the array

    def paint(self, places: Sequence[Place], transmission: float) -> None:
        """Let `transmission` (0 to 1) of the light through to these cells; 1 takes the shade away."""
        places = tuple(places)
        where = describe_places(places)
        if transmission >= 1.0:
            what = _("{where} in full light").format(where=where)
            self._commit(lambda now: change.clear_paint(now, places), what, places)
        else:
            what = _("{where} shaded to {percent}").format(
                where=where, percent=format_percent(transmission, decimals=0)
            )
            self._commit(lambda now: change.paint(now, places, transmission), what, places)

    def apply_condition(self, place: Place) -> None:
        """Do what `condition` says at this place; the second time on the same place undoes it."""
        try:
            kind, _colon, size = self.condition.partition(":")
            if kind == "shade":
                again = change.painted_transmission(self.scenario, place) == float(size)
                self.paint([place], 1.0 if again else float(size))
            elif kind == "mend":
                self.mend(place)
            else:
                target = self._scoped(place, kind)
                if any(fault.kind == kind for fault in change.faults_at(self.scenario, target)):
                    self.mend(target, kind)
                else:
                    self.break_part(target, kind, float(size) if size else None)
        except PvsimError as error:
            self._refuse(error)

    def break_part(self, place: Place, kind: str, size: float | None = None) -> None:
        """Give the part at this place a fault; `size` in the unit of the kind, None for its usual size."""

        def broken(now: Scenario) -> Scenario:
            return change.add_fault(now, Fault(kind, place, size))

        title = FAULT_KINDS[kind].title if kind in FAULT_KINDS else kind
        self._commit(broken, describe_fault(place, title), (place,))

    def mend(self, place: Place, kind: str | None = None) -> None:
        """Take all faults and paint off this place and what it holds; or one kind of fault at it."""

        def mended(now: Scenario) -> Scenario:
            for fault in now.faults:
                chosen = fault.place == place if kind else holds(now, place, fault.place)
                if chosen and kind in (None, fault.kind):
                    now = change.remove_fault(now, fault)
            if kind is None:
                painted = [one.place for one in now.light.painted if holds(now, place, one.place)]
                now = change.clear_paint(now, painted)
            return now

        self._commit(mended, _("{where} mended").format(where=describe_place(place)), (place,))

    def mend_all(self) -> None:
        """Take every fault, paint and shadow away and leave the rest as it is."""

        def mended(now: Scenario) -> Scenario:
            return change.set_light(replace(now, faults=()), painted=(), shadows=())

        self._commit(mended, _("everything mended"))

    def add_shadow(self, kind: str, **where: float) -> None:
        """Let a shadow of this kind fall on the roof; `where` names fields of Shadow."""
        what = SHADOW_TITLES.get(kind, kind)
        self._commit(lambda now: change.add_shadow(now, new_shadow(now, kind, **where)), what)

    def move_shadow(self, index: int, x_m: float, y_m: float) -> None:
        """Move a shadow; moves between begin_stroke and end_stroke are one step to undo."""
        self._commit(lambda now: change.move_shadow(now, index, x_m, y_m), _("the shadow moved"))

    def change_shadow(self, index: int, **changes: float) -> None:
        """Resize or turn a shadow, with changes named as the fields of Shadow."""
        self._commit(lambda now: change.change_shadow(now, index, **changes), _("the shadow changed"))

    def remove_shadow(self, index: int) -> None:
        """Take a shadow away."""
        self._commit(lambda now: change.remove_shadow(now, index), _("the shadow taken away"))

    def set_light(self, **changes: float) -> None:
        """Change irradiance, diffuse share or rear irradiance, named as the fields of Light."""
        self._commit(lambda now: change.set_light(now, **changes), describe_changes(changes))

    def set_weather(self, **changes: Any) -> None:
        """Change temperatures, wind or the way heat is treated, named as the fields of Weather."""
        self._commit(lambda now: change.set_weather(now, **changes), describe_changes(changes))

    def set_array(self, **changes: Any) -> None:
        """Change tracking, wiring, orientation and the like, named as the fields of Array."""
        self._commit(lambda now: change.set_array(now, **changes), describe_changes(changes))

    def build_array(self, strings: int, modules: int, kind: str) -> None:
        """Put equal strings of one module type on the roof, in perfect order; light and weather stay."""

        def built(now: Scenario) -> Scenario:
            string = String(modules=(Module(kind),) * modules)
            array = replace(now.array, strings=(string,) * strings)
            clear = replace(now.light, painted=(), shadows=())
            title = _("{strings} × {modules} modules").format(strings=strings, modules=modules)
            operation, view = Operation(), FirstView(quantity=now.first_view.quantity)
            return replace(
                now, title=title, note="", array=array, light=clear, faults=(), operation=operation, first_view=view
            )

        self._commit(built, _("a new array"))

    def set_operation(self, kind: str, value: float | None = None) -> None:
        """Operate the array at its MPP, a voltage (V), a current (A) or a load (ohm)."""
        self._commit(lambda now: change.set_operation(now, kind, value), describe_operation(kind, value))

    # A stroke: many paints or moves that are one step to undo

    def begin_stroke(self) -> None:
        """From here all changes count as one step, until end_stroke."""
        self._in_stroke, self._stroke_changed = True, False

    def end_stroke(self) -> None:
        """The next change is a step of its own again."""
        self._in_stroke = self._stroke_changed = False

    # Going back and forth

    def undo(self) -> None:
        """Go one step back."""
        if not self.locked_now() and self._history.can_go_back:
            self._travel(past.back, _("undone ({what})").format(what=self._history.current.what))

    def redo(self) -> None:
        """Go one step forward again."""
        if not self.locked_now() and self._history.can_go_forward:
            self._travel(past.forward, "")

    def reset(self) -> None:
        """Back to the scenario as it was opened; undo brings the work back."""
        self._commit(lambda _now: self._origin, _("back to the start"))

    # What to compare with

    def keep_before(self) -> None:
        """Keep the present state as the one all further changes are compared with."""
        self._update(
            comparison="kept",
            before=self.solution,
            before_scenario=self.scenario,
            said=_("The present curves are kept to compare with."),
        )

    def drop_before(self) -> None:
        """Compare with the state before the last change again."""
        self._update(
            comparison="last", said=_("Compared with the state before the last change."), **self._last()
        )

    def compare_nothing(self) -> None:
        """Show no earlier state."""
        self._update(comparison="off", before=None, before_scenario=None, said=_("Nothing to compare with."))

    # What is shown

    def set_focus(self, place: Place | str, level: str | None = None) -> None:
        """Look at a place, given as such or as typed ("2/5/14"; "string 2, module 5, cell 14")."""
        try:
            if isinstance(place, str):
                place = parse_place(place)
            check_place(self.scenario, place)
        except PvsimError as error:
            self._refuse(error)
            return
        self._update(focus=place, level=level or self.level, notice="")

    def set_level(self, level: str) -> None:
        """Show the curves of this level, of the part that holds the focus."""
        self._choose("level", level, LEVELS)

    def set_quantity(self, quantity: str) -> None:
        """Write this quantity into the cells."""
        self._choose("quantity", quantity, QUANTITIES)

    def set_condition(self, condition: str) -> None:
        """Choose what a click or Space does: "shade:0.2", "mend", or a kind of fault."""
        known = [*(f"shade:{step / 100:g}" for step in range(101)), "mend", *FAULT_KINDS]
        kind, _colon, size = condition.partition(":")
        self._choose("condition", condition, known if kind == "shade" or not size else [condition])

    # Whole scenarios

    def replace(self, scenario: Scenario, what: str = "", *, fresh: bool = False) -> None:
        """Put another scenario in place, also while changes are locked: lessons set up with it.

        Parameters
        ----------
        scenario : Scenario
            What comes.
        what : str
            The words for it, for undo and for the sentence said.
        fresh : bool
            Begin a new history here, with this scenario as the one reset goes back to.
        """
        try:
            solution = self._solve(scenario)
        except PvsimError as error:
            self._refuse(error)
            return
        self.end_stroke()
        if fresh:
            self._history, self._origin = past.start(scenario), scenario
            view = {**_first_view(scenario), "comparison": "last"}
        else:
            self._history, view = past.add(self._history, scenario, what), {}
        self._publish(scenario, solution, said=result_sentence(what, None, solution), **view)

    def open_scenario(self, text: str, name: str = "") -> None:
        """Open a scenario file by its text; `name` is for the sentence when it is refused."""
        self._open(lambda: read_scenario(text, name or _("the file")))

    def open_link(self, text: str) -> None:
        """Open the scenario packed into an address."""
        self._open(lambda: unpack(text))

    def choose_demo(self, name: str) -> None:
        """Open one of the scenarios that come with pvsim."""
        self._open(lambda: read_demo(name))

    # How it is done

    def locked_now(self) -> bool:
        """Whether changes are locked; says so to the learner when they are."""
        if self.locked:
            self.notice = _("First write down what you expect; the array is locked until then.")
        return self.locked

    def show(self, *, theme: str | None = None, lecture: bool | None = None, keys: bool | None = None) -> None:
        """Choose the looks of the page: colours, type size, single-letter keys."""
        wanted = {"theme": theme, "lecture": lecture, "keys": keys}
        self._update(**{name: value for name, value in wanted.items() if value is not None})

    def tell(self, notice: str) -> None:
        """Show a notice."""
        self.notice = notice

    def view_place(self, level: str | None = None) -> Place:
        """The part at `level` (default: the level shown) that holds the focus; the first one below it."""
        return place_at(self.scenario, self.focus, level or self.level)

    def scenario_as_shown(self) -> Scenario:
        """The scenario with what the page shows now as its first view, for files and links."""
        view = replace(self.scenario.first_view, focus=self.focus, quantity=self.quantity)
        return replace(self.scenario, first_view=view)

    def _open(self, read: Callable[[], Scenario]) -> None:
        if self.locked_now():
            return
        try:
            scenario = read()
        except PvsimError as error:
            self._refuse(error)
            return
        self.replace(scenario, _("{title} opened").format(title=scenario.title), fresh=True)

    def _choose(self, name: str, value: str, known: Sequence[str]) -> None:
        if value not in known:
            shown = ", ".join(known[:8])
            error = ScenarioError(
                f"“{value}” is no {name}", expected=shown, mend=_("Choose one of those shown")
            )
            self._refuse(error)
            return
        self._update(**{name: value, "notice": ""})

    def _scoped(self, place: Place, kind: str) -> Place:
        """The part a fault of this kind would hit when somebody points at `place`."""
        known = fault_kind(kind)
        if level_of(place) in known.scopes:
            return place
        return place_at(self.scenario, place, known.scope)

    def _solve(self, scenario: Scenario) -> ArraySolution:
        solution = self._solutions.pop(scenario, None)
        if solution is None:
            solution = solve_array(scenario)
        self._solutions[scenario] = solution
        while len(self._solutions) > KEPT_SOLUTIONS:
            self._solutions.popitem(last=False)
        return solution

    def _last(self) -> dict[str, Any]:
        """What `before` is when the last change is compared."""
        step = self._history.previous
        if step is None:
            return {"before": None, "before_scenario": None}
        return {"before": self._solve(step.scenario), "before_scenario": step.scenario}

    def _commit(
        self, changed: Callable[[Scenario], Scenario], what: str, places: Sequence[Place] = ()
    ) -> None:
        """Change, solve, and only when both went well let the page see it."""
        if self.locked_now():
            return
        try:
            for place in places:
                check_place(self.scenario, place)
            scenario = changed(self.scenario)
            solution = self._solve(scenario)
        except PvsimError as error:
            self._refuse(error)
            return
        if scenario == self.scenario:
            self._update(notice=_("Nothing changes: it is like that already.") if not self._in_stroke else "")
            return
        if self._in_stroke and self._stroke_changed:
            self._history = past.amend(self._history, scenario, what)
        else:
            self._history = past.add(self._history, scenario, what)
        self._stroke_changed = True
        previous = self._history.previous
        before = self._solve(previous.scenario) if previous else None
        self._publish(scenario, solution, said=result_sentence(what, before, solution))

    def _travel(self, move: Callable[[past.History], past.History], what: str) -> None:
        self.end_stroke()
        before = self.solution
        self._history = move(self._history)
        step = self._history.current
        said = result_sentence(what or step.what, before, self._solve(step.scenario))
        self._publish(step.scenario, self._solve(step.scenario), said=said)

    def _publish(self, scenario: Scenario, solution: ArraySolution, *, said: str, **view: Any) -> None:
        comparison = view.get("comparison", self.comparison)
        values: dict[str, Any] = self._last() if comparison == "last" else {}
        values |= {"scenario": scenario, "solution": solution, "said": said, "notice": "", **view}
        values |= {"can_undo": self._history.can_go_back, "can_redo": self._history.can_go_forward}
        focus = view.get("focus", self.focus)
        values["focus"] = nearest_place(scenario, focus)
        self._update(**values)

    def _refuse(self, error: PvsimError) -> None:
        self._update(notice=sentence_start(str(error)))

    def _update(self, **values: Any) -> None:
        """Set all at once: watchers see no half of it, and the browser gets one message."""
        with hold():
            self.param.update(**values)


def _first_view(scenario: Scenario) -> dict[str, Any]:
    """Focus, level and quantity a scenario asks to be shown first."""
    focus = scenario.first_view.focus
    level = level_of(focus)
    return {
        "focus": focus,
        "level": "substring" if level == "diode" else level,
        "quantity": scenario.first_view.quantity,
    }
