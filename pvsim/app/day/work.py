"""A day played beside the event loop, so that it can be drawn while it comes and be given up."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from contextvars import copy_context
from dataclasses import replace
from functools import cache, partial
from time import monotonic

import numpy as np
from bokeh.document import Document

from pvsim.app.words import _
from pvsim.array.index import array_index
from pvsim.array.operation import Operation
from pvsim.array.scenario import FirstView, Scenario
from pvsim.array.weather import Weather
from pvsim.circuit import budget
from pvsim.circuit.budget import Budget
from pvsim.circuit.floats import Floats
from pvsim.day.energy import DayEnergy, DayFilms, day_films, play
from pvsim.day.film import DayFrame
from pvsim.day.moment import DayScene, scene_of
from pvsim.errors import OvertimeError, PvsimError, ScenarioError

__all__ = ["DayPlay", "DayWork", "day_of", "step_for"]

EVERY_S = 0.2  # between two times that the page is told how far it is
LONGEST_S = 600.0
THREADS = 1  # a class that plays its days all at once waits in a row, and everything else goes on
STEPS_min = (5.0, 10.0, 15.0, 30.0, 60.0)
MOST_VALUES = 1_500_000  # of light, cell by cell and time by time: 6 MB
LINES = ("power", "shaded", "open")


class DayPlay:
    """What is known of a day that is played, or was.

    Parameters
    ----------
    scenario : Scenario
        With a day.

    Attributes
    ----------
    films : DayFilms or None
        From when on the light is known.
    scene : DayScene or None
        Of the array as it is; moments can be shown from then on.
    watts : dict of str to (n,)
        "power", "shaded", "open" and "followed"; NaN where it is not solved yet.
    voltage_V : list of tuple of float
        Where each tracker stands at each time that is solved.
    solved : int
        How many times of all films.
    energy : DayEnergy or None
        When all is played.
    error : PvsimError or None
        Why it could not be.
    """

    def __init__(self, scenario: Scenario) -> None:
        self.scenario, self.day = scenario, day_of(scenario)
        self.step_min = step_for(scenario)
        self.films: DayFilms | None = None
        self.scene: DayScene | None = None
        self.watts: dict[str, Floats] = {}
        self.voltage_V: list[tuple[float, ...]] = []
        self.solved = 0
        self.energy: DayEnergy | None = None
        self.error: PvsimError | None = None

    @property
    def running(self) -> bool:
        """Whether there is more to come."""
        return self.energy is None and self.error is None

    @property
    def share(self) -> float:
        """How much of it is done, 0 to 1."""
        return self.solved / self.films.to_solve if self.films is not None else 0.0

    def work(self, given: Budget, told: Callable[[], None]) -> None:
        """Play it, within a budget that can be taken back; `told` is called whenever more is known."""
        last = monotonic()

        def heard(name: str, frame: DayFrame) -> None:
            nonlocal last
            if given.taken_back:
                raise GivenUp
            self._note(name, frame)
            if monotonic() - last > EVERY_S:
                last = monotonic()
                told()

        try:
            with budget.hold(given):
                films = day_films(self.scenario, step_min=self.step_min)
                count = len(films.power.light.hour)
                self.watts = {name: np.full(count, np.nan) for name in (*LINES, "followed")}
                self.scene, self.films = scene_of(films.power), films
                told()
                self.energy = play(films, heard=heard)
        except GivenUp:
            return
        except PvsimError as error:
            if isinstance(error, OvertimeError) and given.taken_back:
                return
            self.error = error
        told()

    def _note(self, name: str, frame: DayFrame) -> None:
        films = self.films
        assert films is not None
        film = getattr(films, name)
        for line in LINES:
            if getattr(films, line) is film:
                self.watts[line][frame.at] = frame.power_W
        if name == "power":
            self.watts["followed"][frame.at] = frame.followed_W
            self.voltage_V.append(frame.voltage_V)
        self.solved += 1


class GivenUp(Exception):
    """Nobody waits for it any more."""


class DayWork:
    """Plays days for one page, one at a time.

    Parameters
    ----------
    document : Document or None
        The page's own, in whose turn it is told what has come; without one all is done at once.
    told : callable
        Called whenever more is known of `now`.
    """

    def __init__(self, document: Document | None, told: Callable[[], None]) -> None:
        self._document, self._told = document, told
        self._given: Budget | None = None
        self.now: DayPlay | None = None

    def start(self, scenario: Scenario) -> None:
        """Play the day of a scenario in place of whatever was played.

        Raises
        ------
        ScenarioError
            If the array is too large for it.
        """
        play = DayPlay(scenario)
        self.give_up()
        self.now = play
        given = self._given = Budget(LONGEST_S)
        document = self._document
        if document is None or not document.session_context:
            play.work(given, self._told)
            return
        waiting = False

        def here() -> None:
            nonlocal waiting
            waiting = False
            if self._given is given:
                self._told()

        def told() -> None:  # in the thread
            nonlocal waiting
            if not waiting and not given.taken_back:
                waiting = True
                document.add_next_tick_callback(partial(copy_context().run, here))

        def ended(job: Future[None]) -> None:
            if not given.taken_back:
                document.add_next_tick_callback(partial(job.result, 0))  # so that what went wrong is heard of

        _threads().submit(copy_context().run, play.work, given, told).add_done_callback(ended)

    def give_up(self) -> None:
        """Let go of what is being played; what is known of it stays."""
        if self._given is not None:
            self._given.taken_back = True
            self._given = None

    def forget(self) -> None:
        """Let go of it, and of what is known."""
        self.give_up()
        self.now = None


def day_of(scenario: Scenario) -> Scenario:
    """The scenario without all that its day does not depend on, to compare with.

    A day has light of its own, and every tracker at its highest peak.
    """
    light = replace(scenario.light, irradiance_W_m2=1000.0, diffuse_fraction=0.0, rear_irradiance_W_m2=0.0)
    weather = scenario.weather
    if weather.heat == "fixed":
        weather = Weather(heat="fixed", cell_temperature_C=weather.cell_temperature_C)
    return replace(
        scenario,
        title="",
        note="",
        light=light,
        weather=weather,
        operation=Operation(),
        first_view=FirstView(),
    )


def step_for(scenario: Scenario) -> float:
    """The step, in minutes, in which the day of an array of this size is played.

    Raises
    ------
    ScenarioError
        If it is too large for every step.
    """
    cells = int(array_index(scenario).cell_start[-1])
    for step in STEPS_min:
        if cells * 1440.0 / step <= MOST_VALUES:
            return step
    most = int(MOST_VALUES * STEPS_min[-1] / 1440.0)
    raise ScenarioError(
        _("the array has {count:,} cells").format(count=cells),
        expected=_("at most {most:,} for a day on the page").format(most=most),
        mend=_("Save the scenario and play its day with “pvsim day”"),
    )


@cache
def _threads() -> ThreadPoolExecutor:
    return ThreadPoolExecutor(THREADS, thread_name_prefix="pvsim-day")
