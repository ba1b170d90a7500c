"""Everything the curves show of one part, worked out before any of it is drawn."""

from __future__ import annotations

from typing import Any

from pvsim.app.curves.cable_table import cable_tables
from pvsim.app.curves.choice import (
    NO_LINES,
    Choice,
    Picture,
    chosen_shown,
    figures_of,
    flat_span,
)
from pvsim.app.curves.construction_words import ledger, part_lines
from pvsim.app.curves.hold_words import array_control, held_load
from pvsim.app.curves.labels import held_shown, named_shown
from pvsim.app.curves.notice_table import notice_shown, notice_tables, sights_at
from pvsim.app.curves.point_table import curve_table
from pvsim.app.curves.tracker_picture import delivered, tracker_picture
from pvsim.app.curves.words import (
    curve_sentence,
    difference_shown,
    key_rows,
)
from pvsim.app.words import _
from pvsim.array.place import Place, describe_place
from pvsim.array.solution import ArraySolution
from pvsim.circuit import Characteristic, PowerPoint, solve
from pvsim.circuit.mesh import Mesh
from pvsim.files.figure.key_points import (
    KeyPoint,
    earlier_point,
    held_point,
    key_points,
    point_parts,
)
from pvsim.numbers import format_percent
from pvsim.reading.axes import Axes, Span, axes_of, holding, leaves_axes, reach
from pvsim.reading.construction import Stage, stages_of, unbroken_whole
from pvsim.reading.curve import circuit_of, curve_if_there, curve_within
from pvsim.reading.difference import Difference, difference_of, magnified, widest_gap
from pvsim.reading.key_figures import NOTHING, key_figures
from pvsim.reading.stack import Stack, stack_at
from pvsim.reading.terminals import point_of, tracker_point
from pvsim.reading.unbroken import breakdown_voltage, held_scale, unbroken_curve, unbroken_if_there

__all__ = ["picture"]


def picture(
    solution: ArraySolution,
    earlier: ArraySolution | None,
    place: Place,
    level: str,
    choice: Choice,
    *,
    theme: str = "light",
) -> Picture:
    """Work out what the curves show.

    Parameters
    ----------
    solution : ArraySolution
        Now.
    earlier : ArraySolution or None
        What to compare with; a part that it does not have is not compared.
    place, level : Place, str
        The part in view.
    choice : Choice
        What to see of it.
    theme : str
        "light" or "dark", for the colours of the parts.
    """
    if level == "array" and len(solution.trackers) > 1:
        return tracker_picture(solution, earlier, choice)
    scenario = solution.scenario
    unbroken = unbroken_curve(scenario, place)
    held = point_of(solution, place)
    stage: Stage | None = None
    steps: list[dict[str, str]] = []
    if choice.view == "parts":
        stage, steps = _stage(solution, place, level, choice)
    if stage is None:
        whole, sums = unbroken, None
    else:
        whole = unbroken_whole(scenario, place, stage.key)
        sums = stack_at(stage, _cut(stage, choice, held or unbroken.mpp))
    reverse = choice.reverse
    if reverse is None:
        lowest = min([0.0, *_lowest(held, stage, sums)])
        reverse = lowest < axes_of(whole).voltage_V[0]
    breakdown_V = breakdown_voltage(scenario, place)
    sound = [whole] if stage is not None else [whole, *unbroken_if_there(earlier, place)]
    axes = choice.fitted or axes_of(*sound, reverse=reverse, breakdown_V=breakdown_V)
    now = curve_within(solution, place, axes)
    before = curve_if_there(earlier, place, axes)
    if choice.fitted is None:
        wider = holding(axes, now, *([before] if before else []))
        if wider != axes:
            axes = wider
            now = curve_within(solution, place, axes)
            before = curve_if_there(earlier, place, axes)
    key = key_figures(now, before)
    if stage is not None:
        now, before = reach(stage.whole, solve(stage.whole), axes), None
    change, factor, delta = _difference(now, before, axes, choice, reverse)
    curves = [now] if before is None else [now, before]
    said = None if held is None else point_parts(held, unbroken)
    named = describe_place(place)
    difference, greatest = difference_shown(named, change, choice.quantity, factor)
    points = key_points(now, said=stage is None)
    if stage is None:
        points += _held_beside(held, said, now, unbroken)
    gap = None if before is None else widest_gap(now, before, axes)
    if gap is not None:
        points.append(earlier_point(gap))
    shown = chosen_shown(choice, level, axes, delta, reverse=reverse) | {
        "offer": choice.fitted is None and any(leaves_axes(one, axes) for one in curves),
        "compared": before is not None,
        "named": named_shown(points, choice, axes, greatest),
        "held": held_shown([] if held is None else [held]),
        "load": held_load(scenario.operation) if level == "array" else None,
        "key": key_rows(key),
        "keyCompared": any(one.before is not None for one in key),
        "caption": _("Key figures of the curve"),
        "difference": difference,
    }
    if choice.view == "parts" and stage is None:
        shown["partsNote"] = _no_parts(solution, place)
    if choice.view == "table":
        shown["tables"] = [curve_table(named, now, before, axes)]
        if choice.cables and level in ("array", "string"):
            shown["tables"] = cable_tables(solution, earlier) + shown["tables"]
        if choice.notices and before is not None:
            sights = sights_at(solution, earlier, place)
            shown["tables"] = notice_tables(sights, place) + shown["tables"]
            shown["notice"] = notice_shown(sights, place, title=scenario.title, large=choice.large)
    shown["titles"]["difference"] = shown["difference"]["title"]
    lines = NO_LINES
    if stage is not None and sums is not None:
        lines = part_lines(stage, axes, theme=theme)
        shown["parts"] = ledger(stage, sums, axes, theme=theme) | {"stages": steps, "stage": stage.key}
    shown["control"] = _control(solution, place, level, _held_text(held, said, now), shown["parts"])
    return Picture(
        now=(now,),
        before=() if before is None else (before,),
        change=() if change is None else (change,),
        axes=axes,
        delta=delta,
        figures=figures_of(choice),
        sentences={
            "current": curve_sentence(named, "current", now, before),
            "power": curve_sentence(named, "power", now, before),
            "difference": shown["difference"]["spoken"],
        },
        stage=stage,
        lines=lines,
        shown=shown,
    )


def _difference(
    now: Characteristic, before: Characteristic | None, axes: Axes, choice: Choice, reverse: bool
) -> tuple[Difference | None, float, Span]:
    if before is None or choice.view != "difference":
        return None, 1.0, flat_span(choice, axes)
    span = axes.power_W if choice.quantity == "power" else axes.current_A
    change = difference_of(now, before, choice.quantity, reverse=axes if reverse else None)
    return change, *magnified([change], span)


def _held_beside(
    held: PowerPoint | None,
    said: tuple[str, str, str] | None,
    now: Characteristic,
    unbroken: Characteristic,
) -> list[KeyPoint]:
    """The operating point; at the maximum itself its label is the maximum's own."""
    if held is None or said is None:
        return []
    near = abs(held.power_W - now.mpp.power_W) <= 2e-3 * max(now.mpp.power_W, 1e-9)
    near = near and abs(held.voltage_V - now.mpp.voltage_V) <= 0.01 * max(unbroken.voc_V, 1e-9)
    return [] if near else [held_point(held, said, _("held") + "\u00a0")]


def _no_parts(solution: ArraySolution, place: Place) -> str:
    """Why there is nothing to add up."""
    if isinstance(circuit_of(solution, place), Mesh):
        return _("A fault joins the wires elsewhere: this curve is no plain sum.")
    return _("This cell is broken open or shorted: there is nothing to add.")


def _stage(
    solution: ArraySolution, place: Place, level: str, choice: Choice
) -> tuple[Stage | None, list[dict[str, str]]]:
    """The step of the construction to show, and the names of all there are."""
    found = stages_of(solution, place)
    if not found:
        return None, []
    stage = next((one for one in found if one.key == (choice.stage or "parallel")), found[-1])
    words = {
        ("substring", "series"): _("cells"),
        ("substring", "parallel"): _("diode"),
        ("array", "parallel"): _("strings"),
        ("array", "series"): _("cable"),
    }
    return stage, [{"key": one.key, "label": words.get((level, one.key), one.title)} for one in found]


def _cut(stage: Stage, choice: Choice, held: PowerPoint) -> float:
    """Where the construction is cut: at the cursor, else where the part is held."""
    if choice.cursor is not None:
        return choice.cursor
    return held.current_A if stage.series else held.voltage_V


def _lowest(held: PowerPoint | None, stage: Stage | None, sums: Stack | None) -> list[float]:
    """Voltages that ask for the reverse side."""
    if stage is None or sums is None:
        return [] if held is None else [held.voltage_V]
    return [sums.total, *(row.end for row in sums.rows)] if stage.series else [sums.at]


def _control(
    solution: ArraySolution,
    place: Place,
    level: str,
    held: tuple[str, str],
    parts: dict[str, Any] | None,
) -> dict[str, Any]:
    """What the slider moves, and what is read off."""
    if parts is not None:
        keys = ("label", "unit", "number", "least", "most")
        return {key: parts[key] for key in keys} | {
            "modes": None,
            "kind": "cursor",
            "value": parts["at"],
            "step": (parts["most"] - parts["least"]) / 400,
            "text": parts["said"],
            "lead": "",
            "of": "",
            "where": "",
            "more": "",
        }
    text, of = held
    where = ""
    if len(solution.trackers) > 1:
        where = delivered(solution)
    elif level != "array":
        volts, _amperes, watts = point_parts(
            tracker_point(solution, 0), held_scale(solution)
        )
        where = _("array at {volts}: {watts}").format(volts=volts, watts=watts)
    return array_control(
        solution, place, text=text, lead=_("held at") if text else "", of=of, where=where
    )


def _held_text(
    held: PowerPoint | None, said: tuple[str, str, str] | None, now: Characteristic
) -> tuple[str, str]:
    """The operating point in one line, and how far from the maximum it is."""
    if held is None or said is None:
        return "", ""
    return " · ".join(said), share_of_maximum(held, now)


def share_of_maximum(point: PowerPoint, curve: Characteristic) -> str:
    """How the power at an operating point compares with the greatest there is, in words."""
    most_W = curve.mpp.power_W
    if most_W <= NOTHING or point.power_W < 5e-4 * most_W:  # it would read 0.0 %
        return ""
    if point.power_W >= (1.0 - 2e-3) * most_W:
        return _("(the maximum)")
    return _("({share} of max.)").format(share=format_percent(point.power_W / most_W, decimals=1))
