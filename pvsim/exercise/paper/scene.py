"""The array of a part of a sheet, before and after: how far its axes go, and what is read off its curves.

`scale_of` is all that a work sheet takes from a solution: the ends of axes, at round values. They are set by
the part in good order and by what is given, and by what comes of the change only where that would leave them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pvsim.array.index import cell_at
from pvsim.array.part_place import place_at
from pvsim.array.place import WHOLE_ARRAY, Place, level_of
from pvsim.array.scenario import Scenario
from pvsim.array.solution import ArraySolution
from pvsim.circuit import Characteristic
from pvsim.course.number.solved_scenario import solved
from pvsim.errors import ScenarioError
from pvsim.files.curve import Curve, curve_of
from pvsim.files.figure.axis import round_values
from pvsim.prompt import summary
from pvsim.reading.axes import Axes
from pvsim.reading.curve import curve_if_there
from pvsim.reading.key_figures import KeyFigure, key_figures
from pvsim.reading.levels import Rung, rungs
from pvsim.reading.own_curve import own_curve
from pvsim.reading.unbroken import unbroken_curve
from pvsim.words import _

__all__ = ["Scene", "changed_cell", "curves_of", "figures_of", "part_shown", "rungs_of", "scale_of"]

_ROOM = 1.12  # above the highest value: for labels, and for whoever predicts too much
_LINES = 5  # round values along an axis, about: its end is the next of them, and has its number


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """What happens to an array.

    Parameters
    ----------
    start : Scenario or None
        As it was; None where there is nothing to compare with.
    finish : Scenario
    focus : Place
        What it is about.
    tells_finish : bool
        Whether the array is handed out as it is after the change: then it is what is asked about, and the
        array before it what it is held against.
    """

    start: Scenario | None
    finish: Scenario
    focus: Place = WHOLE_ARRAY
    tells_finish: bool = False

    __repr__ = summary


def part_shown(scene: Scene) -> Place:
    """The part whose curves are drawn: the one it is about, or the module that holds it.

    An array with several trackers has no curve of its own; then it is the first string.
    """
    scenario, place = scene.start or scene.finish, scene.focus
    if level_of(place) in ("cell", "substring", "diode"):
        place = place_at(scenario, place, "module")
    if place == WHOLE_ARRAY and len(_now(scene).trackers) > 1:
        place = Place(1)
    try:
        unbroken_curve(scenario, place)
    except ScenarioError:
        return WHOLE_ARRAY
    return place


def scale_of(scene: Scene) -> Axes:
    """Axes from 0 to a round value."""
    place = part_shown(scene)
    sound = unbroken_curve(scene.start or scene.finish, place)
    given = [sound, *_curves(_before(scene), place)]
    then = _curves(_now(scene), place)
    return Axes(
        voltage_V=(0.0, _end([one.voc_V for one in given], [one.voc_V for one in then])),
        current_A=(0.0, _end([one.isc_A for one in given], [one.isc_A for one in then])),
        power_W=(0.0, _end([one.mpp.power_W for one in given], [one.mpp.power_W for one in then])),
    )


def curves_of(scene: Scene) -> tuple[Curve, ...]:
    """The curves after and before, as far as the axes go."""
    place, axes = part_shown(scene), scale_of(scene)
    now = curve_if_there(_now(scene), place, axes)
    before = curve_if_there(_before(scene), place, axes)
    found = [curve_of(now, _("after") if before is not None else "")] if now is not None else []
    if before is not None:
        found.append(curve_of(before, _("before"), before=True))
    return tuple(found)


def figures_of(scene: Scene) -> tuple[KeyFigure, ...]:
    """Key figures of the part shown; none where the array does not have it any more."""
    place = part_shown(scene)
    now, before = _curves(_now(scene), place), _curves(_before(scene), place)
    return key_figures(now[0], before[0] if before else None) if now else ()


def rungs_of(scene: Scene) -> tuple[Rung, ...]:
    """The five levels around the cell that changed most; none where there is nothing to compare with."""
    before = _before(scene)
    return () if before is None else rungs(_now(scene), before, changed_cell(scene))


def changed_cell(scene: Scene) -> Place:
    """The cell whose power at work changed most; what the scene is about where the array itself changed."""
    now, before = _now(scene), _before(scene)
    if before is None or before.scenario.array != now.scenario.array:
        return scene.focus
    if len(before.cells.power_W) != len(now.cells.power_W):  # a fault has put a module in, or left one out
        return scene.focus
    change = np.abs(now.cells.power_W - before.cells.power_W)
    return cell_at(now.index, int(np.argmax(change))) if float(change.max()) > 1e-6 else scene.focus


def _now(scene: Scene) -> ArraySolution:
    return solved(scene.finish).solution


def _before(scene: Scene) -> ArraySolution | None:
    return None if scene.start is None else solved(scene.start).solution


def _curves(solution: ArraySolution | None, place: Place) -> list[Characteristic]:
    try:
        return [] if solution is None else [own_curve(solution, place)]
    except ScenarioError:
        return []


def _end(given: list[float], then: list[float]) -> float:
    """A round value above those given, and above those that come of the change."""
    top = _ROOM * max([*given, 1e-3])
    if max(then, default=0.0) > top / 1.02:
        top = _ROOM * max(then)
    step = round_values(0.0, top, _LINES)[1]
    return float(np.ceil(top / step - 1e-9) * step)
