"""What a session holds, and how it goes from one scenario to the next without a half-way state."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import param
from panel.io import hold

from pvsim.app.room.classroom import Classroom
from pvsim.app.session import history as past
from pvsim.app.session.sentences import result_sentence, sentence_start
from pvsim.app.session.solved import KEPT_SOLUTIONS, Solved, opened
from pvsim.app.words import _, mark
from pvsim.array.part_place import nearest_place
from pvsim.array.place import SHOWN_LEVELS, Place, level_of
from pvsim.array.scenario import SHOWN_QUANTITIES, Scenario, check_places
from pvsim.array.solution import ArraySolution
from pvsim.errors import PvsimError

__all__ = ["CURVE_VIEWS", "KEPT_SOLUTIONS", "Record", "first_view"]

COMPARISONS = ("last", "kept", "off")
FIRST_CONDITION = "shade:0.2"
CURVE_VIEWS = ("curves", "difference", "parts", "table")
_LOCKED = mark("First write down what you expect; the array is locked until then.")
OWN_VIEW = (
    "focus", "level", "quantity", "view", "unfolded", "condition", "comparison", "before", "before_scenario",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Aside:
    """What was on somebody's bench before a lesson's array took its place, and how it was shown."""

    history: past.History
    origin: Scenario
    view: Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What a change has led to, before it is solved."""

    scenario: Scenario
    what: str
    amends: bool  # the step that its stroke has made already
    begins: bool  # an array that is not compared with the one before
    stroke: int


class Record(Solved):
    """The parameters of a session, its history, and the one way from a scenario to the next.

    Parameters
    ----------
    scenario : Scenario
        What is set up at first; solved at once.

    Raises
    ------
    PvsimError
        If that first scenario cannot be solved.
    """

    scenario: Scenario = param.ClassSelector(  # type: ignore[assignment]
        class_=Scenario, doc="What is set up; its solution is always `solution`."
    )
    solution = param.Parameter(None, doc="The ArraySolution of `scenario`.")
    before = param.Parameter(None, doc="The ArraySolution to compare with, or None.")
    before_scenario = param.Parameter(None, doc="The scenario of `before`, or None.")
    comparison: str = param.Selector(  # type: ignore[assignment]
        default="last",
        objects=list(COMPARISONS),
        doc="What `before` is: the state before the last change, one kept on purpose, or nothing.",
    )

    notice = param.String("", doc="Why the last command was not carried out, or a hint; plain words.")
    said = param.String("", doc="What the last command did, in one sentence.")

    focus: Place = param.ClassSelector(  # type: ignore[assignment]
        class_=Place, doc="The place under attention; deeper than `level` at times."
    )
    level: str = param.Selector(  # type: ignore[assignment]
        default="array", objects=list(SHOWN_LEVELS), doc="The level whose curves are shown."
    )
    quantity: str = param.Selector(  # type: ignore[assignment]
        default="irradiance", objects=list(SHOWN_QUANTITIES), doc="What the cells show."
    )
    view: str = param.Selector(  # type: ignore[assignment]
        default="curves", objects=list(CURVE_VIEWS), doc="What the figures show of the part in view."
    )
    unfolded = param.Boolean(False, doc="Whether the five levels stand unfolded.")
    condition = param.String(
        FIRST_CONDITION, doc='What a click applies: "shade:0.2", "mend" or a kind of fault.'
    )
    handed = param.Integer(0, doc="Rises when a lesson hands the learner the tool of the condition.")

    theme: str = param.Selector(  # type: ignore[assignment]
        default="light", objects=["light", "dark"], doc="Colours of the page."
    )
    classroom: Classroom | None = None  # this session's class; the page gives it
    large = param.Boolean(False, doc="Large type and thick lines, for a projector.")
    keys = param.Boolean(True, doc="Whether single letters are shortcuts (WCAG 2.1.4).")
    language = param.String("", doc="What the address asks for; empty where it leaves that to the browser.")
    lesson = param.String("", doc="The lesson that is open and its step, as the address carries them.")

    righted = param.Integer(0, doc="Rises when views are to let go of what was chosen in them alone.")
    cue = param.Integer(-1, doc="The cue of the lecture that is shown, from 0; -1 while none is held.")
    lecture = param.Parameter(None, doc="The Lecture that is held or about to be, or None.")

    locked = param.Boolean(False, doc="Changes wait until a prediction is stored.")
    kept_back = param.Parameter(
        (), doc="Names of what would answer the prediction, out of sight while changes are locked."
    )
    can_undo = param.Boolean(False, doc="Whether a step is left to undo.")
    can_redo = param.Boolean(False, doc="Whether a step is left to redo.")

    def __init__(self, scenario: Scenario, **params: Any) -> None:
        self._wish: Wish | None = None  # what is being worked out
        self._stroke = 0
        self._in_stroke = False
        self._stroke_changed = False
        self._stroke_places: dict[Place, None] = {}
        solution, released = opened(scenario)
        values = {"scenario": solution.scenario, "solution": solution, "notice": released}
        super().__init__(**values | first_view(scenario) | params)
        self._keep(solution)
        self._history, self._origin = past.start(solution.scenario), solution.scenario
        self._aside: Aside | None = None
        self.said = result_sentence("", None, solution)

    # A stroke: many paints or moves that are one step to undo

    def begin_stroke(self) -> None:
        """From here all changes count as one step, until end_stroke."""
        self._in_stroke, self._stroke_changed = True, False
        self._stroke += 1
        self._stroke_places.clear()

    def end_stroke(self) -> None:
        """The next change is a step of its own again."""
        self._in_stroke = self._stroke_changed = False
        self._stroke_places.clear()

    @property
    def set_out_from(self) -> past.Step | None:
        """What the latest change set out from; the same one as long as a stroke lasts."""
        return self._history.previous

    def _stroked(self, places: Sequence[Place]) -> tuple[Place, ...]:
        """These places after the others of the same stroke; only these when there is none."""
        if not self._in_stroke:
            return tuple(places)
        self._stroke_places |= dict.fromkeys(places)
        return tuple(self._stroke_places)

    # What lies aside while a lesson has its own array on the bench

    @property
    def own_scenario(self) -> Scenario | None:
        """What lies aside, with how it was shown as its first view; None where nothing does."""
        if self._aside is None or not self._history.current.lent:
            return None
        scenario = self._aside.history.current.scenario
        view = replace(
            scenario.first_view, focus=self._aside.view["focus"], quantity=self._aside.view["quantity"]
        )
        return replace(scenario, first_view=view)

    def lend(self, scenario: Scenario, what: str) -> None:
        """Put a lesson's scenario on the bench, also while changes are locked; what was there lies aside.

        Undo goes back to what lies aside from there on, and `give_back` brings it back as it was.
        """
        self._let_go()
        settled = self._settled_or_told(scenario)
        if settled is None:
            return
        scenario, solution, released = settled
        self.end_stroke()
        if not self._history.current.lent:
            view = {name: getattr(self, name) for name in OWN_VIEW}
            self._aside = Aside(history=past.own(self._history), origin=self._origin, view=view)
        self._history, self._origin = past.lend(self._history, scenario, what), scenario
        view = {**first_view(scenario), "comparison": "last"}
        self._publish(scenario, solution, said=result_sentence(what, None, solution), notice=released, **view)

    def take_aside(self, scenario: Scenario) -> None:
        """Let another scenario be what lies aside, as if it had been on the bench before the lesson."""
        aside, now = self._aside, self._history.current
        if aside is None or not now.lent:
            return
        view = {**aside.view, **first_view(scenario)}
        self._aside = replace(aside, history=past.start(scenario), origin=scenario, view=view)
        self._history = past.lend(self._aside.history, now.scenario, now.what)

    def give_back(self) -> None:
        """Put back on the bench what a lesson's array took the place of, with its own undo."""
        aside, lent = self._aside, self._history.current.lent
        if aside is None:
            return
        self._let_go()
        self.end_stroke()
        self._history = aside.history if lent else past.own(self._history)  # undo had come back to it already
        self._origin, self._aside = aside.origin, None
        scenario = self._history.current.scenario
        solution = self._solve(scenario)
        what = _("{title} is on the bench again").format(title=_(scenario.title))
        self._publish(scenario, solution, said=result_sentence(what, None, solution), **aside.view)

    # How it is done

    def locked_now(self) -> bool:
        """Whether changes are locked; says so to the learner when they are."""
        if self.locked:
            self.notice = _(_LOCKED)
        return self.locked

    @param.depends("locked", watch=True)
    def _forget_lock(self) -> None:
        if self.notice == _(_LOCKED):
            self.notice = ""

    def tell(self, notice: str) -> None:
        """Show a notice."""
        self.notice = notice

    def _private(self) -> tuple[Any, ...]:
        return self._history, self._origin, self._aside, self._in_stroke, self._stroke_changed

    def _go_back(self, before: tuple[Any, ...]) -> None:
        self._history, self._origin, self._aside, self._in_stroke, self._stroke_changed = before

    def _tell_computing(self, computing: bool) -> None:
        if not computing:
            self._wish = None
        # What is being worked out can be undone, which lets go of it.
        self._update(computing=computing, can_undo=computing or self._history.can_go_back)

    def _last(self) -> dict[str, Any]:
        """What `before` is when the last change is compared: moving the operating point keeps it."""
        step = self._history.compared
        if step is None:
            return {"before": None, "before_scenario": None}
        return {"before": self._solve(step.scenario), "before_scenario": step.scenario}

    def _commit(
        self,
        changed: Callable[[Scenario], Scenario],
        what: str,
        places: Sequence[Place] = (),
        *,
        stroke: bool = False,
        begins: bool = False,
    ) -> None:
        """Change, solve, and only when both went well let the page see it.

        What cannot be part of a `stroke` ends one that is still open, as keys leave it. What `begins` is
        another array altogether, and is held against nothing that was before.
        """
        if self.locked_now():
            return
        if not stroke:
            self.end_stroke()
        # What is still being worked out is changed further, and only the last is shown.
        waiting = self._wish
        if self.computing and waiting is None:
            self.tell(_("Another array is still being worked out. Wait for it, or undo it."))
            return
        now = self.scenario if waiting is None else waiting.scenario
        amends = self._in_stroke and self._stroke_changed if waiting is None else waiting.amends
        begins = begins or (waiting is not None and waiting.begins)
        try:
            check_places(now, places)
            scenario = changed(now)
        except PvsimError as error:
            self._refuse(error)
            return
        self._wish = Wish(scenario=scenario, what=what, amends=amends, begins=begins, stroke=self._stroke)
        self._carry_out(partial(self._bring, self._wish))
        if not self.computing:
            self._wish = None

    def _bring(self, wish: Wish) -> None:
        """Solve what was wished; where that went well let the page see it."""
        scenario, released, what = wish.scenario, "", wish.what
        try:
            if scenario.operation == self.scenario.operation:
                solution, released = self._settle(scenario)
                scenario = solution.scenario
            else:
                solution = self._solve(scenario)
        except PvsimError as error:
            self._refuse(error)
            return
        if scenario == self.scenario:
            self._update(notice=_("Nothing changes: it is like that already.") if not self._in_stroke else "")
            return
        if wish.amends:
            self._history = past.amend(self._history, scenario, what)
        else:
            self._history = past.add(self._history, scenario, what, begins=wish.begins)
        self._stroke_changed = wish.stroke == self._stroke
        previous = None if self._history.current.begins else self._history.previous
        before = self._solve(previous.scenario) if previous else None
        self._publish(scenario, solution, said=result_sentence(what, before, solution), notice=released)

    def _travel(self, move: Callable[[past.History], past.History], what: str) -> None:
        self.end_stroke()
        self._carry_out(partial(self._move, move, what))

    def _move(self, move: Callable[[past.History], past.History], what: str) -> None:
        left, self._history = self._history.index, move(self._history)
        step = self._history.current
        later = self._history.steps[max(left, self._history.index)]
        before = None if later.begins else self.solution
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

    def _settled_or_told(self, scenario: Scenario) -> tuple[Scenario, ArraySolution, str] | None:
        """What `_settle` gives, behind its scenario; where that is refused none, and a notice why."""
        try:
            solution, released = self._settle(scenario)
        except PvsimError as error:
            self._refuse(error)
            return None
        return solution.scenario, solution, released

    def _refuse(self, error: PvsimError) -> None:
        self._update(notice=sentence_start(str(error)))

    def _update(self, **values: Any) -> None:
        """Set all at once: watchers see no half of it, and the browser gets one message."""
        with hold():
            self.param.update(**values)


def first_view(scenario: Scenario) -> dict[str, Any]:
    """Focus, level and quantity a scenario asks to be shown first."""
    focus = scenario.first_view.focus
    level = level_of(focus)
    return {
        "focus": focus,
        "level": "substring" if level == "diode" else level,
        "quantity": scenario.first_view.quantity,
    }
