"""What happened in a lecture, moment by moment: noted while it is held, replayed from its file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pvsim.array.scenario import Scenario
from pvsim.course.lecture.lecture import Lecture, Played, find_lesson, step_of_cue
from pvsim.course.lecture.lecture_state import Podium, Standing, cue_of, go_to, standing_of
from pvsim.course.lesson.lesson import Course
from pvsim.course.number.solved_scenario import solved
from pvsim.course.play.player import act_done
from pvsim.errors import PvsimError
from pvsim.files.link import pack, unpack

MOST_PLAYED = 2000
SAME_MOMENT_s = 4.0  # changes that follow each other faster are noted as one


def moment_of(podium: Podium, scenario: Scenario, seconds: float) -> Played:
    """What is to be noted of a lecture as it stands."""
    standing = standing_of(podium)
    try:
        packed = pack(scenario)
    except PvsimError:  # far too much was painted for a link
        packed = ""
    return Played(
        seconds=round(seconds, 1),
        cue=cue_of(podium),
        scenario=packed,
        rounds=standing.rounds,
        shown=standing.shown,
        seen=standing.seen,
        waived=standing.waived,
    )


def note(played: Sequence[Played], now: Played) -> tuple[Played, ...]:
    """The record with one more moment; what follows at once in the same cue takes the place of the last."""
    if not played:
        return (now,)
    last = played[-1]
    if replace(now, seconds=last.seconds) == last:
        return tuple(played)
    if now.cue == last.cue and now.seconds - last.seconds < SAME_MOMENT_s:
        return (*played[:-1], replace(now, seconds=last.seconds))
    return (*played, now)[-MOST_PLAYED:]


def podium_at(lecture: Lecture, course: Course, entry: int) -> Podium:
    """Where a lecture stood at an entry of its record; beyond the ends, at the nearest.

    Replaying goes through the entries one by one; going on with a lecture that was broken off
    begins at the last one.
    """
    podium = Podium(lecture=replace(lecture, played=()))
    for one in lecture.played[: max(entry, 0) + 1]:
        if one.cue not in lecture.cues:
            continue
        podium = go_to(podium, lecture.cues.index(one.cue))
        standing = Standing(
            rounds=one.rounds,
            shown=one.shown,
            seen=one.seen,
            waived=one.waived,
            done=_done(podium, course, one),
        )
        if 0 < one.cue.page <= len(find_lesson(course, one.cue.lesson).steps):
            podium = replace(
                podium, standings={**podium.standings, (one.cue.part, one.cue.page): standing}
            )
    return podium


def scenario_of_entry(one: Played) -> Scenario | None:
    """What was on the bench; None when the record cannot say."""
    try:
        return unpack(one.scenario) if one.scenario else None
    except PvsimError:
        return None


def _done(podium: Podium, course: Course, one: Played) -> Scenario | None:
    """What the act had made of the array by then."""
    step = step_of_cue(find_lesson(course, one.cue.lesson), one.cue)
    earlier = standing_of(podium).done
    if step is None or one.cue.moment == "ask" or (earlier is not None and one.cue.moment != "act"):
        return earlier
    scenario = scenario_of_entry(one)
    if scenario is None:
        return earlier
    try:
        return scenario if act_done(step, solved(scenario)) else earlier
    except PvsimError:
        return earlier
