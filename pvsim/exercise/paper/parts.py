"""What a sheet is made of: questions with their array, from exercises, a lesson or a scenario."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pvsim.array.fault_kind import fault_kind
from pvsim.array.place import WHOLE_ARRAY, Place, describe_place
from pvsim.array.scenario import Scenario
from pvsim.course.lesson.lesson import Lesson, Step
from pvsim.course.number.evaluation import Readings
from pvsim.course.number.solved_scenario import solved
from pvsim.exercise.asked import item_of
from pvsim.exercise.case import ExerciseCase
from pvsim.exercise.item import Item, NumberItem
from pvsim.exercise.paper.scene import Scene
from pvsim.exercise.paper.secret import Secret, hiding, secrets_of
from pvsim.exercise.posed import asked_of
from pvsim.exercise.template import Template, pose
from pvsim.exercise.wording import filled
from pvsim.files.provenance import one_line
from pvsim.numbers import format_setting
from pvsim.prompt import summary
from pvsim.reading.unbroken import unbroken_scenario
from pvsim.words import _, ngettext, speaking

__all__ = ["Part", "parts_of_case", "parts_of_lesson", "parts_of_scenario"]

MOST_FAULTS = 12  # that a sheet lists


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A stretch of a sheet around one array.

    Parameters
    ----------
    title : str
    scene : Scene
    told : str
        Markdown before all else; of a scenario alone what it is.
    asked : Item or None
        What is predicted.
    does : str
        Markdown: what is then done at the bench.
    seen : Item or None
        What is read after that.
    cautions : tuple of str
        Shown before it, in the language spoken now.
    explained : str
        Markdown, for the solution.
    """

    title: str
    scene: Scene
    told: str = ""
    asked: Item | None = None
    does: str = ""
    seen: Item | None = None
    cautions: tuple[str, ...] = ()
    explained: str = ""

    __repr__ = summary


def parts_of_case(templates: Sequence[Template], case: ExerciseCase) -> tuple[Part, ...]:
    """A part for each exercise, with the numbers of a case.

    Raises
    ------
    LessonError
        If what is drawn makes no exercise of one.
    """
    found: list[Part] = []
    for number, template in enumerate(templates, start=1):
        posed = pose(template, case)
        with speaking(template.language):
            meters = isinstance(posed.item, NumberItem) and bool(posed.item.readings)
            found.append(
                Part(
                    title=_("Question {number}").format(number=number),
                    scene=_scene(posed.start, posed.finish, posed.focus),
                    asked=posed.item,
                    cautions=_cautions(("live", "cold") if meters else ()),
                )
            )
    return tuple(found)


def parts_of_lesson(lesson: Lesson, *, key: bool = False) -> tuple[Part, ...]:
    """A part for each step: what is predicted, done and seen.

    A lesson tells as it goes on what came of the steps before. On paper all of it lies there at once, so a
    number that answers another question of the lesson is left blank, to be filled in from the bench.

    Parameters
    ----------
    key : bool
        For the solution: nothing is left blank.
    """
    with speaking(lesson.language):
        secrets = [] if key else [one for step in lesson.steps for one in secrets_of(step)]
        return tuple(_part(lesson, step, secrets) for step in lesson.steps)


def parts_of_scenario(scenario: Scenario, place: Place | None = None) -> tuple[Part, ...]:
    """One part: the array as it is, held against the same array in good order."""
    sound = replace(unbroken_scenario(scenario), operation=scenario.operation)  # held where it is held
    same = (sound.light, sound.faults, sound.weather) == (scenario.light, scenario.faults, scenario.weather)
    focus = WHOLE_ARRAY if place is None else place
    told = [_described(scenario)]
    if same:
        told.append(_("Draw the I-V and the P-V characteristic as you expect them, then read them."))
    else:
        told.append(
            _(
                "Draw the characteristics as you expect them: dashed for the same array in good order, in "
                "1000 W/m² at 25 °C, and solid for the array as it is."
            )
        )
    scene = Scene(start=None if same else sound, finish=scenario, focus=focus, tells_finish=True)
    return (
        Part(
            title=one_line(_(scenario.title)),
            scene=scene,
            told="\n\n".join(told),
            cautions=_cautions(("live",)),
        ),
    )


def _part(lesson: Lesson, step: Step, secrets: Sequence[Secret]) -> Part:
    before, after = solved(step.start), solved(step.finish)
    at_first, then = Readings(before, before), Readings(after, before)
    name, language = f"{lesson.slug}/{step.id}", lesson.language
    own, later = f"{step.id}/predict", f"{step.id}/observe"
    lead = [filled(part.text, at_first, language, hiding(secrets, own)) for part in (step.lead, step.ask)]
    stem = "\n\n".join(part for part in lead if part)
    seen: Item | None = None
    if step.observe is not None:
        notice = filled(step.notice.text, then, language, hiding(secrets, later))
        seen = item_of(step.observe, then, then, f"{name}/observe", notice, language)
    return Part(
        title=step.title,
        scene=_scene(step.start, step.finish, step.look.focus or asked_of(step.predict, after)),
        asked=item_of(step.predict, then, at_first, f"{name}/predict", stem, language),
        does=filled(step.act.text, at_first, language, hiding(secrets, later)),
        seen=seen,
        cautions=_cautions(step.cautions),
        explained=filled(step.explain.text, then, language),
    )


def _scene(start: Scenario, finish: Scenario, focus: Place) -> Scene:
    return Scene(start=None if start == finish else start, finish=finish, focus=focus)


def _cautions(names: Sequence[str]) -> tuple[str, ...]:
    from pvsim.course.lesson.cautions import CAUTIONS

    return tuple(_(CAUTIONS[name]) for name in names)


def _described(scenario: Scenario) -> str:
    """What a scenario is, as far as it is given: modules, light, temperature, faults."""
    strings = scenario.array.strings
    count = sum(len(one.modules) for one in strings)
    types = sorted({one.type for string in strings for one in string.modules})
    said = [
        _("{strings}, {modules} of type {types}").format(
            strings=ngettext("{n} string", "{n} strings", len(strings)).format(n=len(strings)),
            modules=ngettext("{n} module", "{n} modules", count).format(n=count),
            types=", ".join(types),
        ),
        _("irradiance {value}").format(value=format_setting(scenario.light.irradiance_W_m2, "W/m²")),
    ]
    for fault in scenario.faults[:MOST_FAULTS]:
        title = _(fault_kind(fault.kind).title)
        said.append(title if fault.place == WHOLE_ARRAY else f"{describe_place(fault.place)}: {title}")
    if len(scenario.faults) > MOST_FAULTS:
        said.append(_("and {n} more faults").format(n=len(scenario.faults) - MOST_FAULTS))
    return "; ".join(said) + "."
