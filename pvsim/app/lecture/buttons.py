"""The foot of a lecture, as plain values."""

from __future__ import annotations

from pvsim.app.lecture.hall import Hall, Page
from pvsim.app.lecture.words import lecture_keys
from pvsim.course.lecture.class_answers import size
from pvsim.course.lecture.lecture_state import Podium, cue_of, standing_of, step_of
from pvsim.course.lesson.lesson import Course

__all__ = ["buttons_of"]


def buttons_of(podium: Podium, course: Course, hall: Hall) -> list[Page]:
    """The foot: what can be pressed now, each with its key."""
    step, standing, moment = step_of(podium, course), standing_of(podium), cue_of(podium).moment
    counted = step is not None and any(size(step.predict, one) for one in standing.rounds)
    polled = podium.lecture.parts[cue_of(podium).part].poll
    able = {
        "back": podium.at > 0 or not hall.held,
        "next": True,
        "reveal": (moment == "ask" and counted) or (moment == "look" and standing.done is not None),
        "again": moment == "ask" and counted and len(standing.rounds) == 1 and standing.done is None,
        "hands": moment == "ask" and polled,
        "class": True,
        "notes": True,
        "right": True,
        "blank": True,
    }
    here = ["back", "next"]
    here += ["reveal"] if moment in ("ask", "look") else []
    here += ["again", "hands"] if moment == "ask" and polled and hall.held else []
    here += ["right", "blank"] + (["class", "notes"] if hall.held else [])
    pressed = standing.seen if moment == "look" else standing.shown
    return [
        {
            "act": act,
            "keys": [mark for mark in marks if hall.keys or len(mark) > 1 or mark in "←→"],
            "label": name,
            "title": meaning,
            "able": able[act],
            "pressed": {"reveal": pressed, "class": bool(hall.room)}.get(act),
        }
        for act, marks, name, meaning in lecture_keys()
        if act in here
    ]
