"""What one page holds for its views to read and to watch."""

from __future__ import annotations

from typing import Any

import param

from pvsim.app.held import held
from pvsim.app.put import put
from pvsim.app.room.classroom import Classroom
from pvsim.app.session.field_work import FieldWork
from pvsim.app.session.sentences import sentence_start
from pvsim.app.session.solved import Solved
from pvsim.app.words import _, mark
from pvsim.array.place import SHOWN_LEVELS, Place, level_of
from pvsim.array.scenario import SHOWN_QUANTITIES, Scenario
from pvsim.array.solution import ArraySolution
from pvsim.errors import PvsimError
from pvsim.field.search.case import SearchCase
from pvsim.field.search.pace import Past
from pvsim.safety.ratings import Ratings

__all__ = ["CURVE_VIEWS", "FIELD_TABS", "FIRST_CONDITION", "Parameters", "first_view"]

COMPARISONS = ("last", "kept", "off")
FIRST_CONDITION = "shade:0.2"
FIELD_TABS = ("bench", "search")
CURVE_VIEWS = ("curves", "difference", "parts", "table")
_LOCKED = mark("First write down what you expect; the array is locked until then.")


class Parameters(Solved):
    """The parameters of a session, set together or not at all."""

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

    day_open = param.Boolean(False, doc="Whether the day on the roof stands open.")
    moment = param.Parameter(None, doc="The DayMoment that is shown in place of `solution`, or None.")

    field_open = param.Boolean(False, doc="Whether the field desk stands open.")
    pasts: tuple[Past, ...] = param.Parameter(  # type: ignore[assignment]
        (), doc="Searches that were ended, in their order."
    )
    field_tab: str = param.Selector(  # type: ignore[assignment]
        default="bench", objects=list(FIELD_TABS), doc="What of it: measuring on the bench, or a search."
    )
    field: FieldWork = param.ClassSelector(  # type: ignore[assignment]
        default=FieldWork(), class_=FieldWork, doc="What was measured on the roof, or in a search."
    )

    lesson_search: SearchCase | None = param.Parameter(  # type: ignore[assignment]
        None, doc="What the open step of a lesson has one search in, or None; it never leaves the server."
    )
    offering = param.Boolean(False, doc="Whether what a class can choose from is being worked out.")

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

    surface: int = param.Integer(1, doc="The surface whose settings are shown.")  # type: ignore[assignment]
    surface_row: int = param.Integer(0, doc="Its row of places so shown; 0 for all.")  # type: ignore[assignment]
    searching = param.Dict({}, doc="How far a search for the shortest wiring is; empty while none runs.")

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
    ratings: Ratings = param.ClassSelector(  # type: ignore[assignment]
        default=Ratings(), class_=Ratings, doc="What the array is held against."
    )
    limits = param.Parameter(None, doc="The LimitsFound last worked out, or None.")
    earth_readings = param.Dict(default={}, doc="Volts to earth as read, by pole: minus, plus.")
    earth = param.Parameter(None, doc="The EarthFound of those readings, or None.")
    can_undo = param.Boolean(False, doc="Whether a step is left to undo.")
    can_redo = param.Boolean(False, doc="Whether a step is left to redo.")

    @property
    def shown_solution(self) -> ArraySolution:
        """What drawing and curves show: the array in its own light, or at the moment of a day."""
        found: ArraySolution = self.solution if self.moment is None else self.moment.solution
        return found

    @property
    def shown_before(self) -> ArraySolution | None:
        """What it is held against; a moment of a day against nothing."""
        found: ArraySolution | None = self.before if self.moment is None else None
        return found

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

    def _refuse(self, error: PvsimError) -> None:
        self._update(notice=sentence_start(str(error)))

    def _update(self, **values: Any) -> None:
        """Set all at once: watchers see no half of it, and the browser gets one message."""
        with held():
            put(self, **values)


def first_view(scenario: Scenario) -> dict[str, Any]:
    """Focus, level and quantity a scenario asks to be shown first."""
    focus = scenario.first_view.focus
    level = level_of(focus)
    return {
        "focus": focus,
        "level": "substring" if level == "diode" else level,
        "quantity": scenario.first_view.quantity,
    }
