"""Where a lecture stands: pure functions from one podium to the next.

The array is locked while the class is asked, and stays so in the act until there are answers, or
the lecturer has said that there will be none: the change gives the outcome away.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from pvsim.array.scenario import Scenario
from pvsim.course.lecture.class_answers import Round, class_answer, size
from pvsim.course.lecture.lecture import Cue, Lecture, back_cue, find_lesson, next_cue, step_of_cue
from pvsim.course.lesson.lesson import Course, Lesson, Step
from pvsim.course.number.solved_scenario import Situation
from pvsim.course.play.player import Mark, act_done, within_act

MOST_ROUNDS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What has happened with one step in this lecture.

    Parameters
    ----------
    rounds : tuple of Round
        Before and after the class talked; the last one is open.
    shown : bool
        Whether the histogram is on the screen.
    waived : bool
        Whether the lecturer goes on without answers.
    done : Scenario or None
        The last scenario in which the act was done.
    seen : bool
        Whether the answer to the observation is on the screen.
    """

    rounds: tuple[Round, ...] = (Round(),)
    shown: bool = False
    waived: bool = False
    done: Scenario | None = None
    seen: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Podium:
    """Where a lecture is, and what happened in its steps.

    Parameters
    ----------
    lecture : Lecture
    at : int
        Place of the cue.
    standings : mapping of (int, int) to Standing
        By part and page.
    """

    lecture: Lecture
    at: int = 0
    standings: Mapping[tuple[int, int], Standing] = field(default_factory=lambda: MappingProxyType({}))


def cue_of(podium: Podium) -> Cue:
    """The cue that is shown."""
    return podium.lecture.cues[podium.at]


def lesson_of(podium: Podium, course: Course) -> Lesson:
    """The lesson of the cue."""
    return find_lesson(course, cue_of(podium).lesson)


def step_of(podium: Podium, course: Course) -> Step | None:
    """The step of the cue; None at an opening or a closing."""
    return step_of_cue(lesson_of(podium, course), cue_of(podium))


def standing_of(podium: Podium) -> Standing:
    """What has happened with the step of the cue."""
    cue = cue_of(podium)
    return podium.standings.get((cue.part, cue.page), Standing())


def mark_of(podium: Podium, course: Course) -> Mark:
    """The step as the player knows it: the class's answers stand for the prediction."""
    step, standing = step_of(podium, course), standing_of(podium)
    if step is None:
        return Mark()
    answers = [class_answer(step.predict, one) for one in reversed(standing.rounds)]
    prediction = next((one for one in answers if one is not None), None)
    return Mark(prediction=prediction, done=standing.done, settled=standing.seen)


def answered(podium: Podium, course: Course) -> bool:
    """Whether the act may follow: there are answers, or the lecturer goes on without."""
    step, standing = step_of(podium, course), standing_of(podium)
    if step is None or standing.waived or not podium.lecture.parts[cue_of(podium).part].poll:
        return True
    return any(size(step.predict, one) for one in standing.rounds)


def locked(podium: Podium, course: Course) -> bool:
    """Whether the array is locked."""
    if step_of(podium, course) is None or standing_of(podium).done is not None:
        return False
    return cue_of(podium).moment == "ask" or not answered(podium, course)


def hidden(podium: Podium, course: Course) -> bool:
    """Whether the act of the cue is a search whose fault has not been shown yet."""
    step = step_of(podium, course)
    at_act = cue_of(podium).moment == "act"
    return at_act and step is not None and step.search is not None and standing_of(podium).done is None


def wanted(podium: Podium, course: Course) -> tuple[Scenario, Scenario | None]:
    """What a cue wants on the bench: the scenario to compare with, and the one after the act.

    Returns
    -------
    start, finish : Scenario, Scenario or None
        None while the act is still to come. Who jumps behind it sees the step's own solution,
        once the class has answered.
    """
    lesson, cue = lesson_of(podium, course), cue_of(podium)
    step = step_of_cue(lesson, cue)
    if cue.moment == "opening" or step is None:
        return (lesson.steps[0].start, None) if cue.moment == "opening" else _left(podium, lesson)
    behind = cue.moment in ("look", "explain") and answered(podium, course)
    return step.start, standing_of(podium).done or (step.finish if behind else None)


def go_to(podium: Podium, at: int) -> Podium:
    """Go to a cue; beyond the ends, to the nearest."""
    return replace(podium, at=min(max(at, 0), len(podium.lecture.cues) - 1))


def forward(podium: Podium) -> Podium:
    """Go on to the next cue."""
    return replace(podium, at=next_cue(podium.lecture, podium.at))


def back(podium: Podium) -> Podium:
    """Go back to the cue before."""
    return replace(podium, at=back_cue(podium.lecture, podium.at))


def take(podium: Podium, answers: Round) -> Podium:
    """The answers of the round that is open, as they are now."""
    standing = standing_of(podium)
    return _with(podium, replace(standing, rounds=(*standing.rounds[:-1], answers)))


def take_phones(podium: Podium, phones: Sequence[tuple[float, ...] | None]) -> Podium:
    """What the phones have answered so far in each round of the step; None leaves a round as it is."""
    standing = standing_of(podium)
    heard = zip(standing.rounds, phones, strict=False)
    rounds = [one if given is None else replace(one, phones=given) for one, given in heard]
    return _with(podium, replace(standing, rounds=(*rounds, *standing.rounds[len(rounds) :])))


def ask_again(podium: Podium, course: Course) -> Podium:
    """Open the second round, once the first one has answers and before the act; its bars stay hidden."""
    step, standing = step_of(podium, course), standing_of(podium)
    if step is None or standing.done is not None or len(standing.rounds) == MOST_ROUNDS:
        return podium
    if not size(step.predict, standing.rounds[0]):
        return podium
    return _with(podium, replace(standing, rounds=(*standing.rounds, Round()), shown=False))


def reveal(podium: Podium, course: Course) -> Podium:
    """Show or hide what this moment keeps back: the histogram, or the answer to the observation."""
    step, standing, moment = step_of(podium, course), standing_of(podium), cue_of(podium).moment
    if step is None:
        return podium
    if moment == "look":
        return _with(podium, replace(standing, seen=not standing.seen and standing.done is not None))
    counted = any(size(step.predict, one) for one in standing.rounds)
    return _with(podium, replace(standing, shown=not standing.shown and counted))


def waive(podium: Podium) -> Podium:
    """Go on without answers."""
    return _with(podium, replace(standing_of(podium), waived=True))


def watch(podium: Podium, course: Course, situation: Situation, *, going_on: bool = False) -> Podium:
    """Look at the array: note that the act is done, and in which scenario, as `player.watch` does.

    It counts only once the class has answered. While the act is shown it may be done once more; what is
    tried behind it changes no text.
    """
    step, standing, moment = step_of(podium, course), standing_of(podium), cue_of(podium).moment
    if step is None or locked(podium, course) or situation.scenario == standing.done or moment == "ask":
        return podium
    if standing.done is not None:
        acting = moment == "act" and within_act(step, standing.done, situation.scenario)
        if not (acting or going_on):
            return podium
    if act_done(step, situation):
        return _with(podium, replace(standing, done=situation.scenario))
    return _with(podium, replace(standing, done=None)) if going_on and standing.done else podium


def with_done(podium: Podium, scenario: Scenario) -> Podium:
    """Hold the act of the cue's step as done so."""
    return _with(podium, replace(standing_of(podium), done=scenario))


def _left(podium: Podium, lesson: Lesson) -> tuple[Scenario, Scenario | None]:
    """What the last step leaves on the bench for the closing words; an unsought fault stays hidden."""
    last = lesson.steps[-1]
    if last.search is None:
        return last.start, last.finish
    return last.start, podium.standings.get((cue_of(podium).part, len(lesson.steps)), Standing()).done


def _with(podium: Podium, standing: Standing) -> Podium:
    cue = cue_of(podium)
    return replace(podium, standings={**podium.standings, (cue.part, cue.page): standing})
